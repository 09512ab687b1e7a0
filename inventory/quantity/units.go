package quantity

import (
	"fmt"
	"strings"
)

// A Scale is one way to write a quantity: its name, and how many steps it is.
type Scale struct {
	Name string
	// Dimension is what the scale measures, in words ("length").
	Dimension string
	other     []string // further spellings, lower case
	num, den  int64    // one unit is num/den steps
	offset    int64    // steps at zero of the unit, in 1/den (temperatures only)
	whole     bool     // whole numbers only
	milli     bool     // a capital M would be mega
	family    *family
}

// family is all scales of one dimension, and which of them text is shown in.
type family struct {
	name             string
	scales           []*Scale
	metric, imperial []string // from large to small; the first that gives one or more
}

// A Unit is a scale for quantities of type Q.
type Unit[Q Quantity] struct{ *Scale }

// dimension registers a dimension's scales; it is called from the table below only.
func dimension(name, metric, imperial string, scales ...Scale) *family {
	f := &family{name: name, metric: strings.Fields(metric), imperial: strings.Fields(imperial)}
	for _, s := range scales {
		s.Dimension, s.family = name, f
		if s.den == 0 {
			s.den = 1
		}
		f.scales = append(f.scales, &s)
	}
	return f
}

// named finds a scale by its name or spelling; a point may end it, as in 11 in.
func (f *family) named(name string) *Scale {
	if name != "." {
		name = strings.TrimSuffix(name, ".")
	}
	for _, s := range f.scales {
		if s.is(name) {
			return s
		}
	}
	return nil
}

// In finds another unit of the scale's dimension by its name or spelling.
func (s *Scale) In(unit string) (*Scale, bool) {
	found := s.family.named(unit)
	return found, found != nil && unit != ""
}

// Unclear tells of a unit that may be two of the dimension's: gr, grain or gram.
func (s *Scale) Unclear(unit string) bool {
	return strings.EqualFold(strings.TrimSuffix(unit, "."), "gr") && s.family.named("grain") != nil
}

// Unmistakable tells whether a bare number can only mean this unit: the
// dimension has no other.
func (s *Scale) Unmistakable() bool { return len(s.family.scales) == 1 }

func (s *Scale) is(name string) bool {
	if s.Name == name {
		return true
	}
	if strings.HasPrefix(name, "M") && s.milli {
		return false // mega, not milli
	}
	low := strings.ToLower(name)
	if strings.ToLower(s.Name) == low {
		return true
	}
	for _, o := range s.other {
		if o == low {
			return true
		}
	}
	return false
}

func (f *family) names() string {
	var b strings.Builder
	for i, s := range f.scales {
		if i > 0 {
			b.WriteString(", ")
		}
		b.WriteString(s.Name)
	}
	return b.String()
}

func unitOf[Q Quantity](f *family, name string) Unit[Q] {
	s := f.named(name)
	if s == nil {
		panic(fmt.Sprintf("quantity: no unit %q of %s", name, f.name))
	}
	return Unit[Q]{s}
}

func unit(name string, steps int64, other ...string) Scale {
	return Scale{Name: name, num: steps, other: other}
}

func milli(name string, steps int64, other ...string) Scale {
	return Scale{Name: name, num: steps, other: other, milli: true}
}

func ratio(name string, num, den int64, other ...string) Scale {
	return Scale{Name: name, num: num, den: den, other: other}
}

// The unit table. Inch, pound and grain: exact by the international yard and
// pound agreement of 1959 (25.4 mm, 453.59237 g, 1/7000 lb). Standard gravity
// 9.80665 m/s2, hence pound-force and kilogram-force (from memory).
var (
	lengths = dimension("length", "km m mm", "ft in",
		unit("mm", 1_000_000, "millimetre", "millimetres", "millimeter", "millimeters"),
		unit("cm", 10_000_000, "centimetre", "centimetres", "centimeter", "centimeters"),
		unit("m", 1_000_000_000, "metre", "metres", "meter", "meters"),
		unit("km", 1_000_000_000_000),
		unit("um", 1_000, "µm", "μm", "micron", "microns"),
		unit("in", 25_400_000, "inch", "inches", `"`, "″", "”", "''"), // ” is what keyboards make of "
		unit("ft", 304_800_000, "foot", "feet", "'", "′", "’"),
		unit("mil", 25_400, "thou", "mils"))
	masses   = dimension("mass", "kg g mg", "lb oz", ofMass()...)
	currents = dimension("current", "A mA", "A mA",
		unit("A", 1_000_000, "amp", "amps", "ampere", "amperes"),
		milli("mA", 1_000, "milliamp", "milliamps"),
		unit("uA", 1, "µa", "μa"))
	resistances = dimension("resistance", "ohm", "ohm",
		unit("ohm", 1_000_000, "ohms", "Ω", "ω", "r"),
		milli("mohm", 1_000, "milliohm", "milliohms", "mω"),
		unit("kohm", 1_000_000_000, "kiloohm", "kω"))
	linearResistances = dimension("resistance by length", "ohm/m", "ohm/ft",
		unit("ohm/m", 1_000_000, "ω/m", "ohms/m"),
		unit("ohm/km", 1_000, "ω/km"),
		ratio("ohm/ft", 10_000_000_000, 3048, "ω/ft"),
		ratio("ohm/kft", 10_000_000, 3048, "ohm/1000ft"))
	voltages = dimension("voltage", "V mV", "V mV",
		unit("V", 1_000_000, "volt", "volts"),
		milli("mV", 1_000))
	times = dimension("time", "s ms", "s ms",
		unit("s", 1_000_000, "sec", "secs", "second", "seconds"),
		unit("ms", 1_000, "millisecond", "milliseconds"),
		unit("us", 1, "µs", "μs"),
		unit("min", 60_000_000, "minute", "minutes"))
	forces = dimension("force", "N", "lbf",
		unit("N", 1_000, "newton", "newtons"),
		ratio("lbf", 44_482_216_152_605, 10_000_000_000),
		ratio("kgf", 980_665, 100, "kp"))
	capacitances = dimension("capacitance", "uF", "uF",
		unit("uF", 1_000, "µf", "μf"),
		milli("mF", 1_000_000),
		unit("nF", 1),
		unit("F", 1_000_000_000, "farad", "farads"))
	charges = dimension("charge", "mAh", "mAh",
		unit("mAh", 1_000),
		unit("Ah", 1_000_000))
	firingImpulses = dimension("firing impulse", "A2s", "A2s",
		unit("A2s", 1_000_000, "a²s", "a^2s", "a2*s"),
		unit("mA2s", 1_000, "ma²s"))
	percents = dimension("percentage", "%", "%",
		unit("%", 10_000, "percent", "pct"))
	temperatures = dimension("temperature", "C", "F",
		unit("C", 1_000, "°c", "degc", "celsius"),
		Scale{Name: "F", num: 5_000, den: 9, offset: -160_000, other: []string{"°f", "degf", "fahrenheit"}},
		Scale{Name: "K", num: 1_000, offset: -273_150, other: []string{"kelvin"}})
	pressures = dimension("pressure", "kPa", "psi",
		unit("kPa", 1_000_000),
		unit("Pa", 1_000),
		unit("bar", 100_000_000),
		unit("mbar", 100_000, "hpa"),
		ratio("psi", 6_894_757_293_168, 1_000_000))
	accelerations = dimension("acceleration", "g", "g",
		unit("g", 1_000_000, "g0"),
		ratio("m/s2", 100_000_000_000, 980_665, "m/s²", "m/s^2"))
	speeds = dimension("speed", "m/s", "ft/s",
		unit("m/s", 1_000_000, "mps"),
		ratio("km/h", 2_500_000, 9, "kph", "kmh"),
		unit("mph", 447_040),
		unit("ft/s", 304_800, "fps"),
		ratio("kn", 4_630_000, 9, "kt", "knot", "knots"))
	areas = dimension("area", "mm2", "mm2",
		unit("mm2", 1_000_000, "mm²", "mm^2"))
	gauges = dimension("wire gauge", "AWG", "AWG",
		Scale{Name: "AWG", num: 1, whole: true, other: []string{"ga", "gauge"}})
	counts = dimension("count", "", "",
		Scale{Name: "", num: 1, whole: true, other: pieces})
	heats = dimension("heat", "level", "level",
		Scale{Name: "level", num: 1, whole: true})
	amounts = dimension("amount", "", "",
		append([]Scale{{Name: "", num: 1_000_000_000, other: pieces}}, ofMass()...)...) // a step is a nanogram
	numbers = dimension("number", "", "",
		Scale{Name: "", num: 1_000_000_000})
)

// pieces is how people write that they have counted.
var pieces = []string{"pcs", "pieces", "piece", "pc", "ea", "each", "stk", "stück"}

// ofMass is the units of mass, in nanograms.
func ofMass() []Scale {
	return []Scale{
		unit("g", 1_000_000_000, "gram", "grams", "gm"),
		unit("mg", 1_000_000),
		unit("kg", 1_000_000_000_000),
		unit("oz", 28_349_523_125, "ounce", "ounces"),
		unit("lb", 453_592_370_000, "lbs", "pound", "pounds"),
		unit("grain", 64_798_910, "grains"),
	}
}

// The units that records and findings are written in.
var (
	Millimetre      = unitOf[Length](lengths, "mm")
	Metre           = unitOf[Length](lengths, "m")
	Gram            = unitOf[Mass](masses, "g")
	Ampere          = unitOf[Current](currents, "A")
	Ohm             = unitOf[Resistance](resistances, "ohm")
	OhmPerMetre     = unitOf[LinearResistance](linearResistances, "ohm/m")
	Volt            = unitOf[Voltage](voltages, "V")
	Second          = unitOf[Time](times, "s")
	Newton          = unitOf[Force](forces, "N")
	Microfarad      = unitOf[Capacitance](capacitances, "uF")
	MilliampHour    = unitOf[Charge](charges, "mAh")
	AmpSquareSecond = unitOf[FiringImpulse](firingImpulses, "A2s")
	PerCent         = unitOf[Percent](percents, "%")
	Celsius         = unitOf[Temperature](temperatures, "C")
	Kilopascal      = unitOf[Pressure](pressures, "kPa")
	Gravity         = unitOf[Acceleration](accelerations, "g")
	MetrePerSecond  = unitOf[Speed](speeds, "m/s")
	SquareMM        = unitOf[Area](areas, "mm2")
	AWG             = unitOf[Gauge](gauges, "AWG")
	Piece           = unitOf[Count](counts, "")
	Heat            = unitOf[Count](heats, "level")
	Amount          = unitOf[Number](amounts, "")
	One             = unitOf[Number](numbers, "")
)
