package answer

import (
	"strings"

	"rangebox/inventory"
)

// Changed answers add, edit and remove.
type Changed struct {
	Kind     string    `json:"kind"`
	Handle   string    `json:"handle"`
	ID       string    `json:"id"`
	Status   string    `json:"status"`
	Changes  []Change  `json:"changes,omitempty"`
	Warnings []Warning `json:"warnings"`
}

// CurveChanged answers `motor curve`. FirstSupplied and LastSupplied tell that a
// point of 0 N, which the file leaves out, was put at time 0 or behind the last.
type CurveChanged struct {
	Changed
	FirstSupplied bool `json:"first_supplied"`
	LastSupplied  bool `json:"last_supplied"`
}

// ChangedOf says what became of a record: added, changed, unchanged or removed.
func ChangedOf(rec inventory.Record, status string, changes []inventory.FieldChange, doubts []string) Changed {
	head := rec.Base()
	out := Changed{Kind: string(rec.Kind()), Handle: head.Handle, ID: head.ID.String(), Status: status, Warnings: []Warning{}}
	out.Changes = ChangesOf(changes)
	if status == "changed" && len(changes) == 0 {
		out.Status = "unchanged"
	}
	for _, d := range doubts {
		out.Warnings = append(out.Warnings, Warning{Kind: out.Kind, Record: head.Handle, Doubt: d})
	}
	return out
}

// ChangesOf are fields that differ.
func ChangesOf(changes []inventory.FieldChange) []Change {
	var out []Change
	for _, c := range changes {
		out = append(out, Change{c.Path, c.Old, c.New})
	}
	return out
}

// units are the endings of keys that labels and flags leave out.
var units = []string{"_a2s", "_mm2", "_ohm_per_m", "_mm", "_m_s", "_mah", "_ohm", "_kpa", "_pct", "_awg", "_uf", "_m", "_g", "_a", "_v", "_s", "_n", "_c"}

// Label is a field's key without its unit.
func Label(key string) string {
	for _, u := range units {
		if short, ok := strings.CutSuffix(key, u); ok && short != "" {
			return short
		}
	}
	return key
}
