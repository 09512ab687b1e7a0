package inventorytest_test

import (
	"reflect"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"rangebox/inventory"
	"rangebox/inventory/inventorytest"
)

// TestPackUnpack: what goes into the store comes out of it, but for what the
// store does not keep: handles of references, and derived fields.
func TestPackUnpack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		batch := inventorytest.Records(t)
		if problems := batch.Prepare(inventory.Nothing{}); len(problems) > 0 {
			t.Fatal(problems[0].Err)
		}
		for _, item := range batch.Items {
			kind := item.Record.Kind()
			got, err := inventory.Unpack(kind, inventory.Pack(item.Record))
			if err != nil {
				t.Fatalf("%s: %v", kind, err)
			}
			if diff := cmp.Diff(kept(item.Record), got, cmp.Exporter(func(reflect.Type) bool { return true })); diff != "" {
				t.Fatalf("%s:\n%s", kind, diff)
			}
		}
	})
}

func kept(rec inventory.Record) inventory.Record {
	for _, r := range inventory.References(rec) {
		r.Ref.Handle = ""
	}
	table := rec.Kind().Info().Table
	for i := range table.Fields {
		if f := &table.Fields[i]; f.Derived {
			f.Clear(rec)
		}
	}
	return rec
}
