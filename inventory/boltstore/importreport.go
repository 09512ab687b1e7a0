package boltstore

import (
	"slices"
	"sort"
	"time"

	"github.com/google/uuid"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// Status is what an import did with a record.
type Status uint8

// What an import can do with a record.
const (
	Unchanged Status = iota
	New
	Changed
)

// String is the status in words.
func (s Status) String() string { return [...]string{"unchanged", "new", "changed"}[s] }

// RecordReport is what an import did with one record.
type RecordReport struct {
	// Item is the record's place in the batch.
	Item    int
	Kind    inventory.Kind
	Handle  string
	Of      string // of a lot, kind and handle of its item
	ID      uuid.UUID
	Status  Status
	Changes []inventory.FieldChange // of changed records
}

// QuantityReport is a lot whose quantity in the file is not the ledger's.
type QuantityReport struct {
	Item    int
	Lot     uuid.UUID
	Of      string // kind and handle of the item
	File    quantity.Number
	Ledger  quantity.Number
	Counted bool // booked, as ImportOptions.Count asks
}

// CountReport is a count that an import booked itself.
type CountReport struct {
	Item       int
	Entry, Lot uuid.UUID
	At         time.Time
	Quantity   quantity.Number
}

// ImportReport is what an import did.
type ImportReport struct {
	Records                      []RecordReport
	NewCount, ChangedCount, Same int
	EntriesNew, EntriesKnown     int
	Counted                      []CountReport
	// TakenBack are counts of earlier imports whose entries this one brought, see standIns.
	TakenBack  []CountReport
	Quantities []QuantityReport
	Alike      []AlikeReport
}

// putReport remembers what is needed to tell what a put did, once all references have
// their handles.
type putReport struct {
	item     int
	old, new inventory.Record // old is nil for a new one
	changed  bool
}

// noted keeps what a put did; of records that did not change not both versions, which
// are many when a large file comes again.
func (im *importing) noted(p putReport) {
	if p.old == nil || p.changed {
		im.puts = append(im.puts, p)
		return
	}
	im.report.Same++
	im.report.Records = append(im.report.Records, p.report(Unchanged))
}

func (p putReport) report(s Status) RecordReport {
	head := p.new.Base()
	return RecordReport{Item: p.item, Kind: p.new.Kind(), Handle: head.Handle, ID: head.ID, Status: s}
}

// tell says what each put did, now that all records are there to be named.
func (im *importing) tell() error {
	im.report.Records = slices.Grow(im.report.Records, len(im.puts))
	for _, p := range im.puts {
		r := p.report(New)
		if p.old == nil {
			im.report.NewCount++
		} else {
			im.report.ChangedCount++
			if err := im.t.fillIn(p.new); err != nil {
				return err
			}
			r.Status, r.Changes = Changed, inventory.Differences(p.old, p.new)
		}
		if err := im.nameItem(&r, p.new); err != nil {
			return err
		}
		im.report.Records = append(im.report.Records, r)
	}
	sort.SliceStable(im.report.Records, func(i, j int) bool { return im.report.Records[i].Item < im.report.Records[j].Item })
	sort.SliceStable(im.report.Counted, func(i, j int) bool { return im.report.Counted[i].Item < im.report.Counted[j].Item })
	return nil
}

// nameItem says what a lot is of, which has no name of its own.
func (im *importing) nameItem(r *RecordReport, rec inventory.Record) (err error) {
	if lot, ok := rec.(*inventory.Lot); ok {
		r.Of, err = im.t.named(lot.Of.Item(), lot.Item.ID)
	}
	return err
}
