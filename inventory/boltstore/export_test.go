package boltstore

import (
	"encoding/binary"
	"testing"
	"time"

	bolt "go.etcd.io/bbolt"

	"rangebox/inventory"
)

// SetStep lets a test's child process do something between any two steps of a
// write.
func SetStep(fn func(name string)) { step = fn }

// Buckets lists the buckets of a box, for the test of FORMAT.md.
func Buckets() []string { return allBuckets }

// Seal makes a sound envelope with any version byte.
func Seal(bucket string, key []byte, version byte, payload []byte) []byte {
	value := binary.BigEndian.AppendUint32([]byte{version}, checksum(bucket, key, version, payload))
	return append(value, payload...)
}

// WithField adds a field with a number that nobody knows to a payload, or to
// the fields of the record in it.
func WithField(payload []byte, inside int64, num int64) []byte {
	var outer map[int64]any
	if err := decodingPlain.Unmarshal(payload, &outer); err != nil {
		panic(err)
	}
	if inside == 0 {
		outer[num] = "new"
		return encode(outer)
	}
	outer[inside].(map[int64]any)[num] = "new"
	return encode(outer)
}

// AsOlder marks a box as one of format 0 and teaches the store, for the length
// of a test, how such a box is migrated.
func AsOlder(t *testing.T, path string) {
	before := migrations
	t.Cleanup(func() { migrations = before })
	migrations = []migration{{from: 0, run: func(tx *Tx) error {
		rec, _, err := tx.Find(inventory.KindMotor, "c6")
		if err != nil {
			return err
		}
		rec.Base().Notes = "migrated"
		_, err = tx.Put(rec)
		return err
	}}}
	err := Write(path, Options{Now: time.Now}, func(tx *Tx) error {
		return tx.put(bucketMeta, []byte(keyFormat), storedFormat{0})
	})
	if err != nil {
		t.Fatal(err)
	}
}

// Recount changes the number of values that a box says a bucket has.
func Recount(tx *bolt.Tx, bucket string, by int) error {
	b := tx.Bucket([]byte(bucketMeta))
	key := []byte(keyState)
	value := b.Get(key)
	if value == nil {
		return nil // it is what was taken away
	}
	var s storedState
	if err := decode(bucketMeta, key, value[envelopeSize:], &s); err != nil {
		return err
	}
	s.Counts[bucket] += uint64(by)
	return b.Put(key, seal(bucketMeta, key, encode(s)))
}

// SetChunk makes bulks of so few records and entries a transaction, until what it
// returns is called.
func SetChunk(n int) (undo func()) {
	before := inChunk
	inChunk = n
	return func() { inChunk = before }
}
