package circuit

import "math"

// The constants of copper wire. The computed resistance per 1000 ft at 20 C
// agrees with the published table within 0.03 %; stranded wire runs 2 to 2.5 %
// higher (quoted).
const (
	// CopperResistivity20 is the resistivity of annealed copper at 20 C in
	// ohm m (IEC 60028; quoted).
	CopperResistivity20 = 1.7241e-8
	// CopperCoefficient is the rise of copper's resistance per kelvin as a
	// fraction of its value at 20 C (IEC 60028; quoted).
	CopperCoefficient = 0.00393
)

const (
	// Room is the temperature at which wire is rated, in C (IEC 60028; quoted).
	Room Celsius = 20
)

const (
	// ASTM B258 (quoted): gauge 36 is 0.005 in, and 39 gauges are a ratio of 92.
	gauge36    Metres  = 0.127e-3
	gaugeRatio float64 = 92.0
	gaugeSteps float64 = 39.0

	squareMetre = 1e-6 // mm2 in m2
)

// Gauge is an American wire gauge number (ASTM B258). 0 is 1/0, -1 is 2/0.
type Gauge int

// Diameter is the diameter of the bare conductor in m:
// 0.127 mm x 92^((36-n)/39) (ASTM B258; quoted).
func (g Gauge) Diameter() Metres {
	return gauge36 * Metres(math.Pow(gaugeRatio, (36-float64(g))/gaugeSteps))
}

// PerMetre is the resistance of one solid conductor of annealed copper in
// ohm/m at the given temperature (ASTM B258, IEC 60028; quoted).
func (g Gauge) PerMetre(at Celsius) OhmsPerMetre {
	d := float64(g.Diameter())
	return AtTemperature(OhmsPerMetre(CopperResistivity20/(math.Pi/4*d*d)), at)
}

// CopperPerMetre is the resistance of one conductor of annealed copper in
// ohm/m, from its cross-section, at the given temperature (IEC 60028; quoted).
// The area must be above zero: no conductor has no finite resistance.
func CopperPerMetre(area SquareMillimetres, at Celsius) OhmsPerMetre {
	return AtTemperature(OhmsPerMetre(CopperResistivity20/(float64(area)*squareMetre)), at)
}

// AtTemperature is the resistance in ohm/m, at t, of a copper wire whose value
// at 20 C is at20 (IEC 60028; quoted). A wire given as ohm per metre without a
// temperature is taken as given at 20 C.
func AtTemperature(at20 OhmsPerMetre, t Celsius) OhmsPerMetre {
	return at20 * OhmsPerMetre(copperFactor(t))
}

func copperFactor(t Celsius) float64 { return 1 + CopperCoefficient*float64(t-Room) }
