package inventory

import (
	"rangebox/inventory/quantity"
)

// Place is where a controller works.
type Place uint8

// The places of controllers.
const (
	Pad Place = iota + 1
	Onboard
	Bench
)

// SourceKind is what sends the firing current; absent means a battery.
type SourceKind uint8

// The sources of firing current.
const (
	FromBattery SourceKind = iota + 1
	FromCapacitor
)

// SupplyKind is what runs a controller's electronics.
type SupplyKind uint8

// The supplies of a controller's electronics.
const (
	SharedSupply SupplyKind = iota + 1
	OwnSupply
)

// Arming is how a controller on board is kept safe.
type Arming uint8

// The ways of arming.
const (
	ArmSwitch Arming = iota + 1
	ArmPin
	ArmNone
)

// Electrics is what decides a controller's firing current; an output may differ.
type Electrics struct {
	On                     quantity.Opt[quantity.Resistance]
	Drop                   quantity.Opt[quantity.Voltage]
	Limit, Max, Continuity quantity.Opt[quantity.Current]
	Pulse                  quantity.Opt[quantity.Time]
}

// Controller is a launch controller, a timer or a test box.
type Controller struct {
	Header
	Name  string
	Place Place
	Electrics
	Source         SourceKind
	Cap            quantity.Opt[quantity.Capacitance]
	CapV           quantity.Opt[quantity.Voltage]
	CapResistance  quantity.Opt[quantity.Resistance]
	Supply         SupplyKind
	Brownout       quantity.Opt[quantity.Voltage]
	Holdup         quantity.Opt[quantity.Time]
	Idle           quantity.Opt[quantity.Current]
	Ready          quantity.Opt[quantity.Time]
	ReadySign      string
	Arming         Arming
	Step           quantity.Opt[quantity.Time]
	TimerTolerance quantity.Opt[quantity.Percent]
	Detect         quantity.Opt[quantity.Acceleration]
	DetectTime     quantity.Opt[quantity.Time]
	Inhibit        []string
	Outputs        []Output
}

// Output is one of a controller's outputs, with what differs there.
type Output struct {
	Name string
	Role Role
	Electrics
}

// Role is what an output is for.
type Role uint8

// The roles of outputs.
const (
	RoleMotor Role = iota + 1
	RoleCharge
	RoleAny
)

// Kind is KindController.
func (*Controller) Kind() Kind { return KindController }

// electricFields serve the controller and its outputs.
func electricFields[R any](first int, p func(*R) *Electrics) []Field {
	return []Field{
		number(first, "on_ohm", quantity.Ohm, NotNegative, "resistance when it fires",
			func(r *R) *quantity.Opt[quantity.Resistance] { return &p(r).On }),
		number(first+1, "drop_v", quantity.Volt, NotNegative, "fixed voltage lost in it",
			func(r *R) *quantity.Opt[quantity.Voltage] { return &p(r).Drop }),
		number(first+2, "limit_a", quantity.Ampere, Positive, "current it holds to",
			func(r *R) *quantity.Opt[quantity.Current] { return &p(r).Limit }),
		number(first+3, "max_a", quantity.Ampere, Positive, "current above which it is harmed",
			func(r *R) *quantity.Opt[quantity.Current] { return &p(r).Max }),
		number(first+4, "pulse_s", quantity.Second, Positive, "how long it fires; absent: stays on",
			func(r *R) *quantity.Opt[quantity.Time] { return &p(r).Pulse }),
		number(first+5, "continuity_a", quantity.Ampere, NotNegative, "greatest continuity current, through a short, fresh battery",
			func(r *R) *quantity.Opt[quantity.Current] { return &p(r).Continuity }),
	}
}

var outputTable = &Table{Name: "output", Fields: append([]Field{
	text(1, "name", "what the output is called", func(o *Output) *string { return &o.Name }),
	word(2, "role", "what it is for", []string{"motor", "charge", "any"}, func(o *Output) *Role { return &o.Role }),
}, electricFields(3, func(o *Output) *Electrics { return &o.Electrics })...)}

var controllerTable = refusing(table("controller", func(c *Controller) *Header { return &c.Header }, true, append(append([]Field{
	text(10, "name", "what it is called", func(c *Controller) *string { return &c.Name }),
	word(11, "place", "where it works", []string{"pad", "onboard", "bench"}, func(c *Controller) *Place { return &c.Place }),
}, electricFields(12, func(c *Controller) *Electrics { return &c.Electrics })...),
	word(18, "source", "what sends the current", []string{"battery", "capacitor"}, func(c *Controller) *SourceKind { return &c.Source }),
	number(19, "cap_uf", quantity.Microfarad, Positive, "capacitance", func(c *Controller) *quantity.Opt[quantity.Capacitance] { return &c.Cap }),
	number(20, "cap_v", quantity.Volt, Positive, "voltage it is charged to", func(c *Controller) *quantity.Opt[quantity.Voltage] { return &c.CapV }),
	number(21, "cap_ohm", quantity.Ohm, NotNegative, "the capacitor's own resistance",
		func(c *Controller) *quantity.Opt[quantity.Resistance] { return &c.CapResistance }),
	word(22, "supply", "what runs its electronics", []string{"shared", "own"}, func(c *Controller) *SupplyKind { return &c.Supply }),
	number(23, "brownout_v", quantity.Volt, Positive, "voltage at which its electronics fail",
		func(c *Controller) *quantity.Opt[quantity.Voltage] { return &c.Brownout }),
	number(24, "holdup_s", quantity.Second, NotNegative, "how long it bridges a lost supply",
		func(c *Controller) *quantity.Opt[quantity.Time] { return &c.Holdup }),
	number(25, "idle_a", quantity.Ampere, NotNegative, "current it draws while waiting",
		func(c *Controller) *quantity.Opt[quantity.Current] { return &c.Idle }),
	number(26, "ready_s", quantity.Second, NotNegative, "time from switching on to ready",
		func(c *Controller) *quantity.Opt[quantity.Time] { return &c.Ready }),
	text(27, "ready_sign", "how it shows that it is ready", func(c *Controller) *string { return &c.ReadySign }),
	word(28, "arming", "how it is kept safe", []string{"switch", "pin", "none"}, func(c *Controller) *Arming { return &c.Arming }),
	number(29, "step_s", quantity.Second, Positive, "step of its timer", func(c *Controller) *quantity.Opt[quantity.Time] { return &c.Step }),
	number(30, "tol_pct", quantity.PerCent, NotNegative, "tolerance of its timer",
		func(c *Controller) *quantity.Opt[quantity.Percent] { return &c.TimerTolerance }),
	number(31, "detect_g", quantity.Gravity, Positive, "acceleration that starts it",
		func(c *Controller) *quantity.Opt[quantity.Acceleration] { return &c.Detect }),
	number(32, "detect_s", quantity.Second, NotNegative, "how long that must last",
		func(c *Controller) *quantity.Opt[quantity.Time] { return &c.DetectTime }),
	words(33, "inhibit", "what can keep it from firing", []string{"tilt", "height", "speed"}, func(c *Controller) *[]string { return &c.Inhibit }),
	parts(34, "outputs", "its outputs, with what differs there", outputTable, func(c *Controller) *[]Output { return &c.Outputs }),
)...), checkController)

func checkController(c *Controller) []error {
	names := make([]string, len(c.Outputs))
	for i := range c.Outputs {
		names[i] = c.Outputs[i].Name
	}
	return repeated("output", names)
}

// Output finds an output by name.
func (c *Controller) Output(name string) (*Output, bool) {
	for i := range c.Outputs {
		if c.Outputs[i].Name == name {
			return &c.Outputs[i], true
		}
	}
	return nil, false
}

// At is what holds at an output: its own figures before the controller's.
func (c *Controller) At(output string) Electrics {
	o, ok := c.Output(output)
	if !ok {
		return c.Electrics
	}
	return Electrics{
		On:         first(o.On, c.On),
		Drop:       first(o.Drop, c.Drop),
		Limit:      first(o.Limit, c.Limit),
		Max:        first(o.Max, c.Max),
		Pulse:      first(o.Pulse, c.Pulse),
		Continuity: first(o.Continuity, c.Continuity),
	}
}

func first[T any](a, b quantity.Opt[T]) quantity.Opt[T] {
	if a.Known() {
		return a
	}
	return b
}
