package boltstore

import (
	"bytes"
	"fmt"

	"github.com/google/uuid"

	"rangebox/inventory"
)

// A group is the values of a bucket whose keys begin with one id. The key of
// the id alone, which sorts first, holds their number: a member whose key is
// damaged cannot be found, but it is missed.

// members goes through a group in the order of its keys.
func (v *View) members(bucket string, group uuid.UUID, visit func(rest, payload []byte) error) error {
	b, err := v.bucket(bucket)
	if err != nil {
		return err
	}
	var want storedCount
	if _, err := v.get(bucket, group[:], &want); err != nil {
		return err
	}
	var n uint64
	c := b.Cursor()
	for key, value := c.Seek(group[:]); bytes.HasPrefix(key, group[:]); key, value = c.Next() {
		if len(key) == len(group) {
			continue
		}
		payload, err := unseal(bucket, key, value)
		if err != nil {
			return err
		}
		if err := visit(key[len(group):], payload); err != nil {
			return err
		}
		n++
	}
	if n != want.N {
		return damaged(bucket, group[:], fmt.Sprintf("%d values are there where %d were written", n, want.N))
	}
	return nil
}

// size is the number of members of a group.
func (v *View) size(bucket string, group uuid.UUID) (uint64, error) {
	var count storedCount
	_, err := v.get(bucket, group[:], &count)
	return count.N, err
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

func (t *Tx) resize(bucket string, group uuid.UUID, by int) error {
	n, err := t.size(bucket, group)
	if err != nil {
		return err
	}
	n += uint64(by)
	if n == 0 {
		return t.drop(bucket, group[:])
	}
	return t.put(bucket, group[:], storedCount{n})
}

// notFound words what a box does not hold.
func notFound(kind inventory.Kind, name string) error {
	return fmt.Errorf("%w: there is no %s %q", inventory.ErrNotFound, kind, inventory.Printable(name))
}
