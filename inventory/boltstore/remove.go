package boltstore

import (
	"fmt"

	"github.com/google/uuid"

	"rangebox/inventory"
)

// Rename gives a record a new handle; the old one still finds it. It refuses a
// handle that is in use (ErrConflict).
func (t *Tx) Rename(kind inventory.Kind, old, new string) error {
	rec, _, err := t.Find(kind, old)
	if err != nil {
		return err
	}
	if err := inventory.CheckHandle(new); err != nil {
		return err
	}
	rec.Base().Handle = new
	_, err = t.putRecord(rec)
	return err
}

// Remove takes a record out and leaves a tombstone. While something refers to
// it, it refuses with an *InUseError that lists what does.
func (t *Tx) Remove(id uuid.UUID) error {
	kind, err := t.kindOf(id)
	if err != nil {
		return err
	}
	if kind == inventory.KindEvent {
		return fmt.Errorf("%w: an entry of the ledger is never removed; void it", inventory.ErrInvalid)
	}
	by, err := t.usedBy(kind, id)
	if err != nil {
		return err
	}
	if len(by) > 0 {
		name, err := t.named(kind, id)
		if err != nil {
			return err
		}
		return &InUseError{Record: name, By: by}
	}
	if err := t.bury(kind, id); err != nil {
		t.broken = err
		return err
	}
	return nil
}

// usedBy lists what refers to a record.
func (t *Tx) usedBy(kind inventory.Kind, id uuid.UUID) ([]string, error) {
	var by []string
	entries := uint64(0)
	if kind == inventory.KindLot {
		n, err := t.size(bucketLotEvents, id)
		if err != nil {
			return nil, err
		}
		entries = n
	}
	err := t.members(bucketRefs, id, func(rest, payload []byte) error {
		var source storedSource
		if err := decode(bucketRefs, joined(id, rest), payload, &source); err != nil {
			return err
		}
		if source.Kind == inventory.KindEvent {
			entries++
			return nil
		}
		name, err := t.named(source.Kind, groupOf(rest))
		by = append(by, name)
		return err
	})
	switch entries {
	case 0:
	case 1:
		by = append(by, "1 entry of the ledger")
	default:
		by = append(by, fmt.Sprintf("%d entries of the ledger", entries))
	}
	return by, err
}

// named is a record's kind and handle, or its id where it has none.
func (v *View) named(kind inventory.Kind, id uuid.UUID) (string, error) {
	handle, err := v.handleOf(id)
	if err != nil {
		return "", err
	}
	if handle == "" {
		handle = id.String()
	}
	return string(kind) + " " + handle, nil
}

// bury replaces a record by its tombstone and takes it out of the indexes.
func (t *Tx) bury(kind inventory.Kind, id uuid.UUID) error {
	s, _, err := t.stored(kind, id)
	if err != nil {
		return err
	}
	rec, err := t.bare(kind, id, s)
	if err != nil {
		return err
	}
	next, err := t.revise(s)
	if err != nil {
		return err
	}
	next.Removed = true
	step("tombstone")
	if err := t.put(string(kind), id[:], next); err != nil {
		return err
	}
	if err := t.put(bucketIDs, id[:], storedID{Kind: kind, Removed: true}); err != nil {
		return err
	}
	delete(t.handles, id)
	if err := t.forgetHandles(kind, id, append(s.Former, rec.Base().Handle)); err != nil {
		return err
	}
	for target := range targets(rec) {
		if err := t.leave(bucketRefs, target, joined(target, id[:])); err != nil {
			return err
		}
	}
	if kind == inventory.KindLot {
		return t.dropStock(id)
	}
	return nil
}

func (t *Tx) forgetHandles(kind inventory.Kind, id uuid.UUID, handles []string) error {
	if !kind.Info().Handled {
		return nil
	}
	for _, handle := range handles {
		h, found, err := t.handle(kind, handle)
		if err != nil {
			return err
		}
		if !found || h.ID != id {
			continue
		}
		if err := t.drop(bucketHandles, handleKey(kind, handle)); err != nil {
			return err
		}
	}
	return nil
}
