package report

import (
	"fmt"
	"io"
	"strings"

	"rangebox/cmd/rangebox/answer"
	"rangebox/inventory"
)

// Record writes all that is recorded of a record, a field a line.
func Record(w io.Writer, l Look, rec inventory.Record) error {
	fields(w, l, "", rec.Kind().Info().Table, rec)
	return nil
}

func fields(w io.Writer, l Look, indent string, t *inventory.Table, rec any) {
	for i := range t.Fields {
		f := &t.Fields[i]
		if f.Type == inventory.TypeNested {
			nested(w, l, indent, f, rec)
			continue
		}
		if text, ok := f.Show(rec, l.System); ok {
			first := fmt.Sprintf("%s%-18s ", indent, name(f))
			l.para(w, first, strings.Repeat(" ", len(first)), Clean(text))
		}
	}
}

// nested writes the parts of a field; a curve is drawn elsewhere and counted here.
func nested(w io.Writer, l Look, indent string, f *inventory.Field, rec any) {
	parts := f.Parts(rec)
	if f.Key == "curve" {
		if len(parts) > 0 {
			fmt.Fprintf(w, "%s%-18s %d points\n", indent, name(f), len(parts))
		}
		return
	}
	for _, part := range parts {
		fmt.Fprintf(w, "%s%s\n", indent, f.Sub.Name)
		fields(w, l, indent+"  ", f.Sub, part)
	}
}

// name is a field's name for a person: its key without the unit.
func name(f *inventory.Field) string {
	key := f.Key
	if f.Scale != nil {
		key = answer.Label(key)
	}
	return strings.ReplaceAll(key, "_", " ")
}

// Changed writes what became of a record, field by field.
func Changed(w io.Writer, l Look, c answer.Changed) error {
	fmt.Fprintf(w, "%s %s %s.\n", strings.ToUpper(c.Status[:1])+c.Status[1:], c.Kind, c.Handle)
	for _, change := range c.Changes {
		l.para(w, "  ", "    ", fmt.Sprintf("%s: %s -> %s", change.Field, orNothing(change.Old), orNothing(change.New)))
	}
	for _, warning := range c.Warnings {
		l.para(w, "  look again: ", "    ", warning.Doubt+".")
	}
	return nil
}
