package boltstore

import (
	"time"

	"github.com/google/uuid"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// quantities holds the quantities that the file gives against the ledger.
func (im *importing) quantities() error {
	for i, item := range im.batch.Items {
		lot, ok := item.Record.(*inventory.Lot)
		if !ok || im.countedAtOnce(i, lot) {
			continue
		}
		if err := im.quantity(i, lot); err != nil {
			return err
		}
	}
	return nil
}

func (im *importing) quantity(i int, lot *inventory.Lot) error {
	inFile, said := lot.Quantity.Get()
	if !said {
		return nil
	}
	stock, err := im.t.Stock(lot.ID)
	if err != nil || stock.OnHand == inFile {
		return err
	}
	if !im.known[i] {
		e, err := im.firstCount(lot, inFile)
		if err != nil {
			return err
		}
		return im.count(i, e)
	}
	return im.differs(i, lot, inFile, stock.OnHand)
}

// differs lists a difference and books it where that was asked for.
func (im *importing) differs(i int, lot *inventory.Lot, inFile, ledger quantity.Number) error {
	item, err := im.t.named(lot.Of.Item(), lot.Item.ID)
	if err != nil {
		return err
	}
	im.report.Quantities = append(im.report.Quantities,
		QuantityReport{Item: i, Lot: lot.ID, Of: item, File: inFile, Ledger: ledger, Counted: im.opt.Count})
	if !im.opt.Count {
		return nil
	}
	at, err := im.t.after(lot.ID)
	if err != nil {
		return err
	}
	id, err := uuid.NewV7()
	if err != nil {
		return err
	}
	return im.count(i, counted(id, at, lot.ID, inFile))
}

// firstCount is the entry with which a lot begins that came with a quantity. It
// is made of what the file says alone, so that two laptops that import the same
// file make the same entry.
func (im *importing) firstCount(lot *inventory.Lot, inFile quantity.Number) (*inventory.Event, error) {
	entries, err := im.t.Entries(lot.ID)
	if err != nil {
		return nil, err
	}
	at, fromFile := firstCountAt(lot, entries, im.t.opt.Now())
	id := firstCountID(lot.ID, inFile)
	if !fromFile { // another time makes another entry
		id = firstCountID(lot.ID, inFile, at)
	}
	return counted(id, at, lot.ID, inFile), nil
}

// earliestZone is how far a day begins before it does at Greenwich, at most.
const earliestZone = 14 * time.Hour

// firstCountAt is just after the lot's last entry, else when the day it was acquired
// begins anywhere: what is used on that day comes after it, wherever that is. It
// is never after now, since a count would hide what is booked before it; then it
// is not of what the file says alone.
func firstCountAt(lot *inventory.Lot, entries []*inventory.Event, now time.Time) (at time.Time, fromFile bool) {
	if n := len(entries); n > 0 {
		return entries[n-1].At.Add(time.Microsecond).UTC(), false
	}
	d := lot.Acquired
	if d.IsZero() {
		return time.Unix(0, 0).UTC(), true
	}
	begins := time.Date(d.Year, time.Month(d.Month), d.Day, 0, 0, 0, 0, time.UTC).Add(-earliestZone)
	if begins.After(now) {
		return now.UTC(), false
	}
	return begins, true
}

func counted(id uuid.UUID, at time.Time, lot uuid.UUID, n quantity.Number) *inventory.Event {
	e := &inventory.Event{At: at, What: inventory.Counted, Lot: inventory.Ref{ID: lot}, Quantity: quantity.Some(n), Reason: "import"}
	e.ID = id
	return e
}

// count books an entry of the import's own for an item.
func (im *importing) count(i int, e *inventory.Event) error {
	n, err := im.t.book([]*inventory.Event{e}, false)
	if err == nil && n > 0 {
		im.report.Counted = append(im.report.Counted, CountReport{Item: i, Entry: e.ID, Lot: e.Lot.ID, At: e.At, Quantity: e.Quantity.Or(0)})
	}
	return err
}
