package circuit_test

import (
	"math"
	"testing"

	"rangebox/compat/circuit"
)

func TestTimeToFire(t *testing.T) {
	nan := math.NaN()
	rows := []struct {
		name         string
		k, noFire, i float64
		want         float64
		fires        bool
	}{
		// Computed by hand: K/I^2, and -(K/Inf^2) ln(1 - (Inf/I)^2).
		{"adiabatic", 0.004, 0, 2, 0.001, true},
		{"far above no-fire", 0.004, 1e-9, 2, 0.001, true},
		{"no-fire so small that its square vanishes", 0.004, 1e-300, 2, 0.001, true},
		{"twice no-fire", 0.004, 1, 2, 0.004 * math.Log(4.0/3), true},
		{"just above no-fire", 0.004, 1, 1.01, -0.004 * math.Log(1-1/(1.01*1.01)), true},
		{"at no-fire", 0.004, 1, 1, 0, false},
		{"below no-fire", 0.004, 1, 0.5, 0, false},
		{"no current", 0.004, 0, 0, 0, false},
		{"impulse not known", 0, 0, 2, 0, false},
		{"impulse not a number", nan, 0, 2, 0, false},
		{"no-fire not a number", 0.004, nan, 2, 0, false},
		{"current not a number", 0.004, 0, nan, 0, false},
	}
	for _, row := range rows {
		got, fires := circuit.TimeToFire(circuit.AmpSquaredSeconds(row.k), circuit.Amps(row.noFire), circuit.Amps(row.i))
		if fires != row.fires {
			t.Errorf("%s: fires %v", row.name, fires)
			continue
		}
		if fires {
			near(t, row.name, float64(got), row.want, 1e-9)
		}
	}
	// The next current above no-fire takes for ever or a finite time, never NaN.
	got, fires := circuit.TimeToFire(1, 1, circuit.Amps(math.Nextafter(1, 2)))
	if math.IsNaN(float64(got)) || math.IsInf(float64(got), 0) && fires {
		t.Errorf("got %g, %v", got, fires)
	}
}

// discharge integrates the squared current through the first igniter step by
// step: an independent way to the closed form. Branches a and b in parallel,
// b = +Inf for none.
func discharge(farads, volts, drop, limit, ahead, a, b float64) float64 {
	whole := 1 / (1/a + 1/b)
	share := whole / a
	step := farads * (ahead + whole) / 20000
	v, sum := volts, 0.0
	current := func(v float64) float64 {
		return max(0, min((v-drop)/(ahead+whole), limit))
	}
	for range 20000 * 40 {
		mid := current(v - current(v)*step/2/farads)
		sum += mid * mid * step
		v -= mid * step / farads
	}
	return sum * share * share
}

func TestCapacitorImpulseAgainstIntegration(t *testing.T) {
	none := math.Inf(1)
	rows := []struct {
		name        string
		drop, limit float64
		second      float64 // ohm, at -tolerance
	}{
		{"alone", 0, none, none},
		{"with a drop", 0.7, none, none},
		{"two in parallel", 0.7, none, 1.5},
		{"limited at first", 0, 2, none},
		{"limited, drop, two", 0.7, 1, 1.5},
		{"drop above the charge", 9.5, none, none},
	}
	for _, row := range rows {
		n := circuit.Network{
			Source:     circuit.CapacitorOutput(9, 0.05, 0.001),
			Controller: circuit.Controller{On: 0.15, Drop: circuit.Volts(row.drop)},
			Branches:   []circuit.Branch{{Bridge: 1, Tolerance: 0.2, Contact: 0.1}}, // 1.3 ohm at +tolerance
			Hot:        40,
		}
		if row.second < none {
			n.Branches = append(n.Branches, circuit.Branch{Bridge: circuit.Ohms(row.second) / 0.75, Tolerance: 0.25})
		}
		if row.limit < none {
			n.Limit = circuit.Amps(row.limit)
		}
		want := discharge(0.001, 9, row.drop, row.limit, 0.2, 1.3, row.second)
		near(t, row.name, float64(n.CapacitorImpulse(0)), want, 1e-4)
	}
}

func TestCapacitorImpulseByHand(t *testing.T) {
	n := circuit.Network{
		Source:   circuit.CapacitorOutput(9, 0.5, 0.001),
		Branches: []circuit.Branch{{Bridge: 1}},
		Hot:      20,
	}
	// C V^2 / (2 R) = 0.001 x 81 / 3 (the project's rules, "Circuit").
	near(t, "impulse", float64(n.CapacitorImpulse(0)), 0.027, 1e-12)
	for _, under := range []int{-1, 1} {
		if got := n.CapacitorImpulse(under); got != 0 {
			t.Errorf("index %d: got %g", under, got)
		}
	}
	n.Capacitor = false
	if got := n.CapacitorImpulse(0); got != 0 {
		t.Errorf("a battery: got %g", got)
	}
}
