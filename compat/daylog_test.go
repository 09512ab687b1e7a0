package compat_test

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"rangebox/compat"
	"rangebox/inventory"
)

// day is a small day with its box, for telling stories.
type day struct {
	*testing.T
	w *ledgerWorld
}

func newStory(t *testing.T, text string) *day { return &day{t, &ledgerWorld{text: text}} }

// do runs one step and books it.
func (d *day) do(step func(*compat.PackQuestion, *compat.DayBook) error) error {
	d.Helper()
	q := d.w.question(d.T)
	book := compat.NewDayBook(q)
	if err := step(q, book); err != nil {
		return err
	}
	d.w.book(book.Entries)
	return nil
}

func (d *day) pack() (plan *compat.PackPlan) {
	d.Helper()
	err := d.do(func(q *compat.PackQuestion, book *compat.DayBook) (err error) {
		if plan, err = compat.PackDay(q, compat.Defaults()); err == nil {
			book.Pack(plan)
		}
		return err
	})
	if err != nil {
		d.Fatal(err)
	}
	return plan
}

func (d *day) close() {
	d.Helper()
	_ = d.do(func(_ *compat.PackQuestion, book *compat.DayBook) error { book.Close(); return nil })
}

// log tells outcomes: `FLIGHT POINT RESULT`, the flight from 0.
func (d *day) log(flight int, point string, result inventory.Result) error {
	d.Helper()
	return d.do(func(_ *compat.PackQuestion, book *compat.DayBook) error {
		return book.Log(compat.Outcome{Flight: flight, Point: point, Result: result})
	})
}

// mustLog is log that is to succeed.
func (d *day) mustLog(flight int, point string, result inventory.Result) {
	d.Helper()
	if err := d.log(flight, point, result); err != nil {
		d.Fatal(err)
	}
}

// account is a lot's: packed, used, returned, open, beside.
func (d *day) account(lot string) string {
	d.Helper()
	q := d.w.question(d.T)
	t := compat.LedgerOf(q.Box, q.Day).ByLot()[lotNamed(q.Box, lot).ID]
	piece := func(n int64) string { return strings.TrimSuffix(fmt.Sprintf("%.1f", float64(n)/1e9), ".0") }
	return fmt.Sprintf("packed %s used %s returned %s open %s beside %s", piece(int64(t.Packed)), piece(int64(t.Used)), piece(int64(t.Returned)), piece(int64(t.Open)), piece(int64(t.Beside)))
}

// lotNamed is the lot whose id ends so.
func lotNamed(box *inventory.Box, tail string) *inventory.Lot {
	lots := inventory.List[*inventory.Lot](box)
	return lots[slices.IndexFunc(lots, func(l *inventory.Lot) bool { return strings.HasSuffix(l.ID.String(), tail) })]
}

// twoHeads is a rocket whose charge has two igniters in one container.
const twoHeads = `{"format": "rangebox-archive", "version": 1,
"supplies": [{"handle": "powder", "unit": "g"}, {"handle": "wadding", "unit": "piece"}],
"motors": [{"handle": "tern", "propellant": "composite", "ignition": "medium", "core_mm": 30, "nozzles": [{"name": "a", "throat_mm": 5, "depth_mm": 20}]}],
"igniters": [{"handle": "wick", "head_mm": 2, "lead_pair_mm": 1.6, "output": "medium", "lead_mm": 400}, {"handle": "rush", "head_mm": 2, "lead_pair_mm": 1.6, "output": "medium", "lead_mm": 400}],
"rockets": [{"handle": "owl", "supplies": [{"item": "wadding", "quantity": 2}], "stages": [{"name": "body", "mounts": [{"name": "main", "motor": "tern", "igniter": "wick", "ignition": {"by": "pad"}}],
  "recovery": [{"name": "chute", "by": "charge", "trigger": "apogee", "igniter": "wick", "count": 2, "powder": "powder", "powder_g": 0.4}]}]}],
"days": [{"id": "019d0000-0000-7000-8000-000000000001", "date": "2027-04-17", "flights": [{"id": "019d0000-0000-7000-8000-0000000000f1", "rocket": "owl"}, {"id": "019d0000-0000-7000-8000-0000000000f2", "rocket": "owl"}]}],
"lots": [
  {"id": "019a0000-0000-7000-8000-0000000000a1", "kind": "motor", "item": "tern", "quantity": 5, "expires": "2029-01-31"},
  {"id": "019a0000-0000-7000-8000-0000000000b1", "kind": "igniter", "item": "wick", "quantity": 8, "expires": "2028-01-31"},
  {"id": "019a0000-0000-7000-8000-0000000000b2", "kind": "igniter", "item": "rush", "quantity": 1, "expires": "2029-01-31"},
  {"id": "019a0000-0000-7000-8000-0000000000c1", "kind": "supply", "item": "wadding", "quantity": 6, "no_expiry": true},
  {"id": "019a0000-0000-7000-8000-0000000000c2", "kind": "supply", "item": "powder", "quantity": 5, "no_expiry": true}]}`

// TestChargeOfTwoHeads: the powder of a charge goes off with whichever of its
// igniters fires, once, and comes back when none of them was flown.
func TestChargeOfTwoHeads(t *testing.T) {
	d := newStory(t, twoHeads)
	d.pack()
	d.mustLog(0, "body/main/1", inventory.Fired)
	d.mustLog(0, "body/chute/1", inventory.Misfire)
	d.mustLog(0, "body/chute/2", inventory.Fired)
	if got, want := d.account("c2"), "packed 0.8 used 0.4 returned 0 open 0.4 beside 0"; got != want {
		t.Errorf("powder after the second head fired: %s, want %s", got, want)
	}
	d.mustLog(1, "body/chute/1", inventory.NotFlown)
	if got, want := d.account("c2"), "packed 0.8 used 0.4 returned 0 open 0.4 beside 0"; got != want {
		t.Errorf("powder with one head still in it: %s, want %s", got, want)
	}
	d.mustLog(1, "body/chute/2", inventory.NotFlown)
	if got, want := d.account("c2"), "packed 0.8 used 0.4 returned 0.4 open 0 beside 0"; got != want {
		t.Errorf("powder with no head in it: %s, want %s", got, want)
	}
	if got, want := d.account("c1"), "packed 4 used 2 returned 0 open 2 beside 0"; got != want {
		t.Errorf("wadding while the motor waits: %s, want %s", got, want)
	}
	d.mustLog(1, "body/main/1", inventory.NotFlown)
	if got, want := d.account("c1"), "packed 4 used 2 returned 2 open 0 beside 0"; got != want {
		t.Errorf("wadding of a flight not flown: %s, want %s", got, want)
	}
}

// TestUnlitByTheStageBelow: an upper motor that its booster should have lit and
// did not comes back, live, and no longer waits.
func TestUnlitByTheStageBelow(t *testing.T) {
	d := newStory(t, "")
	d.pack()
	d.mustLog(1, "low/main/1", inventory.Fired)
	before := d.account("a4")
	d.mustLog(1, "high/main/1", inventory.Misfire)
	if after := d.account("a3") + d.account("a4"); after == before {
		t.Errorf("the ledger says nothing of it: %s", after)
	}
	q := d.w.question(t)
	if waiting := compat.NewDayBook(q).Waiting(1); slices.Contains(waiting, "high/main/1") {
		t.Errorf("still waiting: %v", waiting)
	}
	if err := d.log(1, "high/main/1", inventory.Fired); !errors.Is(err, inventory.ErrConflict) {
		t.Errorf("fired after all: %v", err)
	}
}

// TestWaitingForAnotherTry: a motor that an igniter did not light waits on, told.
func TestWaitingForAnotherTry(t *testing.T) {
	d := newStory(t, twoHeads)
	d.pack()
	d.mustLog(0, "body/main/1", inventory.Misfire)
	book := compat.NewDayBook(d.w.question(t))
	if got := book.Waiting(0); !slices.Contains(got, "body/main/1") {
		t.Errorf("waiting: %v", got)
	}
	if got := book.Untold(0); slices.Contains(got, "body/main/1") {
		t.Errorf("untold: %v", got)
	}
	d.mustLog(0, "body/main/1", inventory.Fired)
	if got := compat.NewDayBook(d.w.question(t)).Waiting(0); slices.Contains(got, "body/main/1") {
		t.Errorf("waiting once it has burnt: %v", got)
	}
}

// TestAnotherIgniter: what a flyer took instead can be told, whatever was planned.
func TestAnotherIgniter(t *testing.T) {
	from := func(d *day, flight int, lot string) error {
		return d.do(func(q *compat.PackQuestion, book *compat.DayBook) error {
			return book.Log(compat.Outcome{Flight: flight, Point: "body/main/1", Result: inventory.Fired, From: lotNamed(q.Box, lot)})
		})
	}
	t.Run("free", func(t *testing.T) {
		d := newStory(t, twoHeads)
		d.pack()
		if err := from(d, 0, "b2"); err != nil {
			t.Fatal(err)
		}
		if got, want := d.account("b2"), "packed 0 used 0 returned 0 open 0 beside 1"; got != want {
			t.Errorf("rush: %s, want %s", got, want)
		}
		if waiting := compat.NewDayBook(d.w.question(t)).Waiting(0); slices.Contains(waiting, "body/main/1") {
			t.Error("the point waits on though its motor has burnt")
		}
		if err := from(d, 1, "b2"); !errors.Is(err, inventory.ErrConflict) {
			t.Errorf("the only one was used twice: %v", err)
		}
	})
	t.Run("a spare", func(t *testing.T) {
		d := newStory(t, twoHeads)
		plan := d.pack()
		if len(plan.Spares) == 0 {
			t.Fatal("no spares")
		}
		d.mustLog(0, "body/main/1", inventory.Misfire)
		if err := from(d, 0, "b1"); err != nil {
			t.Fatal(err)
		}
		if got, want := d.account("b1"), "packed 8 used 2 returned 0 open 6 beside 0"; got != want {
			t.Errorf("wick: %s, want %s", got, want)
		}
	})
	t.Run("from another point", func(t *testing.T) {
		d := newStory(t, strings.ReplaceAll(twoHeads, `"item": "wick", "quantity": 8`, `"item": "wick", "quantity": 6`))
		d.pack() // all six are promised, none as a spare
		d.mustLog(0, "body/main/1", inventory.Misfire)
		if err := d.log(0, "body/main/1", inventory.Fired); !errors.Is(err, inventory.ErrConflict) {
			t.Errorf("taken unasked: %v", err)
		}
		if err := from(d, 0, "b1"); err != nil {
			t.Fatal(err)
		}
		if got, want := d.account("b1"), "packed 6 used 2 returned 0 open 4 beside 0"; got != want {
			t.Errorf("wick: %s, want %s", got, want)
		}
	})
	t.Run("no igniter", func(t *testing.T) {
		d := newStory(t, twoHeads)
		d.pack()
		if err := from(d, 0, "c1"); !errors.Is(err, inventory.ErrInvalid) {
			t.Errorf("lit with wadding: %v", err)
		}
	})
}

// TestPromisedToNobody: what was promised to a flight that has since been taken
// off the day, by an import, is given back by packing and by closing, and is free
// for the packing.
func TestPromisedToNobody(t *testing.T) {
	const second = `, {"id": "019d0000-0000-7000-8000-0000000000f2", "rocket": "owl"}`
	for name, step := range map[string]func(*day){"packing": func(d *day) { d.pack() }, "closing": (*day).close} {
		t.Run(name, func(t *testing.T) {
			d := newStory(t, twoHeads)
			d.pack()
			d.w.text = strings.Replace(twoHeads, second, "", 1)
			step(d)
			q := d.w.question(t)
			if left := compat.LedgerOf(q.Box, q.Day).Astray(); len(left) != 0 {
				t.Errorf("%d promises are left to a flight that is planned no more", len(left))
			}
			if stock := q.Box.Stock(lotNamed(q.Box, "a1")); name == "closing" && stock.Promised != 0 || stock.Promised > 1e9 {
				t.Errorf("%d motors are promised", stock.Promised/1e9)
			}
		})
	}
}

// TestDrop: a flight is taken back with all it was promised, unless it used some.
func TestDrop(t *testing.T) {
	d := newStory(t, twoHeads)
	d.pack()
	d.mustLog(0, "body/main/1", inventory.Misfire)
	for flight, want := range []error{inventory.ErrConflict, nil} {
		err := d.do(func(q *compat.PackQuestion, book *compat.DayBook) error { return book.Drop(q.Flights[flight].ID) })
		if !errors.Is(err, want) {
			t.Errorf("flight %d: %v", flight, err)
		}
	}
	if got, want := d.account("a1"), "packed 2 used 0 returned 1 open 1 beside 0"; got != want {
		t.Errorf("motors: %s, want %s", got, want)
	}
}

// TestLitOnThePadTogether: mounts lit on the pad get one type of igniter though no
// line is recorded that they all hang on.
func TestLitOnThePadTogether(t *testing.T) {
	mounts := `"mounts": [{"name": "main", "motor": "tern", "igniter": "wick", "ignition": {"by": "pad"}}, {"name": "side", "motor": "tern", "igniter": "wick", "ignition": {"by": "pad"}}]`
	text := strings.Replace(twoHeads, `"mounts": [{"name": "main", "motor": "tern", "igniter": "wick", "ignition": {"by": "pad"}}]`, mounts, 1)
	text = strings.Replace(text, `"by": "charge"`, `"by": "tumble"`, 1)
	text = strings.Replace(text, `"item": "wick", "quantity": 8`, `"item": "wick", "quantity": 1`, 1)
	plan := newStory(t, text).pack()
	if plan.Flights[0].Complete {
		t.Errorf("served with %s and %s", plan.Flights[0].Points[0].Igniter.Handle, plan.Flights[0].Points[1].Igniter.Handle)
	}
}

// TestTakenBackInOrder: what later entries of a day stand on is not taken back
// before them: a piece would be promised twice.
func TestTakenBackInOrder(t *testing.T) {
	d := newStory(t, twoHeads)
	d.pack()
	d.close()
	d.pack()
	standing := compat.Standing(d.w.question(t).Box)
	if compat.Since(standing, d.w.groups[1]) == nil {
		t.Error("a close can be taken back though the day was packed since")
	}
	if e := compat.Since(standing, d.w.groups[2]); e != nil {
		t.Errorf("the last packing cannot be taken back for %v", e)
	}
	d.mustLog(0, "body/main/1", inventory.Fired)
	d.close()
	if e := compat.Since(compat.Standing(d.w.question(t).Box), d.w.groups[3]); e != nil {
		t.Errorf("a log cannot be taken back after the close for %v", e)
	}
}
