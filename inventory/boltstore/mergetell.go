package boltstore

import (
	"errors"

	"github.com/google/uuid"

	"rangebox/inventory"
)

// MergeStatus is what a merge did with a record.
type MergeStatus string

// What a merge can do with a record.
const (
	MergedNew     MergeStatus = "new"
	MergedChanged MergeStatus = "changed"
	MergedRemoved MergeStatus = "removed"
)

// MergedRecord is a record that a merge took in, changed or removed.
type MergedRecord struct {
	Kind   inventory.Kind
	ID     uuid.UUID
	Handle string
	// Of is kind and handle of what a lot or a reading is of, On the date of a
	// day: these have no name of their own.
	Of string
	On inventory.Date
	// Status is what became of it, and Changes what differs in a changed one.
	Status  MergeStatus
	Changes []inventory.FieldChange
}

// MergedLot is a lot of which entries came in, or that stands otherwise now.
type MergedLot struct {
	Lot *inventory.Lot
	// New tells that the lot was not here; Before is empty then.
	New           bool
	Before, After inventory.Stock
	Entries       []*inventory.Event
}

// mergedPut is a record before and after it was put; old is nil for a new one.
type mergedPut struct {
	old, new inventory.Record
}

// touch remembers how a lot stood before anything is done to it.
func (m *merging) touch(id uuid.UUID) (*MergedLot, error) {
	if had := m.touched[id]; had != nil {
		return had, nil
	}
	stock, found, err := m.t.stockIfAny(id)
	if err != nil {
		return nil, err
	}
	if m.touched == nil {
		m.touched = map[uuid.UUID]*MergedLot{}
	}
	m.touched[id] = &MergedLot{New: !found, Before: stock}
	m.inOrder = append(m.inOrder, id)
	return m.touched[id], nil
}

// stockIfAny is the balance of a lot that may not be here, or have none yet.
func (v *View) stockIfAny(lot uuid.UUID) (stock inventory.Stock, found bool, err error) {
	var at storedKey
	if found, err = v.get(bucketLotStock, lot[:], &at); err != nil || !found {
		return stock, false, err
	}
	stock, err = v.Stock(lot)
	return stock, true, err
}

// arrives notes an entry that this box does not have with its lot.
func (m *merging) arrives(e *inventory.Event) error {
	id, err := m.lotOf(e)
	if err != nil || id == uuid.Nil {
		return err
	}
	lot, err := m.touch(id)
	if err != nil {
		return err
	}
	lot.Entries = append(lot.Entries, e)
	return nil
}

// lotOf is the lot of an entry; a void may leave it out.
func (m *merging) lotOf(e *inventory.Event) (uuid.UUID, error) {
	if e.What != inventory.Void || e.Lot.ID != uuid.Nil {
		return e.Lot.ID, nil
	}
	for _, v := range []*View{m.other, &m.t.View} {
		target, err := v.findEvent(e.Voids)
		if err == nil {
			return target.Lot.ID, nil
		}
		if !errors.Is(err, inventory.ErrNotFound) {
			return uuid.Nil, err
		}
	}
	return uuid.Nil, nil
}

// tell says what became of records and lots, now that all are there to be named.
func (m *merging) tell() error {
	for _, p := range m.puts {
		if err := m.tellPut(p); err != nil {
			return err
		}
	}
	for _, id := range m.inOrder {
		if err := m.tellLot(id); err != nil {
			return err
		}
	}
	m.report.Records = append(m.report.Records, m.removed...)
	return nil
}

func (m *merging) tellPut(p mergedPut) error {
	if err := m.t.fillIn(p.new); err != nil {
		return err
	}
	r, err := m.mergedRecord(p.new, MergedNew)
	if err != nil {
		return err
	}
	if p.old != nil {
		if err := m.showPlaces(p); err != nil {
			return err
		}
		r.Status, r.Changes = MergedChanged, inventory.Differences(p.old, p.new)
	}
	m.report.Records = append(m.report.Records, r)
	return nil
}

// showPlaces puts a lot at the places where the ledger has it, before and after,
// not where it began.
func (m *merging) showPlaces(p mergedPut) error {
	lot, ok := p.new.(*inventory.Lot)
	if !ok {
		return nil
	}
	after, _, err := m.t.stockIfAny(lot.ID)
	p.old.(*inventory.Lot).Place, lot.Place = m.touched[lot.ID].Before.Place, after.Place
	return err
}

// tellLot reports a lot unless it is gone, or nothing of it is new.
func (m *merging) tellLot(id uuid.UUID) error {
	l := m.touched[id]
	after, found, err := m.t.stockIfAny(id)
	if err != nil || !found {
		return err
	}
	if !l.New && len(l.Entries) == 0 && after == l.Before {
		return nil
	}
	if l.Lot, err = m.t.lot(id); err != nil {
		return err
	}
	l.After, l.Lot.Place = after, after.Place
	m.report.Lots = append(m.report.Lots, *l)
	return m.t.fillIn(l.Lot)
}

// buryOne removes a record and notes which it was.
func (m *merging) buryOne(gone tombstone) error {
	rec, err := m.t.record(gone.kind, gone.id)
	if err != nil {
		return err
	}
	r, err := m.mergedRecord(rec, MergedRemoved)
	if err != nil {
		return err
	}
	m.removed = append(m.removed, r)
	if err := m.t.bury(gone.kind, gone.id); err != nil {
		m.t.broken = err
		return err
	}
	return m.t.put(string(gone.kind), gone.id[:], gone.stored)
}

// mergedRecord names a record.
func (m *merging) mergedRecord(rec inventory.Record, status MergeStatus) (r MergedRecord, err error) {
	head := rec.Base()
	r = MergedRecord{Kind: rec.Kind(), ID: head.ID, Handle: head.Handle, Status: status}
	switch rec := rec.(type) {
	case *inventory.Lot:
		r.Of, err = m.t.named(rec.Of.Item(), rec.Item.ID)
	case *inventory.Reading:
		r.Of, err = m.readingOf(rec)
	case *inventory.Day:
		r.On = rec.Date
	}
	return r, err
}

// readingOf names what was measured: a type, or that of which a lot is.
func (m *merging) readingOf(rec *inventory.Reading) (string, error) {
	switch {
	case rec.Of == nil:
		return "", nil
	case rec.Of.Lot.ID == uuid.Nil:
		return m.t.named(inventory.Kind(rec.Of.Kind), rec.Of.Item.ID)
	}
	lot, err := m.t.lot(rec.Of.Lot.ID)
	if err != nil {
		return "", err
	}
	return m.t.named(lot.Of.Item(), lot.Item.ID)
}
