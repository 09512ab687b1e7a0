package inventory

import "rangebox/inventory/quantity"

// SupplyUnit is what a supply is counted in.
type SupplyUnit uint8

// The units of supplies.
const (
	InGrams SupplyUnit = iota + 1
	InPieces
)

// Supply is powder, wadding, plugs, pins, cases and whatever else a flight takes.
type Supply struct {
	Header
	Name     string
	Unit     SupplyUnit
	Reusable quantity.Opt[bool]
	Level    quantity.Opt[quantity.Number]
}

// Kind is KindSupply.
func (*Supply) Kind() Kind { return KindSupply }

var supplyTable = table("supply", func(s *Supply) *Header { return &s.Header }, true,
	text(10, "name", "what it is called", func(s *Supply) *string { return &s.Name }),
	word(11, "unit", "what it is counted in", []string{"g", "piece"}, func(s *Supply) *SupplyUnit { return &s.Unit }),
	flag(12, "reusable", "whether it comes back from a flight", func(s *Supply) *quantity.Opt[bool] { return &s.Reusable }),
	number(13, "level", quantity.Amount, NotNegative, "reorder below this much", func(s *Supply) *quantity.Opt[quantity.Number] { return &s.Level }),
)
