package boltstore

import (
	"encoding/binary"
	"errors"
	"fmt"
	"sort"

	"github.com/google/uuid"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// Stock is what the ledger says of a lot: the balance that is kept, not a fold.
// The error wraps ErrNotFound.
func (v *View) Stock(lot uuid.UUID) (inventory.Stock, error) {
	var at storedKey
	found, err := v.get(bucketLotStock, lot[:], &at)
	if err != nil {
		return inventory.Stock{}, err
	}
	if !found {
		return inventory.Stock{}, v.noLot(lot)
	}
	var s storedStock
	err = v.mustGet(bucketStock, at.Key, &s)
	return s.stock(), err
}

// noLot is the error for a lot that was not found: damage where its card says
// that it is there.
func (v *View) noLot(id uuid.UUID) error {
	card, err := v.card(id)
	switch {
	case err == nil && card.Kind == inventory.KindLot && !card.Removed:
		return damaged(bucketLotStock, id[:], "the lot is there and its balance is not")
	case err == nil || errors.Is(err, inventory.ErrNotFound):
		return fmt.Errorf("%w: there is no lot %s", inventory.ErrNotFound, id)
	}
	return err
}

func (s storedStock) stock() inventory.Stock {
	return inventory.Stock{OnHand: quantity.Number(s.OnHand), Promised: quantity.Number(s.Promised), Held: s.Held, Place: s.Place}
}

func storedStockOf(s inventory.Stock) storedStock {
	return storedStock{OnHand: int64(s.OnHand), Promised: int64(s.Promised), Held: s.Held, Place: s.Place}
}

// Entries are the entries of a lot in the order (at, id), voided ones and voids
// among them.
func (v *View) Entries(lot uuid.UUID) ([]*inventory.Event, error) {
	var entries []*inventory.Event
	err := v.members(bucketLotEvents, lot, func(rest, _ []byte) error {
		e, err := v.eventAt(rest)
		entries = append(entries, e)
		return err
	})
	if err != nil {
		return nil, err
	}
	sort.Slice(entries, func(i, j int) bool { return inventory.Earlier(entries[i], entries[j]) })
	return entries, nil
}

// Voided tells whether an entry is taken back by a void.
func (v *View) Voided(id uuid.UUID) bool {
	payload, err := v.payload(bucketVoids, id[:])
	if err != nil {
		v.keep(err)
	}
	return payload != nil
}

// Event finds an entry by its id; the error wraps ErrNotFound.
func (v *View) Event(id uuid.UUID) (*inventory.Event, error) {
	e, err := v.findEvent(id)
	if errors.Is(err, inventory.ErrNotFound) {
		if damage := v.absent(bucketEventIDs); damage != nil {
			return nil, damage
		}
	}
	return e, err
}

// findEvent is Event that takes the index at its word when it does not know the
// entry, as it does not each time a new one is booked.
func (v *View) findEvent(id uuid.UUID) (*inventory.Event, error) {
	var s storedSeq
	found, err := v.get(bucketEventIDs, id[:], &s)
	if err != nil {
		return nil, err
	}
	if !found {
		return nil, fmt.Errorf("%w: there is no entry %s", inventory.ErrNotFound, id)
	}
	e, err := v.eventAt(seqKey(s.Seq))
	if err == nil && e.ID != id {
		return nil, damaged(bucketEventIDs, id[:], "it points to another entry")
	}
	return e, err
}

// eventAt reads the entry under a storage key.
func (v *View) eventAt(key []byte) (*inventory.Event, error) {
	payload, err := v.payload(bucketEvents, key)
	if err != nil {
		return nil, err
	}
	if payload == nil {
		return nil, damaged(bucketEvents, key, "an index points to it and it is not there")
	}
	return v.event(key, payload)
}

func (v *View) event(key, payload []byte) (*inventory.Event, error) {
	var s storedRecord
	if err := decode(bucketEvents, key, payload, &s); err != nil {
		return nil, err
	}
	rec, err := decodeFields(inventory.KindEvent, s.Fields)
	if err != nil {
		return nil, fmt.Errorf("bucket %q, key %s: %w", bucketEvents, keyText(key), err)
	}
	return rec.(*inventory.Event), nil
}

// eachEvent goes through the ledger in the order in which it was booked.
func (v *View) eachEvent(visit func(*inventory.Event) error) error {
	return v.walk(bucketEvents, func(key, payload []byte) error {
		e, err := v.event(key, payload)
		if err != nil {
			return err
		}
		return visit(e)
	})
}

// EventsBack goes through the ledger from the entry booked last, and stops
// after limit entries; 0 is no limit.
func (v *View) EventsBack(limit int, visit func(*inventory.Event) error) error {
	b, err := v.bucket(bucketEvents)
	if err != nil {
		return err
	}
	c := b.Cursor()
	n := 0
	for key, value := c.Last(); key != nil; key, value = c.Prev() {
		payload, err := unseal(bucketEvents, key, value)
		if err != nil {
			return err
		}
		e, err := v.event(key, payload)
		if err != nil {
			return err
		}
		if err := visit(e); err != nil {
			return err
		}
		if n++; n == limit {
			return nil
		}
	}
	return v.checkBack(n)
}

// checkBack holds what a walk back to the beginning met against the count kept.
func (v *View) checkBack(n int) error {
	if want := v.state.Counts[bucketEvents]; uint64(n) != want {
		return fmt.Errorf("%w: the ledger has %d entries where %d were written", inventory.ErrDamaged, n, want)
	}
	return nil
}

// Unexpired goes through the lots of an item that have something on hand and
// are not past their last day on the date, first to expire first: one range of
// the balances, without reading the lots.
func (v *View) Unexpired(item uuid.UUID, on inventory.Date, visit func(lot uuid.UUID, stock inventory.Stock) error) error {
	return v.members(bucketStock, item, func(rest, payload []byte) error {
		if len(rest) >= 8 && binary.BigEndian.Uint64(rest) < expiryDays(on) {
			return nil
		}
		lot, stock, err := v.balance(item, rest, payload)
		if err != nil || stock.OnHand <= 0 {
			return err
		}
		return visit(lot, stock)
	})
}

// balance reads a member of the stock bucket.
func (v *View) balance(item uuid.UUID, rest, payload []byte) (uuid.UUID, inventory.Stock, error) {
	lot, err := uuid.FromBytes(rest[min(8, len(rest)):])
	if err != nil {
		return lot, inventory.Stock{}, damaged(bucketStock, joined(item, rest), "its key is none of a lot")
	}
	var s storedStock
	err = decode(bucketStock, joined(item, rest), payload, &s)
	return lot, s.stock(), err
}
