package archive

import (
	"encoding/json"

	"rangebox/inventory"
)

// fields reads an object, whose brace has been read, into a record or a part of
// one, field by field as the table says.
func (in *reader) fields(t *inventory.Table, rec any) error {
	row := in.row()
	seen := make([]bool, len(t.Fields))
	for in.json.More() {
		key, err := in.key()
		if err != nil {
			return err
		}
		if err := in.member(t, rec, key, seen); err != nil {
			return err
		}
		in.leave()
	}
	in.requireFields(t, rec, seen, row)
	_, err := in.token()
	return err
}

func (in *reader) member(t *inventory.Table, rec any, key string, seen []bool) error {
	for i := range t.Fields {
		f := &t.Fields[i]
		if f.Key != key {
			continue
		}
		if seen[i] {
			return in.twice(key)
		}
		seen[i] = true
		return in.value(f, rec)
	}
	return in.unknown(key, "a "+t.Name, t.Keys())
}

// requireFields complains of fields that cannot be unknown (the two of a point
// of a curve): they have a value before any was given.
func (in *reader) requireFields(t *inventory.Table, rec any, seen []bool, row int) {
	for i := range t.Fields {
		if f := &t.Fields[i]; !seen[i] && f.Known(rec) {
			in.missing(f, t.Name, row)
		}
	}
}

func (in *reader) value(f *inventory.Field, rec any) error {
	tok, err := in.token()
	if err != nil {
		return err
	}
	switch f.Type {
	case inventory.TypeNested:
		return in.nested(f, rec, tok)
	case inventory.TypeWords, inventory.TypeNumbers:
		return in.list(f, rec, tok)
	case inventory.TypeMap:
		return in.pairs(f, rec, tok)
	}
	text, ok := scalar(f.Type, tok)
	if !ok {
		return in.wrongType(tok, f.Expected())
	}
	if err := f.SetText(rec, text); err != nil {
		in.complain(found(tok), f.Expected(), err)
	}
	return nil
}

// scalar is the text of a value whose JSON type is the field's.
func scalar(want inventory.Type, tok json.Token) (string, bool) {
	switch v := tok.(type) {
	case string:
		return v, want != inventory.TypeNumber && want != inventory.TypeNumbers && want != inventory.TypeFlag
	case json.Number:
		return v.String(), want == inventory.TypeNumber || want == inventory.TypeNumbers
	case bool:
		return boolText(v), want == inventory.TypeFlag
	}
	return "", false
}

func boolText(b bool) string {
	if b {
		return "true"
	}
	return "false"
}

func (in *reader) nested(f *inventory.Field, rec any, tok json.Token) error {
	if f.Single {
		if tok != json.Delim('{') {
			return in.wrongType(tok, f.Expected())
		}
		return in.fields(f.Sub, f.AddPart(rec))
	}
	if tok != json.Delim('[') {
		return in.wrongType(tok, f.Expected())
	}
	return in.each(func() error {
		tok, err := in.token()
		if err != nil {
			return err
		}
		if tok != json.Delim('{') {
			return in.wrongType(tok, "an object: a "+f.Sub.Name)
		}
		return in.fields(f.Sub, f.AddPart(rec))
	})
}

// list reads several words or numbers. Each is held to the field by itself, so
// that the complaint has its place; only a whole list is kept.
func (in *reader) list(f *inventory.Field, rec any, tok json.Token) error {
	if tok != json.Delim('[') {
		return in.wrongType(tok, f.Expected())
	}
	var items []string
	err := in.each(func() error {
		tok, err := in.token()
		if err != nil {
			return err
		}
		item, ok := scalar(f.Type, tok)
		if !ok {
			return in.wrongType(tok, f.Expected())
		}
		if err := f.SetList(rec, []string{item}); err != nil {
			in.complain(found(tok), f.Expected(), err)
			return nil
		}
		items = append(items, item)
		return nil
	})
	if err != nil {
		return err
	}
	return f.SetList(rec, items)
}

// pairs reads names and values, each value a text, a number or true or false,
// and keeps them as the text that stood there.
func (in *reader) pairs(f *inventory.Field, rec any, tok json.Token) error {
	if tok != json.Delim('{') {
		return in.wrongType(tok, f.Expected())
	}
	pairs := map[string]string{}
	for in.json.More() {
		key, err := in.key()
		if err != nil {
			return err
		}
		if err := in.pair(pairs, key); err != nil {
			return err
		}
		in.leave()
	}
	if _, err := in.token(); err != nil {
		return err
	}
	return f.SetMap(rec, pairs)
}

func (in *reader) pair(pairs map[string]string, key string) error {
	if _, there := pairs[key]; there {
		return in.twice(key)
	}
	tok, err := in.token()
	if err != nil {
		return err
	}
	switch v := tok.(type) {
	case string:
		pairs[key] = v
	case json.Number:
		pairs[key] = v.String()
	case bool:
		pairs[key] = boolText(v)
	default:
		return in.wrongType(tok, "text, a number, true or false")
	}
	return nil
}
