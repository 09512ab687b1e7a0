package boltstore_test

import (
	"testing"

	"rangebox/inventory"
	"rangebox/inventory/boltstore"
)

// TestLotsThenLedger: a box is exported as tables, lots and ledger each by itself, and
// they are taken in one after the other. The count that an import books for a new lot
// stands in for its entries, and goes when they come and say the same.
func TestLotsThenLedger(t *testing.T) {
	in := func(n int64, minutes int) *inventory.Event { return entry(inventory.In, lotID("wick"), n, minutes) }
	used := func(n int64, minutes int) *inventory.Event { return entry(inventory.Used, lotID("wick"), n, minutes) }
	for _, c := range []struct {
		name  string
		said  int64              // of the lot in the table of lots
		here  []*inventory.Event // booked meanwhile
		files [][]*inventory.Event
		want  int64
	}{
		{"what was bought", 20, nil, [][]*inventory.Event{{in(20, 1)}}, 20},
		{"bought and used", 17, nil, [][]*inventory.Event{{in(20, 1), used(3, 2)}}, 17},
		{"used here since", 20, []*inventory.Event{used(2, 30)}, [][]*inventory.Event{{in(20, 1)}}, 18},
		{"twice", 20, nil, [][]*inventory.Event{{in(20, 1)}, {in(20, 1)}}, 20},
		{"entries that say something else are of their own", 20, nil, [][]*inventory.Event{{in(5, 1)}}, 25},
		{"a use alone", 20, nil, [][]*inventory.Event{{used(2, 40)}}, 18},
	} {
		t.Run(c.name, func(t *testing.T) {
			path := newPath(t)
			l := lot("wick", inventory.LotOfIgniters, "wick", c.said)
			create(t, path, batch(igniter("wick"), l))
			for _, e := range c.here {
				must(t, book(path, e))
			}
			for _, file := range c.files {
				b := batch()
				for i, e := range file {
					e.ID = inventory.DerivedID(inventory.KindEvent, c.name, string(rune('a'+i)))
					b.Add(e, "", i+2)
				}
				importInto(t, path, b, boltstore.ImportOptions{})
			}
			if s := stockOf(t, path, "wick"); s.OnHand != n(c.want) {
				t.Errorf("%v on hand, want %d", s.OnHand, c.want)
			}
		})
	}
}
