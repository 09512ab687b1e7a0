package inventory

import "strings"

// SetPath sets the field that a path reaches, as text in the way of SetText; an
// empty value makes it unknown. Paths are FIELD, PART.FIELD for a nozzle, an
// output, a stage or a supply of the record, and STAGE/MOUNT.FIELD or
// STAGE/RECOVERY.FIELD (contract). A part that is not there is made. Errors wrap
// ErrInvalid.
func SetPath(rec Record, path, value string) error { return setPath(rec, path, value, true) }

// ChangePath is SetPath for parts that are there: a part that is not is refused.
func ChangePath(rec Record, path, value string) error { return setPath(rec, path, value, false) }

func setPath(rec Record, path, value string, make bool) error {
	names, key := splitPath(path)
	t := rec.Kind().Info().Table
	if !reachable(t, len(names), key) {
		return noField(rec.Kind(), path, strings.TrimSuffix(path, key), key, pathKeys(t, len(names)))
	}
	if !make && !hasPart(t, rec, names) {
		return invalidf("%s has no part %q", rec.Base().Handle, Printable(strings.Join(names, "/")))
	}
	return setIn(t, rec, names, key, value)
}

// noField names the field that was probably meant, or how fields there look like.
func noField(kind Kind, path, before, key string, known []string) error {
	const some = 3
	switch near, ok := Nearest(key, known); {
	case ok:
		return invalidf("a %s has no field %q; did you mean %q?", kind, Printable(path), before+near)
	case len(known) == 0:
		return invalidf("a %s has no field %q; nothing of it goes so deep", kind, Printable(path))
	case len(known) > some:
		return invalidf("a %s has no field %q; there are %s and %d more", kind, Printable(path), strings.Join(known[:some], ", "), len(known)-some)
	}
	return invalidf("a %s has no field %q; there are %s", kind, Printable(path), strings.Join(known, ", "))
}

// hasPart tells whether the named part is there.
func hasPart(t *Table, rec any, names []string) bool {
	if len(names) == 0 {
		return true
	}
	for i := range t.Fields {
		if f := &t.Fields[i]; f.named() {
			if part, ok := f.partNamed(rec, names[0]); ok && hasPart(f.Sub, part, names[1:]) {
				return true
			}
		}
	}
	return false
}

// splitPath splits STAGE/MOUNT.FIELD into the names of parts and the field.
func splitPath(path string) (names []string, key string) {
	dot := strings.LastIndexByte(path, '.')
	if dot < 0 {
		return nil, path
	}
	// what is one of its kind, as a mount's ignition, may be named and need not be
	parts := strings.TrimSuffix(path[:dot], ".ignition")
	return strings.Split(parts, "/"), path[dot+1:]
}

// reachable tells whether a table has the field, so many parts down.
func reachable(t *Table, depth int, key string) bool {
	for _, k := range pathKeys(t, depth) {
		if k == key {
			return true
		}
	}
	return false
}

// pathKeys lists the fields so many parts down that text can set.
func pathKeys(t *Table, depth int) []string {
	var keys []string
	for i := range t.Fields {
		f := &t.Fields[i]
		switch {
		case depth == 0 && f.Type == TypeNested && f.Single:
			keys = append(keys, pathKeys(f.Sub, 0)...)
		case depth == 0 && f.Type != TypeNested && f.Key != "id":
			keys = append(keys, f.Key)
		case depth > 0 && f.named():
			keys = append(keys, pathKeys(f.Sub, depth-1)...)
		}
	}
	return keys
}

// named tells whether the parts of a field are known by a name: their first field.
func (f *Field) named() bool {
	if f.Type != TypeNested || f.Single {
		return false
	}
	first := f.Sub.Fields[0].Type
	return first == TypeText || first == TypeRef
}

func setIn(t *Table, rec any, names []string, key, value string) error {
	if len(names) == 0 {
		return setHere(t, rec, key, value)
	}
	for _, existing := range [2]bool{true, false} {
		if err, done := setInParts(t, rec, names, key, value, existing); done {
			return err
		}
	}
	return invalidf("%q cannot be set there", Printable(value))
}

// setInParts goes through the fields that could hold the named part: first those
// that have it, then those that could. Where the value does not suit one, the
// next is tried: a mount and a recovery both have a `by`.
func setInParts(t *Table, rec any, names []string, key, value string, existing bool) (err error, done bool) {
	for i := range t.Fields {
		f := &t.Fields[i]
		if !f.named() || !reachable(f.Sub, len(names)-1, key) {
			continue
		}
		part, found := f.partNamed(rec, names[0])
		if found != existing {
			continue
		}
		if !found {
			part = f.AddPart(rec)
			if err = f.Sub.Fields[0].SetText(part, names[0]); err != nil {
				f.at.drop(rec)
				return err, true
			}
		}
		if err = setIn(f.Sub, part, names[1:], key, value); err == nil {
			return nil, true
		}
		if !found {
			f.at.drop(rec)
		}
	}
	return err, err != nil
}

func (f *Field) partNamed(rec any, name string) (any, bool) {
	for _, part := range f.Parts(rec) {
		if text, _ := f.Sub.Fields[0].Text(part); text == name {
			return part, true
		}
	}
	return nil, false
}

// setHere sets a field of the part itself, or of the single part within it.
func setHere(t *Table, rec any, key, value string) error {
	if f, ok := t.Field(key); ok && f.Type != TypeNested {
		if value == "" {
			f.Clear(rec)
			return nil
		}
		return f.SetText(rec, value)
	}
	for i := range t.Fields {
		f := &t.Fields[i]
		if f.Type != TypeNested || !f.Single || !reachable(f.Sub, 0, key) {
			continue
		}
		if f.at.size(rec) == 0 {
			f.AddPart(rec)
		}
		return setHere(f.Sub, f.Parts(rec)[0], key, value)
	}
	return invalidf("there is no field %q", Printable(key))
}

// DropPath takes out the named part that a path reaches: NOZZLE, STAGE,
// STAGE/MOUNT. It tells whether there was one.
func DropPath(rec Record, path string) bool {
	return dropIn(rec.Kind().Info().Table, rec, strings.Split(path, "/"))
}

func dropIn(t *Table, rec any, names []string) bool {
	for i := range t.Fields {
		f := &t.Fields[i]
		if !f.named() {
			continue
		}
		for n, part := range f.Parts(rec) {
			if text, _ := f.Sub.Fields[0].Text(part); text != names[0] {
				continue
			}
			if len(names) == 1 {
				f.at.remove(rec, n)
				return true
			}
			if dropIn(f.Sub, part, names[1:]) {
				return true
			}
		}
	}
	return false
}
