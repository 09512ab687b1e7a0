package inventory

import (
	"errors"
	"reflect"
	"testing"

	"rangebox/inventory/quantity"
)

func quantityOf(pieces int64) quantity.Opt[quantity.Number] {
	return quantity.Some(quantity.Number(pieces * 1e9))
}

// TestStoredComesBack: every field of every kind, but what the store does not
// keep: handles of references, and derived fields.
func TestStoredComesBack(t *testing.T) {
	for _, info := range Kinds {
		rec := info.New()
		fill(t, info.Table, rec)
		stored := Pack(rec)
		got, err := Unpack(info.Kind, stored)
		if err != nil {
			t.Errorf("%s: %v", info.Kind, err)
			continue
		}
		for _, r := range References(rec) {
			r.Ref.Handle = ""
		}
		if lot, ok := rec.(*Lot); ok {
			lot.Quantity = quantity.Opt[quantity.Number]{}
		}
		if !reflect.DeepEqual(got, rec) {
			t.Errorf("%s:\n%+v\nnot\n%+v", info.Kind, got, rec)
		}
		if again := Pack(got); !reflect.DeepEqual(again, stored) {
			t.Errorf("%s: packed again it is another", info.Kind)
		}
		if empty, err := Unpack(info.Kind, Stored{}); err != nil || len(Pack(empty)) != 0 {
			t.Errorf("%s: an empty one: %v, %v", info.Kind, err, Pack(info.New()))
		}
	}
}

// TestStoredIsRefused: a field of a newer version is never dropped, and a value
// of another form is damage, for every field.
func TestStoredIsRefused(t *testing.T) {
	for _, info := range Kinds {
		if _, err := Unpack(info.Kind, Stored{9999: int64(1)}); !errors.Is(err, ErrNewer) {
			t.Errorf("%s: %v", info.Kind, err)
		}
		for i := range info.Table.Fields {
			f := &info.Table.Fields[i]
			for _, value := range []any{nil, struct{}{}, 1.5, []any{1.5}, []byte{1}, "no such thing", int64(3), true, map[string]any{"a": int64(1)}} {
				if _, err := Unpack(info.Kind, Stored{int64(f.Num): value}); err != nil && !errors.Is(err, ErrDamaged) || err == nil && !suits(f, value) {
					t.Errorf("%s.%s = %v: %v", info.Kind, f.Key, value, err)
				}
			}
			if f.Type == TypeNested {
				if _, err := Unpack(info.Kind, Stored{int64(f.Num): []any{Stored{9999: int64(1)}}}); !errors.Is(err, ErrNewer) {
					t.Errorf("%s.%s: a newer part: %v", info.Kind, f.Key, err)
				}
			}
		}
	}
}

// suits tells which of the odd values above a field can really hold.
func suits(f *Field, value any) bool {
	switch value.(type) {
	case string:
		return f.Type == TypeText
	case int64:
		return f.Type == TypeNumber
	case bool:
		return f.Type == TypeFlag
	}
	return false
}
