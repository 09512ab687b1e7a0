package boltstore

import (
	"bytes"
	"fmt"

	"github.com/google/uuid"

	"rangebox/inventory"
)

// A group is the values of a bucket whose keys begin with the id of one record.
// The record's card says how many there are: a value whose key is damaged, or
// lies behind one that is, cannot be found, but it is missed.

// count is the number of a record's values in a bucket of groups.
func (s *storedID) count(bucket string) *uint64 {
	switch bucket {
	case bucketStock:
		return &s.Lots
	case bucketRefs:
		return &s.Refs
	case bucketLotEvents:
		return &s.Entries
	}
	panic("boltstore: bucket " + bucket + " has no groups")
}

// card reads the card of a record; the error wraps ErrNotFound.
func (v *View) card(id uuid.UUID) (s storedID, err error) {
	found, err := v.get(bucketIDs, id[:], &s)
	if err == nil && !found {
		err = v.absent(bucketIDs)
	}
	if err == nil && !found {
		err = fmt.Errorf("%w: there is no record with the id %s", inventory.ErrNotFound, id)
	}
	return s, err
}

// members goes through a group in the order of its keys.
func (v *View) members(bucket string, group uuid.UUID, visit func(rest, payload []byte) error) error {
	b, err := v.bucket(bucket)
	if err != nil {
		return err
	}
	card, err := v.card(group)
	if err != nil {
		return err
	}
	var n uint64
	c := b.Cursor()
	for key, value := c.Seek(group[:]); bytes.HasPrefix(key, group[:]); key, value = c.Next() {
		payload, err := unseal(bucket, key, value)
		if err != nil {
			return err
		}
		if err := visit(key[len(group):], payload); err != nil {
			return err
		}
		n++
	}
	if want := *card.count(bucket); n != want {
		return damaged(bucket, group[:], fmt.Sprintf("%d values are there where %d were written", n, want))
	}
	return nil
}

// size is the number of members of a group.
func (v *View) size(bucket string, group uuid.UUID) (uint64, error) {
	card, err := v.card(group)
	return *card.count(bucket), err
}

// join adds a member to a group, or replaces it.
func (t *Tx) join(bucket string, group uuid.UUID, key []byte, value any) error {
	there, err := t.payload(bucket, key)
	if err != nil {
		return err
	}
	if there == nil {
		if err := t.resize(bucket, group, 1); err != nil {
			return err
		}
	}
	return t.put(bucket, key, value)
}

// leave takes a member out of its group.
func (t *Tx) leave(bucket string, group uuid.UUID, key []byte) error {
	there, err := t.payload(bucket, key)
	if err != nil || there == nil {
		return err
	}
	if err := t.resize(bucket, group, -1); err != nil {
		return err
	}
	return t.drop(bucket, key)
}

// resize counts members up or down on the card of their record. In an import
// the record may come after what refers to it: its card then waits, without a
// kind, for the record to be put.
func (t *Tx) resize(bucket string, group uuid.UUID, by int) error {
	var card storedID
	if _, err := t.get(bucketIDs, group[:], &card); err != nil {
		return err
	}
	*card.count(bucket) += uint64(by)
	return t.put(bucketIDs, group[:], card)
}

// notFound words what a box does not hold, with the handle that was probably
// meant.
func (v *View) notFound(kind inventory.Kind, name string) error {
	err := fmt.Errorf("%w: there is no %s %q", inventory.ErrNotFound, kind, inventory.Printable(name))
	var known []string
	for handle := range v.Handles(kind) {
		known = append(known, handle)
	}
	if near, ok := inventory.Nearest(name, known); ok {
		return fmt.Errorf("%w; nearest: %s", err, near)
	}
	return err
}
