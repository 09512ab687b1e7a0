package inventory

import (
	"errors"
	"strings"
	"testing"

	"github.com/google/uuid"
	"pgregory.net/rapid"

	"rangebox/inventory/quantity"
)

// directory is a box that holds some records, by handle and by id.
type directory map[string]uuid.UUID

func (d directory) IDOf(kind Kind, handle string) (uuid.UUID, bool) {
	id, ok := d[string(kind)+"/"+handle]
	return id, ok
}

func (d directory) KindOf(id uuid.UUID) (Kind, bool) {
	for key, known := range d {
		if known == id {
			kind, _, _ := strings.Cut(key, "/")
			return Kind(kind), true
		}
	}
	return "", false
}

func batchOf(records ...Record) *Batch {
	b := &Batch{}
	for i, rec := range records {
		b.Add(rec, "", i+1)
	}
	return b
}

func headed(handle string) Header { return Header{Handle: handle} }

// TestProblems: every way in which a batch is refused.
func TestProblems(t *testing.T) {
	box := directory{"igniter/wick": named("wick"), "motor/old": named("old")}
	lot := func(r Ref) *Lot { return &Lot{Of: LotOfIgniters, Item: r} }
	rows := []struct {
		name    string
		records []Record
		item    int
		path    string
		class   error
		says    string
	}{
		{"no handle", []Record{&Motor{}}, 0, "", ErrInvalid, "not a handle"},
		{"a wrong handle", []Record{&Motor{Header: headed("Big")}}, 0, "", ErrInvalid, "not a handle"},
		{"a figure that is refused", []Record{&Igniter{Header: headed("a"), Head: quantity.Some(quantity.Length(-1))}}, 0, "", ErrInvalid, "head_mm"},
		{"what only the record shows", []Record{&Battery{Header: headed("a"), LowV: quantity.Some(quantity.Voltage(2)), OpenCircuit: quantity.Some(quantity.Voltage(1))}}, 0, "", ErrInvalid, "low_v"},
		{"a handle twice", []Record{&Motor{Header: headed("a")}, &Motor{Header: headed("a")}}, 1, "handle", ErrInvalid, "twice, first in row 1"},
		{"a handle of another record of the box", []Record{&Igniter{Header: Header{Handle: "wick", ID: named("mine")}}}, 0, "handle", ErrConflict, "new handle"},
		{"an id twice", []Record{&Day{Header: Header{ID: named("d")}}, &Day{Header: Header{ID: named("d")}}}, 1, "id", ErrInvalid, "twice, first in row 1"},
		{"an id of another kind of the box", []Record{&Day{Header: Header{ID: named("wick")}}}, 0, "id", ErrConflict, "belongs to a igniter"},
		{"two settings", []Record{&Settings{}, &Settings{}}, 1, "id", ErrInvalid, "twice"},
		{"a handle that nobody has", []Record{lot(Ref{Handle: "fuse"})}, 0, "item", ErrInvalid, "neither the file nor the box"},
		{"a handle of another kind", []Record{lot(Ref{Handle: "old"})}, 0, "item", ErrInvalid, "igniter \"old\""},
		{"an id that nobody has", []Record{&Event{At: dayOne, What: Held, Lot: Ref{ID: named("x")}}}, 0, "lot", ErrInvalid, "neither"},
		{"an id of another kind", []Record{&Event{At: dayOne, What: Held, Lot: Ref{ID: named("wick")}}}, 0, "lot", ErrInvalid, "neither"},
		{"an id of another kind in the file", []Record{&Igniter{Header: Header{Handle: "a", ID: named("a")}}, &Event{At: dayOne, What: Held, Lot: Ref{ID: named("a")}}}, 1, "lot", ErrInvalid, "neither"},
		{"a reading of no kind there is", []Record{&Reading{Of: &ReadingOf{Kind: "kite", Item: Ref{Handle: "wick"}}, What: "head_mm", Value: quantity.Some(quantity.Number(1))}}, 0, "of.handle", ErrInvalid, "kite"},
		{"deep in a rocket", []Record{&Rocket{Header: headed("r"), Stages: []Stage{{}, {Name: "up", Mounts: []Mount{{Ignition: &Ignition{Line: Ref{Handle: "pad"}}}}}}}}, 0, "stages[1].mounts[0].ignition.line", ErrInvalid, "pad"},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			problems := batchOf(row.records...).Prepare(box)
			if len(problems) != 1 {
				t.Fatalf("%d problems: %v", len(problems), problems)
			}
			p := problems[0]
			if p.Item != row.item || p.Path != row.path || !errors.Is(p.Err, row.class) || !strings.Contains(p.Err.Error(), row.says) {
				t.Errorf("item %d, path %q: %v", p.Item, p.Path, p.Err)
			}
		})
	}
}

// TestProblemsAreAllListed: all of them, in the batch's order.
func TestProblemsAreAllListed(t *testing.T) {
	problems := batchOf(
		&Lot{Of: LotOfIgniters, Item: Ref{Handle: "fuse"}}, // points to nothing
		&Motor{Header: headed("Big")},                      // no handle
		&Line{Header: headed("pad"), Battery: Ref{Handle: "b"}, Controller: Ref{Handle: "c"}},
		&Motor{Header: headed("Big")}, // again, and twice
	).Prepare(Nothing{})
	var items []int
	for _, p := range problems {
		items = append(items, p.Item)
	}
	want := []int{0, 1, 2, 2, 3, 3}
	if len(items) != len(want) {
		t.Fatalf("%v: %v", items, problems)
	}
	for i := range want {
		if items[i] != want[i] {
			t.Fatalf("in the order %v", items)
		}
	}
}

// TestNearestHandle: what a reference to nothing probably means is told: a handle
// without its maker, a word misspelt; not where two end so, or nothing is like it.
func TestNearestHandle(t *testing.T) {
	for handle, want := range map[string]string{
		"larkspur-d9": "; nearest: fen-larkspur-d9", "larkspur-d8": "; nearest: fen-larkspur-d9", "fen-larkspr-d9": "; nearest: fen-larkspur-d9",
		"e9": "has", "kite-string": "has",
	} {
		problems := batchOf(&Motor{Header: headed("fen-larkspur-d9")}, &Motor{Header: headed("fen-e9")}, &Motor{Header: headed("moor-e9")},
			&Lot{Of: LotOfMotors, Item: Ref{Handle: handle}}).Prepare(Nothing{})
		if len(problems) != 1 || !strings.HasSuffix(problems[0].Err.Error(), want) {
			t.Errorf("%s: %v", handle, problems)
		}
	}
}

func TestPrepareGivesIDs(t *testing.T) {
	box := directory{"igniter/wick": named("wick"), "battery/cells": named("cells")}
	wick, fuse := &Igniter{Header: headed("wick")}, &Igniter{Header: headed("fuse")}
	own := &Igniter{Header: Header{Handle: "own", ID: named("own")}}
	lot, alike := &Lot{Of: LotOfIgniters, Item: Ref{Handle: "fuse"}}, &Lot{Of: LotOfIgniters, Item: Ref{Handle: "fuse"}}
	line := &Line{Header: headed("pad"), Battery: Ref{Handle: "cells"}}
	settings, day := &Settings{}, &Day{Flights: []Flight{{}, {ID: named("mine")}, {}}}
	if problems := batchOf(lot, wick, fuse, own, alike, line, settings, day).Prepare(box); problems != nil {
		t.Fatal(problems[0].Err)
	}
	for _, row := range []struct {
		what      string
		got, want uuid.UUID
	}{
		{"a handle of the box", wick.ID, named("wick")},
		{"a new handle", fuse.ID, DerivedID(KindIgniter, "fuse")},
		{"an id of its own", own.ID, named("own")},
		{"a reference into the file, forward", lot.Item.ID, fuse.ID},
		{"a reference into the box", line.Battery.ID, named("cells")},
		{"settings", settings.ID, SettingsID},
		{"a flight with an id", day.Flights[1].ID, named("mine")},
	} {
		if row.got != row.want {
			t.Errorf("%s: %s, not %s", row.what, row.got, row.want)
		}
	}
	if lot.ID == alike.ID || lot.ID == uuid.Nil || day.ID == uuid.Nil || day.Flights[0].ID == day.Flights[2].ID || day.Flights[0].ID == uuid.Nil {
		t.Errorf("lots %s %s, day %s, flights %v", lot.ID, alike.ID, day.ID, day.Flights)
	}
	if lot.ID.Version() != 5 || fuse.ID.Version() != 5 {
		t.Error("ids without names are not of version 5 (RFC 9562)")
	}
}

// TestFileGoesBeforeBox: what the file has is meant, not what the box calls the
// same.
func TestFileGoesBeforeBox(t *testing.T) {
	box := directory{"battery/cells": named("old")}
	renamed := &Battery{Header: Header{Handle: "cells", ID: named("old")}}
	line := &Line{Header: headed("pad"), Battery: Ref{Handle: "cells"}}
	if problems := batchOf(line, renamed).Prepare(box); problems != nil {
		t.Fatal(problems[0].Err)
	}
	if line.Battery.ID != named("old") {
		t.Errorf("%s", line.Battery.ID)
	}
}

// lotsFrom draws lots that are easily taken for each other.
func lotsFrom(t *rapid.T) []Lot {
	word := rapid.SampledFrom([]string{"", "a", "b", "a b", "b c", "c"})
	return rapid.SliceOfN(rapid.Custom(func(t *rapid.T) Lot {
		return Lot{Of: LotOfIgniters, Item: Ref{Handle: "wick"}, Code: word.Draw(t, "code"), Place: word.Draw(t, "place")}
	}), 1, 8).Draw(t, "lots")
}

func idsOf(t *rapid.T, lots []Lot) []uuid.UUID {
	batch := batchOf(&Igniter{Header: headed("wick")})
	copies := append([]Lot(nil), lots...)
	for i := range copies {
		batch.Add(&copies[i], "", i+2)
	}
	if problems := batch.Prepare(Nothing{}); len(problems) > 0 {
		t.Fatal(problems[0].Err)
	}
	ids := make([]uuid.UUID, len(copies))
	for i := range copies {
		ids[i] = copies[i].ID
	}
	return ids
}

// TestIDsOfLots: a lot without id gets the same one every time, whatever other
// lots stand beside it; only its number among equals counts.
func TestIDsOfLots(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lots := lotsFrom(t)
		ids := idsOf(t, lots)
		seen := map[uuid.UUID]bool{}
		for i, id := range ids {
			if seen[id] {
				t.Fatalf("lot %d has the id of another", i)
			}
			seen[id] = true
			var equals []Lot
			for _, lot := range lots[:i+1] {
				if lot == lots[i] {
					equals = append(equals, lot)
				}
			}
			if alone := idsOf(t, equals); alone[len(alone)-1] != id {
				t.Fatalf("lot %d of %+v has another id in company", i, lots)
			}
		}
	})
}

// TestDerivedIDIsFrozen: files on two laptops agree only while this holds. The
// ids are Python's uuid.uuid5 of the same names (RFC 9562).
func TestDerivedIDIsFrozen(t *testing.T) {
	for want, got := range map[string]uuid.UUID{
		"96e672a8-d4a3-5246-9647-6c31d0a7593a": DerivedID(KindIgniter, "wick"),
		"60442316-4ea8-5ec4-b44d-e8f1e616ca39": SettingsID,
	} {
		if got.String() != want {
			t.Errorf("%s, not %s", got, want)
		}
	}
	apart := map[uuid.UUID]bool{}
	for _, id := range []uuid.UUID{
		DerivedID(KindIgniter, "wick"), DerivedID(KindMotor, "wick"), DerivedID(KindIgniter, "wi", "ck"),
		DerivedID(KindIgniter, "wick", ""), DerivedID(KindIgniter, "", "wick"), DerivedID(KindIgniter, "wick", "1"),
	} {
		apart[id] = true
	}
	if len(apart) != 6 {
		t.Errorf("%d ids of 6 names", len(apart))
	}
}

func TestCheckHandle(t *testing.T) {
	for _, good := range []string{"a", "0", "c6-5", "wick.2", "a" + strings.Repeat("b", 39)} {
		if err := CheckHandle(good); err != nil {
			t.Errorf("%q: %v", good, err)
		}
	}
	for _, bad := range []string{"", "-a", ".a", "A", "a b", "a/b", "a_b", "ä", "a\n", "a" + strings.Repeat("b", 40)} {
		if err := CheckHandle(bad); !errors.Is(err, ErrInvalid) {
			t.Errorf("%q: %v", bad, err)
		}
	}
}
