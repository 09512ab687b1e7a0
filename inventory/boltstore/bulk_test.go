package boltstore_test

import (
	"bytes"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/uuid"
	"pgregory.net/rapid"

	"rangebox/importers/archive"
	"rangebox/inventory"
	"rangebox/inventory/boltstore"
	"rangebox/inventory/inventorytest"
)

// TestBulkIsTheSame takes random records into a box that holds others, some of the
// same, and that has removed some, in one transaction and in bulk, a few at a time:
// the boxes hold the same then, or refuse the same, and tell the same.
func TestBulkIsTheSame(t *testing.T) {
	defer boltstore.SetChunk(3)()
	dir, counts := t.TempDir(), map[bool]int{}
	rapid.Check(t, func(rt *rapid.T) {
		first, second := inventorytest.Records(rt), inventorytest.Records(rt)
		for _, item := range first.Items {
			kind := item.Record.Kind() // handles are few: others come again anyway
			if (kind == inventory.KindLot || kind == inventory.KindEvent) && rapid.Bool().Draw(rt, "again") {
				second.Items = append(second.Items, item)
			}
		}
		if idTwice(first) || idTwice(second) {
			rt.Skip("one id was drawn twice")
		}
		archived := written(rt, second)
		once := filepath.Join(dir, uuid.NewString()+".box")
		create(rt, once, first)
		for _, item := range first.Items {
			if rapid.IntRange(0, 3).Draw(rt, "remove") == 0 {
				_ = boltstore.Write(once, opt(), func(tx *boltstore.Tx) error { return tx.Remove(item.Record.Base().ID) }) // what is used is not
			}
		}
		bulk := copyOf(rt, dir, once)
		before := digest(t, bulk)
		want, wantErr := importArchive(rt, once, archived, opt())
		inBulk := opt()
		inBulk.Bulk = true
		got, err := importArchive(rt, bulk, archived, inBulk)
		if d := cmp.Diff(wantErr, err); d != "" {
			rt.Fatalf("it refuses something else in bulk:\n%s", d)
		}
		if d := cmp.Diff(want, got); d != "" {
			rt.Fatalf("it tells something else in bulk:\n%s", d)
		}
		if d := cmp.Diff(content(rt, once), content(rt, bulk)); d != "" {
			rt.Fatalf("in bulk it holds something else:\n%s", d)
		}
		counts[err == ""]++
		if err != "" && digest(t, bulk) != before {
			rt.Fatal("it refused and the file is another one")
		}
		mustVerify(rt, bulk)
	})
	t.Logf("taken in and refused: %v", counts)
}

func written(t reporter, b *inventory.Batch) []byte {
	t.Helper()
	var out bytes.Buffer
	must(t, archive.Write(&out, archive.FromBatch(b)))
	return out.Bytes()
}

// importArchive gives the report, and the error in words.
func importArchive(t reporter, path string, archived []byte, o boltstore.Options) (report boltstore.ImportReport, refused string) {
	t.Helper()
	b, err := archive.Read(bytes.NewReader(archived), "a.json")
	must(t, err)
	err = boltstore.Write(path, o, func(tx *boltstore.Tx) (err error) {
		report, err = tx.Import(b, boltstore.ImportOptions{})
		return err
	})
	if err != nil {
		return report, err.Error()
	}
	return report, ""
}
