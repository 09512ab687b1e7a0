package boltstore

import (
	"encoding/binary"
	"fmt"
	"time"

	"github.com/google/uuid"

	"rangebox/inventory"
)

// The buckets beside the one of each kind of record. "group" in a comment means
// that the record whose id begins the keys knows their number, see group.go.
const (
	bucketMeta      = "meta"       // format, state
	bucketIDs       = "ids"        // record id -> its card: kind, handle, removed, sizes of its groups
	bucketHandles   = "handles"    // kind/handle -> record id, former, description
	bucketRefs      = "refs"       // group target: target + source -> kind of the source
	bucketEvents    = "events"     // sequence number -> entry
	bucketEventIDs  = "event-ids"  // entry id -> sequence number
	bucketLotEvents = "lot-events" // group lot: lot + sequence number -> nothing
	bucketVoids     = "voids"      // entry id -> id of the void that takes it back
	bucketStock     = "stock"      // group item: item + expiry + lot -> balance
	bucketLotStock  = "lot-stock"  // lot -> key of its balance
)

// The keys of the meta bucket.
const (
	keyFormat = "format"
	keyState  = "state"
)

// recordKinds are the kinds that have a bucket of their own; entries have events.
var recordKinds = func() []inventory.Kind {
	var kinds []inventory.Kind
	for _, info := range inventory.Kinds {
		if info.Kind != inventory.KindEvent {
			kinds = append(kinds, info.Kind)
		}
	}
	return kinds
}()

// allBuckets lists every bucket of a box.
var allBuckets = func() []string {
	names := []string{bucketMeta, bucketIDs, bucketHandles, bucketRefs, bucketEvents,
		bucketEventIDs, bucketLotEvents, bucketVoids, bucketStock, bucketLotStock}
	for _, kind := range recordKinds {
		names = append(names, string(kind))
	}
	return names
}()

func handleKey(kind inventory.Kind, handle string) []byte {
	return []byte(string(kind) + "/" + handle)
}

func seqKey(seq uint64) []byte { return binary.BigEndian.AppendUint64(nil, seq) }

// joined is a key made of an id and what follows it.
func joined(id uuid.UUID, rest []byte) []byte {
	return append(append(make([]byte, 0, len(id)+len(rest)), id[:]...), rest...)
}

// stockKey orders the lots of an item by their last day, those without one last.
func stockKey(lot *inventory.Lot) []byte {
	key := joined(lot.Item.ID, seqKey(expiryDays(lot.Expires)))
	return append(key, lot.ID[:]...)
}

// beforeUnix is the number of days from 0001-01-01 to 1970-01-01.
const beforeUnix = 719_162

// expiryDays counts from the year 1, so that no date that is taken is negative.
func expiryDays(d inventory.Date) uint64 {
	if d.IsZero() {
		return ^uint64(0)
	}
	unix := time.Date(d.Year, time.Month(d.Month), d.Day, 0, 0, 0, 0, time.UTC).Unix()
	return uint64(unix/86_400 + beforeUnix)
}

// keyText writes a key for a message.
func keyText(key []byte) string {
	if id, err := uuid.FromBytes(key); err == nil {
		return id.String()
	}
	const most = 64 // a key that is damaged can be of any length
	if len(key) > most {
		return fmt.Sprintf("%x... (%d bytes)", key[:most], len(key))
	}
	for _, c := range key {
		if c < ' ' || c > '~' {
			return fmt.Sprintf("%x", key)
		}
	}
	return fmt.Sprintf("%q", key)
}
