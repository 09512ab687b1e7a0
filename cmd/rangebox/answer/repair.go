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
	Problems  []string `json:"problems"`
	Aside     []Aside  `json:"aside"`
	AsideFile string   `json:"aside_file,omitempty"`
	Kept      string   `json:"kept,omitempty"`
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
	if a.Record != nil {
		if text := archive.Object(a.Record); json.Valid(text) {
			out.Record = text
		}
	}
	return out
}
