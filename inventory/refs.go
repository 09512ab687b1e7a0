package inventory

import "fmt"

// Reference is a place in a record that points to another record.
type Reference struct {
	// Path is the field, as in stages[1].mounts[0].motor.
	Path string
	// Kinds it may point to.
	Kinds []Kind
	// Ref is the pointer itself, to be resolved in place.
	Ref *Ref
}

// References says what a record refers to: the one function that knows.
func References(rec Record) []Reference {
	return references(nil, "", rec.Kind().Info().Table, rec)
}

func references(found []Reference, path string, t *Table, rec any) []Reference {
	for i := range t.Fields {
		f := &t.Fields[i]
		switch f.Type {
		case TypeRef:
			if r := f.at.ref(rec); !r.IsZero() {
				found = append(found, Reference{path + f.Key, kindsHere(f, rec), r})
			}
		case TypeNested:
			if !f.Sub.refers() {
				continue // curves have many points and refer to nothing
			}
			for n, part := range f.Parts(rec) {
				found = references(found, partPath(path, f, n), f.Sub, part)
			}
		}
	}
	return found
}

// refers tells whether records of the table can refer to anything.
func (t *Table) refers() bool {
	for i := range t.Fields {
		if f := &t.Fields[i]; f.Type == TypeRef || f.Sub != nil && f.Sub.refers() {
			return true
		}
	}
	return false
}

func partPath(path string, f *Field, n int) string {
	if f.Single {
		return path + f.Key + "."
	}
	return fmt.Sprintf("%s%s[%d].", path, f.Key, n)
}

// kindsHere narrows the kinds where a field beside says which: a lot's kind, a
// reading's.
func kindsHere(f *Field, rec any) []Kind {
	switch r := rec.(type) {
	case *Lot:
		if f.Key == "item" && r.Of != 0 {
			return []Kind{r.Of.Item()}
		}
	case *ReadingOf:
		if f.Key == "handle" && r.Kind != "" {
			return []Kind{Kind(r.Kind)}
		}
	}
	return f.Refers
}
