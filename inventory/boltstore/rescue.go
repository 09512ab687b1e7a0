package boltstore

import (
	"bytes"
	"errors"
	"maps"
	"os"
	"slices"

	"github.com/google/uuid"

	"rangebox/inventory"
)

// rescued is what can be read of a damaged file: the values of the primary
// buckets that are whole, those that are not, and what the derived ones still
// tell of records that are lost.
type rescued struct {
	whole  map[string]map[string][]byte // payloads by bucket and key
	spoilt []spoiltValue
	cards  map[uuid.UUID]storedID
	items  map[uuid.UUID]uuid.UUID // lot to item
	kept   map[uuid.UUID]inventory.Stock
	lots   map[string]uuid.UUID // key of an entry to its lot
	state  storedState
	// older holds the keys whose value was found in a page no longer in use.
	older map[string]bool
	newer error
}

// spoiltValue is a value that is not what was written.
type spoiltValue struct {
	bucket     string
	key, value []byte
	why        error
}

// rescue reads what there is to read, page by page, without trusting any.
func rescue(file *os.File) (*rescued, error) {
	r := &rescued{whole: map[string]map[string][]byte{}, cards: map[uuid.UUID]storedID{}, items: map[uuid.UUID]uuid.UUID{},
		kept: map[uuid.UUID]inventory.Stock{}, lots: map[string]uuid.UUID{}, older: map[string]bool{}}
	for _, bucket := range allBuckets {
		r.whole[bucket] = map[string][]byte{}
	}
	w := &pages{file: file}
	m, ok := w.start()
	if !ok {
		return nil, pageDamage("no meta page is whole")
	}
	w.follow(m.root, "", 0, r.take)
	if r.newer != nil {
		return nil, r.newer
	}
	if lacks := r.lacks(); lacks || w.first() != "" || len(r.spoilt) > 0 {
		r.leftovers(w)
	}
	r.hints()
	return r, nil
}

// follow walks a tree as far as it leads anywhere; bucket is empty for the root.
func (w *pages) follow(id uint64, bucket string, depth int, visit func(bucket string, key, value []byte)) {
	flags, data, ok := w.page(id, "the tree", depth)
	if !ok {
		return
	}
	if flags == leafPage {
		w.values(data, bucket, depth, visit)
		return
	}
	for i := 0; flags == branchPage && i < int(native.Uint16(data[10:])) && pageHeader+(i+1)*branchElement <= len(data); i++ {
		w.follow(native.Uint64(data[pageHeader+i*branchElement+8:]), bucket, depth+1, visit)
	}
}

// values hands over the values of a page that lie inside it.
func (w *pages) values(data []byte, bucket string, depth int, visit func(bucket string, key, value []byte)) {
	for i := 0; i < int(native.Uint16(data[10:])) && pageHeader+(i+1)*leafElement <= len(data); i++ {
		e := data[pageHeader+i*leafElement:]
		pos, size := native.Uint32(e[4:]), native.Uint32(e[8:])
		key, ok := span(e, pos, size)
		value, ok2 := span(e, pos+size, native.Uint32(e[12:]))
		switch {
		case !ok || !ok2:
			w.problem("a value lies outside its page")
		case bucket != "":
			visit(bucket, key, value)
		case len(value) < bucketHeader:
		case native.Uint64(value) != 0:
			w.follow(native.Uint64(value), string(key), depth+1, visit)
		case len(value) >= bucketHeader+pageHeader:
			w.values(value[bucketHeader:], string(key), depth, visit)
		}
	}
}

// take sorts a value that the tree leads to.
func (r *rescued) take(bucket string, key, value []byte) {
	payload, err := unseal(bucket, key, value)
	switch {
	case errors.Is(err, inventory.ErrNewer):
		r.newer = err
	case err == nil && r.whole[bucket] != nil:
		r.whole[bucket][string(key)] = bytes.Clone(payload)
	case slices.Contains(primaryBuckets, bucket):
		r.spoilt = append(r.spoilt, spoiltValue{bucket, bytes.Clone(key), bytes.Clone(value), err})
	}
}

// primaryBuckets hold what was entered; all else is computed from them.
var primaryBuckets = func() []string {
	names := []string{bucketEvents}
	for _, kind := range recordKinds {
		names = append(names, string(kind))
	}
	return names
}()

// lacks tells whether fewer values were found than were written.
func (r *rescued) lacks() bool {
	payload, ok := r.whole[bucketMeta][keyState]
	if !ok || decode(bucketMeta, []byte(keyState), payload, &r.state) != nil {
		return true
	}
	return slices.ContainsFunc(primaryBuckets, func(bucket string) bool {
		return uint64(len(r.whole[bucket])) < r.state.Counts[bucket]
	})
}

// leftovers looks for what is missing in the pages that nothing leads to: those
// behind a damaged branch, and free ones that hold an earlier version. Nothing
// is ever deleted from a primary bucket, so that a key that is not in the tree
// is one that was lost. The checksum tells which bucket a value belongs to.
func (r *rescued) leftovers(w *pages) {
	for id := uint64(2); id < w.high; id++ {
		if w.used[id] != "" {
			continue
		}
		data, ok := w.read(id, "a page", 0)
		if !ok || native.Uint16(data[8:]) != leafPage {
			continue
		}
		w.values(data, "unknown", 0, func(_ string, key, value []byte) { r.leftover(key, value) })
	}
}

func (r *rescued) leftover(key, value []byte) {
	for _, bucket := range primaryBuckets {
		payload, err := unseal(bucket, key, value)
		if err != nil {
			continue
		}
		had, there := r.whole[bucket][string(key)]
		if !there || r.older[bucket+string(key)] && changedOf(payload) > changedOf(had) {
			r.older[bucket+string(key)] = true
			r.whole[bucket][string(key)] = bytes.Clone(payload)
		}
	}
}

func changedOf(payload []byte) int64 {
	var s storedRecord
	_ = decode("", nil, payload, &s) // what does not decode is oldest
	return s.Changed
}

// hints reads what the derived buckets tell of records.
func (r *rescued) hints() {
	for key, payload := range r.whole[bucketIDs] {
		var card storedID
		if id, err := uuid.FromBytes([]byte(key)); err == nil && decode(bucketIDs, []byte(key), payload, &card) == nil {
			r.cards[id] = card
		}
	}
	for key, payload := range r.whole[bucketStock] {
		if len(key) != 40 { // item, last day, lot
			continue
		}
		lot := uuid.UUID([]byte(key[24:]))
		r.items[lot] = groupOf([]byte(key))
		var s storedStock
		if decode(bucketStock, []byte(key), payload, &s) == nil {
			r.kept[lot] = s.stock()
		}
	}
	for key := range r.whole[bucketLotEvents] {
		if len(key) == 24 { // lot, number of the entry
			r.lots[key[16:]] = groupOf([]byte(key))
		}
	}
}

// lostLots are the lots of the entries of which nothing was found.
func (r *rescued) lostLots() []uuid.UUID {
	found := map[string]bool{}
	for _, v := range r.spoilt {
		found[string(v.key)] = true
	}
	lots := map[uuid.UUID]bool{}
	for key, lot := range r.lots {
		if r.whole[bucketEvents][key] == nil && !found[key] {
			lots[lot] = true
		}
	}
	return slices.SortedFunc(maps.Keys(lots), func(a, b uuid.UUID) int { return bytes.Compare(a[:], b[:]) })
}

// keys are the keys of a bucket in their order.
func (r *rescued) keys(bucket string) []string { return slices.Sorted(maps.Keys(r.whole[bucket])) }
