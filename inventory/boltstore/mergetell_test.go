package boltstore_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/google/uuid"

	"rangebox/inventory"
	"rangebox/inventory/boltstore"
)

// moved is a move of a whole lot.
func moved(lot uuid.UUID, place string, minutes int) *inventory.Event {
	e := entry(inventory.Moved, lot, 0, minutes)
	e.To = place
	return e
}

// tells is what a merge tells of records and of lots.
type tells struct {
	Records []boltstore.MergedRecord
	Lots    []toldLot
}

// toldLot is a lot as a merge tells it, its entries by their words.
type toldLot struct {
	Lot           uuid.UUID
	Place         string
	New           bool
	Before, After inventory.Stock
	Entries       []string
}

func tellsOf(r boltstore.MergeReport) tells {
	told := tells{Records: r.Records}
	for _, l := range r.Lots {
		one := toldLot{Lot: l.Lot.ID, Place: l.Lot.Place, New: l.New, Before: l.Before, After: l.After}
		for _, e := range l.Entries {
			one.Entries = append(one.Entries, e.What.String())
		}
		told.Lots = append(told.Lots, one)
	}
	return told
}

// TestMergeTells: what a merge did is told record by record and lot by lot, and a
// dry run tells the same.
func TestMergeTells(t *testing.T) {
	wick, fresh := lotID("wick"), lotID("fresh")
	ten := inventory.Stock{OnHand: n(10), Place: "shelf"}
	for _, c := range []struct {
		name        string
		home, field func(t *testing.T, path string)
		want        tells
	}{
		{"a record of each kind of change", nil, func(t *testing.T, path string) {
			edit(t, path, 1, inventory.KindMotor, "c6", func(rec inventory.Record) { rec.Base().Notes = "x" })
			removeMatch(t, path)
			write(t, path, func(tx *boltstore.Tx) error { _, err := tx.Put(igniter("reed")); return err })
		}, tells{Records: []boltstore.MergedRecord{
			{Kind: inventory.KindIgniter, ID: inventory.DerivedID(inventory.KindIgniter, "reed"), Handle: "reed", Status: boltstore.MergedNew},
			{Kind: inventory.KindMotor, ID: inventory.DerivedID(inventory.KindMotor, "c6"), Handle: "c6", Status: boltstore.MergedChanged,
				Changes: []inventory.FieldChange{{Path: "notes", New: "x"}}},
			{Kind: inventory.KindIgniter, ID: inventory.DerivedID(inventory.KindIgniter, "match"), Handle: "match", Status: boltstore.MergedRemoved},
		}}},
		{"entries, one of them voided", nil, func(t *testing.T, path string) {
			used := entry(inventory.Used, wick, 2, 5)
			must(t, book(path, used, entry(inventory.Used, wick, 3, 6), void(used.ID, 7)))
		}, tells{Lots: []toldLot{{Lot: wick, Place: "shelf", Before: ten, After: inventory.Stock{OnHand: n(7), Place: "shelf"},
			Entries: []string{"used", "used", "void"}}}}},
		{"moved on both sides, there later", func(t *testing.T, path string) {
			must(t, book(path, moved(wick, "tin", 5)))
		}, func(t *testing.T, path string) {
			must(t, book(path, moved(wick, "crate", 6)))
		}, tells{Lots: []toldLot{{Lot: wick, Place: "crate", Before: inventory.Stock{OnHand: n(10), Place: "tin"},
			After: inventory.Stock{OnHand: n(10), Place: "crate"}, Entries: []string{"moved"}}}}},
		{"moved on both sides, here later", func(t *testing.T, path string) {
			must(t, book(path, moved(wick, "tin", 6)))
		}, func(t *testing.T, path string) {
			must(t, book(path, moved(wick, "crate", 5)))
		}, tells{Lots: []toldLot{{Lot: wick, Place: "tin", Before: inventory.Stock{OnHand: n(10), Place: "tin"},
			After: inventory.Stock{OnHand: n(10), Place: "tin"}, Entries: []string{"moved"}}}}},
		{"a new lot", nil, func(t *testing.T, path string) {
			write(t, path, func(tx *boltstore.Tx) error {
				_, err := tx.Import(batch(lot("fresh", inventory.LotOfIgniters, "wick", 4)), boltstore.ImportOptions{})
				return err
			})
		}, tells{
			Records: []boltstore.MergedRecord{{Kind: inventory.KindLot, ID: fresh, Of: "igniter wick", Status: boltstore.MergedNew}},
			Lots:    []toldLot{{Lot: fresh, Place: "shelf", New: true, After: inventory.Stock{OnHand: n(4), Place: "shelf"}, Entries: []string{"counted"}}},
		}},
		{"a lot that began elsewhere", nil, func(t *testing.T, path string) {
			write(t, path, func(tx *boltstore.Tx) error {
				rec, err := tx.Get(wick)
				if err != nil {
					return err
				}
				rec.(*inventory.Lot).Place = "crate"
				_, err = tx.Put(rec)
				return err
			})
		}, tells{
			Records: []boltstore.MergedRecord{{Kind: inventory.KindLot, ID: wick, Of: "igniter wick", Status: boltstore.MergedChanged,
				Changes: []inventory.FieldChange{{Path: "place", Old: "shelf", New: "crate"}}}},
			Lots: []toldLot{{Lot: wick, Place: "crate", Before: ten, After: inventory.Stock{OnHand: n(10), Place: "crate"}}},
		}},
		{"nothing", nil, nil, tells{}},
	} {
		t.Run(c.name, func(t *testing.T) {
			home, field := twoBoxes(t, t.TempDir())
			verifyAtEnd(t, home)
			for path, change := range map[string]func(*testing.T, string){home: c.home, field: c.field} {
				if change != nil {
					change(t, path)
				}
			}
			for _, dry := range []bool{true, false} {
				report := mergeWith(t, home, field, boltstore.MergeOptions{DryRun: dry})
				if d := cmp.Diff(c.want, tellsOf(report), cmpopts.EquateEmpty()); d != "" {
					t.Errorf("dry run %v:\n%s", dry, d)
				}
			}
		})
	}
}
