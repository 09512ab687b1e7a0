package boltstore

import (
	"bytes"
	"errors"
	"fmt"
	"slices"

	"github.com/google/uuid"

	"rangebox/inventory"
)

// keptAncestors is how many earlier revisions of a record are remembered.
const keptAncestors = 128

// Expect refuses to go on where the box has moved since the revision that the
// caller computed from.
func (t *Tx) Expect(r Revision) error {
	if r.Box == t.state.Box && r.Number == t.state.Number {
		return nil
	}
	return fmt.Errorf("%w: the box has changed since it was read; run the command again", inventory.ErrConflict)
}

// Put adds a record or replaces the one with its id, and says whether that
// changed anything. A record without id is new: it gets the id of its kind and
// handle, or a random one where that is taken. It refuses what Check refuses,
// references to nothing, and a handle that another record has (ErrConflict);
// a former handle of another record may be taken over.
func (t *Tx) Put(rec inventory.Record) (changed bool, err error) {
	if errs := inventory.Check(rec); len(errs) > 0 {
		return false, errors.Join(errs...)
	}
	for _, r := range inventory.References(rec) {
		if err := t.resolve(r); err != nil {
			return false, err
		}
	}
	return t.putRecord(rec)
}

// resolve finds what a reference points to, by handle where it has no id.
func (t *Tx) resolve(r inventory.Reference) error {
	if r.Ref.ID == uuid.Nil {
		for _, kind := range r.Kinds {
			if id, ok := t.IDOf(kind, r.Ref.Handle); ok {
				r.Ref.ID = id
				return t.err
			}
		}
	}
	kind, err := t.kindOf(r.Ref.ID)
	switch {
	case err == nil && slices.Contains(r.Kinds, kind):
		return nil
	case err == nil || errors.Is(err, inventory.ErrNotFound):
		return fmt.Errorf("%w: %s points to %q, which the box does not have", inventory.ErrInvalid, r.Path, inventory.Printable(r.Ref.String()))
	}
	return err
}

// putRecord is Put for a record that is checked and whose references resolve.
func (t *Tx) putRecord(rec inventory.Record) (changed bool, err error) {
	if rec.Kind() == inventory.KindEvent {
		return false, fmt.Errorf("%w: an entry of the ledger is booked, not put", inventory.ErrInvalid)
	}
	if err := t.identify(rec); err != nil {
		return false, err
	}
	old, err := t.slot(rec)
	if err != nil {
		return false, err
	}
	if lot, ok := rec.(*inventory.Lot); ok {
		return t.putLot(lot, old)
	}
	return t.replace(rec, old)
}

// identify gives a new record its id.
func (t *Tx) identify(rec inventory.Record) error {
	head, kind := rec.Base(), rec.Kind()
	if kind == inventory.KindSettings {
		head.ID = inventory.SettingsID
	}
	if head.ID != uuid.Nil {
		return nil
	}
	if kind.Info().Handled {
		id := inventory.DerivedID(kind, head.Handle)
		var card storedID
		found, err := t.get(bucketIDs, id[:], &card)
		if err != nil {
			return err
		}
		if !found || card.Removed { // one that was removed comes back
			head.ID = id
			return nil
		}
	}
	id, err := uuid.NewV7()
	head.ID = id
	return err
}

// slot is what stands in a record's place: the record it replaces, a tombstone,
// or nothing. The place has to be the record's own, and so has the handle.
func (t *Tx) slot(rec inventory.Record) (old slot, err error) {
	head, kind := rec.Base(), rec.Kind()
	var known storedID
	found, err := t.get(bucketIDs, head.ID[:], &known)
	if err != nil {
		return old, err
	}
	if found && known.Kind != kind && known.Kind != "" {
		return old, fmt.Errorf("%w: the id %s belongs to a %s", inventory.ErrConflict, head.ID, known.Kind)
	}
	if entry, err := t.payload(bucketEventIDs, head.ID[:]); err != nil || entry != nil {
		return old, errors.Join(err, fmt.Errorf("%w: the id %s belongs to an entry of the ledger", inventory.ErrConflict, head.ID))
	}
	if err := t.checkHandleFree(rec); err != nil {
		return old, err
	}
	old.stored, found, err = t.stored(kind, head.ID)
	if err != nil || !found || old.stored.Removed {
		return old, err
	}
	old.rec, err = t.bare(kind, head.ID, old.stored)
	return old, err
}

// slot is a record's place before it is put.
type slot struct {
	stored storedRecord
	// rec is the record that was there, nil for a new one or a tombstone
	rec inventory.Record
}

func (t *Tx) checkHandleFree(rec inventory.Record) error {
	head, kind := rec.Base(), rec.Kind()
	if !kind.Info().Handled {
		return nil
	}
	h, found, err := t.handle(kind, head.Handle)
	if err != nil {
		return err
	}
	if found && !h.Former && h.ID != head.ID {
		return fmt.Errorf("%w: there is another %s %q; give one of them a new handle", inventory.ErrConflict, kind, head.Handle)
	}
	return nil
}

// replace writes a record and its indexes, unless nothing differs.
func (t *Tx) replace(rec inventory.Record, old slot) (bool, error) {
	fields := encode(inventory.Pack(rec))
	if len(fields) > maxFieldsSize {
		return false, fmt.Errorf("%w: the %s takes %d bytes; at most %d are taken", inventory.ErrInvalid, rec.Kind(), len(fields), maxFieldsSize)
	}
	if old.rec != nil && bytes.Equal(fields, old.stored.Fields) {
		return false, nil
	}
	next, err := t.revise(old.stored)
	if err != nil {
		return false, err
	}
	next.Fields = fields
	next.Former = formerHandles(rec, old)
	if err := t.writeRecord(rec, old, next); err != nil {
		t.broken = err
		return false, err
	}
	return true, nil
}

// revise is the next revision of a record.
func (t *Tx) revise(old storedRecord) (storedRecord, error) {
	id, err := uuid.NewRandom()
	if err != nil {
		return storedRecord{}, fmt.Errorf("make a revision id: %w", err)
	}
	next := storedRecord{Revision: id, Changed: t.opt.Now().UnixNano()}
	if old.Revision != uuid.Nil {
		next.Ancestors = append([]uuid.UUID{old.Revision}, old.Ancestors...)
		next.Ancestors = next.Ancestors[:min(len(next.Ancestors), keptAncestors)]
	}
	return next, nil
}

// formerHandles adds the handle that a record is losing, and leaves out the one
// it has now.
func formerHandles(rec inventory.Record, old slot) []string {
	former := slices.Clone(old.stored.Former)
	if old.rec != nil && old.rec.Base().Handle != rec.Base().Handle {
		former = append(former, old.rec.Base().Handle)
	}
	return slices.DeleteFunc(former, func(h string) bool { return h == rec.Base().Handle })
}

func (t *Tx) writeRecord(rec inventory.Record, old slot, next storedRecord) error {
	id, kind := rec.Base().ID, rec.Kind()
	step("record")
	if err := t.put(string(kind), id[:], next); err != nil {
		return err
	}
	step("ids")
	if err := t.writeCard(rec); err != nil {
		return err
	}
	t.handles[id] = rec.Base().Handle
	step("handles")
	if err := t.indexHandles(rec, old, next.Former); err != nil {
		return err
	}
	step("refs")
	return t.indexRefs(rec, old.rec)
}

// writeCard writes the card of a record, and keeps the sizes of its groups.
func (t *Tx) writeCard(rec inventory.Record) error {
	head := rec.Base()
	var card storedID
	if _, err := t.get(bucketIDs, head.ID[:], &card); err != nil {
		return err
	}
	card.Kind, card.Handle, card.Removed = rec.Kind(), head.Handle, false
	return t.put(bucketIDs, head.ID[:], card)
}

// indexHandles points a record's handle, and those it had, to it. A former
// handle that another record has taken over stays with that one.
func (t *Tx) indexHandles(rec inventory.Record, old slot, former []string) error {
	head, kind := rec.Base(), rec.Kind()
	if !kind.Info().Handled {
		return nil
	}
	if err := t.forgetHandles(kind, head.ID, lostHandles(rec, old, former)); err != nil {
		return err
	}
	for _, handle := range former {
		h, found, err := t.handle(kind, handle)
		if err != nil {
			return err
		}
		if found && h.ID != head.ID {
			continue
		}
		if err := t.put(bucketHandles, handleKey(kind, handle), storedHandle{ID: head.ID, Former: true}); err != nil {
			return err
		}
	}
	if err := t.takeOver(rec); err != nil {
		return err
	}
	return t.put(bucketHandles, handleKey(kind, head.Handle), storedHandle{ID: head.ID, About: about(rec)})
}

// lostHandles are those that a record had and has no more, not even as former
// ones: a merge can bring that about.
func lostHandles(rec inventory.Record, old slot, former []string) []string {
	if old.rec == nil {
		return nil
	}
	had := append(slices.Clone(old.stored.Former), old.rec.Base().Handle)
	return slices.DeleteFunc(had, func(h string) bool { return h == rec.Base().Handle || slices.Contains(former, h) })
}

// takeOver takes a former handle away from the record that had it, so that its
// record and the index keep saying the same.
func (t *Tx) takeOver(rec inventory.Record) error {
	head, kind := rec.Base(), rec.Kind()
	h, found, err := t.handle(kind, head.Handle)
	if err != nil || !found || !h.Former || h.ID == head.ID {
		return err
	}
	other, found, err := t.stored(kind, h.ID)
	if err != nil || !found {
		return err
	}
	other.Former = slices.DeleteFunc(other.Former, func(s string) bool { return s == head.Handle })
	return t.put(string(kind), h.ID[:], other)
}

// indexRefs keeps, for each record, what refers to it.
func (t *Tx) indexRefs(rec, old inventory.Record) error {
	now := targets(rec)
	for target := range targets(old) {
		if now[target] {
			continue
		}
		if err := t.leave(bucketRefs, target, joined(target, old.Base().ID[:])); err != nil {
			return err
		}
	}
	for target := range now {
		key := joined(target, rec.Base().ID[:])
		if err := t.join(bucketRefs, target, key, storedSource{rec.Kind()}); err != nil {
			return err
		}
	}
	return nil
}

// targets is what a record refers to.
func targets(rec inventory.Record) map[uuid.UUID]bool {
	found := map[uuid.UUID]bool{}
	if rec == nil {
		return found
	}
	for _, r := range inventory.References(rec) {
		found[r.Ref.ID] = true
	}
	return found
}
