package circuit_test

import (
	"math"
	"testing"

	"rangebox/compat/circuit"
)

const thousandFeet = 304.8 // m, exact

// near holds got within a fraction of want.
func near(t *testing.T, what string, got, want, fraction float64) {
	t.Helper()
	if !(math.Abs(got-want) <= fraction*math.Abs(want)) {
		t.Errorf("%s: got %.9g, want %.9g within %g", what, got, want, fraction)
	}
}

func TestCopperTableAt20(t *testing.T) {
	// Ohm per 1000 ft at 20 C: university table of the NBS figures (quoted).
	rows := []struct {
		gauge circuit.Gauge
		ohms  float64
	}{
		{10, 0.9989}, {12, 1.588}, {14, 2.525}, {16, 4.016}, {18, 6.385}, {20, 10.15},
		{22, 16.14}, {24, 25.67}, {26, 40.81}, {28, 64.9}, {30, 103.2}, {32, 164.1},
	}
	for _, row := range rows {
		near(t, "ohm per 1000 ft", float64(row.gauge.PerMetre(20))*thousandFeet, row.ohms, 0.0005)
	}
}

func TestCopperTableAt75(t *testing.T) {
	// Ohm per 1000 ft at 75 C: NEC chapter 9 table 8, solid uncoated (quoted).
	rows := []struct {
		gauge circuit.Gauge
		ohms  float64
	}{{18, 7.77}, {16, 4.89}, {14, 3.07}, {12, 1.93}, {10, 1.21}}
	for _, row := range rows {
		near(t, "ohm per 1000 ft", float64(row.gauge.PerMetre(75))*thousandFeet, row.ohms, 0.005)
	}
}

func TestDiameter(t *testing.T) {
	// The definition's own points: 36 AWG 0.005 in, and 39 gauges thicker (4/0,
	// n = -3) 92 times that, 0.46 in (ASTM B258; quoted).
	near(t, "36 AWG", float64(circuit.Gauge(36).Diameter()), 0.005*0.0254, 1e-12)
	near(t, "4/0 AWG", float64(circuit.Gauge(-3).Diameter()), 0.46*0.0254, 1e-12)
}

func TestCopperByAreaAndByOhms(t *testing.T) {
	// 1.7241e-8 ohm m over 1 mm2 (IEC 60028; quoted), computed: 0.017241 ohm/m
	// at 20 C; at 120 C 39.3 % more.
	near(t, "1 mm2 at 20 C", float64(circuit.CopperPerMetre(1, 20)), 0.017241, 1e-12)
	near(t, "2.5 mm2 at 120 C", float64(circuit.CopperPerMetre(2.5, 120)), 0.017241/2.5*1.393, 1e-12)
	near(t, "0.05 ohm/m at 40 C", float64(circuit.AtTemperature(0.05, 40)), 0.05*1.0786, 1e-12)
	near(t, "0.05 ohm/m at 20 C", float64(circuit.AtTemperature(0.05, 20)), 0.05, 0)

	d := float64(circuit.Gauge(18).Diameter()) * 1000
	area := circuit.SquareMillimetres(math.Pi / 4 * d * d)
	near(t, "18 AWG by area", float64(circuit.CopperPerMetre(area, 40)), float64(circuit.Gauge(18).PerMetre(40)), 1e-12)
}
