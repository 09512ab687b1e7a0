package seed

import (
	"sort"
	"testing"

	"github.com/google/uuid"

	"rangebox/inventory"
)

// ledger is the entries that count, by lot, earliest first.
func ledger(box *inventory.Box) map[uuid.UUID][]*inventory.Event {
	voided := map[uuid.UUID]bool{}
	events := inventory.List[*inventory.Event](box)
	for _, e := range events {
		if e.What == inventory.Void {
			voided[e.Voids] = true
		}
	}
	byLot := map[uuid.UUID][]*inventory.Event{}
	for _, e := range events {
		if e.What != inventory.Void && !voided[e.ID] {
			byLot[e.Lot.ID] = append(byLot[e.Lot.ID], e)
		}
	}
	for _, entries := range byLot {
		sort.Slice(entries, func(i, j int) bool { return inventory.Earlier(entries[i], entries[j]) })
	}
	return byLot
}

func none(uuid.UUID) bool { return false }

// TestLedger: after no entry is a lot below zero, and after the last it holds
// what its record says.
func TestLedger(t *testing.T) {
	box := boxOf(t)
	entries := ledger(box)
	for _, lot := range inventory.List[*inventory.Lot](box) {
		of := entries[lot.ID]
		if len(of) == 0 || of[0].What != inventory.In {
			t.Errorf("lot %s of %s does not begin with an entry in", lot.ID, lot.Item)
		}
		for n := range of {
			if s := inventory.Fold(lot, of[:n+1], none); s.NeedsCount() {
				t.Errorf("lot %s of %s is below zero after %s at %s", lot.ID, lot.Item, of[n].What, of[n].At)
			}
		}
		if got, said := box.Stock(lot).OnHand, lot.Quantity.Or(-1); got != said {
			t.Errorf("lot %s of %s: the ledger gives %v, the record says %v", lot.ID, lot.Item, got.Float(), said.Float())
		}
	}
}

// TestFlightsOfTheLedger: what was used for a flight was used on its day, at a
// point of its rocket.
func TestFlightsOfTheLedger(t *testing.T) {
	box := boxOf(t)
	day := map[uuid.UUID]*inventory.Day{}
	rocket := map[uuid.UUID]*inventory.Rocket{}
	for _, d := range inventory.List[*inventory.Day](box) {
		for _, f := range d.Flights {
			day[f.ID] = d
			rocket[f.ID], _ = inventory.Follow[*inventory.Rocket](box, f.Rocket)
		}
	}
	used := 0
	for _, e := range inventory.List[*inventory.Event](box) {
		if e.Flight == uuid.Nil {
			continue
		}
		used++
		if d := day[e.Flight]; d == nil || d.Date != inventory.DateOf(e.At) {
			t.Errorf("the entry %s of %s is for no flight of that day", e.ID, e.At)
			continue
		}
		if e.Point != "" && !pointsOf(rocket[e.Flight])[e.Point] {
			t.Errorf("the rocket %s has no point %q", rocket[e.Flight].Handle, e.Point)
		}
	}
	if used < 40 {
		t.Errorf("only %d entries for flights", used)
	}
}

// pointsOf lists a rocket's ignition points; ten of a mount are enough here.
func pointsOf(r *inventory.Rocket) map[string]bool {
	points := map[string]bool{}
	add := func(stage, name string, count int64) {
		for n := int64(1); n <= count; n++ {
			points[stage+"/"+name+"/"+string(rune('0'+n))] = true
		}
	}
	for _, s := range r.Stages {
		for _, m := range s.Mounts {
			add(s.Name, m.Name, int64(m.Count.Or(1)))
		}
		for _, w := range s.Recovery {
			if w.By == inventory.RecoverByCharge {
				add(s.Name, w.Name, int64(w.Count.Or(1)))
			}
		}
	}
	return points
}

// TestReadings: each measures a figure that its subject has.
func TestReadings(t *testing.T) {
	box := boxOf(t)
	for _, r := range inventory.List[*inventory.Reading](box) {
		of := r.Of.Item
		if lot, ok := inventory.Follow[*inventory.Lot](box, r.Of.Lot); ok {
			of = lot.Item
		}
		rec, ok := inventory.Follow[inventory.Record](box, of)
		if !ok {
			t.Fatalf("the reading %s is of nothing", r.ID)
		}
		if _, _, err := inventory.ReadingField(rec, r.What, r.Nozzle); err != nil && r.What != inventory.LoadedVolts {
			t.Errorf("reading %s: %v", r.ID, err)
		}
	}
}
