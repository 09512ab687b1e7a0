package answer

import (
	"encoding/json"
	"fmt"

	"rangebox/inventory"
	"rangebox/inventory/boltstore"
)

// Import answers `import`: what was new, changed and the same.
type Import struct {
	DryRun     bool         `json:"dry_run"`
	New        int          `json:"new"`
	Changed    int          `json:"changed"`
	Unchanged  int          `json:"unchanged"`
	Records    []Imported   `json:"records"`
	Quantities []Difference `json:"quantities"`
	// TakenBack are counts of earlier imports, which stood in for entries that came now.
	TakenBack []Entry `json:"taken_back,omitempty"`
	Entries   []Entry `json:"entries"`
	// EntriesNew is how many entries of the file were booked.
	EntriesNew int       `json:"entries_new,omitempty"`
	Warnings   []Warning `json:"warnings"`
	// PassedOver are the sheets of a workbook that hold no table of records.
	PassedOver []string `json:"passed_over,omitempty"`
	// Mapped are the columns that --map named, and what they were taken for.
	Mapped []Mapped `json:"mapped,omitempty"`
	// Made are the handles of records that had none in the file.
	Made []Made `json:"handles_made,omitempty"`
	// Rejected is how many rows or pieces were not taken in, RejectedRows which,
	// and RejectedFile where they stand; a dry run writes none.
	Rejected     int           `json:"rejected"`
	RejectedRows []RejectedRow `json:"rejected_rows,omitempty"`
	RejectedFile string        `json:"rejected_file,omitempty"`
}

// RejectedRow is a row of a sheet or a piece of an archive that was not taken in.
type RejectedRow struct {
	Sheet   string   `json:"sheet,omitempty"`
	Section string   `json:"section,omitempty"`
	Row     int      `json:"row"`
	Reasons []string `json:"reasons"`
}

// Mapped is a mapped column: its field, and the unit of its bare numbers.
type Mapped struct {
	Sheet   string `json:"sheet,omitempty"`
	Header  string `json:"header"`
	Field   string `json:"field"`
	Unit    string `json:"unit,omitempty"`
	PerCell bool   `json:"unit_in_cells,omitempty"`
}

// Made is a handle that was made of maker and name.
type Made struct {
	Kind   string `json:"kind"`
	Handle string `json:"handle"`
	Sheet  string `json:"sheet,omitempty"`
	Row    int    `json:"row"`
}

// Imported is a record that is new or changed.
type Imported struct {
	Kind    string   `json:"kind"`
	Handle  string   `json:"handle,omitempty"`
	Item    string   `json:"item,omitempty"` // of a lot, kind and handle
	ID      string   `json:"id"`
	Status  string   `json:"status"`
	Changes []Change `json:"changes,omitempty"`
}

// Change is one field that differs.
type Change struct {
	Field string `json:"field"`
	Old   string `json:"old"`
	New   string `json:"new"`
}

// Difference is a lot whose quantity in the file is not the ledger's.
type Difference struct {
	Lot     string      `json:"lot"`
	Item    string      `json:"item"`
	File    json.Number `json:"file"`
	Ledger  json.Number `json:"ledger"`
	Counted bool        `json:"counted"`
}

// Entry is an entry that was booked.
type Entry struct {
	ID       string      `json:"id"`
	What     string      `json:"what"`
	Lot      string      `json:"lot"`
	Quantity json.Number `json:"quantity,omitempty"`
}

// Warning is something implausible, taken in all the same.
type Warning struct {
	Kind   string `json:"kind"`
	Record string `json:"record"`
	Row    int    `json:"row,omitempty"`
	Doubt  string `json:"doubt"`
}

// ImportOf turns the store's report into JSON.
func ImportOf(r boltstore.ImportReport, dryRun bool) Import {
	out := Import{
		DryRun: dryRun, EntriesNew: r.EntriesNew, New: r.NewCount, Changed: r.ChangedCount, Unchanged: r.Same,
		Records: []Imported{}, Quantities: []Difference{}, Entries: []Entry{}, Warnings: []Warning{},
	}
	for _, rec := range r.Records {
		if rec.Status != boltstore.Unchanged {
			out.Records = append(out.Records, imported(rec))
		}
	}
	for _, q := range r.Quantities {
		out.Quantities = append(out.Quantities, Difference{q.Lot.String(), q.Of, plain(q.File), plain(q.Ledger), q.Counted})
	}
	for _, c := range r.Counted {
		out.Entries = append(out.Entries, counted(c))
	}
	for _, c := range r.TakenBack {
		out.TakenBack = append(out.TakenBack, counted(c))
	}
	return out
}

func imported(rec boltstore.RecordReport) Imported {
	return Imported{Kind: string(rec.Kind), Handle: rec.Handle, Item: rec.Of, ID: rec.ID.String(), Status: rec.Status.String(), Changes: ChangesOf(rec.Changes)}
}

func counted(c boltstore.CountReport) Entry {
	return Entry{ID: c.Entry.String(), What: inventory.Counted.String(), Lot: c.Lot.String(), Quantity: plain(c.Quantity)}
}

// EntryOf is an entry of the ledger as an answer tells it.
func EntryOf(e *inventory.Event) Entry {
	out := Entry{ID: e.ID.String(), What: e.What.String(), Lot: e.Lot.ID.String()}
	if q, ok := e.Quantity.Get(); ok {
		out.Quantity = plain(q)
	}
	return out
}

// Warn notes what is implausible about a record.
func (i *Import) Warn(rec inventory.Record, row int, doubts []string) {
	for _, d := range doubts {
		i.Warnings = append(i.Warnings, Warning{string(rec.Kind()), NameOf(rec), row, d})
	}
}

// AlikeText warns of a new lot that looks like another, which the file lacks.
func AlikeText(a boltstore.AlikeReport) string {
	old := TailOf(a.Like.String())
	place := "at no place"
	if a.Stock.Place != "" {
		place = fmt.Sprintf("at %q", a.Stock.Place)
	}
	return fmt.Sprintf("this is a new lot, and lot %s (%s on hand %s), which the file does not hold, differs from it in %s only; if these are the same pieces, `rangebox stock count %s 0` takes the old lot out",
		old, plain(a.Stock.OnHand), place, a.Differs, old)
}

// Reject notes a row that was not taken in.
func (i *Import) Reject(row RejectedRow) {
	i.Rejected++
	i.RejectedRows = append(i.RejectedRows, row)
}

// NameOf is what a person calls a record: its handle, else the tail of its id.
func NameOf(rec inventory.Record) string {
	head := rec.Base()
	if head.Handle != "" {
		return head.Handle
	}
	return TailOf(head.ID.String())
}
