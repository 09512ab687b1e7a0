package inventory

import (
	"fmt"
	"time"

	"github.com/google/uuid"
)

// Stored is a record as the store keeps it: field numbers and plain values
// (int64, string, bool, []byte for ids, []any, Stored for nested records).
type Stored = map[int64]any

// Pack turns a record into its stored form.
func Pack(rec Record) Stored { return pack(rec.Kind().Info().Table, rec) }

func pack(t *Table, rec any) Stored {
	out := Stored{}
	for i := range t.Fields {
		f := &t.Fields[i]
		if f.Derived {
			continue
		}
		if f.Type == TypeNested {
			if parts := f.Parts(rec); len(parts) > 0 {
				out[int64(f.Num)] = packParts(f.Sub, parts)
			}
			continue
		}
		if value, ok := f.at.get(rec); ok {
			out[int64(f.Num)] = packValue(value)
		}
	}
	return out
}

func packParts(t *Table, parts []any) []any {
	list := make([]any, len(parts))
	for i, p := range parts {
		list[i] = pack(t, p)
	}
	return list
}

func packValue(value any) any {
	switch v := value.(type) {
	case []string:
		return anyList(v)
	case []int64:
		return anyList(v)
	case Date:
		return v.String()
	case time.Time:
		return v.UTC().Format(time.RFC3339Nano)
	case uuid.UUID:
		return append([]byte(nil), v[:]...)
	case Ref:
		return append([]byte(nil), v.ID[:]...)
	case map[string]string:
		m := make(map[string]any, len(v))
		for k, s := range v {
			m[k] = s
		}
		return m
	}
	return value
}

func anyList[T any](list []T) []any {
	out := make([]any, len(list))
	for i, v := range list {
		out[i] = v
	}
	return out
}

// Unpack fills a record of the kind from its stored form. A field number that
// is not known was written by a newer version: the error wraps ErrNewer. A value
// of another form than the field's wraps ErrDamaged.
func Unpack(kind Kind, in Stored) (Record, error) {
	info := kind.Info()
	rec := info.New()
	if err := unpack(info.Table, rec, in); err != nil {
		return nil, fmt.Errorf("%s: %w", kind, err)
	}
	return rec, nil
}

func unpack(t *Table, rec any, in Stored) error {
	left := len(in)
	for i := range t.Fields {
		f := &t.Fields[i]
		value, ok := in[int64(f.Num)]
		if !ok {
			continue
		}
		left--
		if err := f.unpack(rec, value); err != nil {
			return err
		}
	}
	if left > 0 {
		return fmt.Errorf("%w: a field that this version does not know", ErrNewer)
	}
	return nil
}

func (f *Field) unpack(rec, value any) error {
	if f.Type == TypeNested {
		list, ok := value.([]any)
		if !ok {
			return f.damaged()
		}
		for _, part := range list {
			in, ok := part.(Stored)
			if !ok {
				return f.damaged()
			}
			if err := unpack(f.Sub, f.AddPart(rec), in); err != nil {
				return err
			}
		}
		return nil
	}
	v, ok := f.unpackValue(value)
	if !ok {
		return f.damaged()
	}
	f.at.set(rec, v)
	return nil
}

func (f *Field) damaged() error {
	return fmt.Errorf("%w: %s has another form than it should", ErrDamaged, f.Key)
}

func (f *Field) unpackValue(value any) (any, bool) {
	switch f.Type {
	case TypeText:
		s, ok := value.(string)
		return s, ok
	case TypeWord:
		return value, position(f.Words, value) > 0
	case TypeWords:
		return typedList[string](value)
	case TypeNumber:
		n, ok := value.(int64)
		return n, ok
	case TypeNumbers:
		return typedList[int64](value)
	case TypeFlag:
		b, ok := value.(bool)
		return b, ok
	case TypeDate:
		s, _ := value.(string)
		d, err := ParseDate(s)
		return d, err == nil
	case TypeMoment:
		s, _ := value.(string)
		t, err := time.Parse(time.RFC3339Nano, s)
		return t, err == nil
	case TypeID, TypeRef:
		b, _ := value.([]byte)
		id, err := uuid.FromBytes(b)
		if f.Type == TypeRef {
			return Ref{ID: id}, err == nil
		}
		return id, err == nil
	case TypeMap:
		return textMap(value)
	}
	return nil, false
}

func typedList[T any](value any) (any, bool) {
	list, ok := value.([]any)
	out := make([]T, len(list))
	for i, v := range list {
		t, isT := v.(T)
		if !isT {
			return nil, false
		}
		out[i] = t
	}
	return out, ok
}

func textMap(value any) (any, bool) {
	in, ok := value.(map[string]any)
	out := make(map[string]string, len(in))
	for k, v := range in {
		s, isText := v.(string)
		if !isText {
			return nil, false
		}
		out[k] = s
	}
	return out, ok
}
