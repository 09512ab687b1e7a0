package boltstore

import (
	"sort"
	"time"

	"github.com/google/uuid"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// standIns takes back the counts that earlier imports booked for lots which came
// without their entries, where this file brings those and they say the same. Both
// together would count the pieces twice: so it is when the lots and the ledger of a
// box come as two tables, or a damaged archive before the whole one.
func (im *importing) standIns() error {
	fresh := map[uuid.UUID]bool{uuid.Nil: true} // they are counted with their entries, see quantity
	for i, item := range im.batch.Items {
		if lot, ok := item.Record.(*inventory.Lot); ok && !im.known[i] {
			fresh[lot.ID] = true
		}
	}
	came := map[uuid.UUID][]*inventory.Event{}
	var lots []uuid.UUID // in the order of the file
	for _, item := range im.batch.Items {
		e, ok := item.Record.(*inventory.Event)
		if !ok || fresh[e.Lot.ID] {
			continue
		}
		if came[e.Lot.ID] == nil {
			lots = append(lots, e.Lot.ID)
		}
		came[e.Lot.ID] = append(came[e.Lot.ID], e)
	}
	for _, lot := range lots {
		if err := im.standIn(lot, came[lot]); err != nil {
			return err
		}
	}
	return nil
}

// standIn is standIns for one lot and the entries of it that the file holds.
func (im *importing) standIn(id uuid.UUID, came []*inventory.Event) error {
	entries, err := im.t.Entries(id)
	if err != nil {
		return err
	}
	count := im.importedCount(entries)
	if count == nil {
		return nil
	}
	lot, err := im.t.lot(id)
	if err != nil {
		return err
	}
	sort.Slice(came, func(i, j int) bool { return inventory.Earlier(came[i], came[j]) })
	if inventory.Fold(lot, came, im.t.Voided).OnHand != count.Quantity.Or(0) {
		return nil
	}
	back := &inventory.Event{At: count.At, What: inventory.Void, Voids: count.ID, Lot: inventory.Ref{ID: id}, Reason: "import"}
	back.ID = inventory.DerivedID(inventory.KindEvent, count.ID.String(), inventory.Void.String())
	if _, err := im.t.book([]*inventory.Event{back}, false); err != nil {
		return err
	}
	im.report.TakenBack = append(im.report.TakenBack, CountReport{Entry: count.ID, Lot: id, At: count.At, Quantity: count.Quantity.Or(0)})
	return nil
}

// importedCount is the count that an import booked for a new lot; nil where there is
// none, or the file holds that very entry.
func (im *importing) importedCount(entries []*inventory.Event) *inventory.Event {
	for _, e := range entries {
		n := e.Quantity.Or(0)
		if e.What != inventory.Counted || e.ID != firstCountID(e.Lot.ID, n) && e.ID != firstCountID(e.Lot.ID, n, e.At) {
			continue
		}
		if _, came := im.entries[e.ID]; !came && !im.t.Voided(e.ID) {
			return e
		}
	}
	return nil
}

// firstCountID is the id of a first count; of one whose time is not of the file alone,
// with that time.
func firstCountID(lot uuid.UUID, n quantity.Number, at ...time.Time) uuid.UUID {
	names := []string{lot.String(), inventory.Counted.String(), amount(n)}
	for _, t := range at {
		names = append(names, t.Format(time.RFC3339Nano))
	}
	return inventory.DerivedID(inventory.KindEvent, names...)
}
