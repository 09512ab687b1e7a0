package boltstore

import (
	"bytes"
	"time"

	"github.com/google/uuid"

	"rangebox/inventory"
)

// putLot puts a lot. The place of a lot is the ledger's to say once it has been
// moved: a lot that comes back with the place that it shows, or that it began
// with, has not changed its place; another place books a move.
func (t *Tx) putLot(lot *inventory.Lot, old slot) (bool, error) {
	if old.rec == nil {
		return t.writeLot(lot, old)
	}
	before := old.rec.(*inventory.Lot)
	stock, err := t.Stock(lot.ID)
	if err != nil {
		return false, err
	}
	place := lot.Place
	moved := stock.Place != before.Place
	if place == stock.Place || place == before.Place || moved {
		lot.Place = before.Place
	}
	changed, err := t.writeLot(lot, old)
	if err != nil || !moved || place == stock.Place || place == before.Place {
		lot.Place = place
		return changed, err
	}
	lot.Place = place
	return true, t.moveTo(lot.ID, place)
}

// writeLot writes a lot and its balance, whose key holds item and expiry.
func (t *Tx) writeLot(lot *inventory.Lot, old slot) (bool, error) {
	changed, err := t.replace(lot, old)
	if err != nil || !changed {
		return changed, err
	}
	step("balance")
	if err := t.refold(lot); err != nil {
		t.broken = err
		return false, err
	}
	return true, nil
}

// moveTo books a move of a whole lot, after all that has happened to it.
func (t *Tx) moveTo(lot uuid.UUID, place string) error {
	at, err := t.after(lot)
	if err != nil {
		return err
	}
	id, err := uuid.NewV7()
	if err != nil {
		return err
	}
	e := &inventory.Event{At: at, What: inventory.Moved, Lot: inventory.Ref{ID: lot}, To: place}
	e.ID = id
	return t.Book(e)
}

// after is now, or just after the lot's last entry where that lies ahead.
func (t *Tx) after(lot uuid.UUID) (time.Time, error) {
	entries, err := t.Entries(lot)
	if err != nil {
		return time.Time{}, err
	}
	now := t.opt.Now().UTC()
	if n := len(entries); n > 0 && !entries[n-1].At.Before(now) {
		return entries[n-1].At.Add(time.Microsecond), nil
	}
	return now, nil
}

// refold computes a lot's balance from its entries and writes it.
func (t *Tx) refold(lot *inventory.Lot) error {
	entries, err := t.Entries(lot.ID)
	if err != nil {
		return err
	}
	return t.setStock(lot, inventory.Fold(lot, entries, t.Voided))
}

// setStock writes the balance of a lot under its key, and forgets the one under
// the key that it had.
func (t *Tx) setStock(lot *inventory.Lot, stock inventory.Stock) error {
	key := stockKey(lot)
	var had storedKey
	found, err := t.get(bucketLotStock, lot.ID[:], &had)
	if err != nil {
		return err
	}
	if found && !bytes.Equal(had.Key, key) {
		if err := t.leave(bucketStock, groupOf(had.Key), had.Key); err != nil {
			return err
		}
	}
	if err := t.join(bucketStock, lot.Item.ID, key, storedStockOf(stock)); err != nil {
		return err
	}
	if found && bytes.Equal(had.Key, key) {
		return nil
	}
	return t.put(bucketLotStock, lot.ID[:], storedKey{key})
}

// dropStock forgets the balance of a lot that is removed.
func (t *Tx) dropStock(lot uuid.UUID) error {
	var had storedKey
	if err := t.mustGet(bucketLotStock, lot[:], &had); err != nil {
		return err
	}
	if err := t.leave(bucketStock, groupOf(had.Key), had.Key); err != nil {
		return err
	}
	return t.drop(bucketLotStock, lot[:])
}

// groupOf is the id that a key begins with.
func groupOf(key []byte) (id uuid.UUID) {
	copy(id[:], key)
	return id
}
