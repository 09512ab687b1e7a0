package boltstore_test

import (
	"testing"

	"rangebox/inventory"
	"rangebox/inventory/boltstore"
)

// TestImportAlike: a row whose place was corrected makes a second lot, and that
// is told; a lot that cannot be the same pieces is not.
func TestImportAlike(t *testing.T) {
	row := func(change func(*inventory.Lot)) *inventory.Lot {
		l := lot("", inventory.LotOfIgniters, "wick", 5)
		l.ID, l.Code = inventory.Lot{}.ID, "B7"
		change(l)
		return l
	}
	same := func(*inventory.Lot) {}
	elsewhere := func(l *inventory.Lot) { l.Place = "drawer" }
	id := func(rec inventory.Record) inventory.Record { rec.Base().ID = lotID("other"); return rec }
	for _, c := range []struct {
		name  string
		first int64
		file  []inventory.Record
		want  []int // of which items of the batch
	}{
		{"the same row", 5, []inventory.Record{row(same)}, nil},
		{"another place", 5, []inventory.Record{row(elsewhere)}, []int{0}},
		{"another place, twice", 5, []inventory.Record{row(elsewhere), row(elsewhere)}, []int{0}},
		{"another place, and the first beside it", 5, []inventory.Record{row(same), row(elsewhere)}, nil},
		{"another place, and the first is used up", 0, []inventory.Record{row(elsewhere)}, nil},
		{"another code", 5, []inventory.Record{row(func(l *inventory.Lot) { l.Code = "B8" })}, []int{0}},
		{"no code any more", 5, []inventory.Record{row(func(l *inventory.Lot) { l.Code = "" })}, []int{0}},
		{"another last day", 5, []inventory.Record{row(func(l *inventory.Lot) { l.Expires.Year++ })}, []int{0}},
		{"another day of buying", 5, []inventory.Record{row(func(l *inventory.Lot) { l.Acquired.Year += 2020 })}, []int{0}},
		{"another last day, and fewer: bought anew", 5, []inventory.Record{row(func(l *inventory.Lot) { l.Expires.Year++; l.Quantity = some(3) })}, nil},
		{"another last day and place", 5, []inventory.Record{row(func(l *inventory.Lot) { l.Expires.Year++; l.Place = "drawer" })}, nil},
		{"another item", 5, []inventory.Record{row(func(l *inventory.Lot) { l.Item = to("match") })}, nil},
		{"an id of its own", 5, []inventory.Record{id(row(elsewhere))}, nil},
		{"a new item", 5, []inventory.Record{igniter("fuse"), row(func(l *inventory.Lot) { l.Item = to("fuse") })}, nil},
	} {
		for _, dry := range []bool{true, false} {
			path := newPath(t)
			create(t, path, batch(igniter("wick"), igniter("match"), row(func(l *inventory.Lot) { l.Quantity = some(c.first) })))
			report := importInto(t, path, fresh(c.file), boltstore.ImportOptions{DryRun: dry})
			var got []int
			for _, a := range report.Alike {
				got = append(got, a.Item)
				if a.Stock.OnHand != n(5) || a.Stock.Place != "shelf" {
					t.Errorf("%s: like %+v", c.name, a)
				}
			}
			if len(got) != len(c.want) || len(got) > 0 && got[0] != c.want[0] {
				t.Errorf("%s, dry run %v: %v, want %v", c.name, dry, got, c.want)
			}
		}
	}
}

// fresh is a batch of copies, for an import writes ids into what it is given.
func fresh(records []inventory.Record) *inventory.Batch {
	b := &inventory.Batch{}
	for i, rec := range records {
		c := rec
		if l, ok := rec.(*inventory.Lot); ok {
			copied := *l
			c = &copied
		}
		b.Add(c, "", i+1)
	}
	return b
}
