package boltstore

import (
	"bytes"
	"errors"
	"fmt"

	"github.com/google/uuid"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// Book appends entries to the ledger and brings the balances of their lots up
// to date. It refuses, all of them together, what a command may not do: take
// out or return more than there is (ErrConflict, saying how many there are), a
// void of a void, of nothing or of what is voided. An entry that is there with
// the same content is left alone; with another content it is ErrConflict.
// An entry without id gets one, and a void the lot of its target.
func (t *Tx) Book(events ...*inventory.Event) error {
	_, err := t.book(events, true)
	return err
}

// BookMerged is Book for entries that were made in another box: what two boxes
// took out together may go below zero, and a void may come before its target.
func (t *Tx) BookMerged(events ...*inventory.Event) error {
	_, err := t.book(events, false)
	return err
}

// booking is a call of Book: all of it is judged before any of it is written.
type booking struct {
	t      *Tx
	strict bool
	fresh  []*inventory.Event             // not in the box yet
	ids    map[uuid.UUID]*inventory.Event // fresh, by id
	voids  map[uuid.UUID]uuid.UUID        // target to the void that takes it back
	lots   []*inventory.Lot               // touched, in the order of the entries
	seen   map[uuid.UUID]bool
	stock  map[uuid.UUID]inventory.Stock // of the touched lots, afterwards
}

// book books and says how many entries were new.
func (t *Tx) book(events []*inventory.Event, strict bool) (int, error) {
	b := &booking{t: t, strict: strict, ids: map[uuid.UUID]*inventory.Event{}, voids: map[uuid.UUID]uuid.UUID{},
		seen: map[uuid.UUID]bool{}, stock: map[uuid.UUID]inventory.Stock{}}
	for _, e := range events {
		if err := b.take(e); err != nil {
			return 0, err
		}
	}
	if err := b.fold(); err != nil {
		return 0, err
	}
	if err := errors.Join(b.write(), t.err); err != nil {
		t.broken = err
		return 0, err
	}
	return len(b.fresh), t.chunk(len(b.fresh))
}

// take judges one entry by itself and against those before it.
func (b *booking) take(e *inventory.Event) error {
	if e.ID == uuid.Nil {
		id, err := uuid.NewV7()
		if err != nil {
			return fmt.Errorf("make an entry id: %w", err)
		}
		e.ID = id
	}
	if err := b.fillVoid(e); err != nil {
		return err
	}
	if errs := inventory.Check(e); len(errs) > 0 {
		return errors.Join(errs...)
	}
	if known, err := b.isKnown(e); known || err != nil {
		return err
	}
	for _, r := range inventory.References(e) {
		if err := b.t.resolve(r); err != nil {
			return err
		}
	}
	if err := b.void(e); err != nil {
		return err
	}
	b.fresh = append(b.fresh, e)
	b.ids[e.ID] = e
	return b.touch(e)
}

// isKnown tells whether the very entry is there already.
func (b *booking) isKnown(e *inventory.Event) (bool, error) {
	other, err := b.find(e.ID)
	if errors.Is(err, inventory.ErrNotFound) {
		return false, b.idFree(e.ID)
	}
	if err != nil {
		return false, err
	}
	if !bytes.Equal(encode(inventory.Pack(e)), encode(inventory.Pack(other))) {
		return false, fmt.Errorf("%w: there is another entry with the id %s", inventory.ErrConflict, e.ID)
	}
	return true, nil
}

func (b *booking) idFree(id uuid.UUID) error {
	taken, err := b.t.payload(bucketIDs, id[:])
	if err == nil && taken != nil {
		return fmt.Errorf("%w: the id %s belongs to a record", inventory.ErrConflict, id)
	}
	return err
}

// find finds an entry among the new ones and in the box.
func (b *booking) find(id uuid.UUID) (*inventory.Event, error) {
	if e, ok := b.ids[id]; ok {
		return e, nil
	}
	return b.t.findEvent(id)
}

// fillVoid gives a void by a command the lot of its target.
func (b *booking) fillVoid(e *inventory.Event) error {
	if !b.strict || e.What != inventory.Void || e.Voids == uuid.Nil {
		return nil
	}
	target, err := b.find(e.Voids)
	if err != nil {
		return err
	}
	if e.Lot.IsZero() {
		e.Lot = target.Lot
	}
	if e.Lot.ID != target.Lot.ID {
		return fmt.Errorf("%w: the entry %s is of another lot than its void", inventory.ErrInvalid, e.Voids)
	}
	return nil
}

// void notes what an entry takes back.
func (b *booking) void(e *inventory.Event) error {
	if e.What != inventory.Void {
		return nil
	}
	if b.strict {
		if err := b.voidable(e.Voids); err != nil {
			return err
		}
	}
	first, err := b.firstVoid(e)
	if err != nil {
		return err
	}
	b.voids[e.Voids] = first
	return nil
}

// voidable refuses to void a void, and to void twice.
func (b *booking) voidable(id uuid.UUID) error {
	target, err := b.find(id)
	switch {
	case err != nil:
		return err
	case target.What == inventory.Void:
		return fmt.Errorf("%w: the entry %s is a void, and a void cannot be voided", inventory.ErrConflict, id)
	case b.voided(id):
		return fmt.Errorf("%w: the entry %s is voided already", inventory.ErrConflict, id)
	}
	return nil
}

// firstVoid settles which of two voids of one entry is kept: the lower id, so
// that boxes that merged say the same whichever way round.
func (b *booking) firstVoid(e *inventory.Event) (uuid.UUID, error) {
	had, ok := b.voids[e.Voids]
	if !ok {
		var s storedVoid
		found, err := b.t.get(bucketVoids, e.Voids[:], &s)
		if err != nil || !found {
			return e.ID, err
		}
		had = s.By
	}
	if bytes.Compare(had[:], e.ID[:]) < 0 {
		return had, nil
	}
	return e.ID, nil
}

func (b *booking) voided(id uuid.UUID) bool {
	if _, ok := b.voids[id]; ok {
		return true
	}
	return b.t.Voided(id)
}

// touch notes the lots whose balance an entry changes.
func (b *booking) touch(e *inventory.Event) error {
	lot := e.Lot.ID
	if e.What == inventory.Void {
		target, err := b.find(e.Voids)
		if errors.Is(err, inventory.ErrNotFound) {
			return nil
		}
		if err != nil {
			return err
		}
		lot = target.Lot.ID
	}
	if lot == uuid.Nil || b.seen[lot] {
		return nil
	}
	b.seen[lot] = true
	rec, err := b.t.lot(lot)
	b.lots = append(b.lots, rec)
	return err
}

// lot reads a lot as it was put, with the place it began at.
func (v *View) lot(id uuid.UUID) (*inventory.Lot, error) {
	s, found, err := v.stored(inventory.KindLot, id)
	if err != nil {
		return nil, err
	}
	if !found || s.Removed {
		return nil, v.noLot(id)
	}
	rec, err := v.bare(inventory.KindLot, id, s)
	if err != nil {
		return nil, err
	}
	return rec.(*inventory.Lot), nil
}

// fold computes the balances as they will be, and judges them.
func (b *booking) fold() error {
	added := map[uuid.UUID][]*inventory.Event{}
	for _, e := range b.fresh {
		added[e.Lot.ID] = append(added[e.Lot.ID], e)
	}
	for _, lot := range b.lots {
		entries, err := b.t.Entries(lot.ID)
		if err != nil {
			return err
		}
		after := inventory.Fold(lot, append(entries, added[lot.ID]...), b.voided)
		if err := b.judge(lot, after); err != nil {
			return err
		}
		b.stock[lot.ID] = after
	}
	return nil
}

// judge refuses what a command would make negative, or more so.
func (b *booking) judge(lot *inventory.Lot, after inventory.Stock) error {
	if !b.strict || !after.NeedsCount() {
		return nil
	}
	before, err := b.t.Stock(lot.ID)
	if err != nil {
		return err
	}
	item, err := b.t.handleOf(lot.Item.ID)
	if err != nil {
		return err
	}
	if after.OnHand < 0 && after.OnHand < before.OnHand {
		return fmt.Errorf("%w: there are only %s of %s %s on hand in lot %s, %s too few", inventory.ErrConflict,
			amount(max(0, before.OnHand)), lot.Of.Item(), item, lot.ID, amount(-after.OnHand))
	}
	if after.Promised < 0 && after.Promised < before.Promised {
		return fmt.Errorf("%w: there are only %s of %s %s promised in lot %s, %s too few", inventory.ErrConflict,
			amount(max(0, before.Promised)), lot.Of.Item(), item, lot.ID, amount(-after.Promised))
	}
	return nil
}

func amount(n quantity.Number) string { return quantity.One.Scale.Format(int64(n)) }

// write appends the entries, their indexes and the balances.
func (b *booking) write() error {
	for _, e := range b.fresh {
		if err := b.t.append(e); err != nil {
			return err
		}
	}
	for target, by := range b.voids {
		step("void")
		if err := b.t.put(bucketVoids, target[:], storedVoid{by}); err != nil {
			return err
		}
	}
	for _, lot := range b.lots {
		step("balance")
		if err := b.t.setStock(lot, b.stock[lot.ID]); err != nil {
			return err
		}
	}
	return nil
}

// append writes one entry and its indexes.
func (t *Tx) append(e *inventory.Event) error {
	events, err := t.bucket(bucketEvents)
	if err != nil {
		return err
	}
	seq, err := events.NextSequence()
	if err != nil {
		return fmt.Errorf("number an entry: %w", err)
	}
	step("entry")
	if err := t.put(bucketEvents, seqKey(seq), storedRecord{Fields: encode(inventory.Pack(e))}); err != nil {
		return err
	}
	step("entry id")
	if err := t.put(bucketEventIDs, e.ID[:], storedSeq{seq}); err != nil {
		return err
	}
	step("entry of lot")
	if lot := e.Lot.ID; lot != uuid.Nil {
		if err := t.join(bucketLotEvents, lot, joined(lot, seqKey(seq)), storedNothing{}); err != nil {
			return err
		}
	}
	if with := e.With.ID; with != uuid.Nil {
		return t.join(bucketRefs, with, joined(with, e.ID[:]), storedSource{inventory.KindEvent})
	}
	return nil
}
