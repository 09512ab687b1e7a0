package boltstore

import (
	"fmt"
	"slices"

	"github.com/google/uuid"

	"rangebox/inventory"
)

// standIns puts an empty record, under its own id and handle, in the place of
// each that is lost and that others refer to, so that these need not be lost as
// well; it tells whether there was any.
func (b *rebuilding) standIns() bool {
	found := false
	need := func(refs []inventory.Reference) {
		for _, r := range refs {
			if !b.has(r.Ref.ID) && b.standIn(r) {
				found = true
			}
		}
	}
	for _, id := range slices.Clone(b.order) {
		if rec := b.records[id].rec; rec != nil {
			need(inventory.References(rec))
		}
	}
	for _, e := range b.events {
		need(inventory.References(e))
	}
	return found
}

func (b *rebuilding) has(id uuid.UUID) bool { return b.records[id] != nil && b.records[id].rec != nil }

// standIn makes the record that a reference needs, as far as it can.
func (b *rebuilding) standIn(r inventory.Reference) bool {
	id, card := r.Ref.ID, b.from.cards[r.Ref.ID]
	kind := card.Kind
	if kind == "" && len(r.Kinds) == 1 {
		kind = r.Kinds[0]
	}
	if !slices.Contains(r.Kinds, kind) {
		return false
	}
	rec := kind.Info().New()
	head := rec.Base()
	head.ID, head.Notes = id, "stands in for a record that was damaged; see what was put aside"
	if kind.Info().Handled {
		if head.Handle = card.Handle; inventory.CheckHandle(head.Handle) != nil {
			head.Handle = "lost-" + id.String()[30:]
		}
	}
	if lot, ok := rec.(*inventory.Lot); ok && !b.fillLot(lot) {
		return false
	}
	if len(inventory.Check(rec)) > 0 {
		return false
	}
	revision := uuid.NewSHA1(id, []byte("stand-in"))
	if b.records[id] == nil {
		b.order = append(b.order, id)
	}
	// the oldest there can be: a merge prefers whatever another box has
	b.records[id] = &rebuilt{kind: kind, rec: rec, stored: storedRecord{Revision: revision, Changed: 1, Fields: encode(inventory.Pack(rec))}}
	b.tellInstead(kind, id)
	return true
}

// tellInstead notes a stand-in with the value it stands in for.
func (b *rebuilding) tellInstead(kind inventory.Kind, id uuid.UUID) {
	const instead = "an empty record with its id and handle"
	for i := range b.aside {
		if a := &b.aside[i]; a.Bucket == string(kind) && a.Key == id.String() {
			a.Instead = instead
			return
		}
	}
	b.put(Aside{Bucket: string(kind), Key: id.String(), Handle: b.records[id].rec.Base().Handle, Why: "others refer to it and it is not there", Instead: instead})
}

// fillLot finds out of what a lost lot was and where it is, by its balance.
func (b *rebuilding) fillLot(lot *inventory.Lot) bool {
	item, known := b.from.items[lot.ID]
	if !known {
		return false
	}
	kind := b.from.cards[item].Kind
	if r := b.records[item]; r != nil {
		kind = r.kind
	}
	of, ok := inventory.LotKindOf(kind)
	lot.Of, lot.Item, lot.Place = of, inventory.Ref{ID: item}, b.from.kept[lot.ID].Place
	return ok
}

// dropDangling puts aside what refers to something that is lost for good, and
// what refers to that.
func (b *rebuilding) dropDangling() {
	for again := true; again; {
		again = false
		b.order = slices.DeleteFunc(b.order, func(id uuid.UUID) bool {
			r := b.records[id]
			why := b.dangles(r.rec)
			if why == "" {
				return false
			}
			b.put(Aside{Bucket: string(r.kind), Key: id.String(), Handle: r.rec.Base().Handle, Why: why, Record: r.rec})
			delete(b.records, id)
			again = true
			return true
		})
	}
	b.events = slices.DeleteFunc(b.events, func(e *inventory.Event) bool {
		why := b.dangles(e)
		if why != "" {
			b.put(Aside{Bucket: bucketEvents, Key: e.ID.String(), Why: why, Record: e, Lots: lotsOf(e.Lot.ID)})
		}
		return why != ""
	})
}

func (b *rebuilding) dangles(rec inventory.Record) string {
	if rec == nil {
		return ""
	}
	for _, r := range inventory.References(rec) {
		if !b.has(r.Ref.ID) || !contains(r.Kinds, b.records[r.Ref.ID].kind) {
			return fmt.Sprintf("%s points to %s, which is lost", r.Path, r.Ref.ID)
		}
	}
	return ""
}

// write writes all of it into the new box.
func (b *rebuilding) write(t *Tx) error {
	if b.from.state.Box != uuid.Nil {
		t.state.Box, t.state.Number = b.from.state.Box, b.from.state.Number
	}
	t.changed = true
	var lots []*inventory.Lot
	for _, id := range b.order {
		r := b.records[id]
		if err := b.writeRecord(t, id, r); err != nil {
			return err
		}
		if lot, ok := r.rec.(*inventory.Lot); ok {
			lots = append(lots, lot)
		}
	}
	for _, lot := range lots {
		if err := t.refold(lot); err != nil {
			return err
		}
	}
	for part := range slices.Chunk(b.events, inOneBooking) {
		if _, err := t.book(part, false); err != nil {
			return err
		}
		t.opt.progress(len(part))
	}
	return b.compare(t, lots)
}

// compare holds the new balances against those that the box kept.
func (b *rebuilding) compare(t *Tx, lots []*inventory.Lot) error {
	for _, lot := range lots {
		now, err := t.Stock(lot.ID)
		if err != nil {
			return err
		}
		was, known := b.from.kept[lot.ID]
		switch {
		case !known:
			b.notCompared++
		case was != now:
			b.lots = append(b.lots, RepairedLot{b.lotNamed(lot.ID), was, now})
		}
	}
	return nil
}

func (b *rebuilding) writeRecord(t *Tx, id uuid.UUID, r *rebuilt) error {
	if r.rec == nil {
		var card storedID
		if _, err := t.get(bucketIDs, id[:], &card); err != nil {
			return err
		}
		card.Kind, card.Removed = r.kind, true
		if err := t.put(bucketIDs, id[:], card); err != nil {
			return err
		}
		return t.put(string(r.kind), id[:], r.stored)
	}
	if err := t.checkHandleFree(r.rec); err != nil {
		r.rec.Base().Handle = "lost-" + id.String()[30:] // two with one handle: neither is dropped
		r.stored.Fields = encode(inventory.Pack(r.rec))
	}
	return t.writeRecord(r.rec, slot{}, r.stored)
}
