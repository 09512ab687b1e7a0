package circuit_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"rangebox/compat/circuit"
)

// pad is the worked example of the project's sources: 12 V, 0.022 ohm, 30 m of
// 18 AWG one way, igniters of 1.0 ohm.
func pad(igniters int) circuit.Network {
	branches := make([]circuit.Branch, igniters)
	for i := range branches {
		branches[i] = circuit.Branch{Bridge: 1.0}
	}
	return circuit.Network{
		Source:     circuit.Source{OpenCircuit: 12, Low: 12, Internal: 0.022, AgedInternal: 0.022},
		FiringLead: circuit.Lead{Length: 30, PerMetre20: circuit.Gauge(18).PerMetre(20)},
		Branches:   branches,
		Hot:        40,
	}
}

func TestBranchResistance(t *testing.T) {
	b := circuit.Branch{
		Bridge: 2, Tolerance: 0.25,
		Lead:   circuit.Lead{Length: 0.5, PerMetre20: 0.1},
		Splice: circuit.Lead{Length: 2, PerMetre20: 0.05}, Splices: 1,
		Contact: 0.03,
	}
	shorted := b
	shorted.ShortedBridge = true
	// By hand: lead 0.1, splice 0.2, contacts 2 x 0.03; at 120 C wires x 1.393.
	rows := []struct {
		name  string
		b     circuit.Branch
		share float64
		at    circuit.Celsius
		want  float64
	}{
		{"nominal", b, 0, 20, 2.36},
		{"most", b, 1, 20, 2.86},
		{"least", b, -1, 20, 1.86},
		{"hot", b, 0, 120, 2 + 0.3*1.393 + 0.06},
		{"shorted", shorted, 1, 20, 0.36},
	}
	for _, row := range rows {
		near(t, row.name, float64(row.b.Resistance(row.share, row.at)), row.want, 1e-12)
	}
}

func TestCheckFindsEveryFigure(t *testing.T) {
	fields := map[string]func(*circuit.Network, float64){
		"open-circuit voltage":              func(n *circuit.Network, v float64) { n.OpenCircuit = circuit.Volts(v) },
		"low voltage":                       func(n *circuit.Network, v float64) { n.Low = circuit.Volts(v) },
		"internal resistance":               func(n *circuit.Network, v float64) { n.Internal = circuit.Ohms(v) },
		"worn internal resistance":          func(n *circuit.Network, v float64) { n.AgedInternal = circuit.Ohms(v) },
		"capacitance":                       func(n *circuit.Network, v float64) { n.Capacitance = circuit.Farads(v) },
		"controller resistance":             func(n *circuit.Network, v float64) { n.On = circuit.Ohms(v) },
		"controller drop":                   func(n *circuit.Network, v float64) { n.Drop = circuit.Volts(v) },
		"current limit":                     func(n *circuit.Network, v float64) { n.Limit = circuit.Amps(v) },
		"firing lead length":                func(n *circuit.Network, v float64) { n.FiringLead.Length = circuit.Metres(v) },
		"firing lead resistance per metre":  func(n *circuit.Network, v float64) { n.FiringLead.PerMetre20 = circuit.OhmsPerMetre(v) },
		"igniter 2: bridge":                 func(n *circuit.Network, v float64) { n.Branches[1].Bridge = circuit.Ohms(v) },
		"igniter 2: tolerance":              func(n *circuit.Network, v float64) { n.Branches[1].Tolerance = v },
		"igniter 2: lead length":            func(n *circuit.Network, v float64) { n.Branches[1].Lead.Length = circuit.Metres(v) },
		"igniter 2: lead resistance per":    func(n *circuit.Network, v float64) { n.Branches[1].Lead.PerMetre20 = circuit.OhmsPerMetre(v) },
		"igniter 2: splice length":          func(n *circuit.Network, v float64) { n.Branches[1].Splice.Length = circuit.Metres(v) },
		"igniter 2: splice resistance per":  func(n *circuit.Network, v float64) { n.Branches[1].Splice.PerMetre20 = circuit.OhmsPerMetre(v) },
		"igniter 2: contact":                func(n *circuit.Network, v float64) { n.Branches[1].Contact = circuit.Ohms(v) },
		"low voltage 13 above open-circuit": func(n *circuit.Network, _ float64) { n.Low = 13 },
		"igniter 2: tolerance 1.5 above 1":  func(n *circuit.Network, _ float64) { n.Branches[1].Tolerance = 1.5 },
		"igniter 2: splices -1":             func(n *circuit.Network, _ float64) { n.Branches[1].Splices = -1 },
		"hot temperature -240":              func(n *circuit.Network, _ float64) { n.Hot = -240 },
		"hot temperature NaN":               func(n *circuit.Network, _ float64) { n.Hot = circuit.Celsius(math.NaN()) },
		"hot temperature +Inf":              func(n *circuit.Network, _ float64) { n.Hot = circuit.Celsius(math.Inf(1)) },
	}
	for name, set := range fields {
		for _, bad := range []float64{-0.001, math.NaN(), math.Inf(1), 1e10} {
			n := pad(2)
			if err := n.Check(); err != nil {
				t.Fatalf("before: %v", err)
			}
			set(&n, bad)
			err := n.Check()
			if !errors.Is(err, circuit.ErrRange) || !strings.Contains(err.Error(), name) {
				t.Errorf("%s at %g: got %v", name, bad, err)
			}
		}
	}
}

func TestCheckReportsAllAtOnce(t *testing.T) {
	n := pad(0)
	n.On, n.Drop = -1, -1
	err := n.Check()
	for _, want := range []string{"controller resistance", "controller drop", "no igniter"} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q is not in %v", want, err)
		}
	}
	if !errors.Is(err, circuit.ErrNoIgniter) {
		t.Errorf("got %v", err)
	}
}

func TestCheckRefusesAnUnboundedShort(t *testing.T) {
	ideal := circuit.Network{
		Source:   circuit.Source{OpenCircuit: 9, Low: 9},
		Branches: []circuit.Branch{{Bridge: 1}},
	}
	if err := ideal.Check(); !errors.Is(err, circuit.ErrUnbounded) {
		t.Errorf("got %v", err)
	}
	for name, inside := range map[string][2]circuit.Ohms{
		"fresh":        {0, 0.1},
		"worn":         {0.1, 0},
		"next to none": {1e-300, 1e-300},
	} {
		n := ideal
		n.Internal, n.AgedInternal = inside[0], inside[1]
		if err := n.Check(); !errors.Is(err, circuit.ErrUnbounded) {
			t.Errorf("%s: got %v", name, err)
		}
	}
	rows := map[string]func(*circuit.Network){
		"a limit":             func(n *circuit.Network) { n.Limit = 5 },
		"a controller":        func(n *circuit.Network) { n.On = 0.01 },
		"internal resistance": func(n *circuit.Network) { n.Internal, n.AgedInternal = 0.01, 0.01 },
		"a firing lead":       func(n *circuit.Network) { n.FiringLead = circuit.Lead{Length: 1, PerMetre20: 0.02} },
	}
	for name, set := range rows {
		n := ideal
		set(&n)
		if err := n.Check(); err != nil {
			t.Errorf("with %s: %v", name, err)
		}
	}
}
