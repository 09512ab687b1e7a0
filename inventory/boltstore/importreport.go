package boltstore

import (
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
	Quantities                   []QuantityReport
	Alike                        []AlikeReport
}

// putReport remembers what is needed to tell what changed, once all references
// have their handles.
type putReport struct {
	item    int
	old     inventory.Record
	new     inventory.Record
	changed bool
}

// tell says what each put did, now that all records are there to be named.
func (im *importing) tell() error {
	im.report.Records = make([]RecordReport, 0, len(im.puts))
	for _, p := range im.puts {
		head := p.new.Base()
		r := RecordReport{Item: p.item, Kind: p.new.Kind(), Handle: head.Handle, ID: head.ID, Status: p.status()}
		switch r.Status {
		case New:
			im.report.NewCount++
		case Changed:
			im.report.ChangedCount++
			if err := im.t.fillIn(p.new); err != nil {
				return err
			}
			r.Changes = inventory.Differences(p.old, p.new)
		default:
			im.report.Same++
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
	if lot, ok := rec.(*inventory.Lot); ok && r.Status != Unchanged {
		r.Of, err = im.t.named(lot.Of.Item(), lot.Item.ID)
	}
	return err
}

func (p putReport) status() Status {
	switch {
	case p.old == nil:
		return New
	case p.changed:
		return Changed
	}
	return Unchanged
}
