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
// and key, the checksum of the payload.
type derived map[string]map[string]uint32

// derivedBuckets are those that are computed from records and entries.
var derivedBuckets = []string{bucketIDs, bucketHandles, bucketRefs, bucketEventIDs,
	bucketLotEvents, bucketVoids, bucketStock, bucketLotStock}

func (d derived) put(bucket string, key []byte, value any) {
	if d[bucket] == nil {
		d[bucket] = map[string]uint32{}
	}
	d[bucket][string(key)] = crc32.Checksum(encode(value), castagnoli)
}

// join puts a member of a group; finish then puts the sizes.
func (d derived) join(bucket string, _ uuid.UUID, key []byte, value any) { d.put(bucket, key, value) }

// finish puts the sizes of the groups.
func (d derived) finish() {
	for _, bucket := range []string{bucketRefs, bucketLotEvents, bucketStock} {
		sizes := map[uuid.UUID]uint64{}
		for key := range d[bucket] {
			sizes[groupOf([]byte(key))]++
		}
		for group, n := range sizes {
			d.put(bucket, group[:], storedCount{n})
		}
	}
}

// compare holds the derived buckets against what they have to be.
func (x *verification) compare() {
	x.derived.finish()
	for _, bucket := range derivedBuckets {
		want := x.derived[bucket]
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
