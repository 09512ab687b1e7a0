package seed

import (
	"bytes"
	"io"
	"strings"
	"testing"

	"github.com/google/uuid"

	"rangebox/compat"
	"rangebox/importers/archive"
	"rangebox/inventory"
)

// today is the day on which the box is looked at.
var today = inventory.Date{Year: 2026, Month: 11, Day: 25}

func batchOf(t *testing.T) *inventory.Batch {
	t.Helper()
	batch, err := archive.Read(Open(), "box.json")
	if err != nil {
		t.Fatal(err)
	}
	return batch
}

func boxOf(t *testing.T) *inventory.Box {
	t.Helper()
	box, err := inventory.BoxOf(batchOf(t))
	if err != nil {
		t.Fatal(err)
	}
	return box
}

// TestCanonical holds the file to the form in which archives are written: a
// record a line, so that a change shows as one line.
func TestCanonical(t *testing.T) {
	var written bytes.Buffer
	if err := archive.Write(&written, archive.FromBatch(batchOf(t))); err != nil {
		t.Fatal(err)
	}
	got, want := strings.Split(box, "\n"), strings.Split(written.String(), "\n")
	for i := range want {
		if i >= len(got) || got[i] != want[i] {
			t.Fatalf("line %d is not as it would be written:\n%s", i+1, want[i])
		}
	}
	if len(got) != len(want) {
		t.Errorf("%d lines, written it has %d", len(got), len(want))
	}
}

func TestOpenBeginsAnew(t *testing.T) {
	for range 2 {
		if b, err := io.ReadAll(Open()); err != nil || string(b) != box {
			t.Fatalf("got %d bytes of %d, %v", len(b), len(box), err)
		}
	}
}

func TestNoDoubts(t *testing.T) {
	batch := batchOf(t)
	for _, item := range batch.Items {
		for _, doubt := range append(inventory.Doubts(item.Record), compat.Doubts(item.Record)...) {
			t.Errorf("row %d, %s %s: %s", item.Row, item.Record.Kind(), item.Record.Base().Handle, doubt)
		}
	}
}

func TestCounts(t *testing.T) {
	count := map[inventory.Kind]int{}
	for _, item := range batchOf(t).Items {
		count[item.Record.Kind()]++
	}
	for kind, least := range map[inventory.Kind]int{
		inventory.KindMotor: 14, inventory.KindIgniter: 9, inventory.KindBattery: 5,
		inventory.KindController: 4, inventory.KindLine: 6, inventory.KindRocket: 4,
		inventory.KindSupply: 6, inventory.KindLot: 35, inventory.KindEvent: 60,
		inventory.KindReading: 8, inventory.KindDay: 2, inventory.KindSettings: 1,
	} {
		if count[kind] < least {
			t.Errorf("%d of kind %s, at least %d are wanted", count[kind], kind, least)
		}
	}
}

// TestIDs: everything that has an id of its own has one nothing else has, and
// the ledger's ids are of version 7 and of the time of their entry.
func TestIDs(t *testing.T) {
	seen := map[uuid.UUID]string{}
	meet := func(id uuid.UUID, what string) {
		if id == uuid.Nil || seen[id] != "" {
			t.Errorf("the id %s of %s is also that of %q", id, what, seen[id])
		}
		seen[id] = what
	}
	for _, item := range batchOf(t).Items {
		rec := item.Record
		if rec.Kind().Info().Handled || rec.Kind() == inventory.KindSettings {
			continue
		}
		meet(rec.Base().ID, string(rec.Kind()))
		switch r := rec.(type) {
		case *inventory.Day:
			for _, f := range r.Flights {
				meet(f.ID, "a flight")
			}
		case *inventory.Event:
			sec, _ := r.ID.Time().UnixTime()
			if r.ID.Version() != 7 || sec != r.At.Unix() {
				t.Errorf("the id %s is not a version 7 of %s", r.ID, r.At)
			}
		}
	}
}

// invented are the makers there are; nothing real stands in the box.
var invented = map[string]bool{
	"Peatsmoke Works": true, "Halmyr Motors": true, "Fenlight Supplies": true, "Tindervale": true,
}

func TestMakersAreInvented(t *testing.T) {
	box := boxOf(t)
	for _, m := range inventory.List[*inventory.Motor](box) {
		if !invented[m.Maker] {
			t.Errorf("motor %s is by %q", m.Handle, m.Maker)
		}
	}
	for _, ig := range inventory.List[*inventory.Igniter](box) {
		if home := ig.Maker == ""; !home && !invented[ig.Maker] {
			t.Errorf("igniter %s is by %q", ig.Handle, ig.Maker)
		}
	}
}
