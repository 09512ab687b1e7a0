package compat_test

import (
	"fmt"
	"maps"
	"slices"
	"testing"
	"time"

	"github.com/google/uuid"
	"pgregory.net/rapid"

	"rangebox/compat"
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// dayArchive is a small box with all that a day can ask for: a cluster, two
// stages of which one is lit by the other, a charge, a case that comes back, a
// flight that is flown twice; and not enough of everything.
const dayArchive = `{"format": "rangebox-archive", "version": 1,
"supplies": [{"handle": "wadding", "unit": "piece"}, {"handle": "powder", "unit": "g"}, {"handle": "case", "unit": "piece", "reusable": true}],
"motors": [
  {"handle": "tern", "propellant": "composite", "ignition": "medium", "core_mm": 30, "nozzles": [{"name": "a", "throat_mm": 5, "depth_mm": 20}]},
  {"handle": "knot", "propellant": "composite", "ignition": "medium", "core_mm": 30, "case": "case", "nozzles": [{"name": "a", "throat_mm": 5, "depth_mm": 20}]},
  {"handle": "tuft", "propellant": "black-powder", "nozzles": [{"name": "a", "throat_mm": 3, "depth_mm": 5}]}],
"igniters": [
  {"handle": "wick", "head_mm": 2, "lead_pair_mm": 1.6, "output": "medium", "lead_mm": 400},
  {"handle": "rush", "head_mm": 2.5, "lead_pair_mm": 1.6, "output": "medium", "lead_mm": 300}],
"rockets": [
  {"handle": "trio", "supplies": [{"item": "wadding", "quantity": 3}], "stages": [{"name": "body", "mounts": [{"name": "ring", "count": 3, "motor": "tern", "igniter": "wick", "ignition": {"by": "pad"}}]}]},
  {"handle": "pair", "supplies": [{"item": "wadding", "quantity": 2}], "stages": [
    {"name": "low", "mounts": [{"name": "main", "motor": "tuft", "igniter": "rush", "ignition": {"by": "pad"}}]},
    {"name": "high", "mounts": [{"name": "main", "motor": "tuft", "ignition": {"by": "burn-through"}}],
     "recovery": [{"name": "chute", "by": "charge", "trigger": "apogee", "igniter": "wick", "powder": "powder", "powder_g": 0.3}]}]},
  {"handle": "cased", "stages": [{"name": "body", "mounts": [{"name": "main", "motor": "knot", "igniter": "wick", "ignition": {"by": "pad"}}]}]}],
"days": [{"id": "019d0000-0000-7000-8000-000000000001", "date": "2027-04-17", "flights": [
  {"id": "019d0000-0000-7000-8000-0000000000f1", "rocket": "trio"},
  {"id": "019d0000-0000-7000-8000-0000000000f2", "rocket": "pair", "count": 2},
  {"id": "019d0000-0000-7000-8000-0000000000f3", "rocket": "cased", "count": 2}]},
 {"id": "019d0000-0000-7000-8000-000000000002", "date": "2027-04-24", "flights": [{"id": "019d0000-0000-7000-8000-0000000000e1", "rocket": "cased"}]}],
"lots": [
  {"id": "019a0000-0000-7000-8000-0000000000a1", "kind": "motor", "item": "tern", "quantity": 4, "expires": "2029-01-31"},
  {"id": "019a0000-0000-7000-8000-0000000000a2", "kind": "motor", "item": "knot", "quantity": 3, "expires": "2029-01-31"},
  {"id": "019a0000-0000-7000-8000-0000000000a3", "kind": "motor", "item": "tuft", "quantity": 3, "expires": "2028-01-31"},
  {"id": "019a0000-0000-7000-8000-0000000000a4", "kind": "motor", "item": "tuft", "quantity": 2},
  {"id": "019a0000-0000-7000-8000-0000000000b1", "kind": "igniter", "item": "wick", "quantity": 3, "expires": "2028-01-31"},
  {"id": "019a0000-0000-7000-8000-0000000000b2", "kind": "igniter", "item": "wick", "quantity": 6, "expires": "2029-01-31"},
  {"id": "019a0000-0000-7000-8000-0000000000b3", "kind": "igniter", "item": "rush", "quantity": 5, "expires": "2028-06-30"},
  {"id": "019a0000-0000-7000-8000-0000000000c1", "kind": "supply", "item": "wadding", "quantity": 6, "no_expiry": true},
  {"id": "019a0000-0000-7000-8000-0000000000c2", "kind": "supply", "item": "powder", "quantity": 0.7, "no_expiry": true},
  {"id": "019a0000-0000-7000-8000-0000000000c3", "kind": "supply", "item": "case", "quantity": 1, "no_expiry": true}]}`

// ledgerWorld is a box with its ledger, as a store would keep it.
type ledgerWorld struct {
	text   string // of the archive, dayArchive where empty
	events []*inventory.Event
	groups [][]*inventory.Event    // booked together, and not taken back
	other  map[uuid.UUID]*otherUse // of lots, by others than the day
	clock  time.Time
}

// question reads the archive anew, with the ledger as it stands.
func (w *ledgerWorld) question(t testing.TB) *compat.PackQuestion {
	t.Helper()
	if w.text == "" {
		w.text = dayArchive
	}
	first := boxOf(t, w.text)
	if w.events == nil {
		for _, lot := range inventory.List[*inventory.Lot](first) {
			w.append(&inventory.Event{What: inventory.In, Lot: inventory.Ref{ID: lot.ID}, Quantity: lot.Quantity})
		}
	}
	for _, e := range w.events {
		copied := *e
		first.Put(&copied)
	}
	first.Link()
	for _, lot := range inventory.List[*inventory.Lot](first) {
		first.SetStock(lot.ID, w.fold(lot))
	}
	return questionOn(t, first)
}

func (w *ledgerWorld) fold(lot *inventory.Lot) inventory.Stock {
	voided := map[uuid.UUID]bool{}
	var mine []*inventory.Event
	for _, e := range w.events {
		if e.What == inventory.Void {
			voided[e.Voids] = true
		}
		if e.Lot.ID == lot.ID {
			mine = append(mine, e)
		}
	}
	return inventory.Fold(lot, mine, func(id uuid.UUID) bool { return voided[id] })
}

// append gives an entry its id and time, each later than the one before.
func (w *ledgerWorld) append(e *inventory.Event) {
	w.clock = w.clock.Add(time.Second)
	e.At = time.Date(2027, 4, 17, 0, 0, 0, 0, time.UTC).Add(w.clock.Sub(time.Time{}))
	e.ID = uuid.MustParse(fmt.Sprintf("019e0000-0000-7000-8000-%012x", len(w.events)+1))
	w.events = append(w.events, e)
}

func (w *ledgerWorld) book(entries []compat.DayEntry) {
	var group []*inventory.Event
	for i := range entries {
		e := entries[i].Event()
		w.append(e)
		group = append(group, e)
	}
	if len(group) > 0 {
		w.groups = append(w.groups, group)
	}
}

// otherUse is what of a lot came in, went and is promised without the day.
type otherUse struct{ in, out, promised quantity.Number }

// undo takes back a group of entries, as the store does: refused where that would
// leave less than nothing, or less than is promised.
func (w *ledgerWorld) undo(t testing.TB, n int) {
	group := w.groups[n]
	if compat.Since(compat.Standing(w.question(t).Box), group) != nil {
		return
	}
	had := len(w.events)
	for _, e := range group {
		w.append(&inventory.Event{What: inventory.Void, Lot: e.Lot, Voids: e.ID})
	}
	box := w.question(t).Box
	for _, lot := range inventory.List[*inventory.Lot](box) {
		if stock := box.Stock(lot); stock.NeedsCount() || stock.Promised > stock.OnHand {
			w.events = w.events[:had]
			return
		}
	}
	w.groups = slices.Delete(w.groups, n, n+1)
}

// imported books entries that have nothing to do with the day: bought, used,
// promised to another day's flight, held.
func (w *ledgerWorld) imported(rt *rapid.T, q *compat.PackQuestion) {
	lots := inventory.List[*inventory.Lot](q.Box)
	lot := lots[rapid.IntRange(0, len(lots)-1).Draw(rt, "lot")]
	if w.other == nil {
		w.other = map[uuid.UUID]*otherUse{}
	}
	if w.other[lot.ID] == nil {
		w.other[lot.ID] = &otherUse{}
	}
	use := w.other[lot.ID]
	free := q.Box.Stock(lot).Free()
	e := &inventory.Event{Lot: inventory.Ref{ID: lot.ID}, Quantity: quantity.Some(min(free, quantity.Number(rapid.IntRange(1, 9).Draw(rt, "pieces"))*1e9))}
	switch what := rapid.SampledFrom([]inventory.What{inventory.In, inventory.Used, inventory.Promised, inventory.Held, inventory.Released}).Draw(rt, "what"); {
	case what == inventory.In:
		e.Quantity = quantity.Some(quantity.Number(1e9))
		e.What, use.in = what, use.in+1e9
	case what == inventory.Held || what == inventory.Released:
		e.What, e.Quantity = what, quantity.Opt[quantity.Number]{}
	case free <= 0:
		return
	case what == inventory.Used:
		e.What, use.out = what, use.out+e.Quantity.Or(0)
	default:
		e.What, e.Flight, e.Point, use.promised = what, otherFlight, "body/main/1", use.promised+e.Quantity.Or(0)
	}
	w.append(e)
}

// otherFlight is one of the other day.
var otherFlight = uuid.MustParse("019d0000-0000-7000-8000-0000000000e1")

// TestConservation: over any sequence of packing, logging, closing, packing again,
// taking back and importing other entries, nothing is negative, nothing is promised
// or used twice, and what was packed was used, or came back, or is promised still.
func TestConservation(t *testing.T) {
	acts := []string{"pack", "pack", "log", "log", "log", "log", "another", "close", "undo", "undo any", "import", "import"}
	rapid.Check(t, func(rt *rapid.T) {
		w := &ledgerWorld{}
		for step := range rapid.IntRange(1, 14).Draw(rt, "steps") {
			q := w.question(t)
			act := rapid.SampledFrom(acts).Draw(rt, "act")
			w.act(rt, t, q, act)
			if act == "log" {
				w.logTakesNothingNew(rt, t, q)
			}
			w.holds(rt, t, fmt.Sprintf("step %d, %s", step, act), act == "close")
		}
	})
}

func (w *ledgerWorld) act(rt *rapid.T, t *testing.T, q *compat.PackQuestion, act string) {
	book := compat.NewDayBook(q)
	switch act {
	case "pack":
		plan, err := compat.PackDay(q, compat.Defaults())
		if err != nil {
			rt.Fatal(err)
		}
		book.Pack(plan)
	case "log", "another":
		for range rapid.IntRange(1, 4).Draw(rt, "outcomes") {
			o := outcome(rt, q)
			if act == "another" {
				o.From = lotNamed(q.Box, rapid.SampledFrom([]string{"b1", "b2", "b3", "b3", "a1", "c1"}).Draw(rt, "from"))
			}
			if had := len(book.Entries); book.Log(o) != nil && len(book.Entries) != had {
				rt.Fatal("an outcome was refused, and half of it booked")
			}
		}
	case "close":
		book.Close()
	case "undo", "undo any":
		if n := len(w.groups); n > 0 && act == "undo" {
			w.undo(t, n-1)
		} else if n > 0 {
			w.undo(t, rapid.IntRange(0, n-1).Draw(rt, "group"))
		}
		return
	case "import":
		w.imported(rt, q)
		return
	}
	w.book(book.Entries)
}

func outcome(rt *rapid.T, q *compat.PackQuestion) compat.Outcome {
	o := compat.Outcome{Flight: rapid.IntRange(0, len(q.Flights)-1).Draw(rt, "flight")}
	o.Point = rapid.SampledFrom(compat.PointsOf(q.Flights[o.Flight].Rocket)).Draw(rt, "point")
	o.Result = inventory.Result(rapid.IntRange(1, 5).Draw(rt, "result"))
	if o.Result == inventory.Misfire || o.Result == inventory.HangFire {
		o.Cause = inventory.Cause(rapid.IntRange(0, 7).Draw(rt, "cause"))
	}
	return o
}

// logTakesNothingNew: what a flight uses was promised, to it or as a spare, so
// that no less is free after a log than before it, unless a lot was named.
func (w *ledgerWorld) logTakesNothingNew(rt *rapid.T, t *testing.T, before *compat.PackQuestion) {
	after := w.question(t).Box
	for _, lot := range inventory.List[*inventory.Lot](before.Box) {
		if was, is := before.Box.Stock(lot).Free(), after.Stock(lot).Free(); is < was {
			rt.Fatalf("a log left %d free of a lot of %s, of %d", is, lot.Item, was)
		}
	}
}

// holds checks every lot against a plain count of what stands in the ledger.
func (w *ledgerWorld) holds(rt *rapid.T, t *testing.T, when string, closed bool) {
	q := w.question(t)
	ledger := compat.LedgerOf(q.Box, q.Day)
	sums := ledger.ByLot()
	used := w.usedUp(rt, when, q)
	for _, lot := range inventory.List[*inventory.Lot](q.Box) {
		stock, sum, other := q.Box.Stock(lot), sums[lot.ID], otherUse{}
		if o := w.other[lot.ID]; o != nil {
			other = *o
		}
		switch {
		case stock.OnHand < 0 || stock.Promised < 0 || stock.Promised > stock.OnHand:
			rt.Fatalf("%s: lot of %s has %d on hand and %d promised", when, lot.Item, stock.OnHand, stock.Promised)
		case stock.OnHand != lot.Quantity.Or(0)+other.in-other.out-used[lot.ID]:
			rt.Fatalf("%s: lot of %s has %d on hand, of %d were %d used, and %+v by others", when, lot.Item, stock.OnHand, lot.Quantity.Or(0), used[lot.ID], other)
		case sum.Open+other.promised != stock.Promised || sum.Used+sum.Beside != used[lot.ID]:
			rt.Fatalf("%s: lot of %s: the account is %+v, the stock %+v, used %d, by others %+v", when, lot.Item, sum, stock, used[lot.ID], other)
		case sum.Packed != sum.Used+sum.Returned+sum.Scrapped+sum.Open || sum.Packed < 0 || sum.Returned < 0 || sum.Beside < 0:
			rt.Fatalf("%s: lot of %s: packed is not used, returned, scrapped and open: %+v", when, lot.Item, sum)
		case closed && sum.Open != 0:
			rt.Fatalf("%s: lot of %s: %d open after the day was closed", when, lot.Item, sum.Open)
		}
	}
	for _, p := range ledger.Open() {
		if lot, _ := inventory.Follow[*inventory.Lot](q.Box, inventory.Ref{ID: p.Lot}); lot.Of != inventory.LotOfSupplies && p.Point != compat.SparePoint && ledger.Of(p).Open != 1e9 {
			rt.Fatalf("%s: %s of %s at one point", when, quantity.One.Format(int64(ledger.Of(p).Open)), lot.Item)
		}
	}
	if left := ledger.Astray(); len(left) > 0 {
		rt.Fatalf("%s: %d promises are astray", when, len(left))
	}
}

// usedUp adds up what flights of the day used, and sees that no point burnt two
// motors.
func (w *ledgerWorld) usedUp(rt *rapid.T, when string, q *compat.PackQuestion) map[uuid.UUID]quantity.Number {
	used := map[uuid.UUID]quantity.Number{}
	fired := map[string]int{}
	for _, e := range compat.Standing(q.Box) {
		lot, _ := inventory.Follow[*inventory.Lot](q.Box, e.Lot)
		if e.What != inventory.Used || e.Flight == uuid.Nil {
			continue
		}
		used[lot.ID] += e.Quantity.Or(0)
		if lot.Of == inventory.LotOfMotors {
			fired[e.Flight.String()+" "+e.Point]++
		}
	}
	for at, n := range fired {
		if n > 1 {
			rt.Fatalf("%s: %d motors burnt at %s", when, n, at)
		}
	}
	return used
}

// TestPackAgainIsTheSame: packing twice allots the same, whatever the order in
// which the day's records come.
func TestPackAgainIsTheSame(t *testing.T) {
	w := &ledgerWorld{}
	var before map[string]int64
	for range 3 {
		q := w.question(t)
		plan, err := compat.PackDay(q, compat.Defaults())
		if err != nil {
			t.Fatal(err)
		}
		got := map[string]int64{}
		for _, a := range plan.Allotments {
			got[fmt.Sprint(a.Lot.ID, inventory.Ref{ID: a.Flight}, a.Point)] += int64(a.Quantity)
		}
		if before != nil && !maps.Equal(before, got) {
			t.Errorf("packed %v, then %v", before, got)
		}
		before = got
		book := compat.NewDayBook(q)
		book.Pack(plan)
		w.book(book.Entries)
	}
}

// TestPackDay looks at what the small box comes to: worked out by hand.
func TestPackDay(t *testing.T) {
	w := &ledgerWorld{}
	plan, err := compat.PackDay(w.question(t), compat.Defaults())
	if err != nil {
		t.Fatal(err)
	}
	var complete []bool
	for _, f := range plan.Flights {
		complete = append(complete, f.Complete)
	}
	// One pair less: of four sheets of wadding that two take only three are left.
	if want := []bool{true, true, false, true, true}; !slices.Equal(complete, want) {
		t.Errorf("complete: %v, want %v", complete, want)
	}
	for _, p := range plan.Flights[0].Points {
		if p.Igniter.Handle != plan.Flights[0].Points[0].Igniter.Handle {
			t.Errorf("the cluster has %s and %s", p.Igniter.Handle, plan.Flights[0].Points[0].Igniter.Handle)
		}
	}
	cases := 0
	for _, a := range plan.Allotments {
		if a.Lot.Item.Handle == "case" {
			cases += int(a.Quantity / 1e9)
		}
	}
	if cases != 1 {
		t.Errorf("%d cases are promised; one comes back and flies again", cases)
	}
}
