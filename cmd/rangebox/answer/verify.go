package answer

import (
	"time"

	"rangebox/inventory"
	"rangebox/inventory/boltstore"
)

// Verify answers `verify`. Change and Changed are the number and the time of the
// last change: one kind of damage silently brings back the state before it. What
// stands before the problems is absent where the box could not be gone through.
type Verify struct {
	Change   uint64         `json:"change,omitempty"`
	Changed  string         `json:"changed,omitempty"`
	Format   int            `json:"format,omitempty"`
	Records  map[string]int `json:"records,omitzero"`
	Entries  *int           `json:"entries,omitempty"`
	Problems []string       `json:"problems"`
	Doubts   []string       `json:"doubts"`
}

// VerifyOf turns the store's report into JSON.
func VerifyOf(r boltstore.VerifyReport) Verify {
	out := Verify{Problems: append([]string{}, r.Problems...), Doubts: append([]string{}, r.Doubts...)}
	if r.Records == nil { // its pages lead nowhere
		return out
	}
	out.Change, out.Changed, out.Format = r.Revision.Number, r.Revision.Changed.UTC().Format(time.RFC3339), r.Format
	out.Records, out.Entries = map[string]int{}, &r.Entries
	for _, info := range inventory.Kinds {
		if n := r.Records[info.Kind]; n > 0 && info.Kind != inventory.KindEvent {
			out.Records[info.Plural] = n
		}
	}
	return out
}
