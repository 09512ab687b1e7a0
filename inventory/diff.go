package inventory

import "github.com/google/uuid"

// FieldChange is one field in which two records differ. Old or New is empty
// where the field is not known.
type FieldChange struct {
	// Path is the field, as in nozzles[0].throat_mm.
	Path string
	Old  string
	New  string
}

// Differences lists field by field where two records of one kind differ, in the
// order of the table. Either may be nil. Derived fields are left out.
func Differences(old, new Record) []FieldChange {
	switch {
	case old == nil && new == nil:
		return nil
	case old == nil:
		return differences(nil, "", new.Kind().Info().Table, nil, new)
	case new == nil:
		return differences(nil, "", old.Kind().Info().Table, old, nil)
	}
	return differences(nil, "", new.Kind().Info().Table, old, new)
}

// differences compares two records of a table; an untyped nil is an empty one.
func differences(found []FieldChange, path string, t *Table, old, new any) []FieldChange {
	for i := range t.Fields {
		f := &t.Fields[i]
		switch {
		case f.Derived:
		case f.Type == TypeNested:
			found = nestedDifferences(found, path, f, old, new)
		case !f.equal(old, new):
			found = append(found, FieldChange{path + f.Key, f.textOf(old), f.textOf(new)})
		}
	}
	return found
}

func nestedDifferences(found []FieldChange, path string, f *Field, old, new any) []FieldChange {
	before, after := f.partsOf(old), f.partsOf(new)
	for n := range max(len(before), len(after)) {
		found = differences(found, partPath(path, f, n), f.Sub, at(before, n), at(after, n))
	}
	return found
}

func (f *Field) partsOf(rec any) []any {
	if rec == nil {
		return nil
	}
	return f.Parts(rec)
}

func at(parts []any, n int) any {
	if n < len(parts) {
		return parts[n]
	}
	return nil
}

func (f *Field) textOf(rec any) string {
	if rec == nil {
		return ""
	}
	s, _ := f.Text(rec)
	return s
}

// equal compares one field; references are one where their ids are, whatever
// their targets are called.
func (f *Field) equal(old, new any) bool {
	if f.Type == TypeRef && old != nil && new != nil {
		if a, b := f.at.ref(old), f.at.ref(new); a.ID != uuid.Nil || b.ID != uuid.Nil {
			return a.ID == b.ID
		}
	}
	return f.known(old) == f.known(new) && f.textOf(old) == f.textOf(new)
}

func (f *Field) known(rec any) bool { return rec != nil && f.Known(rec) }
