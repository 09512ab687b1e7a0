package boltstore

import (
	"bytes"
	"errors"
	"fmt"
	"iter"

	"github.com/google/uuid"

	"rangebox/inventory"
)

// IDOf finds a record by its handle, present or former.
func (v *View) IDOf(kind inventory.Kind, handle string) (uuid.UUID, bool) {
	h, found, err := v.handle(kind, handle)
	if err != nil {
		v.keep(err)
	}
	return h.ID, found && err == nil
}

// KindOf finds a record, or an entry of the ledger, by its id.
func (v *View) KindOf(id uuid.UUID) (inventory.Kind, bool) {
	kind, err := v.kindOf(id)
	if err != nil && !errors.Is(err, inventory.ErrNotFound) {
		v.keep(err)
	}
	return kind, err == nil
}

// handle looks a handle up.
func (v *View) handle(kind inventory.Kind, handle string) (h storedHandle, found bool, err error) {
	found, err = v.get(bucketHandles, handleKey(kind, handle), &h)
	if err == nil && !found {
		err = v.absent(bucketHandles)
	}
	return h, found, err
}

// kindOf finds the kind of what has an id; the error wraps ErrNotFound.
func (v *View) kindOf(id uuid.UUID) (inventory.Kind, error) {
	var s storedID
	found, err := v.get(bucketIDs, id[:], &s)
	if err != nil {
		return "", err
	}
	if found && !s.Removed && s.Kind != "" {
		return s.Kind, nil
	}
	entry, err := v.payload(bucketEventIDs, id[:])
	switch {
	case err != nil:
		return "", err
	case entry != nil:
		return inventory.KindEvent, nil
	}
	if err := v.absent(bucketIDs); err != nil {
		return "", err
	}
	return "", fmt.Errorf("%w: there is nothing with the id %s", inventory.ErrNotFound, id)
}

// Find finds a record by its handle; former tells that the handle is one it had
// before it was renamed. The error wraps ErrNotFound.
func (v *View) Find(kind inventory.Kind, handle string) (rec inventory.Record, former bool, err error) {
	h, found, err := v.handle(kind, handle)
	if err != nil {
		return nil, false, err
	}
	if !found {
		return nil, false, v.notFound(kind, handle)
	}
	rec, err = v.record(kind, h.ID)
	return rec, h.Former, err
}

// Get gives the record, or the entry, that has an id; the error wraps
// ErrNotFound.
func (v *View) Get(id uuid.UUID) (inventory.Record, error) {
	kind, err := v.kindOf(id)
	if err != nil {
		return nil, err
	}
	if kind == inventory.KindEvent {
		return v.Event(id)
	}
	return v.record(kind, id)
}

// record reads a record that an index says is there, references filled in.
func (v *View) record(kind inventory.Kind, id uuid.UUID) (inventory.Record, error) {
	s, found, err := v.stored(kind, id)
	if err != nil {
		return nil, err
	}
	if !found || s.Removed {
		return nil, damaged(string(kind), id[:], "an index points to it and it is not there")
	}
	return v.unpack(kind, id, s)
}

// stored reads the stored form of a record, a removed one as well.
func (v *View) stored(kind inventory.Kind, id uuid.UUID) (s storedRecord, found bool, err error) {
	found, err = v.get(string(kind), id[:], &s)
	return s, found, err
}

// unpack makes a record of its stored form: references carry their handles, and
// a lot shows the place that the ledger says it is at.
func (v *View) unpack(kind inventory.Kind, id uuid.UUID, s storedRecord) (inventory.Record, error) {
	rec, err := v.bare(kind, id, s)
	if err != nil {
		return nil, err
	}
	if lot, ok := rec.(*inventory.Lot); ok {
		stock, err := v.Stock(lot.ID)
		if err != nil {
			return nil, err
		}
		lot.Place = stock.Place
	}
	return rec, v.fillIn(rec)
}

// bare makes a record of its stored form, as it was put.
func (v *View) bare(kind inventory.Kind, id uuid.UUID, s storedRecord) (inventory.Record, error) {
	rec, err := decodeFields(kind, s.Fields)
	if err != nil {
		return nil, fmt.Errorf("bucket %q, key %s: %w", kind, id, err)
	}
	if rec.Base().ID != id {
		return nil, damaged(string(kind), id[:], "the record inside has another id")
	}
	return rec, nil
}

// fillIn gives references their handles.
func (v *View) fillIn(rec inventory.Record) error {
	for _, r := range inventory.References(rec) {
		handle, err := v.handleOf(r.Ref.ID)
		if err != nil {
			return err
		}
		r.Ref.Handle = handle
	}
	return nil
}

// handleOf is the handle of a record, empty where its kind has none.
func (v *View) handleOf(id uuid.UUID) (string, error) {
	if handle, ok := v.handles[id]; ok {
		return handle, nil
	}
	var s storedID
	if _, err := v.get(bucketIDs, id[:], &s); err != nil {
		return "", err
	}
	v.handles[id] = s.Handle
	return s.Handle, nil
}

// Count is the number of records of a kind, or of entries.
func (v *View) Count(kind inventory.Kind) int {
	n := 0
	if kind == inventory.KindEvent {
		return int(v.state.Counts[bucketEvents])
	}
	err := v.walk(bucketIDs, func(key, payload []byte) error {
		var s storedID
		err := decode(bucketIDs, key, payload, &s)
		if err == nil && !s.Removed && s.Kind == kind {
			n++
		}
		return err
	})
	if err != nil {
		v.keep(err)
	}
	return n
}

// Each goes through the records of a kind by handle, or by id where they have
// none; entries in the order in which they were booked.
func (v *View) Each(kind inventory.Kind, visit func(inventory.Record) error) error {
	switch {
	case kind == inventory.KindEvent:
		return v.eachEvent(func(e *inventory.Event) error { return visit(e) })
	case kind.Info().Handled:
		return v.eachHandled(kind, visit)
	}
	return v.eachStored(kind, func(id uuid.UUID, s storedRecord) error {
		rec, err := v.unpack(kind, id, s)
		if err != nil {
			return err
		}
		return visit(rec)
	})
}

// eachStored goes through the stored records of a kind by id, without those
// that were removed.
func (v *View) eachStored(kind inventory.Kind, visit func(id uuid.UUID, s storedRecord) error) error {
	return v.walk(string(kind), func(key, payload []byte) error {
		var s storedRecord
		if err := decode(string(kind), key, payload, &s); err != nil || s.Removed {
			return err
		}
		return visit(groupOf(key), s)
	})
}

func (v *View) eachHandled(kind inventory.Kind, visit func(inventory.Record) error) error {
	return v.eachHandle(kind, func(_ string, h storedHandle) error {
		rec, err := v.record(kind, h.ID)
		if err != nil {
			return err
		}
		return visit(rec)
	})
}

// eachHandle goes through the present handles of a kind.
func (v *View) eachHandle(kind inventory.Kind, visit func(handle string, h storedHandle) error) error {
	if err := v.absent(bucketHandles); err != nil {
		return err
	}
	b, err := v.bucket(bucketHandles)
	if err != nil {
		return err
	}
	prefix := handleKey(kind, "")
	c := b.Cursor()
	for key, value := c.Seek(prefix); bytes.HasPrefix(key, prefix); key, value = c.Next() {
		payload, err := unseal(bucketHandles, key, value)
		if err != nil {
			return err
		}
		var h storedHandle
		if err := decode(bucketHandles, key, payload, &h); err != nil {
			return err
		}
		if h.Former {
			continue
		}
		if err := visit(string(key[len(prefix):]), h); err != nil {
			return err
		}
	}
	return nil
}

// errEnough stops a walk whose reader has seen enough.
var errEnough = errors.New("enough")

// Handles goes through the handles of a kind, each with a short description,
// without reading the records: it serves the shell's completion. Damage ends it
// and is reported by Read.
func (v *View) Handles(kind inventory.Kind) iter.Seq2[string, string] {
	return func(yield func(string, string) bool) {
		err := v.eachHandle(kind, func(handle string, h storedHandle) error {
			if !yield(handle, h.About) {
				return errEnough
			}
			return nil
		})
		if err != nil && !errors.Is(err, errEnough) {
			v.keep(err)
		}
	}
}

// about describes a record in a few words: maker and name, or what there is of it.
func about(rec inventory.Record) string {
	table, words := rec.Kind().Info().Table, ""
	for _, key := range []string{"maker", "name"} {
		f, ok := table.Field(key)
		if !ok {
			continue
		}
		if s, known := f.Text(rec); known {
			words += " " + s
		}
	}
	if words == "" {
		return ""
	}
	return inventory.Printable(words[1:])
}
