package archive

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"

	"rangebox/inventory"
)

// The forms of text that the readers of fields take.
const (
	handlePattern = `^[a-z0-9][a-z0-9.-]{0,39}$`
	idPattern     = `^[0-9a-fA-F]{8}-[0-9a-fA-F]{4}-[0-9a-fA-F]{4}-[0-9a-fA-F]{4}-[0-9a-fA-F]{12}$`
	datePattern   = `^[0-9]{4}-(0[1-9]|1[0-2])(-(0[1-9]|[12][0-9]|3[01]))?$`
	// longestText is in characters; the reader counts bytes and is no more generous.
	longestText = 64 << 10
)

// Schema is the JSON Schema (draft 2020-12) of an archive, made from the field
// tables. It refuses whatever one value shows; what only several show together -
// references, repeated handles, curves that do not rise - is for the import.
func Schema() []byte {
	s := &schemas{defs: object{}, tables: map[string]*inventory.Table{}}
	root := object{
		{"$schema", "https://json-schema.org/draft/2020-12/schema"},
		{"title", "rangebox archive"},
		{"description", "A box of motors and igniters and what belongs to it. A field that is not known is left out, never 0 or null."},
		{"type", "object"},
		{"properties", s.sections()},
		{"required", []string{"format", "version"}},
		{"additionalProperties", false},
	}
	root = append(root, member{"$defs", s.defs})
	var out bytes.Buffer
	raw, err := json.Marshal(root)
	if err == nil {
		err = json.Indent(&out, raw, "", "  ")
	}
	if err != nil {
		panic(fmt.Sprintf("archive: the schema cannot be written: %v", err)) // a mistake in the tables
	}
	return append(out.Bytes(), '\n')
}

// object is a JSON object whose members keep their order, so that the schema
// reads as the tables do.
type object []member

type member struct {
	key   string
	value any
}

// MarshalJSON writes the members in their order.
func (o object) MarshalJSON() ([]byte, error) {
	line := []byte{'{'}
	for i, m := range o {
		if i > 0 {
			line = append(line, ',')
		}
		value, err := json.Marshal(m.value)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", m.key, err)
		}
		line = append(append(appendText(line, m.key), ':'), value...)
	}
	return append(line, '}'), nil
}

// schemas collects a definition for each table that is met.
type schemas struct {
	defs   object
	tables map[string]*inventory.Table
}

// sections are the fields of the document itself.
func (s *schemas) sections() object {
	list := object{
		{"format", object{{"const", FormatName}}},
		{"version", object{{"const", Version}}},
	}
	for _, kind := range Order {
		info := kind.Info()
		one := s.define(info.Table, info.New(), info.Handled)
		if kind != inventory.KindSettings {
			one = object{{"type", "array"}, {"items", one}}
		}
		list = append(list, member{info.Plural, one})
	}
	return list
}

// define gives a table a definition of its own, once, and points to it. empty is
// a record of the table that holds nothing: what it knows all the same cannot be
// left out.
func (s *schemas) define(t *inventory.Table, empty any, handled bool) object {
	name := strings.ReplaceAll(t.Name, " ", "-")
	to := object{{"$ref", "#/$defs/" + name}}
	if known, there := s.tables[name]; there {
		if known != t {
			panic("archive: two tables are called " + t.Name)
		}
		return to
	}
	s.tables[name] = t
	properties, required := object{}, []string{}
	if handled {
		required = append(required, "handle")
	}
	for i := range t.Fields {
		f := &t.Fields[i]
		if f.Known(empty) {
			required = append(required, f.Key)
		}
		properties = append(properties, member{f.Key, s.field(f, empty)})
	}
	s.defs = append(s.defs, member{name, object{
		{"type", "object"}, {"properties", properties}, {"required", required}, {"additionalProperties", false},
	}})
	return to
}

// field is the schema of one field, with its help.
func (s *schemas) field(f *inventory.Field, rec any) object {
	return append(object{{"description", described(f)}}, s.value(f, rec)...)
}

func described(f *inventory.Field) string {
	if f.Scale == nil || f.Scale.Name == "" {
		return f.Help
	}
	return f.Help + ", in " + f.Scale.Name
}

func (s *schemas) value(f *inventory.Field, rec any) object {
	switch f.Type {
	case inventory.TypeNested:
		one := s.define(f.Sub, f.AddPart(rec), false)
		if f.Single {
			return one
		}
		return object{{"type", "array"}, {"items", one}}
	case inventory.TypeWord:
		return object{{"enum", f.Words}}
	case inventory.TypeWords:
		return object{{"type", "array"}, {"items", object{{"enum", f.Words}}}}
	case inventory.TypeNumber:
		return number(f)
	case inventory.TypeNumbers:
		return object{{"type", "array"}, {"items", number(f)}}
	case inventory.TypeFlag:
		return object{{"type", "boolean"}}
	case inventory.TypeMap:
		return object{{"type", "object"}, {"additionalProperties", object{{"type", []string{"string", "number", "boolean"}}}}}
	}
	return textual(f)
}

// textual is the schema of a field that stands in the file as text.
func textual(f *inventory.Field) object {
	text := object{{"type", "string"}}
	switch {
	case f.Type == inventory.TypeDate:
		return append(text, member{"pattern", datePattern})
	case f.Type == inventory.TypeMoment:
		return append(text, member{"format", "date-time"})
	case f.Type == inventory.TypeID, f.Type == inventory.TypeRef && f.Refers[0] == inventory.KindLot:
		return append(text, member{"format", "uuid"}, member{"pattern", idPattern})
	case f.Type == inventory.TypeRef, f.Key == "handle":
		return append(text, member{"pattern", handlePattern})
	}
	text = append(text, member{"maxLength", longestText})
	if f.Open {
		text = append(text, member{"examples", f.Words})
	}
	return text
}

// number is the schema of a number with the limits of its field.
func number(f *inventory.Field) object {
	n := object{{"type", "number"}}
	if _, err := f.Scale.Parse("0.5"); err != nil { // pieces and gauges are whole
		n[0].value = "integer"
	}
	switch f.Sign {
	case inventory.Positive:
		n = append(n, member{"exclusiveMinimum", 0})
	case inventory.NotNegative:
		n = append(n, member{"minimum", 0})
	}
	if f.Max > 0 {
		n = append(n, member{"maximum", json.RawMessage(f.Scale.Format(f.Max))})
	}
	return n
}
