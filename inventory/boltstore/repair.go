package boltstore

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"github.com/google/uuid"

	"rangebox/inventory"
)

// Aside is a value that has no place in the repaired box.
type Aside struct {
	Bucket, Key string
	// Handle is what the record was called, as far as an index still knows.
	Handle string
	Why    string
	// Instead says what stands in its place, empty for nothing.
	Instead string
	// Record is what can be read of it, nil for nothing; parts may be wrong.
	Record inventory.Record
	// Raw is the value as it was found.
	Raw []byte
	// Lost counts values that were written and of which nothing was found.
	Lost int
	// Lots are those that entries of the ledger were of, as far as an index still
	// knows, or the lot itself; of one that is lost there may be the id alone.
	Lots []*inventory.Lot
}

// RepairedLot is a lot of which the box kept another balance than the entries
// come to that are left.
type RepairedLot struct {
	Lot           *inventory.Lot
	Before, After inventory.Stock
}

// RepairReport is what a repair found and did.
type RepairReport struct {
	// Problems is what Verify found; without any nothing was done.
	Problems []string
	Aside    []Aside
	Lots     []RepairedLot
	// NotCompared counts the lots whose former balance is damaged as well.
	NotCompared int
	// Kept is where the damaged file is kept.
	Kept string
}

// Repair makes a new box of all that can be read of a damaged one: everything
// that is derived is computed anew; what is damaged, and what cannot stand
// without it, is handed to putAside before the new box takes the place of the
// old. The old file is kept beside it, under a number. Nothing is done to a box
// in which nothing is off.
func Repair(path string, opt Options, putAside func([]Aside) error) (report RepairReport, err error) {
	if err := opt.checkClock(); err != nil {
		return report, err
	}
	found, err := Verify(path, opt)
	report.Problems = found.Problems
	if errors.Is(err, inventory.ErrDamaged) {
		report.Problems, err = append(report.Problems, err.Error()), nil
	}
	if err != nil || len(report.Problems) == 0 {
		return report, err
	}
	o, err := open(path, opt, true) // the lock keeps writers away until the end
	if err != nil {
		return report, err
	}
	defer o.abandon()
	temp, err := newTemp(path)
	if err != nil {
		return report, err
	}
	defer os.Remove(temp)
	b, err := rebuild(o.file, temp, opt)
	if err != nil {
		return report, fmt.Errorf("repair %s: %w", path, err)
	}
	report.Aside, report.Lots, report.NotCompared = b.aside, b.lots, b.notCompared
	if len(report.Aside) > 0 {
		if err := putAside(report.Aside); err != nil {
			return report, err
		}
	}
	step("rebuilt")
	report.Kept, err = keepNumbered(path, func(name string) error { return copyOrLink(path, name) })
	if err != nil {
		return report, err
	}
	step("damaged kept")
	if err := os.Rename(temp, path); err != nil {
		return report, fmt.Errorf("put the repaired box in place: %w", err)
	}
	step("repaired")
	return report, syncFolder(filepath.Dir(path))
}

// rebuild fills a new box with what a damaged file holds, and verifies it.
func rebuild(file *os.File, temp string, opt Options) (*rebuilding, error) {
	from, err := rescue(file)
	if err != nil {
		return nil, err
	}
	b := &rebuilding{from: from, records: map[uuid.UUID]*rebuilt{}}
	b.sort()
	opt.Bulk = len(b.events) > OneTransaction
	if _, err := fill(temp, opt, b.write); err != nil {
		return nil, err
	}
	again, err := Verify(temp, opt)
	if err == nil {
		err = again.Err()
	}
	return b, err
}

// rebuilding is a call of Repair.
type rebuilding struct {
	from    *rescued
	records map[uuid.UUID]*rebuilt
	order   []uuid.UUID
	events  []*inventory.Event
	aside   []Aside
	// lots are those that stand otherwise than before.
	lots        []RepairedLot
	notCompared int
}

// rebuilt is a record of the new box; rec is nil for a tombstone.
type rebuilt struct {
	kind   inventory.Kind
	stored storedRecord
	rec    inventory.Record
}

// sort decides what goes into the new box and what is put aside.
func (b *rebuilding) sort() {
	for _, kind := range recordKinds {
		for _, key := range b.from.keys(string(kind)) {
			b.sortRecord(kind, []byte(key), b.from.whole[string(kind)][key])
		}
	}
	b.sortEvents()
	b.sortSpoilt()
	b.countLost()
	for b.standIns() { // a stand-in may refer to what is lost as well
	}
	b.dropDangling()
	b.nameLots()
}

func (b *rebuilding) sortRecord(kind inventory.Kind, key, payload []byte) {
	var s storedRecord
	id, err := uuid.FromBytes(key)
	if err == nil {
		err = decode(string(kind), key, payload, &s)
	}
	r := &rebuilt{kind: kind, stored: s}
	if err == nil && !s.Removed {
		if r.rec, err = (&View{}).bare(kind, id, s); err == nil {
			err = errors.Join(inventory.Check(r.rec)...)
		}
	}
	if _, twice := b.records[id]; err == nil && twice {
		err = fmt.Errorf("%w: another record has the id %s", inventory.ErrDamaged, id)
	}
	if err != nil {
		b.put(Aside{Bucket: string(kind), Key: keyText(key), Handle: b.from.cards[id].Handle, Why: err.Error(), Record: r.rec, Raw: payload})
		return
	}
	b.records[id] = r
	b.order = append(b.order, id)
}

func (b *rebuilding) sortEvents() {
	seen := map[uuid.UUID]bool{}
	for _, key := range b.from.keys(bucketEvents) {
		payload := b.from.whole[bucketEvents][key]
		e, err := (&View{}).event([]byte(key), payload)
		if err == nil {
			err = errors.Join(inventory.Check(e)...)
		}
		if err == nil && (seen[e.ID] || b.records[e.ID] != nil) {
			err = fmt.Errorf("%w: the id %s is there twice", inventory.ErrDamaged, e.ID)
		}
		if err != nil {
			b.put(Aside{Bucket: bucketEvents, Key: keyText([]byte(key)), Why: err.Error(), Raw: payload, Lots: b.entryLots(key, nil)})
			continue
		}
		seen[e.ID] = true
		b.events = append(b.events, e)
	}
}

// sortSpoilt puts aside the values whose checksum is wrong, with what can be
// read of them all the same.
func (b *rebuilding) sortSpoilt() {
	for _, v := range b.from.spoilt {
		a := Aside{Bucket: v.bucket, Key: keyText(v.key), Why: "it is not what was written", Raw: v.value}
		if v.why != nil {
			a.Why = v.why.Error()
		}
		if id, err := uuid.FromBytes(v.key); err == nil {
			a.Handle = b.from.cards[id].Handle
		}
		if b.from.older[v.bucket+string(v.key)] {
			a.Instead = "an earlier version of it"
		}
		a.Record = readAnyway(v)
		if v.bucket == bucketEvents {
			a.Lots = b.entryLots(string(v.key), a.Record)
		}
		b.put(a)
	}
}

// countLost says how many values were written and are nowhere to be found.
func (b *rebuilding) countLost() {
	if b.from.state.Counts == nil {
		b.put(Aside{Bucket: bucketMeta, Key: keyState, Why: "how many values were written is not known any more, so that some may be lost"})
	}
	for _, bucket := range primaryBuckets {
		found := len(b.from.whole[bucket])
		for _, v := range b.from.spoilt {
			if v.bucket == bucket && !b.from.older[bucket+string(v.key)] {
				found++
			}
		}
		if lost := int(b.from.state.Counts[bucket]) - found; lost > 0 {
			a := Aside{Bucket: bucket, Key: "not known", Lost: lost, Why: fmt.Sprintf("%d were written and cannot be found", lost)}
			if bucket == bucketEvents {
				a.Lots = lotsOf(b.from.lostLots()...)
			}
			b.put(a)
		}
	}
}

// readAnyway reads a value in spite of its checksum.
func readAnyway(v spoiltValue) inventory.Record {
	kind := inventory.Kind(v.bucket)
	if v.bucket == bucketEvents {
		kind = inventory.KindEvent
	}
	var s storedRecord
	if len(v.value) < envelopeSize || len(v.value) > largestValue || decode(v.bucket, v.key, v.value[envelopeSize:], &s) != nil {
		return nil
	}
	rec, err := decodeFields(kind, s.Fields)
	if err != nil {
		return nil
	}
	return rec
}

func (b *rebuilding) put(a Aside) { b.aside = append(b.aside, a) }

// entryLots is the lot of an entry that is damaged: the index knows it, else what
// can be read of the entry, where there is such a lot.
func (b *rebuilding) entryLots(key string, rec inventory.Record) []*inventory.Lot {
	if lot, ok := b.from.lots[key]; ok {
		return lotsOf(lot)
	}
	if e, ok := rec.(*inventory.Event); ok && b.has(e.Lot.ID) {
		return lotsOf(e.Lot.ID)
	}
	return nil
}

// lotsOf are lots of which nothing is known yet but their ids.
func lotsOf(ids ...uuid.UUID) []*inventory.Lot {
	var lots []*inventory.Lot
	for _, id := range ids {
		lot := &inventory.Lot{}
		lot.ID = id
		lots = append(lots, lot)
	}
	return lots
}

// nameLots says of what the lots are that were put aside, or whose entries were.
func (b *rebuilding) nameLots() {
	for i := range b.aside {
		a := &b.aside[i]
		if id, err := uuid.Parse(a.Key); err == nil && a.Bucket == string(inventory.KindLot) {
			a.Lots = lotsOf(id)
		}
		for _, lot := range a.Lots {
			*lot = *b.lotNamed(lot.ID)
		}
	}
}

// lotNamed is a lot with the handle of its item, as far as they are known.
func (b *rebuilding) lotNamed(id uuid.UUID) *inventory.Lot {
	lot := lotsOf(id)[0]
	if r := b.records[id]; r != nil {
		if there, ok := r.rec.(*inventory.Lot); ok {
			*lot = *there
		}
	}
	if lot.Item.IsZero() {
		lot.Item.ID = b.from.items[id]
		lot.Of, _ = inventory.LotKindOf(b.from.cards[lot.Item.ID].Kind)
	}
	lot.Item.Handle = b.from.cards[lot.Item.ID].Handle
	if b.has(lot.Item.ID) {
		lot.Item.Handle = b.records[lot.Item.ID].rec.Base().Handle
	}
	return lot
}
