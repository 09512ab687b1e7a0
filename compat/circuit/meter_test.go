package circuit_test

import (
	"testing"

	"rangebox/compat/circuit"
)

func TestMeterByHand(t *testing.T) {
	const hot = 1.393
	parallel := func(a, b float64) float64 { return 1 / (1/a + 1/b) }
	// Computed by hand: firing lead 0.4 ohm, branches of mixed().
	lo, hi := mixed(false).Meter()
	near(t, "parallel lo", float64(lo), 0.4+parallel(1, 2.5), 1e-12)
	near(t, "parallel hi", float64(hi), 0.4*hot+parallel(2, 3+0.5*hot), 1e-12)
	lo, hi = mixed(true).Meter()
	near(t, "series lo", float64(lo), 0.4+1+2.5, 1e-12)
	near(t, "series hi", float64(hi), 0.4*hot+2+3+0.5*hot, 1e-12)

	lo, hi, ok := mixed(false).MeterOneMissing()
	if !ok {
		t.Error("two in parallel have a reading with one missing")
	}
	near(t, "missing lo", float64(lo), 0.4+1, 1e-12)             // the second missing
	near(t, "missing hi", float64(hi), 0.4*hot+3+0.5*hot, 1e-12) // the first missing
}

// The extremes are found wherever they stand among the igniters.
func TestMeterOneMissingInAnyOrder(t *testing.T) {
	ohms := []circuit.Ohms{1, 2, 4}
	for turn := range ohms {
		n := pad(3)
		n.FiringLead = circuit.Lead{}
		for i := range ohms {
			n.Branches[i].Bridge = ohms[(i+turn)%len(ohms)]
		}
		lo, hi, ok := n.MeterOneMissing()
		if !ok {
			t.Fatal("no reading")
		}
		// By hand: 1 and 2 ohm are 0.6667, 2 and 4 ohm are 1.3333.
		near(t, "lo", float64(lo), 2.0/3, 1e-12)
		near(t, "hi", float64(hi), 4.0/3, 1e-12)
	}
}

func TestMeterCannotTellOneMissing(t *testing.T) {
	for name, n := range map[string]circuit.Network{
		"series": mixed(true), "single": pad(1), "none": pad(0),
	} {
		if lo, hi, ok := n.MeterOneMissing(); ok {
			t.Errorf("%s: got %g to %g", name, lo, hi)
		}
	}
}

func TestMeterOnAColdDay(t *testing.T) {
	n := mixed(false)
	n.Hot = -80 // wires x 0.607
	lo, hi := n.Meter()
	near(t, "lo", float64(lo), 0.4*0.607+1/(1/1.0+1/(2+0.5*0.607)), 1e-12)
	near(t, "hi", float64(hi), 0.4+1/(1/2.0+1/3.5), 1e-12)
}
