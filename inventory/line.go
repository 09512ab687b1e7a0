package inventory

import "rangebox/inventory/quantity"

// Wiring is how the igniters of a line are joined; absent means parallel.
type Wiring uint8

// The ways of wiring.
const (
	Parallel Wiring = iota + 1
	Series
)

// Line is a battery, a controller's output and the wire from it to the igniters.
type Line struct {
	Header
	Name                string
	Battery, Controller Ref
	Output              string
	Lead                quantity.Opt[quantity.Length]
	LeadWire            Wire
	Contact             quantity.Opt[quantity.Resistance]
	Wiring              Wiring
	Hot                 quantity.Opt[quantity.Temperature]
}

// Kind is KindLine.
func (*Line) Kind() Kind { return KindLine }

var lineTable = table("line", func(l *Line) *Header { return &l.Header }, true, append([]Field{
	text(10, "name", "what it is called", func(l *Line) *string { return &l.Name }),
	ref(11, "battery", "the battery that fires it", []Kind{KindBattery}, func(l *Line) *Ref { return &l.Battery }),
	ref(12, "controller", "the controller that switches it", []Kind{KindController}, func(l *Line) *Ref { return &l.Controller }),
	text(13, "output", "the controller's output", func(l *Line) *string { return &l.Output }),
	number(14, "lead_m", quantity.Metre, NotNegative, "length of the firing lead, one way",
		func(l *Line) *quantity.Opt[quantity.Length] { return &l.Lead }),
	number(18, "contact_ohm", quantity.Ohm, NotNegative, "clip or terminal pair of one igniter",
		func(l *Line) *quantity.Opt[quantity.Resistance] { return &l.Contact }),
	word(19, "wiring", "how several igniters are joined", []string{"parallel", "series"}, func(l *Line) *Wiring { return &l.Wiring }),
	number(20, "hot_c", quantity.Celsius, AnySign, "temperature of the leads on the hottest day",
		func(l *Line) *quantity.Opt[quantity.Temperature] { return &l.Hot }),
}, wireFields(15, func(l *Line) *Wire { return &l.LeadWire })...)...)
