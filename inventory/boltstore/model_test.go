package boltstore_test

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"testing"
	"time"

	"github.com/google/uuid"
	"pgregory.net/rapid"

	"rangebox/inventory"
	"rangebox/inventory/boltstore"
)

// model is the ledger of some lots as simply as it can be said: lists of
// entries, gone through from the start each time. It shares no code with the
// store or with inventory.Fold.
type model struct {
	lots    []uuid.UUID
	entries []*inventory.Event
	voided  map[uuid.UUID]bool
}

type balance struct {
	onHand, promised int64
	held             bool
	place            string
}

// of says what a lot has.
func (m *model) of(lot uuid.UUID) balance {
	var mine []*inventory.Event
	for _, e := range m.entries {
		if e.Lot.ID == lot && !m.voided[e.ID] {
			mine = append(mine, e)
		}
	}
	slices.SortFunc(mine, func(a, b *inventory.Event) int {
		return cmpText(a.At.UTC().Format("20060102150405.000000000")+a.ID.String(), b.At.UTC().Format("20060102150405.000000000")+b.ID.String())
	})
	b := balance{place: "shelf"}
	kept := map[string]int64{}
	for _, e := range mine {
		q, whom := int64(e.Quantity.Or(0))/1_000_000_000, e.Flight.String()+e.Point
		switch e.What.String() {
		case "in":
			b.onHand += q
		case "used", "tested", "given", "scrapped":
			b.onHand -= q
			for ; q > 0 && kept[whom] > 0; q-- {
				kept[whom]--
				b.promised--
			}
		case "prepared":
			b.onHand -= q
		case "counted":
			b.onHand = q
		case "moved":
			if e.Quantity.Known() {
				b.onHand -= q
			} else {
				b.place = e.To
			}
		case "promised":
			kept[whom] += q
			b.promised += q
		case "returned":
			kept[whom] -= q
			b.promised -= q
		case "held":
			b.held = true
		case "released":
			b.held = false
		}
	}
	return b
}

func cmpText(a, b string) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// drawEntry draws an entry of some lot: any word, any time within a day.
func drawEntry(rt *rapid.T, lots []uuid.UUID, flights []uuid.UUID) *inventory.Event {
	words := []inventory.What{inventory.In, inventory.Used, inventory.Tested, inventory.Given, inventory.Scrapped, inventory.Counted,
		inventory.Moved, inventory.Promised, inventory.Returned, inventory.Held, inventory.Released, inventory.Prepared}
	what := rapid.SampledFrom(words).Draw(rt, "what")
	e := entry(what, rapid.SampledFrom(lots).Draw(rt, "lot"), int64(rapid.IntRange(1, 6).Draw(rt, "quantity")), rapid.IntRange(0, 600).Draw(rt, "minute"))
	e.At = e.At.Truncate(10 * time.Minute) // so that some are at the same time
	e.ID = uuid.UUID(rapid.SliceOfN(rapid.Byte(), 16, 16).Draw(rt, "id"))
	switch what {
	case inventory.Held, inventory.Released:
		e.Quantity = inventory.Event{}.Quantity
	case inventory.Moved:
		if rapid.Bool().Draw(rt, "whole") {
			e.Quantity = inventory.Event{}.Quantity
			e.To = rapid.SampledFrom([]string{"shelf", "car", "range box"}).Draw(rt, "to")
		}
	case inventory.Promised, inventory.Returned, inventory.Used:
		e.Flight = rapid.SampledFrom(flights).Draw(rt, "flight")
		e.Point = rapid.SampledFrom([]string{"", "one/main/1"}).Draw(rt, "point")
	}
	return e
}

// TestModel books, voids and renames at random, and holds the store against the
// model after each step; what the store refuses the model must refuse as well.
func TestModel(t *testing.T) {
	dir := t.TempDir()
	rapid.Check(t, func(rt *rapid.T) {
		path := fmt.Sprintf("%s/%s.box", dir, uuid.NewString())
		b := batch(igniter("wick"), motor("c6"))
		m := &model{voided: map[uuid.UUID]bool{}}
		for i, name := range []string{"a", "b", "c"} {
			l := lot(name, inventory.LotOfIgniters, "wick", 0)
			l.Quantity = inventory.Lot{}.Quantity
			if i == 2 {
				l.Of, l.Item = inventory.LotOfMotors, to("c6")
			}
			b.Add(l, "", i)
			m.lots = append(m.lots, l.ID)
		}
		create(rt, path, b)
		flights := []uuid.UUID{{}, {1}}
		rt.Repeat(map[string]func(*rapid.T){
			"book": func(rt *rapid.T) { m.book(rt, path, drawEntry(rt, m.lots, flights)) },
			"void": func(rt *rapid.T) { m.void(rt, path) },
			"again": func(rt *rapid.T) {
				if len(m.entries) == 0 {
					rt.Skip("nothing yet")
				}
				must(rt, book(path, rapid.SampledFrom(m.entries).Draw(rt, "entry")))
			},
			"": func(rt *rapid.T) { m.compare(rt, path) },
		})
		mustVerify(rt, path)
		m.otherWayRound(rt, dir, path)
	})
}

// book books in both, and holds the refusals against each other.
func (m *model) book(rt *rapid.T, path string, e *inventory.Event) {
	before := m.of(e.Lot.ID)
	m.entries = append(m.entries, e)
	after := m.of(e.Lot.ID)
	if m.settle(rt, before, after, book(path, e)) {
		m.entries = m.entries[:len(m.entries)-1]
	}
}

// settle tells whether the entry was refused, and whether that was right.
func (m *model) settle(rt *rapid.T, before, after balance, err error) (refused bool) {
	worse := after.onHand < 0 && after.onHand < before.onHand || after.promised < 0 && after.promised < before.promised
	if worse != errors.Is(err, inventory.ErrConflict) || !worse && err != nil {
		rt.Fatalf("from %+v to %+v: the store says %v", before, after, err)
	}
	return worse
}

// void takes an entry back; undone, the lot is as if it had never been.
func (m *model) void(rt *rapid.T, path string) {
	var open []*inventory.Event
	for _, e := range m.entries {
		if !m.voided[e.ID] {
			open = append(open, e)
		}
	}
	if len(open) == 0 {
		rt.Skip("nothing to void")
	}
	target := rapid.SampledFrom(open).Draw(rt, "target")
	before := m.of(target.Lot.ID)
	m.voided[target.ID] = true
	after := m.of(target.Lot.ID)
	v := void(target.ID, 700)
	if m.settle(rt, before, after, book(path, v)) {
		delete(m.voided, target.ID)
	}
}

// compare holds every balance that is kept against the model.
func (m *model) compare(rt *rapid.T, path string) {
	err := boltstore.Read(path, opt(), func(v *boltstore.View) error {
		for _, id := range m.lots {
			s, err := v.Stock(id)
			if err != nil {
				return err
			}
			if got, want := (balance{int64(s.OnHand) / 1_000_000_000, int64(s.Promised) / 1_000_000_000, s.Held, s.Place}), m.of(id); got != want {
				rt.Fatalf("the store says %+v, the model %+v", got, want)
			}
		}
		return nil
	})
	if err != nil {
		rt.Fatal(err)
	}
}

// otherWayRound puts the same entries into another box in another order, voids
// before their targets among them, and finds the same balances.
func (m *model) otherWayRound(rt *rapid.T, dir, path string) {
	var all []*inventory.Event
	records := &inventory.Batch{}
	read(rt, path, func(v *boltstore.View) error {
		for _, kind := range []inventory.Kind{inventory.KindIgniter, inventory.KindMotor, inventory.KindLot} {
			if err := v.Each(kind, func(rec inventory.Record) error {
				if lot, ok := rec.(*inventory.Lot); ok {
					lot.Place = "shelf" // where it began
				}
				records.Add(rec, "", 0)
				return nil
			}); err != nil {
				return err
			}
		}
		return v.Each(inventory.KindEvent, func(rec inventory.Record) error {
			all = append(all, rec.(*inventory.Event))
			return nil
		})
	})
	other := fmt.Sprintf("%s/%s.box", dir, uuid.NewString())
	create(rt, other, records)
	for _, e := range rapid.Permutation(all).Draw(rt, "order") {
		must(rt, bookMerged(other, e))
	}
	m.compare(rt, other)
	mustVerify(rt, other)
}

// TestModelKnowsItsWords sees that the model knows every word of the ledger but
// void, so that a word that is added is not forgotten here.
func TestModelKnowsItsWords(t *testing.T) {
	field, _ := inventory.KindEvent.Info().Table.Field("what")
	want := []string{"in", "used", "tested", "given", "scrapped", "counted", "moved", "promised", "returned", "held", "released", "prepared", "void"}
	if !maps.Equal(set(field.Words), set(want)) {
		t.Errorf("the ledger has the words %q, the model knows %q", field.Words, want)
	}
}

func set(words []string) map[string]bool {
	s := map[string]bool{}
	for _, w := range words {
		s[w] = true
	}
	return s
}
