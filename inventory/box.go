package inventory

import (
	"bytes"
	"fmt"
	"sort"

	"github.com/google/uuid"
)

// Box is a plain value that holds what was asked for: records, what the ledger
// says of the lots among them, and the settings. References between its records
// are resolved, with id and handle.
type Box struct {
	records map[uuid.UUID]Record
	handles map[Kind]map[string]uuid.UUID
	stock   map[uuid.UUID]Stock
	lots    map[uuid.UUID][]*Lot // by item, first to expire first
	// readings by what they are of, earliest first
	readings map[uuid.UUID][]*Reading
}

// NewBox is an empty box.
func NewBox() *Box {
	return &Box{records: map[uuid.UUID]Record{}, handles: map[Kind]map[string]uuid.UUID{}, stock: map[uuid.UUID]Stock{}}
}

// BoxOf makes a box from a batch alone, with the ledger folded; it serves where
// there is no store. The error is the first problem of the batch.
func BoxOf(b *Batch) (*Box, error) {
	if problems := b.Prepare(Nothing{}); len(problems) > 0 {
		p := problems[0]
		return nil, fmt.Errorf("%s in row %d: %w", b.Items[p.Item].Record.Kind(), b.Items[p.Item].Row, p.Err)
	}
	box := NewBox()
	for _, item := range b.Items {
		box.Put(item.Record)
	}
	box.Link()
	box.foldAll()
	return box, nil
}

// Put adds or replaces a record, which has its id.
func (b *Box) Put(rec Record) {
	head, kind := rec.Base(), rec.Kind()
	b.records[head.ID] = rec
	if head.Handle == "" {
		return
	}
	if b.handles[kind] == nil {
		b.handles[kind] = map[string]uuid.UUID{}
	}
	b.handles[kind][head.Handle] = head.ID
}

// Link fills in the handles of references whose records are in the box, and
// gathers the lots of each item; it is called once all records are put.
func (b *Box) Link() {
	b.lots = map[uuid.UUID][]*Lot{}
	for _, lot := range List[*Lot](b) {
		b.lots[lot.Item.ID] = append(b.lots[lot.Item.ID], lot)
	}
	for _, lots := range b.lots {
		sort.SliceStable(lots, func(i, j int) bool { return SoonerOut(lots[i], lots[j]) })
	}
	b.readings = readingsByTarget(List[*Reading](b))
	for _, rec := range b.records {
		for _, r := range References(rec) {
			if target, ok := b.records[r.Ref.ID]; ok {
				r.Ref.Handle = target.Base().Handle
			}
		}
	}
}

// SetStock says what the ledger says of a lot.
func (b *Box) SetStock(lot uuid.UUID, s Stock) { b.stock[lot] = s }

// Stock is what the ledger says of a lot.
func (b *Box) Stock(lot *Lot) Stock { return b.stock[lot.ID] }

// foldAll folds the events in the box. A lot has the quantity its file gave, where
// it gave one.
func (b *Box) foldAll() {
	entries := map[uuid.UUID][]*Event{}
	voided := map[uuid.UUID]bool{}
	for _, e := range List[*Event](b) {
		entries[e.Lot.ID] = append(entries[e.Lot.ID], e)
		if e.What == Void {
			voided[e.Voids] = true
		}
	}
	for _, lot := range List[*Lot](b) {
		stock := Fold(lot, entries[lot.ID], func(id uuid.UUID) bool { return voided[id] })
		stock.OnHand = lot.Quantity.Or(stock.OnHand) // as the import counts a lot that is new
		b.stock[lot.ID] = stock
	}
}

// List gives all records of one type, by handle, then by id.
func List[R Record](b *Box) []R {
	var list []R
	for _, rec := range b.records {
		if r, ok := rec.(R); ok {
			list = append(list, r)
		}
	}
	sort.Slice(list, func(i, j int) bool {
		x, y := list[i].Base(), list[j].Base()
		if x.Handle != y.Handle {
			return x.Handle < y.Handle
		}
		return bytes.Compare(x.ID[:], y.ID[:]) < 0
	})
	return list
}

// Follow finds the record a reference points to.
func Follow[R Record](b *Box, r Ref) (R, bool) {
	rec, ok := b.records[r.ID].(R)
	return rec, ok
}

// Find finds a record by its handle; the error wraps ErrNotFound.
func Find[R Record](b *Box, kind Kind, handle string) (R, error) {
	rec, ok := b.records[b.handles[kind][handle]].(R)
	if !ok {
		return rec, fmt.Errorf("%w: there is no %s %q", ErrNotFound, kind, Printable(handle))
	}
	return rec, nil
}

// LotsOf lists the lots of an item: first to expire first, those without a
// date last, then by id. It needs Link first.
func (b *Box) LotsOf(item uuid.UUID) []*Lot { return b.lots[item] }

// SoonerOut tells which of two lots is to be used first.
func SoonerOut(a, b *Lot) bool {
	if a.Expires != b.Expires {
		return !a.Expires.IsZero() && (b.Expires.IsZero() || a.Expires.Before(b.Expires))
	}
	return bytes.Compare(a.ID[:], b.ID[:]) < 0
}

// Settings are the box's settings, or empty ones.
func (b *Box) Settings() *Settings {
	if s, ok := b.records[SettingsID].(*Settings); ok {
		return s
	}
	return &Settings{}
}
