package inventory

import (
	"fmt"
	"math"

	"rangebox/inventory/quantity"
)

// The propellants the rules know; others are taken as typed.
const (
	BlackPowder = "black-powder"
	Composite   = "composite"
)

// Level is how much heat an igniter gives or a propellant asks for.
type Level uint8

// The levels; the zero value is "not known".
const (
	Low Level = iota + 1
	Medium
	High
)

var levelWords = []string{"low", "medium", "high"}

// String is the level in words, empty where it is not known.
func (l Level) String() string { return wordOf(levelWords, l) }

// MeasuredOn says what kind of motor a throat was measured on.
type MeasuredOn uint8

// The kinds of motor a throat can be measured on.
const (
	MeasuredNew MeasuredOn = iota + 1
	MeasuredFired
	MeasuredMaker
)

// What the forward end of a motor can be had with.
const (
	HeadDelay   = "delay"
	HeadOpen    = "open"
	HeadPlugged = "plugged"
)

var headEndWords = []string{HeadDelay, HeadOpen, HeadPlugged}

// Motor is a type of motor, single-use or reload.
type Motor struct {
	Header
	Maker, Name, Propellant       string
	Diameter, Length              quantity.Opt[quantity.Length]
	Mass, PropellantMass          quantity.Opt[quantity.Mass]
	HeadEnds                      []string
	Delays                        []quantity.Time
	DelayMin, DelayMax, DelayStep quantity.Opt[quantity.Time]
	Ejection                      quantity.Opt[quantity.Mass]
	Nozzles                       []Nozzle
	Core, CoreWidth               quantity.Opt[quantity.Length]
	Ignition                      Level
	Lag                           quantity.Opt[quantity.Time]
	Curve                         []CurvePoint
	Case, IgniterSupplied         Ref
	Plug, CertifiedBy             string
	CertifiedUntil                Date
}

// Nozzle is one of the nozzles a motor can fly with.
type Nozzle struct {
	Name                   string
	Throat, Depth, CapHole quantity.Opt[quantity.Length]
	MeasuredOn             MeasuredOn
	Curve                  []CurvePoint
}

// CurvePoint is a point of a thrust curve.
type CurvePoint struct {
	At     quantity.Time
	Thrust quantity.Force
}

// Kind is KindMotor.
func (*Motor) Kind() Kind { return KindMotor }

// maxGap is the largest head or throat taken: 100 mm (ours).
const maxGap = int64(100_000_000)

var curveTable = &Table{Name: "curve point", Fields: []Field{
	must(1, "t_s", quantity.Second, NotNegative, "time since ignition", func(p *CurvePoint) *quantity.Time { return &p.At }),
	must(2, "thrust_n", quantity.Newton, NotNegative, "thrust", func(p *CurvePoint) *quantity.Force { return &p.Thrust }),
}}

var nozzleTable = refusing(&Table{Name: "nozzle", Fields: []Field{
	text(1, "name", "what this nozzle is called", func(n *Nozzle) *string { return &n.Name }),
	number(2, "throat_mm", quantity.Millimetre, Positive, "largest gauge that passes the throat",
		func(n *Nozzle) *quantity.Opt[quantity.Length] { return &n.Throat }).most(maxGap),
	number(3, "depth_mm", quantity.Millimetre, NotNegative, "exit plane to the first propellant the head can touch",
		func(n *Nozzle) *quantity.Opt[quantity.Length] { return &n.Depth }),
	number(4, "cap_hole_mm", quantity.Millimetre, Positive, "hole in the nozzle cap",
		func(n *Nozzle) *quantity.Opt[quantity.Length] { return &n.CapHole }).most(maxGap),
	word(5, "measured_on", "kind of motor the throat was measured on", []string{"new", "fired", "maker"},
		func(n *Nozzle) *MeasuredOn { return &n.MeasuredOn }),
	parts(6, "curve", "thrust curve with this nozzle", curveTable, func(n *Nozzle) *[]CurvePoint { return &n.Curve }),
}}, func(n *Nozzle) []error { return checkCurve(n.Curve) })

var motorTable = doubting(refusing(table("motor", func(m *Motor) *Header { return &m.Header }, true,
	text(10, "maker", "who makes it", func(m *Motor) *string { return &m.Maker }),
	text(11, "name", "what the maker calls it", func(m *Motor) *string { return &m.Name }),
	openWord(12, "propellant", "black-powder, composite or other", []string{BlackPowder, Composite},
		func(m *Motor) *string { return &m.Propellant }),
	number(13, "diameter_mm", quantity.Millimetre, Positive, "outer diameter",
		func(m *Motor) *quantity.Opt[quantity.Length] { return &m.Diameter }),
	number(14, "length_mm", quantity.Millimetre, Positive, "length over all",
		func(m *Motor) *quantity.Opt[quantity.Length] { return &m.Length }),
	number(15, "mass_g", quantity.Gram, Positive, "loaded mass; a reload with its case",
		func(m *Motor) *quantity.Opt[quantity.Mass] { return &m.Mass }),
	number(16, "propellant_g", quantity.Gram, Positive, "propellant mass",
		func(m *Motor) *quantity.Opt[quantity.Mass] { return &m.PropellantMass }),
	words(17, "head_ends", "what it can be had with: delay, open (the booster kind), plugged", headEndWords,
		func(m *Motor) *[]string { return &m.HeadEnds }),
	numbers(18, "delays_s", quantity.Second, "delays on offer", func(m *Motor) *[]quantity.Time { return &m.Delays }),
	number(19, "delay_min_s", quantity.Second, Positive, "shortest delay it can be cut to",
		func(m *Motor) *quantity.Opt[quantity.Time] { return &m.DelayMin }),
	number(20, "delay_max_s", quantity.Second, Positive, "delay as delivered, before shortening",
		func(m *Motor) *quantity.Opt[quantity.Time] { return &m.DelayMax }),
	number(21, "delay_step_s", quantity.Second, Positive, "step in which it is shortened",
		func(m *Motor) *quantity.Opt[quantity.Time] { return &m.DelayStep }),
	number(22, "ejection_g", quantity.Gram, NotNegative, "its own ejection charge",
		func(m *Motor) *quantity.Opt[quantity.Mass] { return &m.Ejection }),
	parts(23, "nozzles", "the nozzles it can fly with, one at a time", nozzleTable, func(m *Motor) *[]Nozzle { return &m.Nozzles }),
	number(24, "core_mm", quantity.Millimetre, Positive, "length of the core",
		func(m *Motor) *quantity.Opt[quantity.Length] { return &m.Core }),
	number(25, "core_width_mm", quantity.Millimetre, Positive, "narrowest width of the core",
		func(m *Motor) *quantity.Opt[quantity.Length] { return &m.CoreWidth }),
	word(26, "ignition", "heat it asks of an igniter", levelWords, func(m *Motor) *Level { return &m.Ignition }),
	number(27, "lag_s", quantity.Second, NotNegative, "time from current to thrust",
		func(m *Motor) *quantity.Opt[quantity.Time] { return &m.Lag }),
	parts(28, "curve", "thrust curve", curveTable, func(m *Motor) *[]CurvePoint { return &m.Curve }),
	ref(29, "case", "the case a reload goes into, a supply", []Kind{KindSupply}, func(m *Motor) *Ref { return &m.Case }),
	ref(30, "igniter_supplied", "the igniter that comes with it", []Kind{KindIgniter},
		func(m *Motor) *Ref { return &m.IgniterSupplied }),
	text(31, "plug", "what holds the igniter in", func(m *Motor) *string { return &m.Plug }),
	text(32, "certified_by", "certification body", func(m *Motor) *string { return &m.CertifiedBy }),
	date(33, "certified_until", "last day of certification", func(m *Motor) *Date { return &m.CertifiedUntil }),
), checkMotor), doubtMotor)

// Nozzle finds a nozzle by name; an empty name is the only one there is.
func (m *Motor) Nozzle(name string) (*Nozzle, bool) {
	if name == "" && len(m.Nozzles) == 1 {
		return &m.Nozzles[0], true
	}
	for i := range m.Nozzles {
		if m.Nozzles[i].Name == name {
			return &m.Nozzles[i], true
		}
	}
	return nil, false
}

// CurveWith is the thrust curve with a nozzle: its own, else the motor's.
func (m *Motor) CurveWith(nozzle string) []CurvePoint {
	if n, ok := m.Nozzle(nozzle); ok && len(n.Curve) > 0 {
		return n.Curve
	}
	return m.Curve
}

func checkMotor(m *Motor) []error {
	errs := checkCurve(m.Curve)
	names := make([]string, len(m.Nozzles))
	for i := range m.Nozzles {
		names[i] = m.Nozzles[i].Name
	}
	errs = append(errs, repeated("nozzle", names)...)
	for _, d := range m.Delays {
		if d <= 0 {
			errs = append(errs, fmt.Errorf("%w: delays_s has %s; a delay is above 0, and a motor without one has head_ends plugged or open",
				ErrInvalid, quantity.Second.Text(int64(d), quantity.Metric)))
		}
	}
	least, ok := m.DelayMin.Get()
	greatest, ok2 := m.DelayMax.Get()
	if ok && ok2 && least > greatest {
		errs = append(errs, fmt.Errorf("%w: delay_min_s is above delay_max_s", ErrInvalid))
	}
	return errs
}

// checkCurve refuses times that do not rise.
func checkCurve(curve []CurvePoint) []error {
	for i := 1; i < len(curve); i++ {
		if curve[i].At <= curve[i-1].At {
			return []error{fmt.Errorf("%w: the curve's times do not rise at point %d (%s s after %s s)", ErrInvalid, i+1,
				quantity.Second.Format(int64(curve[i].At)), quantity.Second.Format(int64(curve[i-1].At)))}
		}
	}
	return nil
}

// densest is more than any solid propellant weighs, in g/cm3 (ours).
const densest = 2.0

func doubtMotor(m *Motor) []string {
	var doubts []string
	length, okL := m.Length.Get()
	if core, ok := m.Core.Get(); ok && okL && core > length {
		doubts = append(doubts, "the core is longer than the motor")
	}
	mass, okM := m.Mass.Get()
	diameter, okD := m.Diameter.Get()
	if okM && okD && okL {
		cm3 := math.Pi / 4 * math.Pow(diameter.Metres(), 2) * length.Metres() * 1e6
		if density := mass.Grams() / cm3; density > densest {
			doubts = append(doubts, fmt.Sprintf("at %.1f g/cm3 the motor is denser than any propellant", density))
		}
	}
	if p, ok := m.PropellantMass.Get(); ok && okM && p >= mass {
		doubts = append(doubts, "the propellant weighs as much as the loaded motor")
	}
	for i := range m.Nozzles {
		n := &m.Nozzles[i]
		if throat, ok := n.Throat.Get(); ok && okD && float64(throat) > widestThroat*float64(diameter) {
			doubts = append(doubts, fmt.Sprintf("the throat%s is wide for a motor of that diameter", ofNozzle(n.Name)))
		}
	}
	return doubts
}

// widestThroat is a wider throat than nozzles have, as a share of the motor's
// diameter (ours): it finds a slipped decimal point.
const widestThroat = 0.6

func ofNozzle(nozzle string) string {
	if nozzle == "" {
		return ""
	}
	return " of nozzle " + Printable(nozzle)
}
