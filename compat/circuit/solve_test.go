package circuit_test

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rangebox/compat/circuit"
)

func TestWorkedExamples(t *testing.T) {
	// The project's sources, "Copper wire", worked (computed by an independent script).
	near(t, "lead", float64(pad(1).FiringLead.Resistance(20)), 1.256867, 5e-7)
	near(t, "one igniter", float64(pad(1).Nominal().Each[0]), 5.2658, 1e-5)
	for i, amps := range pad(3).Nominal().Each {
		near(t, "three igniters", float64(amps), 2.4811, 2e-5)
		near(t, "their sum", float64(pad(3).Nominal().Total), 3*float64(pad(3).Nominal().Each[i]), 1e-12)
	}
	nine := pad(1)
	nine.Source = circuit.Source{OpenCircuit: 9, Low: 9, Internal: 1.7, AgedInternal: 1.7}
	near(t, "9 V behind 1.7 ohm", float64(nine.Nominal().Each[0]), 2.2745, 2e-5)
}

// mixed is two different igniters on a line whose figures are easy by hand.
func mixed(series bool) circuit.Network {
	return circuit.Network{
		Source:     circuit.Source{OpenCircuit: 12, Low: 10, Internal: 0.1, AgedInternal: 0.3},
		Controller: circuit.Controller{On: 0.2, Drop: 1},
		FiringLead: circuit.Lead{Length: 10, PerMetre20: 0.02},
		Branches: []circuit.Branch{
			{Bridge: 1, Tolerance: 0.5, Contact: 0.5},
			{Bridge: 2, Tolerance: 0.25, Lead: circuit.Lead{Length: 1, PerMetre20: 0.25}, Contact: 0.5},
		},
		Series: series,
		Hot:    120, // wires x 1.393
	}
}

func TestCornersByHand(t *testing.T) {
	const hot = 1.393
	parallel := func(a, b float64) float64 { return 1 / (1/a + 1/b) }
	// Computed by hand from the definitions in the project's design, section 6.
	rows := []struct {
		name                 string
		got                  circuit.State
		volts, inside, ahead float64 // voltage, internal, controller and lead
		first, second        float64 // branches
		series               bool
	}{
		{"nominal", mixed(false).Nominal(), 12, 0.1, 0.2 + 0.4, 1.5, 3, false},
		{"worst of the first", mixed(false).Worst(0), 10, 0.3, 0.2 + 0.4*hot, 2, 2 + 0.5*hot, false},
		{"worst of the second", mixed(false).Worst(1), 10, 0.3, 0.2 + 0.4*hot, 1, 3 + 0.5*hot, false},
		{"worst of nobody", mixed(false).Worst(7), 10, 0.3, 0.2 + 0.4*hot, 1, 2 + 0.5*hot, false},
		{"sag", mixed(false).Sag(), 10, 0.3, 0.2 + 0.4, 1, 2.5, false},
		{"greatest", mixed(false).Greatest(), 12, 0.1, 0.2 + 0.4, 1, 2.5, false},
		{"first shorted", mixed(false).SagWithOneShorted(), 10, 0.3, 0.2 + 0.4, 0.5, 2.5, false},
		{"series nominal", mixed(true).Nominal(), 12, 0.1, 0.2 + 0.4, 1.5, 3, true},
		{"series worst", mixed(true).Worst(0), 10, 0.3, 0.2 + 0.4*hot, 2, 3 + 0.5*hot, true},
		{"series sag", mixed(true).Sag(), 10, 0.3, 0.2 + 0.4, 1, 2.5, true},
		{"series second shorted", mixed(true).SagWithOneShorted(), 10, 0.3, 0.2 + 0.4, 1, 1, true},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			whole := parallel(row.first, row.second)
			if row.series {
				whole = row.first + row.second
			}
			total := (row.volts - 1) / (row.inside + row.ahead + whole)
			first, second := total*whole/row.first, total*whole/row.second
			if row.series {
				first, second = total, total
			}
			near(t, "total", float64(row.got.Total), total, 1e-12)
			near(t, "supply", float64(row.got.Supply), row.volts-total*row.inside, 1e-12)
			near(t, "first", float64(row.got.Each[0]), first, 1e-12)
			near(t, "second", float64(row.got.Each[1]), second, 1e-12)
		})
	}
	// (12 V - 1 V) / (0.1 + 0.2 + 0.4) ohm
	near(t, "short", float64(mixed(false).ShortCircuit()), 11/0.7, 1e-12)
}

func TestCurrentLimit(t *testing.T) {
	n := mixed(false)
	n.Limit = 3 // below 11 V / (0.7 + 1) ohm = 6.47 A
	got := n.Nominal()
	// By hand: 3 A shared 2 to 1 by 1.5 and 3 ohm; 12 V - 3 A x 0.1 ohm.
	want := circuit.State{Each: []circuit.Amps{2, 1}, Total: 3, Supply: 11.7}
	near(t, "total", float64(got.Total), 3, 0)
	near(t, "supply", float64(got.Supply), float64(want.Supply), 1e-12)
	for i := range want.Each {
		near(t, "share", float64(got.Each[i]), float64(want.Each[i]), 1e-12)
	}
	near(t, "short", float64(n.ShortCircuit()), 3, 0)

	n.Series = true // 11 V / (0.7 + 4.5) ohm = 2.115 A: the limit does not bind
	near(t, "unlimited", float64(n.Nominal().Total), 11/5.2, 1e-12)
}

func TestBatteryBelowDropDrivesNothing(t *testing.T) {
	n := mixed(false)
	n.Drop = 10.5 // above Low, below OpenCircuit
	want := circuit.State{Each: []circuit.Amps{0, 0}, Supply: 10}
	if diff := cmp.Diff(want, n.Worst(0)); diff != "" {
		t.Errorf("worst (-want +got):\n%s", diff)
	}
	if n.Nominal().Total <= 0 {
		t.Error("a fresh battery is above the drop")
	}
}

func TestNoBranchesCarryNothing(t *testing.T) {
	n := pad(0)
	want := circuit.State{Each: []circuit.Amps{}, Supply: 12}
	for name, got := range map[string]circuit.State{
		"nominal": n.Nominal(), "worst": n.Worst(0), "sag": n.Sag(),
		"greatest": n.Greatest(), "shorted": n.SagWithOneShorted(),
	} {
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%s (-want +got):\n%s", name, diff)
		}
	}
	near(t, "short", float64(n.ShortCircuit()), 12/1.278867, 1e-6)
	if lo, hi := n.Meter(); lo != 0 || hi != 0 {
		t.Errorf("meter %g to %g", lo, hi)
	}
}

func TestNoResistanceAnywhere(t *testing.T) {
	n := circuit.Network{
		Source:     circuit.Source{OpenCircuit: 9, Low: 9},
		Controller: circuit.Controller{Limit: 6},
		Branches:   []circuit.Branch{{}, {Bridge: 1}, {}},
	}
	// The two of zero resistance share the limit, the other gets nothing.
	want := circuit.State{Each: []circuit.Amps{3, 0, 3}, Total: 6, Supply: 9}
	if diff := cmp.Diff(want, n.Nominal()); diff != "" {
		t.Errorf("limited (-want +got):\n%s", diff)
	}
	n.Limit = 0 // Check refuses it; unchecked it is infinite, never NaN
	inf := circuit.Amps(math.Inf(1))
	want = circuit.State{Each: []circuit.Amps{inf, 0, inf}, Total: inf, Supply: 9}
	if diff := cmp.Diff(want, n.Nominal()); diff != "" {
		t.Errorf("unlimited (-want +got):\n%s", diff)
	}
	n.Low = 0
	want = circuit.State{Each: []circuit.Amps{0, 0, 0}}
	if diff := cmp.Diff(want, n.Sag()); diff != "" {
		t.Errorf("without voltage (-want +got):\n%s", diff)
	}
}

func TestStateDoesNotTouchTheNetwork(t *testing.T) {
	n, want := mixed(false), mixed(false)
	n.SagWithOneShorted()
	n.MeterOneMissing()
	n.MostIgniters(circuit.Need{1, 1})
	n.LongestLead(circuit.Need{1, 1})
	n.SmallestWire(circuit.Need{1, 1})
	n.LowestVoltage(circuit.Need{1, 1})
	if diff := cmp.Diff(want, n); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}
