package answer

import (
	"time"

	"rangebox/inventory"
	"rangebox/inventory/boltstore"
)

// Verify answers `verify`. Change and Changed are the number and the time of the
// last change: one kind of damage silently brings back the state before it.
type Verify struct {
	Change   uint64         `json:"change"`
	Changed  string         `json:"changed"`
	Format   int            `json:"format"`
	Records  map[string]int `json:"records"`
	Entries  int            `json:"entries"`
	Problems []string       `json:"problems"`
	Doubts   []string       `json:"doubts"`
}

// VerifyOf turns the store's report into JSON.
func VerifyOf(r boltstore.VerifyReport) Verify {
	out := Verify{
		Change: r.Revision.Number, Changed: r.Revision.Changed.UTC().Format(time.RFC3339), Format: r.Format,
		Records: map[string]int{}, Entries: r.Entries,
		Problems: append([]string{}, r.Problems...), Doubts: append([]string{}, r.Doubts...),
	}
	for _, info := range inventory.Kinds {
		if n := r.Records[info.Kind]; n > 0 && info.Kind != inventory.KindEvent {
			out.Records[info.Plural] = n
		}
	}
	return out
}
