package boltstore

import (
	"errors"
	"fmt"
	"slices"

	"github.com/google/uuid"

	"rangebox/inventory"
)

// MergeReport is what a merge did.
type MergeReport struct {
	New, Changed, Removed int
	EntriesNew            int
	// Records are those that are new, changed or removed, and Lots those of which
	// entries came in or that stand otherwise now.
	Records []MergedRecord
	Lots    []MergedLot
	// Conflicts are the records that both boxes had changed: the later change
	// was taken, and what it differs in from the other is listed.
	Conflicts []MergeConflict
	// NeedCount are the lots out of which both together took more than there was.
	NeedCount []uuid.UUID
	// Interleaved are the counts of one box that lie so close to what the other
	// booked that nobody can tell which came first.
	Interleaved []Interleaving
	// Kept is the copy of the box as it was, if one was asked for.
	Kept string
	// Unchanged tells that the box holds all that the other does.
	Unchanged bool
}

// MergeConflict is a record that both boxes had changed since they last met.
type MergeConflict struct {
	Kind   inventory.Kind
	ID     uuid.UUID
	Handle string
	// Ours and Theirs are the two versions that stand against each other.
	Ours, Theirs MergeVersion
	// TookOther tells that the other box's version was taken.
	TookOther bool
	// Changes go from the version that was dropped to the one that was taken.
	Changes []inventory.FieldChange
}

// Merge takes in what another box holds and this one does not. Of a record that
// only one of them changed it takes the changed version, told by revision ids;
// of one that both changed the later, and lists it; a change goes before a
// removal. Entries are never lost, and the outcome is the same whichever box
// merges the other. Where the two gave one handle to different records, it
// refuses (ErrConflict) and says which.
func (t *Tx) Merge(other *View) (MergeReport, error) {
	return t.MergeWith(other, MergeOptions{})
}

// MergeWith is Merge with a say in what becomes of conflicts.
func (t *Tx) MergeWith(other *View, opt MergeOptions) (MergeReport, error) {
	m := &merging{t: t, other: other, opt: opt}
	if err := m.begin(); err != nil {
		return MergeReport{}, err
	}
	for _, kind := range recordKinds {
		if err := m.records(kind); err != nil {
			return MergeReport{}, err
		}
	}
	for _, step := range []func() error{m.refuse, m.apart, m.entries, m.bury, m.count, m.interleavings, m.tell} {
		if err := step(); err != nil {
			return MergeReport{}, err
		}
	}
	m.report.Unchanged = !t.changed
	return m.report, errors.Join(t.err, other.err)
}

// merging is a call of Merge.
type merging struct {
	t       *Tx
	other   *View
	opt     MergeOptions
	report  MergeReport
	waiting []arrival // records whose handle another record still has
	toBury  []tombstone
	lots    []*inventory.Lot // put here, to be folded with the entries
	sides   map[uuid.UUID]*bothSides
	puts    []mergedPut
	removed []MergedRecord
	touched map[uuid.UUID]*MergedLot
	inOrder []uuid.UUID // of the touched lots
}

// arrival is a record that is to be put.
type arrival struct {
	kind   inventory.Kind
	id     uuid.UUID
	stored storedRecord
	isNew  bool
	err    error // why it has to wait
}

// tombstone is a removal that stands if nothing refers to the record after all.
type tombstone struct {
	kind   inventory.Kind
	id     uuid.UUID
	stored storedRecord
}

// records merges the records of a kind.
func (m *merging) records(kind inventory.Kind) error {
	err := m.other.walk(string(kind), func(key, payload []byte) error {
		var theirs storedRecord
		if err := decode(string(kind), key, payload, &theirs); err != nil {
			return err
		}
		return m.record(kind, groupOf(key), theirs)
	})
	if err != nil {
		return err
	}
	return m.putWaiting()
}

// putWaiting puts the records whose handles have become free, as when the other
// box renamed one record and gave its handle to another.
func (m *merging) putWaiting() error {
	for before := -1; len(m.waiting) > 0 && len(m.waiting) != before; {
		before = len(m.waiting)
		again := m.waiting
		m.waiting = nil
		for _, a := range again {
			if err := m.put(a.kind, a.id, a.stored, a.isNew); err != nil {
				return err
			}
		}
	}
	return nil
}

// record merges one record that the other box has.
func (m *merging) record(kind inventory.Kind, id uuid.UUID, theirs storedRecord) error {
	ours, here, err := m.t.stored(kind, id)
	if err != nil {
		return err
	}
	take, both := true, false
	if here {
		take, both = whichTo(ours, theirs)
	}
	if both {
		if ours, theirs, take, err = m.settle(kind, id, ours, theirs, take); err != nil {
			return err
		}
	}
	switch {
	case take && theirs.Removed:
		return m.takeRemoval(kind, id, ours, theirs, here)
	case take:
		theirs.Ancestors = withHistory(theirs, ours)
		return m.put(kind, id, theirs, !here || ours.Removed)
	}
	if err := m.keep(kind, id, ours, theirs, both); err != nil {
		return err
	}
	if ours.Removed && !theirs.Removed {
		return m.revive(kind, id, ours, theirs)
	}
	return nil
}

// readable is a version of a record with its references named; nil for a
// tombstone.
func readable(v *View, kind inventory.Kind, id uuid.UUID, s storedRecord) (inventory.Record, error) {
	if s.Removed {
		return nil, nil
	}
	rec, err := v.bare(kind, id, s)
	if err != nil {
		return nil, err
	}
	return rec, v.fillIn(rec)
}

// put takes a record as the other box has it, history and all.
func (m *merging) put(kind inventory.Kind, id uuid.UUID, theirs storedRecord, isNew bool) error {
	rec, err := m.other.bare(kind, id, theirs)
	if err != nil {
		return err
	}
	old, err := m.t.slot(rec)
	if errors.Is(err, inventory.ErrConflict) {
		m.waiting = append(m.waiting, arrival{kind, id, theirs, isNew, err})
		return nil
	}
	if err != nil {
		return err
	}
	if theirs.Former, err = m.formers(kind, id, theirs, old.stored); err != nil {
		return err
	}
	if err := m.remember(old.rec, rec); err != nil {
		return err
	}
	if err := m.t.writeRecord(rec, old, theirs); err != nil {
		m.t.broken = err
		return err
	}
	if isNew {
		m.report.New++
	} else {
		m.report.Changed++
	}
	return m.t.wrote(1)
}

// remember notes a record that is put, as it was and as it will be.
func (m *merging) remember(old, rec inventory.Record) error {
	m.puts = append(m.puts, mergedPut{old, rec})
	if old != nil {
		if err := m.t.fillIn(old); err != nil {
			return err
		}
	}
	lot, ok := rec.(*inventory.Lot)
	if !ok {
		return nil
	}
	m.lots = append(m.lots, lot)
	_, err := m.touch(lot.ID)
	return err
}

// takeRemoval notes a removal for the end: what was added meanwhile may refer to
// the record, and then it stays.
func (m *merging) takeRemoval(kind inventory.Kind, id uuid.UUID, ours, theirs storedRecord, here bool) error {
	if here && !ours.Removed {
		m.toBury = append(m.toBury, tombstone{kind, id, theirs})
		return nil
	}
	if err := m.t.put(string(kind), id[:], theirs); err != nil {
		return err
	}
	var card storedID
	if _, err := m.t.get(bucketIDs, id[:], &card); err != nil {
		return err
	}
	card.Kind, card.Handle, card.Removed = kind, "", true
	return m.t.put(bucketIDs, id[:], card)
}

// revive brings back, for the length of the merge, a record that was removed
// here and that the other box still has: what it added may refer to it.
func (m *merging) revive(kind inventory.Kind, id uuid.UUID, ours, theirs storedRecord) error {
	used, err := m.other.isUsed(kind, id)
	if err != nil || !used {
		return err
	}
	m.toBury = append(m.toBury, tombstone{kind, id, ours})
	return m.put(kind, id, theirs, true)
}

// isUsed tells whether anything refers to a record, by its card alone.
func (v *View) isUsed(kind inventory.Kind, id uuid.UUID) (bool, error) {
	card, err := v.card(id)
	return card.Refs > 0 || kind == inventory.KindLot && card.Entries > 0, err
}

// refuse lists the records for whose handles there is no room.
func (m *merging) refuse() error {
	if len(m.waiting) == 0 {
		return nil
	}
	errs := make([]error, len(m.waiting))
	for i, a := range m.waiting {
		errs[i] = a.err
	}
	return fmt.Errorf("the boxes cannot be merged: %w", errors.Join(errs...))
}

// entries folds the lots that were put and books the other box's entries.
func (m *merging) entries() error {
	for _, lot := range m.lots {
		if err := m.t.refold(lot); err != nil {
			m.t.broken = err
			return err
		}
	}
	var part []*inventory.Event
	flush := func() error {
		n, err := m.t.book(part, false)
		m.t.opt.progress(len(part))
		m.report.EntriesNew += n
		part = part[:0]
		return err
	}
	err := m.other.eachEvent(func(e *inventory.Event) error {
		if part = append(part, e); len(part) < inOneBooking {
			return nil
		}
		return flush()
	})
	return errors.Join(err, flush())
}

// bury carries out the removals that nothing stands against. One that frees
// another record lets that one go as well.
func (m *merging) bury() error {
	for again := true; again; {
		again = false
		for i := 0; i < len(m.toBury); i++ {
			gone := m.toBury[i]
			used, err := m.t.isUsed(gone.kind, gone.id)
			if err != nil {
				return err
			}
			if used {
				continue
			}
			if err := m.buryOne(gone); err != nil {
				return err
			}
			m.report.Removed++
			m.toBury = slices.Delete(m.toBury, i, i+1)
			again = true
			i--
		}
	}
	return m.outlive()
}

// outlive notes the removals that have to wait, since something refers to the
// record, among its ancestors: a change of the record that comes from a third box
// goes before them, and that is settled then. Where nothing refers to it any more
// in a later merge, the removal is carried out: it follows this version as well.
func (m *merging) outlive() error {
	for _, gone := range m.toBury {
		now, found, err := m.t.stored(gone.kind, gone.id)
		if err != nil {
			return err
		}
		removal := gone.stored.Revision
		if !found || slices.Contains(now.Ancestors, removal) {
			continue
		}
		now.Ancestors = append([]uuid.UUID{removal}, now.Ancestors...)
		now.Ancestors = now.Ancestors[:min(len(now.Ancestors), keptAncestors)]
		if err := m.t.put(string(gone.kind), gone.id[:], now); err != nil {
			return err
		}
	}
	return nil
}

// count lists the lots that have to be counted.
func (m *merging) count() error {
	return m.t.walk(bucketStock, func(key, payload []byte) error {
		lot, stock, err := m.t.balance(groupOf(key), key[len(uuid.Nil):], payload)
		if err == nil && stock.NeedsCount() {
			m.report.NeedCount = append(m.report.NeedCount, lot)
		}
		return err
	})
}
