package boltstore

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"slices"
	"sort"

	"github.com/google/uuid"

	"rangebox/inventory"
)

// derived is what the indexes and balances have to be, computed anew: by bucket
// and key, the checksum of the payload; and the cards, which fill up slowly.
type derived struct {
	sums  map[string]map[string]uint32
	cards map[uuid.UUID]*storedID
}

func newDerived() derived {
	d := derived{sums: map[string]map[string]uint32{}, cards: map[uuid.UUID]*storedID{}}
	for _, bucket := range derivedBuckets {
		d.sums[bucket] = map[string]uint32{}
	}
	return d
}

// derivedBuckets are those that are computed from records and entries.
var derivedBuckets = []string{bucketIDs, bucketHandles, bucketRefs, bucketEventIDs,
	bucketLotEvents, bucketVoids, bucketStock, bucketLotStock}

func (d derived) put(bucket string, key []byte, value any) {
	d.sums[bucket][string(key)] = crc32.Checksum(encode(value), castagnoli)
}

// card is the card of a record, to be filled in.
func (d derived) card(id uuid.UUID) *storedID {
	if d.cards[id] == nil {
		d.cards[id] = &storedID{}
	}
	return d.cards[id]
}

// join puts a member of a group.
func (d derived) join(bucket string, group uuid.UUID, key []byte, value any) {
	d.put(bucket, key, value)
	*d.card(group).count(bucket)++
}

// finish puts the cards.
func (d derived) finish() {
	for id, card := range d.cards {
		d.put(bucketIDs, id[:], card)
	}
}

// compare holds the derived buckets against what they have to be.
func (x *verification) compare() {
	x.derived.finish()
	for _, bucket := range derivedBuckets {
		want := x.derived.sums[bucket]
		x.each(bucket, func(key, payload []byte) error {
			sum, ok := want[string(key)]
			delete(want, string(key))
			switch {
			case !ok:
				return fmt.Errorf("bucket %q, key %s: it is there and nothing calls for it", bucket, keyText(key))
			case sum != crc32.Checksum(payload, castagnoli):
				return fmt.Errorf("bucket %q, key %s: it does not say what the records and the ledger say", bucket, keyText(key))
			}
			return nil
		})
		x.missing(bucket, want)
	}
	x.meta()
}

func (x *verification) missing(bucket string, want map[string]uint32) {
	keys := make([]string, 0, len(want))
	for key := range want {
		keys = append(keys, key)
	}
	sort.Strings(keys)
	for _, key := range keys {
		x.problem("bucket %q, key %s: it is not there and should be", bucket, keyText([]byte(key)))
	}
}

// meta checks the meta bucket itself.
func (x *verification) meta() {
	x.each(bucketMeta, func(key, _ []byte) error {
		if k := string(key); k != keyFormat && k != keyState {
			return fmt.Errorf("bucket %q, key %s: it does not belong there", bucketMeta, keyText(key))
		}
		return nil
	})
}

func seqOf(key []byte) uint64 {
	if len(key) != 8 {
		return 0
	}
	return binary.BigEndian.Uint64(key)
}

func lower(a, b uuid.UUID) bool { return bytes.Compare(a[:], b[:]) < 0 }

func contains(kinds []inventory.Kind, kind inventory.Kind) bool { return slices.Contains(kinds, kind) }
