package answer

import (
	"encoding/json"

	"rangebox/compat"
	"rangebox/inventory/quantity"
)

// Storage answers `stock storage`.
type Storage struct {
	Places []StoredAt `json:"places"`
	Total  StoredAt   `json:"total"`
}

// StoredAt is the propellant and the powder at one place, against the user's limit.
type StoredAt struct {
	Place       string      `json:"place"`
	PropellantG json.Number `json:"propellant_g"`
	PowderG     json.Number `json:"powder_g"`
	TotalG      json.Number `json:"total_g"`
	LimitG      Num         `json:"limit_g,omitempty"`
	OverG       Num         `json:"over_g,omitempty"`
	// Unknown are lots of motors without a propellant mass: not counted.
	Unknown []PackItem `json:"unknown"`
	// Uncounted are supplies kept by weight that no charge names as its powder.
	Uncounted []PackItem `json:"uncounted"`
}

// StorageOf turns what is stored into JSON.
func StorageOf(places []compat.StoredAt, total compat.StoredAt) Storage {
	out := Storage{Places: []StoredAt{}, Total: storedAt(&total)}
	for i := range places {
		out.Places = append(out.Places, storedAt(&places[i]))
	}
	return out
}

func storedAt(s *compat.StoredAt) StoredAt {
	grams := func(m quantity.Mass) json.Number { return json.Number(quantity.Gram.Format(int64(m))) }
	out := StoredAt{s.Place, grams(s.Propellant), grams(s.Powder), grams(s.Total()), num(s.Limit, quantity.Gram), nil, []PackItem{}, []PackItem{}}
	if over := s.Over(); over > 0 {
		out.OverG = num(quantity.Some(over), quantity.Gram)
	}
	for _, u := range s.Unknown {
		out.Unknown = append(out.Unknown, PackItem{Item: u.Lot.Item.Handle, Lot: u.Lot.ID.String(), Quantity: plain(u.Quantity)})
	}
	for _, u := range s.Uncounted {
		out.Uncounted = append(out.Uncounted, PackItem{Item: u.Lot.Item.Handle, Lot: u.Lot.ID.String(), Quantity: plain(u.Quantity), Unit: "g"})
	}
	return out
}
