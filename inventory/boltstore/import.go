package boltstore

import (
	"errors"
	"fmt"
	"sort"

	"github.com/google/uuid"

	"rangebox/inventory"
)

// ImportOptions say how a batch is taken in.
type ImportOptions struct {
	// Count books a `counted` entry for each lot whose quantity in the file
	// differs from the ledger's; without it the differences are listed only.
	Count bool
	// DryRun reports what would be done and does nothing.
	DryRun bool
	// Replace drops what the box knows of a record and the file does not say.
	// Without it a field that is absent in the file, which means "not known",
	// keeps the value it has: a sheet of three columns does not empty the others.
	Replace bool
}

// Import takes in a batch that is not prepared yet: it prepares it, puts its
// records and books its entries, all or nothing. What is refused comes as a
// *ProblemsError. Taken in twice, a batch changes nothing the second time.
func (t *Tx) Import(batch *inventory.Batch, opt ImportOptions) (ImportReport, error) {
	im := &importing{t: t, batch: batch, opt: opt}
	t.discard = opt.DryRun
	for _, step := range []func() error{im.prepare, im.alike, im.putRecords, im.bookEntries, im.standIns, im.putKnownLots, im.quantities, im.tell} {
		if err := step(); err != nil {
			return ImportReport{}, err
		}
		if t.err != nil {
			return ImportReport{}, t.err
		}
	}
	return im.report, nil
}

// importing is a call of Import.
type importing struct {
	t        *Tx
	batch    *inventory.Batch
	opt      ImportOptions
	nameless []bool // of each item: it came without id
	known    []bool // of each item but entries: the box has it
	entries  map[uuid.UUID]*inventory.Event
	told     map[uuid.UUID]bool // lots that the batch has entries of
	byID     map[uuid.UUID]inventory.Record
	puts     []putReport
	problems []inventory.Problem
	report   ImportReport
}

// prepare gives ids, checks and resolves.
func (im *importing) prepare() error {
	im.nameless = make([]bool, len(im.batch.Items))
	for i, item := range im.batch.Items {
		im.nameless[i] = item.Record.Base().ID == uuid.Nil
	}
	im.problems = im.batch.Prepare(im.t)
	im.entries, im.told = map[uuid.UUID]*inventory.Event{}, map[uuid.UUID]bool{}
	for _, item := range im.batch.Items {
		if e, ok := item.Record.(*inventory.Event); ok {
			im.entries[e.ID] = e
			im.told[e.Lot.ID] = true
		}
	}
	for i, item := range im.batch.Items {
		im.keepHandle(i, item.Record)
		im.checkPieces(i, item.Record)
		if e, ok := item.Record.(*inventory.Event); ok {
			im.checkVoid(i, e)
		}
	}
	if err := im.refuse(); err != nil {
		return err
	}
	im.lookUp()
	return nil
}

// lookUp notes what the box has already.
func (im *importing) lookUp() {
	im.known = make([]bool, len(im.batch.Items))
	for i, item := range im.batch.Items {
		if item.Record.Kind() != inventory.KindEvent {
			_, im.known[i] = im.t.KindOf(item.Record.Base().ID)
		}
	}
}

func (im *importing) refuse() error {
	if len(im.problems) > 0 {
		sort.SliceStable(im.problems, func(i, j int) bool { return im.problems[i].Item < im.problems[j].Item })
		return &ProblemsError{Problems: im.problems}
	}
	return nil
}

// keepHandle keeps a record that was found by its former handle from being
// renamed back by a file that was written before.
func (im *importing) keepHandle(i int, rec inventory.Record) {
	head := rec.Base()
	if !im.nameless[i] || !rec.Kind().Info().Handled {
		return
	}
	h, found, err := im.t.handle(rec.Kind(), head.Handle)
	if err != nil {
		im.t.keep(err)
	}
	if found && h.Former {
		head.Handle, err = im.t.handleOf(h.ID)
		if err != nil {
			im.t.keep(err)
		}
	}
}

// checkVoid refuses a void of a void, as far as the target is known.
func (im *importing) checkVoid(i int, e *inventory.Event) {
	if e.What != inventory.Void {
		return
	}
	target, err := im.t.findEvent(e.Voids)
	if other, ok := im.entries[e.Voids]; ok {
		target, err = other, nil
	}
	if err != nil && !errors.Is(err, inventory.ErrNotFound) {
		im.t.keep(err)
	}
	if err == nil && target.What == inventory.Void {
		im.problems = append(im.problems, inventory.Problem{Item: i, Path: "voids",
			Err: fmt.Errorf("%w: the entry %s is a void, and a void cannot be voided", inventory.ErrInvalid, e.Voids)})
	}
}

// putRecords puts all but entries and the lots that are known: what a known lot
// shows depends on the entries that come with it. A new lot without entries is
// counted at once, while its pages are at hand.
func (im *importing) putRecords() error {
	for _, i := range im.order() {
		rec := im.batch.Items[i].Record
		lot, isLot := rec.(*inventory.Lot)
		if rec.Kind() == inventory.KindEvent || isLot && im.known[i] {
			continue
		}
		if err := im.put(i); err != nil {
			return err
		}
		if !isLot || !im.countedAtOnce(i, lot) || len(im.problems) > 0 {
			continue
		}
		if err := im.quantity(i, lot); err != nil {
			return err
		}
	}
	return im.refuse()
}

// order is the batch's own, but in bulk that of the ids: most buckets have ids for
// keys, and then grow at their ends, not all over (100,000 lots: a quarter less time).
func (im *importing) order() []int {
	order := make([]int, len(im.batch.Items))
	for i := range order {
		order[i] = i
	}
	if im.t.bulk != nil {
		sort.Slice(order, func(a, b int) bool {
			return lower(im.batch.Items[order[a]].Record.Base().ID, im.batch.Items[order[b]].Record.Base().ID)
		})
	}
	return order
}

// countedAtOnce tells which lots putRecords counts.
func (im *importing) countedAtOnce(i int, lot *inventory.Lot) bool {
	return !im.known[i] && !im.told[lot.ID]
}

func (im *importing) putKnownLots() error {
	for i, item := range im.batch.Items {
		if item.Record.Kind() != inventory.KindLot || !im.known[i] {
			continue
		}
		if err := im.put(i); err != nil {
			return err
		}
	}
	return im.refuse()
}

// put puts one record and remembers what it was before.
func (im *importing) put(i int) error {
	rec := im.batch.Items[i].Record
	old, err := im.before(i)
	if err != nil {
		return err
	}
	put := putReport{item: i, old: old, new: rec}
	if old != nil && !im.opt.Replace {
		put.new, err = filledUp(rec, old)
		if err != nil {
			return err
		}
		for _, err := range inventory.Check(put.new) {
			im.problems = append(im.problems, inventory.Problem{Item: i, Err: fmt.Errorf("together with what the box knows: %w", err)})
		}
	}
	put.changed, err = im.t.putRecord(put.new)
	if errors.Is(err, inventory.ErrConflict) || errors.Is(err, inventory.ErrInvalid) {
		im.problems = append(im.problems, inventory.Problem{Item: i, Err: err})
		return nil
	}
	if err != nil {
		return err
	}
	im.noted(put)
	return im.t.wrote(1)
}

// before is the record that an item is in the box, nil where it is new.
func (im *importing) before(i int) (inventory.Record, error) {
	if !im.known[i] {
		return nil, nil
	}
	return im.t.Get(im.batch.Items[i].Record.Base().ID)
}

// filledUp is a record with what is known of it already where it says nothing.
func filledUp(rec, old inventory.Record) (inventory.Record, error) {
	fields := inventory.Pack(rec)
	for num, value := range inventory.Pack(old) {
		if _, said := fields[num]; !said {
			fields[num] = value
		}
	}
	return inventory.Unpack(rec.Kind(), fields)
}

// inOneBooking is how many entries are judged and written at once.
const inOneBooking = 20_000

// bookEntries books the entries of the batch.
func (im *importing) bookEntries() error {
	var entries []*inventory.Event
	for _, item := range im.batch.Items {
		if e, ok := item.Record.(*inventory.Event); ok {
			entries = append(entries, e)
		}
	}
	for start := 0; start < len(entries); start += inOneBooking {
		part := entries[start:min(start+inOneBooking, len(entries))]
		n, err := im.t.book(part, false)
		if err != nil {
			return err
		}
		im.t.opt.progress(len(part))
		im.report.EntriesNew += n
		im.report.EntriesKnown += len(part) - n
	}
	return nil
}
