package inventory

import (
	"github.com/google/uuid"

	"rangebox/inventory/quantity"
)

// Day is a launch day, flights in the order in which they matter.
type Day struct {
	Header
	Date        Date
	Site        string
	Altitude    quantity.Opt[quantity.Length]
	Temperature quantity.Opt[quantity.Temperature]
	Wind        quantity.Opt[quantity.Speed]
	Confidence  quantity.Opt[quantity.Number]
	Flights     []Flight
}

// Flight is one flight of a launch day, or several alike.
type Flight struct {
	ID     uuid.UUID
	Rocket Ref
	Count  quantity.Opt[quantity.Count]
	With   map[string]string
	Result string
	Notes  string
}

// Kind is KindDay.
func (*Day) Kind() Kind { return KindDay }

var flightTable = &Table{Name: "flight", Fields: []Field{
	ident(1, "id", "the flight's own id", func(f *Flight) *uuid.UUID { return &f.ID }),
	ref(2, "rocket", "the rocket that flies", []Kind{KindRocket}, func(f *Flight) *Ref { return &f.Rocket }),
	number(3, "count", quantity.Piece, Positive, "how many such flights", func(f *Flight) *quantity.Opt[quantity.Count] { return &f.Count }),
	pairs(4, "with", "what differs from the rocket's record", func(f *Flight) *map[string]string { return &f.With }),
	text(5, "result", "what became of it", func(f *Flight) *string { return &f.Result }),
	text(6, "notes", "anything worth remembering", func(f *Flight) *string { return &f.Notes }),
}}

var dayTable = table("day", func(d *Day) *Header { return &d.Header }, false,
	date(10, "date", "the day", func(d *Day) *Date { return &d.Date }),
	text(11, "site", "where", func(d *Day) *string { return &d.Site }),
	number(12, "altitude_m", quantity.Metre, AnySign, "height of the site above the sea", func(d *Day) *quantity.Opt[quantity.Length] { return &d.Altitude }),
	number(13, "temperature_c", quantity.Celsius, AnySign, "air temperature", func(d *Day) *quantity.Opt[quantity.Temperature] { return &d.Temperature }),
	number(14, "wind_m_s", quantity.MetrePerSecond, NotNegative, "wind", func(d *Day) *quantity.Opt[quantity.Speed] { return &d.Wind }),
	number(15, "confidence", quantity.One, Positive, "chance with which the spares are to suffice", func(d *Day) *quantity.Opt[quantity.Number] { return &d.Confidence }).most(999_999_999),
	parts(16, "flights", "the flights, in the order in which they matter", flightTable, func(d *Day) *[]Flight { return &d.Flights }),
)
