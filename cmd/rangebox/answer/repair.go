package answer

import (
	"encoding/json"

	"rangebox/importers/archive"
	"rangebox/inventory"
	"rangebox/inventory/boltstore"
)

// Repair answers `verify --repair`: what was off, what was put aside, into which
// file, and where the damaged box is kept.
type Repair struct {
	Problems []string `json:"problems"`
	Aside    []Aside  `json:"aside"`
	// Lots are those that stand otherwise than the box said before; of how many
	// that cannot be told, NotCompared says.
	Lots        []RepairedLot `json:"lots"`
	NotCompared int           `json:"lots_not_compared,omitempty"`
	AsideFile   string        `json:"aside_file,omitempty"`
	Kept        string        `json:"kept,omitempty"`
}

// RepairedLot is a lot and its balance before and after the repair.
type RepairedLot struct {
	LotName
	Before Balance `json:"before"`
	Now    Balance `json:"now"`
}

// LotName is a lot and what it is of; item is absent where that is lost.
type LotName struct {
	Lot  string `json:"lot"`
	Kind string `json:"kind,omitempty"`
	Item string `json:"item,omitempty"`
}

func lotNameOf(lot *inventory.Lot) LotName {
	return LotName{lot.ID.String(), string(lot.Of.Item()), lot.Item.Handle}
}

// RepairOf turns the store's report into JSON.
func RepairOf(r boltstore.RepairReport, asideFile string) Repair {
	out := Repair{Problems: append([]string{}, r.Problems...), Aside: AsideOf(r.Aside), Lots: []RepairedLot{},
		NotCompared: r.NotCompared, AsideFile: asideFile, Kept: r.Kept}
	for _, l := range r.Lots {
		out.Lots = append(out.Lots, RepairedLot{lotNameOf(l.Lot), balanceOf(l.Before), balanceOf(l.After)})
	}
	return out
}

// Aside is a value that was put aside. Record is what can be read of it, of which
// parts may be wrong; Raw is what the file held, in base64.
type Aside struct {
	Kind    string          `json:"kind"`
	Key     string          `json:"key"`
	Handle  string          `json:"handle,omitempty"`
	Why     string          `json:"why"`
	Instead string          `json:"instead,omitempty"`
	Record  json.RawMessage `json:"record,omitempty"`
	Raw     []byte          `json:"raw,omitempty"`
	Lost    int             `json:"lost,omitempty"`
	// Lots are those that an entry of the ledger was of, or that lost ones were.
	Lots []LotName `json:"lots,omitempty"`
	// Entry is what can be read of an entry, for a person.
	Entry *LogRow `json:"-"`
}

// AsideOf turns what the store put aside into JSON; it is never null.
func AsideOf(list []boltstore.Aside) []Aside {
	out := []Aside{}
	for _, a := range list {
		out = append(out, asideOf(a))
	}
	return out
}

func asideOf(a boltstore.Aside) Aside {
	kind := a.Bucket
	if info, ok := inventory.KindNamed(kind); ok {
		kind = string(info.Kind)
	}
	out := Aside{Kind: kind, Key: a.Key, Handle: inventory.Printable(a.Handle), Why: inventory.Printable(a.Why), Instead: a.Instead, Raw: a.Raw, Lost: a.Lost}
	for _, lot := range a.Lots {
		out.Lots = append(out.Lots, lotNameOf(lot))
	}
	if e, ok := a.Record.(*inventory.Event); ok {
		row := LogRowOf(e, "", false)
		out.Entry = &row
	}
	if a.Record != nil {
		if text := archive.Object(a.Record); json.Valid(text) {
			out.Record = text
		}
	}
	return out
}
