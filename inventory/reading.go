package inventory

import (
	"time"

	"rangebox/inventory/quantity"
)

// ReadingOf is what was measured: a type, by kind and handle, or a lot.
type ReadingOf struct {
	Kind string
	Item Ref
	Lot  Ref
}

// Reading is what the meter, the gauge or the scale said.
type Reading struct {
	Header
	At          time.Time
	Of          *ReadingOf
	What        string
	Nozzle      string
	Value       quantity.Opt[quantity.Number]
	LoadOhm     quantity.Opt[quantity.Resistance]
	N           quantity.Opt[quantity.Count]
	Temperature quantity.Opt[quantity.Temperature]
	By          string
}

// LoadedVolts is the reading of a battery under a known load; beside the latest
// open_circuit_v it gives the internal resistance.
const LoadedVolts = "loaded_v"

// Kind is KindReading.
func (*Reading) Kind() Kind { return KindReading }

var readingOfTable = &Table{Name: "what was measured", Fields: []Field{
	text(1, "kind", "kind of the type that was measured", func(o *ReadingOf) *string { return &o.Kind }),
	ref(2, "handle", "the type that was measured", []Kind{KindMotor, KindIgniter, KindBattery, KindController, KindLine, KindRocket, KindSupply},
		func(o *ReadingOf) *Ref { return &o.Item }),
	ref(3, "lot", "the lot that was measured", []Kind{KindLot}, func(o *ReadingOf) *Ref { return &o.Lot }),
}}

var readingTable = refusing(table("reading", func(r *Reading) *Header { return &r.Header }, false,
	moment(10, "at", "when it was read", func(r *Reading) *time.Time { return &r.At }),
	part(11, "of", "what was measured", readingOfTable, func(r *Reading) **ReadingOf { return &r.Of }),
	text(12, "what", "the field it measures", func(r *Reading) *string { return &r.What }),
	text(13, "nozzle", "the nozzle that was measured", func(r *Reading) *string { return &r.Nozzle }),
	number(14, "value", quantity.One, AnySign, "what it said, in the unit of that field", func(r *Reading) *quantity.Opt[quantity.Number] { return &r.Value }),
	number(15, "load_ohm", quantity.Ohm, Positive, "load on the battery when read", func(r *Reading) *quantity.Opt[quantity.Resistance] { return &r.LoadOhm }),
	number(16, "n", quantity.Piece, Positive, "how many pieces it is the mean of", func(r *Reading) *quantity.Opt[quantity.Count] { return &r.N }),
	number(17, "temperature_c", quantity.Celsius, AnySign, "temperature when read", func(r *Reading) *quantity.Opt[quantity.Temperature] { return &r.Temperature }),
	text(18, "by", "who read it", func(r *Reading) *string { return &r.By }),
), checkReading)

func checkReading(r *Reading) []error {
	refuse := func(format string, args ...any) []error {
		return []error{invalidf(format, args...)}
	}
	switch {
	case r.Of == nil || r.Of.Item.IsZero() == r.Of.Lot.IsZero():
		return refuse("a reading is of a type (kind and handle) or of a lot")
	case r.What == "" || !r.Value.Known():
		return refuse("a reading needs what it measures and its value")
	case r.What == LoadedVolts && !r.LoadOhm.Known():
		return refuse("%s needs load_ohm, the load it was read under", LoadedVolts)
	}
	return nil
}
