package boltstore_test

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"github.com/google/uuid"

	"rangebox/inventory"
	"rangebox/inventory/boltstore"
)

func book(path string, events ...*inventory.Event) error {
	return boltstore.Write(path, opt(), func(tx *boltstore.Tx) error { return tx.Book(events...) })
}

func bookMerged(path string, events ...*inventory.Event) error {
	return boltstore.Write(path, opt(), func(tx *boltstore.Tx) error { return tx.BookMerged(events...) })
}

func void(target uuid.UUID, minutes int) *inventory.Event {
	e := entry(inventory.Void, uuid.Nil, 0, minutes)
	e.Voids = target
	return e
}

// TestBook walks through a lot's life and looks at the balance after each entry.
func TestBook(t *testing.T) {
	path := newPath(t)
	create(t, path, small())
	wick := lotID("wick")
	flight := uuid.New()
	used := entry(inventory.Used, wick, 2, 30)
	used.Flight, used.Point = flight, "one/main/1"
	promised := entry(inventory.Promised, wick, 3, 20)
	promised.Flight, promised.Point = flight, "one/main/1"
	moved := entry(inventory.Moved, wick, 0, 50)
	moved.To = "range box"
	for _, c := range []struct {
		name     string
		e        *inventory.Event
		on, held int64
		place    string
		isHeld   bool
	}{
		{"in", entry(inventory.In, wick, 5, 10), 15, 0, "shelf", false},
		{"promised", promised, 15, 3, "shelf", false},
		{"used for the same point", used, 13, 1, "shelf", false},
		{"tested", entry(inventory.Tested, wick, 1, 40), 12, 1, "shelf", false},
		{"moved", moved, 12, 1, "range box", false},
		{"held", entry(inventory.Held, wick, 0, 60), 12, 1, "range box", true},
		{"released", entry(inventory.Released, wick, 0, 70), 12, 1, "range box", false},
		{"counted", entry(inventory.Counted, wick, 9, 80), 9, 1, "range box", false},
		{"older than the count", entry(inventory.Scrapped, wick, 4, 75), 9, 1, "range box", false},
		{"the use taken back, before the count", void(used.ID, 90), 9, 3, "range box", false},
		{"the move taken back", void(moved.ID, 95), 9, 3, "shelf", false},
	} {
		must(t, book(path, c.e))
		s := stockOf(t, path, "wick")
		if s.OnHand != n(c.on) || s.Promised != n(c.held) || s.Place != c.place || s.Held != c.isHeld {
			t.Errorf("after %s: %+v, want %d on hand, %d promised, at %q, held %v", c.name, s, c.on, c.held, c.place, c.isHeld)
		}
		mustVerify(t, path)
	}
}

// TestBookRefuses sees that what is refused leaves nothing behind.
func TestBookRefuses(t *testing.T) {
	path := newPath(t)
	create(t, path, small())
	wick, c6 := lotID("wick"), lotID("c6")
	in := entry(inventory.In, wick, 1, 1)
	taken := entry(inventory.Used, wick, 1, 2)
	undo := void(taken.ID, 3)
	must(t, book(path, in, taken, undo))
	other := entry(inventory.In, wick, 7, 1)
	other.ID = in.ID
	wrongLot := void(in.ID, 4)
	wrongLot.Lot = toID(c6)
	asRecord := entry(inventory.In, wick, 1, 1)
	asRecord.ID = c6
	returned := entry(inventory.Returned, wick, 1, 5)
	before := digest(t, path)
	for _, c := range []struct {
		name   string
		events []*inventory.Event
		is     error
		says   string
	}{
		{"more than there are", []*inventory.Event{entry(inventory.Used, wick, 12, 9)}, inventory.ErrConflict, "only 11 of igniter wick on hand"},
		{"more than there are, in two steps", []*inventory.Event{entry(inventory.Used, wick, 6, 9), entry(inventory.Given, wick, 6, 10)}, inventory.ErrConflict, "only 11"},
		{"more than was promised", []*inventory.Event{returned}, inventory.ErrConflict, "only 0 of igniter wick promised"},
		{"a lot that is not there", []*inventory.Event{entry(inventory.In, uuid.UUID{9}, 1, 1)}, inventory.ErrInvalid, "does not have"},
		{"a void of a void", []*inventory.Event{void(undo.ID, 9)}, inventory.ErrConflict, "cannot be voided"},
		{"a void of nothing", []*inventory.Event{void(uuid.UUID{7}, 9)}, inventory.ErrNotFound, "no entry"},
		{"a void of what is voided", []*inventory.Event{void(taken.ID, 9)}, inventory.ErrConflict, "voided already"},
		{"the same void twice at once", []*inventory.Event{void(in.ID, 9), void(in.ID, 10)}, inventory.ErrConflict, "voided already"},
		{"a void with another lot", []*inventory.Event{wrongLot}, inventory.ErrInvalid, "another lot"},
		{"another content under an id", []*inventory.Event{other}, inventory.ErrConflict, "another entry"},
		{"the id of a record", []*inventory.Event{asRecord}, inventory.ErrConflict, "belongs to a record"},
		{"no quantity", []*inventory.Event{entry(inventory.Used, wick, 0, 9)}, inventory.ErrInvalid, "quantity"},
	} {
		if err := book(path, c.events...); !errors.Is(err, c.is) || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v, want %v and %q", c.name, err, c.is, c.says)
		}
		swallowed := boltstore.Write(path, opt(), func(tx *boltstore.Tx) error { _ = tx.Book(c.events...); return nil })
		if swallowed != nil && !errors.Is(swallowed, c.is) {
			t.Errorf("%s, the refusal ignored: %v", c.name, swallowed)
		}
	}
	must(t, book(path, in, taken, undo)) // the very same again
	if digest(t, path) != before {
		t.Error("a refusal, or an entry that is there already, changed the file")
	}
}

// TestVoidOfAnIn may not make the lot negative.
func TestVoidOfAnIn(t *testing.T) {
	path := newPath(t)
	create(t, path, small())
	in := entry(inventory.In, lotID("wick"), 5, 1)
	must(t, book(path, in, entry(inventory.Used, lotID("wick"), 14, 2)))
	if err := book(path, void(in.ID, 3)); !errors.Is(err, inventory.ErrConflict) {
		t.Errorf("a void that takes out what was used: %v", err)
	}
}

// TestBookMerged takes what two boxes did, whichever way round.
func TestBookMerged(t *testing.T) {
	path := newPath(t)
	create(t, path, small())
	wick := lotID("wick")
	used := entry(inventory.Used, wick, 4, 5)
	first, second := void(used.ID, 6), void(used.ID, 7)
	must(t, bookMerged(path, second))
	must(t, bookMerged(path, used, entry(inventory.Used, wick, 12, 8)))
	must(t, bookMerged(path, first))
	if s := stockOf(t, path, "wick"); s.OnHand != n(-2) || !s.NeedsCount() {
		t.Errorf("after the merge: %+v, want -2 and a count", s)
	}
	if report := mustVerify(t, path); len(report.Doubts) == 0 {
		t.Error("verify does not ask for a count")
	}
	must(t, book(path, entry(inventory.In, wick, 1, 9))) // better, though not good
	if err := book(path, entry(inventory.Used, wick, 1, 10)); !errors.Is(err, inventory.ErrConflict) {
		t.Errorf("taking out of less than nothing: %v", err)
	}
	recount := entry(inventory.Counted, wick, 0, 11)
	recount.Quantity = some(0)
	must(t, book(path, recount))
}

// TestLog reads the ledger forth and back.
func TestLog(t *testing.T) {
	path := newPath(t)
	create(t, path, small())
	wick := lotID("wick")
	late, early := entry(inventory.In, wick, 1, 50), entry(inventory.In, wick, 2, 10)
	must(t, book(path, late))
	must(t, book(path, early))
	undo := void(early.ID, 60)
	must(t, book(path, undo))
	read(t, path, func(v *boltstore.View) error {
		entries, err := v.Entries(wick)
		if err != nil {
			return err
		}
		ids := make([]uuid.UUID, len(entries))
		for i, e := range entries {
			ids[i] = e.ID
		}
		if len(ids) != 4 || !slices.Equal(ids[1:], []uuid.UUID{early.ID, late.ID, undo.ID}) {
			t.Errorf("entries %v, want the first count, then %v", ids, []uuid.UUID{early.ID, late.ID, undo.ID})
		}
		if !v.Voided(early.ID) || v.Voided(late.ID) {
			t.Error("the wrong entry is voided")
		}
		var back []uuid.UUID
		err = v.EventsBack(2, func(e *inventory.Event) error { back = append(back, e.ID); return nil })
		if !slices.Equal(back, []uuid.UUID{undo.ID, early.ID}) {
			t.Errorf("back from the last: %v", back)
		}
		all := 0
		if err := v.EventsBack(0, func(*inventory.Event) error { all++; return nil }); err != nil {
			return err
		}
		if all != v.Count(inventory.KindEvent) || all != 6 {
			t.Errorf("%d entries back, %d counted, want 6", all, v.Count(inventory.KindEvent))
		}
		e, err2 := v.Event(late.ID)
		if err2 != nil || e.Quantity != late.Quantity {
			t.Errorf("entry %v, %v", e, err2)
		}
		if _, err := v.Event(wick); !errors.Is(err, inventory.ErrNotFound) {
			t.Errorf("an entry that is none: %v", err)
		}
		return err
	})
}

// TestUnexpired gives what is in stock and not expired, first to expire first.
func TestUnexpired(t *testing.T) {
	path := newPath(t)
	lots := map[uuid.UUID]string{}
	b := batch(igniter("wick"), igniter("other"))
	add := func(name, item string, pieces int64, expires inventory.Date) {
		l := lot(name, inventory.LotOfIgniters, item, pieces)
		l.Expires = expires
		lots[l.ID] = name
		b.Add(l, "", 0)
	}
	add("never", "wick", 1, inventory.Date{})
	add("late", "wick", 2, inventory.Date{Year: 2030, Month: 1, Day: 1})
	add("last day", "wick", 3, inventory.Date{Year: 2027, Month: 4, Day: 17})
	add("expired", "wick", 4, inventory.Date{Year: 2027, Month: 4, Day: 16})
	add("empty", "wick", 0, inventory.Date{Year: 2028, Month: 1, Day: 1})
	add("other", "other", 5, inventory.Date{Year: 2028, Month: 1, Day: 1})
	create(t, path, b)
	check := func(want ...string) {
		t.Helper()
		read(t, path, func(v *boltstore.View) error {
			id, _ := v.IDOf(inventory.KindIgniter, "wick")
			var got []string
			err := v.Unexpired(id, inventory.Date{Year: 2027, Month: 4, Day: 17}, func(lot uuid.UUID, _ inventory.Stock) error {
				got = append(got, lots[lot])
				return nil
			})
			if !slices.Equal(got, want) {
				t.Errorf("unexpired %q, want %q", got, want)
			}
			return err
		})
	}
	check("last day", "late", "never")
	write(t, path, func(tx *boltstore.Tx) error { // another last day is another place in the order
		rec, err := tx.Get(lotID("late"))
		if err != nil {
			return err
		}
		rec.(*inventory.Lot).Expires = inventory.Date{Year: 2026, Month: 1, Day: 1}
		_, err = tx.Put(rec)
		return err
	})
	check("last day", "never")
}

// TestPlaceOfALot: the ledger says where a lot is once it has been moved.
func TestPlaceOfALot(t *testing.T) {
	path := newPath(t)
	create(t, path, small())
	put := func(place string) (changed bool) {
		write(t, path, func(tx *boltstore.Tx) error {
			rec, err := tx.Get(lotID("wick"))
			if err != nil {
				return err
			}
			rec.(*inventory.Lot).Place = place
			changed, err = tx.Put(rec)
			return err
		})
		return changed
	}
	shown := func() string {
		var place string
		read(t, path, func(v *boltstore.View) error {
			rec, err := v.Get(lotID("wick"))
			place = rec.(*inventory.Lot).Place
			return err
		})
		if s := stockOf(t, path, "wick"); s.Place != place {
			t.Errorf("the lot says %q and its balance %q", place, s.Place)
		}
		return place
	}
	for _, c := range []struct {
		name, put, want string
		changed         bool
	}{
		{"a lot that was never moved", "drawer", "drawer", true},
		{"the same again", "drawer", "drawer", false},
	} {
		if got := put(c.put); got != c.changed || shown() != c.want {
			t.Errorf("%s: changed %v, at %q", c.name, got, shown())
		}
	}
	move := entry(inventory.Moved, lotID("wick"), 0, 5)
	move.To = "range box"
	must(t, book(path, move))
	if put("range box") || shown() != "range box" {
		t.Error("putting back what was read changed the lot")
	}
	if put("drawer") || shown() != "range box" {
		t.Error("an older file moved the lot back")
	}
	if !put("car") || shown() != "car" {
		t.Errorf("a new place does not hold: %q", shown())
	}
}
