package compat_test

import (
	"maps"
	"slices"
	"testing"

	"github.com/google/uuid"
	"pgregory.net/rapid"

	"rangebox/compat"
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

func sheetOf(t testing.TB, q *compat.PackQuestion) *compat.DaySheet {
	t.Helper()
	sheet, err := compat.SheetOf(q, compat.Defaults())
	if err != nil {
		t.Fatal(err)
	}
	return sheet
}

// byLot adds up shares, by lot.
func byLot(list []compat.LotShare) map[uuid.UUID]quantity.Number {
	sums := map[uuid.UUID]quantity.Number{}
	for _, s := range list {
		sums[s.Lot.ID] += s.Quantity
	}
	return sums
}

// TestSheetTellsTheLedger: whatever was packed, logged, closed and taken back, the
// sheet lists what the ledger holds promised, lot by lot and point by point; it
// says packed where packing again would give back and promise the very same, and
// changed where it would not.
func TestSheetTellsTheLedger(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		w := &ledgerWorld{}
		for range rapid.IntRange(1, 8).Draw(rt, "steps") {
			w.act(rt, t, w.question(t), rapid.SampledFrom([]string{"pack", "pack", "log", "log", "log", "close", "undo"}).Draw(rt, "act"))
		}
		q := w.question(t)
		sheet, ledger := sheetOf(t, q), compat.LedgerOf(q.Box, q.Day)
		open := map[uuid.UUID]quantity.Number{}
		for _, p := range ledger.Open() {
			open[p.Lot] += ledger.Of(p).Open
		}
		if len(open) == 0 {
			if sheet.State != compat.SheetNotPacked || len(sheet.Changes) > 0 {
				rt.Fatalf("nothing is promised, and the sheet says %s, %d changes", sheet.State, len(sheet.Changes))
			}
			return
		}
		if got := byLot(sheet.Taken); !maps.Equal(got, open) {
			rt.Fatalf("the sheet takes %v, promised is %v", got, open)
		}
		for i, f := range sheet.Flights {
			for _, p := range f.Points {
				for _, lot := range []*inventory.Lot{p.MotorLot, p.IgniterLot} {
					if lot != nil && ledger.Of(compat.Promise{Lot: lot.ID, Flight: q.Flights[i].ID, Point: compat.PointOf(p.Point, q.Flights[i].N)}).Open != 1e9 {
						rt.Fatalf("flight %d, %s: a lot of %s is on the sheet and not promised to it", i, p.Point, lot.Item)
					}
				}
			}
		}
		want := compat.SheetPacked
		if !packsTheSame(q, sheet.Plan) {
			want = compat.SheetChanged
		}
		if sheet.State != want || (len(sheet.Changes) > 0) != (want == compat.SheetChanged) {
			rt.Fatalf("the sheet says %s with %d changes, want %s", sheet.State, len(sheet.Changes), want)
		}
	})
}

// packsTheSame books a packing on the day as it stands, and sees whether what is
// given back is what is promised anew.
func packsTheSame(q *compat.PackQuestion, plan *compat.PackPlan) bool {
	book := compat.NewDayBook(q)
	book.Pack(plan)
	sums := map[compat.Promise]quantity.Number{}
	for _, e := range book.Entries {
		if e.What == inventory.Promised {
			sums[e.Promise] += e.Quantity
		} else {
			sums[e.Promise] -= e.Quantity
		}
	}
	for _, sum := range sums {
		if sum != 0 {
			return false
		}
	}
	return true
}

// TestSheetOfAnUnpackedDay shows what packing would give.
func TestSheetOfAnUnpackedDay(t *testing.T) {
	w := &ledgerWorld{}
	sheet := sheetOf(t, w.question(t))
	if sheet.State != compat.SheetNotPacked {
		t.Errorf("state %s", sheet.State)
	}
	var allotted []compat.LotShare
	for _, a := range sheet.Plan.Allotments {
		allotted = append(allotted, a.LotShare)
	}
	if got, want := byLot(sheet.Taken), byLot(allotted); !maps.Equal(got, want) || len(want) < 5 {
		t.Errorf("takes %v, packing gives %v", got, want)
	}
	for i, f := range sheet.Flights {
		packed := sheet.Plan.Flights[i]
		for k, p := range f.Points {
			if of := packed.Points[k]; p.Point != of.Point || p.MotorLot != of.MotorLot || p.IgniterLot != of.IgniterLot || p.Served() != of.Served(p.Way != nil) {
				t.Errorf("flight %d, %s: not as packed at %s", i, p.Point, of.Point)
			}
		}
		if f.Report.Worst != packed.Report.Worst {
			t.Errorf("flight %d: the rules say %s, packed %s", i, f.Report.Worst, packed.Report.Worst)
		}
	}
}

// withDelay sets the delay of the lowest motors of the first two flights.
func withDelay(q *compat.PackQuestion, seconds int64) *compat.PackQuestion {
	for i := range 2 {
		q.Flights[i].Rocket.Stages[0].Mounts[0].Delay = quantity.Some(quantity.Time(seconds * 1_000_000))
	}
	return q
}

// TestSheetKeepsWhatItWasPackedWith: figures that the packing rested on stay on the
// sheet, and a record that was changed since is told.
func TestSheetKeepsWhatItWasPackedWith(t *testing.T) {
	w := &ledgerWorld{}
	q := withDelay(w.question(t), 6)
	book := compat.NewDayBook(q)
	book.Pack(sheetOf(t, q).Plan)
	w.book(book.Entries)

	if sheet := sheetOf(t, withDelay(w.question(t), 6)); sheet.State != compat.SheetPacked {
		t.Errorf("the very day that was packed is %s: %+v", sheet.State, sheet.Changes)
	}
	sheet := sheetOf(t, withDelay(w.question(t), 4))
	if sheet.State != compat.SheetChanged || len(sheet.Changes) != 4 {
		t.Fatalf("with another delay in four motors: %s, %+v", sheet.State, sheet.Changes)
	}
	change := sheet.Changes[0]
	restsOn := func(list []compat.Held) (found []string) {
		for _, h := range list {
			if h.Lot.Of == inventory.LotOfIgniters {
				found = append(found, h.RestsOn)
			}
		}
		return found
	}
	if change.Flight != 0 || !slices.Equal(restsOn(change.Packed), []string{"delay 6 s"}) || !slices.Equal(restsOn(change.Now), []string{"delay 4 s"}) {
		t.Errorf("told as %+v", change)
	}
	for _, p := range sheet.Flights[0].Points {
		if p.Delay != quantity.Some(quantity.Time(6_000_000)) {
			t.Errorf("%s: delay %v, packed with 6 s", p.Point, p.Delay)
		}
	}
}

// TestSheetAfterAMisfire: the spare that was taken lies at the point now, with the
// figures of the igniter before it; a flight that flew is told as flown.
func TestSheetAfterAMisfire(t *testing.T) {
	w := &ledgerWorld{}
	q := withDelay(w.question(t), 6)
	book := compat.NewDayBook(q)
	book.Pack(sheetOf(t, q).Plan)
	w.book(book.Entries)
	book = compat.NewDayBook(withDelay(w.question(t), 6))
	head := compat.Outcome{Flight: 1, Point: "low/main/1", Result: inventory.Misfire, Cause: inventory.CauseHead}
	if err := book.Log(head); err != nil {
		t.Fatal(err)
	}
	w.book(book.Entries)
	before := pointOf(t, sheetOf(t, withDelay(w.question(t), 6)), 1, "low/main/1")
	if before.IgniterLot != nil || before.MotorLot == nil {
		t.Errorf("after the misfire: igniter %v, motor %v", before.IgniterLot, before.MotorLot)
	}
	book = compat.NewDayBook(withDelay(w.question(t), 6))
	head.Cause = inventory.CauseContact // the spare, too
	if err := book.Log(head); err != nil {
		t.Fatal(err)
	}
	if len(book.Entries) != 3 || book.Entries[1].What != inventory.Promised {
		t.Fatalf("no spare was taken: %+v", book.Entries)
	}
	w.book(book.Entries[:2]) // taken, and not yet tried
	sheet := sheetOf(t, withDelay(w.question(t), 6))
	if p := pointOf(t, sheet, 1, "low/main/1"); p.IgniterLot == nil || p.Delay != quantity.Some(quantity.Time(6_000_000)) {
		t.Errorf("with the spare: igniter %v, delay %v", p.IgniterLot, p.Delay)
	}

	book = compat.NewDayBook(withDelay(w.question(t), 6))
	if err := book.Log(compat.Outcome{Point: "body/ring/2", Result: inventory.Fired}); err != nil {
		t.Fatal(err)
	}
	w.book(book.Entries)
	sheet = sheetOf(t, withDelay(w.question(t), 6))
	if !sheet.Flights[0].Flown || len(sheet.Flights[0].Points) > 0 || sheet.Flights[1].Flown {
		t.Errorf("flown: %v %v, %d points", sheet.Flights[0].Flown, sheet.Flights[1].Flown, len(sheet.Flights[0].Points))
	}
}

func pointOf(t *testing.T, sheet *compat.DaySheet, flight int, name string) compat.SheetPoint {
	t.Helper()
	for _, p := range sheet.Flights[flight].Points {
		if p.Point == name {
			return p
		}
	}
	t.Fatalf("flight %d has no point %s", flight, name)
	return compat.SheetPoint{}
}

// TestSheetLeavesTheRockets: whether packed or not, the rockets name the igniters
// that their records name, for whoever asks next.
func TestSheetLeavesTheRockets(t *testing.T) {
	w := &ledgerWorld{}
	for _, when := range []string{"unpacked", "packed"} {
		q := w.question(t)
		sheet := sheetOf(t, q)
		if got := sheet.Flights[0].Points[0].Igniter.Handle; got != "rush" {
			t.Fatalf("%s: the trio gets the %s that its record names, and nothing is shown here", when, got)
		}
		var named []string
		for i, f := range q.Flights {
			for _, stage := range f.Rocket.Stages {
				for _, m := range stage.Mounts {
					named = append(named, m.Igniter.Handle)
				}
			}
			if sheet.Flights[i].Report.Worst != sheet.Plan.Flights[i].Report.Worst {
				t.Errorf("%s, flight %d: the rules say %s of the sheet, %s of the packing", when, i, sheet.Flights[i].Report.Worst, sheet.Plan.Flights[i].Report.Worst)
			}
		}
		if want := []string{"wick", "rush", "", "rush", "", "wick", "wick"}; !slices.Equal(named, want) {
			t.Errorf("%s: the rockets name %v, want %v", when, named, want)
		}
		book := compat.NewDayBook(q)
		book.Pack(sheet.Plan)
		w.book(book.Entries)
	}
}
