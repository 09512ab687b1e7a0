package answer

import (
	"encoding/json"
	"time"

	"rangebox/inventory"
	"rangebox/inventory/boltstore"
)

// Merge answers `merge`: what was taken in from the other box, what the two
// disagree on, and what needs a look. Kept is the copy of the box as it was.
type Merge struct {
	DryRun      bool          `json:"dry_run"`
	New         int           `json:"new"`
	Changed     int           `json:"changed"`
	Removed     int           `json:"removed"`
	Entries     int           `json:"entries"`
	Records     []Merged      `json:"records"`
	Lots        []MergedLot   `json:"lots"`
	Kept        string        `json:"kept,omitempty"`
	Conflicts   []Conflict    `json:"conflicts"`
	Count       []ToCount     `json:"count"`
	Interleaved []Interleaved `json:"interleaved"`
}

// Conflict is a record that both boxes changed; took is "ours" or "theirs",
// absent while nothing is decided.
type Conflict struct {
	Kind          string     `json:"kind"`
	Handle        string     `json:"handle,omitempty"`
	ID            string     `json:"id"`
	Took          string     `json:"took,omitempty"`
	OursAt        string     `json:"ours_at"`
	TheirsAt      string     `json:"theirs_at"`
	OursRemoved   bool       `json:"ours_removed"`
	TheirsRemoved bool       `json:"theirs_removed"`
	Fields        []Disputed `json:"fields"`
}

// Disputed is a field that the two boxes have different values for.
type Disputed struct {
	Field  string `json:"field"`
	Ours   string `json:"ours"`
	Theirs string `json:"theirs"`
}

// ToCount is a lot out of which both boxes together took more than there was.
type ToCount struct {
	Lot      string      `json:"lot"`
	Item     string      `json:"item"`
	Quantity json.Number `json:"quantity"`
	Promised json.Number `json:"promised"`
}

// Interleaved is a count in one box that lies so close to what the other booked
// that nobody can tell whether it saw it.
type Interleaved struct {
	Lot     string `json:"lot"`
	Item    string `json:"item"`
	Count   Entry  `json:"count"`
	CountAt string `json:"count_at"`
	Other   Entry  `json:"other"`
	OtherAt string `json:"other_at"`
}

// MergeOf turns the store's report into JSON; decided tells that the conflicts are.
func MergeOf(r boltstore.MergeReport, dryRun, decided bool) Merge {
	out := Merge{DryRun: dryRun, New: r.New, Changed: r.Changed, Removed: r.Removed, Entries: r.EntriesNew, Kept: r.Kept,
		Records: mergedOf(r.Records), Lots: mergedLotsOf(r.Lots),
		Conflicts: []Conflict{}, Count: []ToCount{}, Interleaved: []Interleaved{}}
	for _, c := range r.Conflicts {
		conflict := ConflictOf(c)
		if !decided {
			conflict.Took = ""
		}
		out.Conflicts = append(out.Conflicts, conflict)
	}
	return out
}

// ConflictOf is one conflict of a merge.
func ConflictOf(c boltstore.MergeConflict) Conflict {
	out := Conflict{Kind: string(c.Kind), Handle: c.Handle, ID: c.ID.String(), Took: "ours", Fields: []Disputed{},
		OursAt: moment(c.Ours.Changed), TheirsAt: moment(c.Theirs.Changed), OursRemoved: c.Ours.Removed, TheirsRemoved: c.Theirs.Removed}
	if c.TookOther {
		out.Took = "theirs"
	}
	for _, f := range c.Changes { // they go from what was dropped to what was taken
		d := Disputed{f.Path, f.New, f.Old}
		if c.TookOther {
			d = Disputed{f.Path, f.Old, f.New}
		}
		out.Fields = append(out.Fields, d)
	}
	return out
}

func moment(t time.Time) string { return t.UTC().Format(time.RFC3339) }

// AddCount notes a lot that has to be counted.
func (m *Merge) AddCount(lot *inventory.Lot, stock inventory.Stock) {
	m.Count = append(m.Count, ToCount{lot.ID.String(), lot.Item.Handle, plain(stock.OnHand), plain(stock.Promised)})
}

// AddInterleaved notes a count and an entry whose order is not sure.
func (m *Merge) AddInterleaved(lot *inventory.Lot, i boltstore.Interleaving) {
	m.Interleaved = append(m.Interleaved, Interleaved{Lot: lot.ID.String(), Item: lot.Item.Handle,
		Count: EntryOf(i.Count), CountAt: moment(i.Count.At), Other: EntryOf(i.Other), OtherAt: moment(i.Other.At)})
}
