// Package quantity holds the physical quantities of the box: a type for each,
// an integer in its smallest step, so that equal is equal and a length cannot
// be handed in where a mass is asked for.
//
// Text is parsed once, exactly, and rounded half to even to the step; inches
// and their fractions are exact in nanometres. Computations convert to SI
// float64 with the methods below.
//
// The package is a leaf: it imports the standard library only.
package quantity

// The steps are chosen so that what a flyer types is exact: a sixty-fourth of
// an inch is 396,875 nm, a grain 64,798,910 ng.
type (
	// Length in nanometres.
	Length int64
	// Mass in nanograms.
	Mass int64
	// Current in microamperes.
	Current int64
	// Resistance in microohms.
	Resistance int64
	// LinearResistance of one conductor, in microohms a metre.
	LinearResistance int64
	// Voltage in microvolts.
	Voltage int64
	// Time in microseconds.
	Time int64
	// Force in millinewtons.
	Force int64
	// Capacitance in nanofarads.
	Capacitance int64
	// Charge in microampere-hours.
	Charge int64
	// FiringImpulse is the integral of current squared, in microampere-squared seconds
	// (1e-6 A2 s).
	FiringImpulse int64
	// Percent in ten-thousandths of a percent.
	Percent int64
	// Temperature in thousandths of a degree Celsius.
	Temperature int64
	// Pressure in millipascals.
	Pressure int64
	// Acceleration in millionths of standard gravity.
	Acceleration int64
	// Speed in micrometres a second.
	Speed int64
	// Area in square micrometres.
	Area int64
	// Gauge is an American wire gauge number.
	Gauge int64
	// Count of pieces, cells or firings.
	Count int64
	// Number is a plain number, in billionths.
	Number int64
)

// Quantity is any of the quantities above.
type Quantity interface {
	Length | Mass | Current | Resistance | LinearResistance | Voltage | Time | Force |
		Capacitance | Charge | FiringImpulse | Percent | Temperature | Pressure |
		Acceleration | Speed | Area | Gauge | Count | Number
}

// Metres gives the length in SI.
func (l Length) Metres() float64 { return float64(l) / 1e9 }

// Millimetres gives the length in millimetres.
func (l Length) Millimetres() float64 { return float64(l) / 1e6 }

// Kilograms gives the mass in SI.
func (m Mass) Kilograms() float64 { return float64(m) / 1e12 }

// Grams gives the mass in grams.
func (m Mass) Grams() float64 { return float64(m) / 1e9 }

// Amps gives the current in SI.
func (c Current) Amps() float64 { return float64(c) / 1e6 }

// Ohms gives the resistance in SI.
func (r Resistance) Ohms() float64 { return float64(r) / 1e6 }

// OhmsPerMetre gives the resistance of a metre of one conductor in SI.
func (r LinearResistance) OhmsPerMetre() float64 { return float64(r) / 1e6 }

// Volts gives the voltage in SI.
func (v Voltage) Volts() float64 { return float64(v) / 1e6 }

// Seconds gives the time in SI.
func (t Time) Seconds() float64 { return float64(t) / 1e6 }

// Newtons gives the force in SI.
func (f Force) Newtons() float64 { return float64(f) / 1e3 }

// Farads gives the capacitance in SI.
func (c Capacitance) Farads() float64 { return float64(c) / 1e9 }

// AmpSquaredSeconds gives the firing impulse in SI.
func (k FiringImpulse) AmpSquaredSeconds() float64 { return float64(k) / 1e6 }

// Fraction gives the percentage as a fraction of one.
func (p Percent) Fraction() float64 { return float64(p) / 1e6 }

// Celsius gives the temperature in degrees Celsius.
func (t Temperature) Celsius() float64 { return float64(t) / 1e3 }

// Pascals gives the pressure in SI.
func (p Pressure) Pascals() float64 { return float64(p) / 1e3 }

// Gravities gives the acceleration in multiples of standard gravity.
func (a Acceleration) Gravities() float64 { return float64(a) / 1e6 }

// MetresPerSecond gives the speed in SI.
func (s Speed) MetresPerSecond() float64 { return float64(s) / 1e6 }

// SquareMillimetres gives the area in square millimetres.
func (a Area) SquareMillimetres() float64 { return float64(a) / 1e6 }

// Float gives the plain number.
func (n Number) Float() float64 { return float64(n) / 1e9 }

// Opt is a value that may not be known. Its zero value is "not known".
type Opt[T any] struct {
	value T
	known bool
}

// Some is a value that is known.
func Some[T any](v T) Opt[T] { return Opt[T]{value: v, known: true} }

// Get returns the value, and whether it is known.
func (o Opt[T]) Get() (T, bool) { return o.value, o.known }

// Or returns the value, or d where it is not known.
func (o Opt[T]) Or(d T) T {
	if o.known {
		return o.value
	}
	return d
}

// Known tells whether there is a value.
func (o Opt[T]) Known() bool { return o.known }
