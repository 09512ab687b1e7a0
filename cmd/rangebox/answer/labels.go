package answer

import (
	"encoding/json"

	"rangebox/inventory"
)

// Labels answers `stock labels`: the lots that got a label, in the order of the
// page.
type Labels struct {
	File   string     `json:"file"`
	Labels []LotLabel `json:"labels"`
	// Tails are what the lots are called, by id.
	Tails map[string]string `json:"-"`
}

// LotLabel is what stands on a lot's label; the hazard is what its owner typed.
type LotLabel struct {
	Lot      string `json:"lot"`
	Kind     string `json:"kind"`
	Item     string `json:"item"`
	Expires  string `json:"expires,omitempty"`
	NoExpiry bool   `json:"no_expiry"`
	Place    string `json:"place,omitempty"`
	Code     string `json:"code,omitempty"`
	Hazard   string `json:"hazard,omitempty"`
}

// LotLabelOf is a lot's label.
func LotLabelOf(lot *inventory.Lot, stock inventory.Stock) LotLabel {
	return LotLabel{
		Lot: lot.ID.String(), Kind: string(lot.Of.Item()), Item: lot.Item.String(), Expires: lot.Expires.String(),
		NoExpiry: lot.NoExpiry.Or(false), Place: stock.Place, Code: lot.Code, Hazard: lot.Hazard,
	}
}

// Calendar is the calendar file that `stock due` wrote.
type Calendar struct {
	File  string `json:"file"`
	Count int    `json:"events"`
}

// LastDay is the last day of a lot.
type LastDay struct {
	Lot, Tail, Kind, Item string
	Day                   inventory.Date
	Quantity              json.Number
	Unit, Place           string
}

// LastDayOf is the last day of a lot that has one.
func LastDayOf(lot *inventory.Lot, item inventory.Record, stock inventory.Stock, tail string) LastDay {
	return LastDay{Lot: lot.ID.String(), Tail: tail, Kind: string(lot.Of.Item()), Item: lot.Item.String(), Day: lot.Expires,
		Quantity: plain(stock.OnHand), Unit: unitOf(item), Place: stock.Place}
}
