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
	fmt.Fprintf(w, "%-22s %s\n", "id", rec.Base().ID)
	return nil
}

// Beside writes what is known beside a record: what readings say in place of its
// figures, and what is in stock.
func Beside(w io.Writer, l Look, measured []answer.Change, held answer.Holding) error {
	if len(measured) > 0 {
		fmt.Fprintln(w, "\nAs measured, which counts before the record:")
	}
	for _, c := range measured {
		l.para(w, "  ", "    ", fmt.Sprintf("%s: %s, recorded %s", c.Field, c.New, orNothing(c.Old)))
	}
	if len(held.Lots) > 0 {
		fmt.Fprintln(w, "\nIn stock:")
	}
	for _, lot := range held.Lots {
		text := fmt.Sprintf("%s on hand, lot %s, %s", lot.Quantity, tail(lot.ID), l.Word(lot.State))
		if lot.Expires != "" {
			text += ", last day " + lot.Expires
		}
		if lot.Place != "" {
			text += ", " + Clean(lot.Place)
		}
		l.para(w, "  ", "    ", text)
	}
	return nil
}

func fields(w io.Writer, l Look, indent string, t *inventory.Table, rec any) {
	for i := range t.Fields {
		f := &t.Fields[i]
		if f.Type == inventory.TypeNested {
			nested(w, l, indent, f, rec)
			continue
		}
		if text, ok := f.Show(rec, l.System); ok && f.Key != "id" {
			first := fmt.Sprintf("%s%-22s ", indent, name(f))
			l.para(w, first, strings.Repeat(" ", len(first)), Clean(text))
		}
	}
}

// nested writes the parts of a field; a curve is drawn elsewhere and counted here.
func nested(w io.Writer, l Look, indent string, f *inventory.Field, rec any) {
	parts := f.Parts(rec)
	if f.Key == "curve" {
		if len(parts) > 0 {
			fmt.Fprintf(w, "%s%-22s %d points\n", indent, name(f), len(parts))
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
	points := 0
	for _, change := range c.Changes {
		if strings.Contains("."+change.Field, ".curve[") {
			points++
			continue
		}
		l.para(w, "  ", "    ", fmt.Sprintf("%s: %s -> %s", change.Field, orNothing(change.Old), orNothing(change.New)))
	}
	if points > 0 {
		fmt.Fprintf(w, "  curve: %d figures changed\n", points)
	}
	for _, warning := range c.Warnings {
		l.para(w, "  look again: ", "    ", warning.Doubt+".")
	}
	return nil
}
