package circuit_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"rangebox/compat/circuit"
)

// rounding is what float64 may lose between two ways to the same figure.
const rounding = 1e-9

func drawIn[T ~float64](t *rapid.T, name string, lo, hi float64) T {
	return T(rapid.Float64Range(lo, hi).Draw(t, name))
}

func drawLead(t *rapid.T, name string, longest float64) circuit.Lead {
	return circuit.Lead{
		Length:     drawIn[circuit.Metres](t, name+" length", 0, longest),
		PerMetre20: circuit.Gauge(2 * rapid.IntRange(4, 16).Draw(t, name+" half gauge")).PerMetre(20),
	}
}

func drawBranch(t *rapid.T) circuit.Branch {
	b := circuit.Branch{
		Bridge:    drawIn[circuit.Ohms](t, "bridge", 0.2, 5),
		Tolerance: rapid.Float64Range(0, 0.5).Draw(t, "tolerance"),
		Contact:   drawIn[circuit.Ohms](t, "contact", 0, 0.3),
		Splices:   rapid.IntRange(0, 2).Draw(t, "splices"),
	}
	if rapid.Bool().Draw(t, "own lead") {
		b.Lead = drawLead(t, "own", 2)
	}
	if b.Splices > 0 {
		b.Splice = drawLead(t, "splice", 2)
	}
	return b
}

func drawNetwork(t *rapid.T, branches int) circuit.Network {
	open := drawIn[circuit.Volts](t, "open-circuit", 3, 15)
	internal := drawIn[circuit.Ohms](t, "internal", 0.005, 2)
	n := circuit.Network{
		Source: circuit.Source{
			OpenCircuit: open, Low: open * drawIn[circuit.Volts](t, "low", 0.7, 1),
			Internal: internal, AgedInternal: internal * drawIn[circuit.Ohms](t, "worn", 1, 3),
		},
		Controller: circuit.Controller{
			On:   drawIn[circuit.Ohms](t, "on", 0, 0.5),
			Drop: drawIn[circuit.Volts](t, "drop", 0, 1.5),
		},
		FiringLead: drawLead(t, "firing", 100),
		Series:     rapid.Bool().Draw(t, "series"),
		Hot:        drawIn[circuit.Celsius](t, "hot", 20, 70),
	}
	if rapid.Bool().Draw(t, "limited") {
		n.Limit = drawIn[circuit.Amps](t, "limit", 0.1, 10)
	}
	for range branches {
		n.Branches = append(n.Branches, drawBranch(t))
	}
	if err := n.Check(); err != nil {
		t.Fatal(err)
	}
	return n
}

func drawCapacitor(t *rapid.T, n circuit.Network) circuit.Network {
	n.Source = circuit.CapacitorOutput(n.OpenCircuit, n.Internal, drawIn[circuit.Farads](t, "farads", 1e-4, 0.05))
	return n
}

// point is a state solved the other way: by conductance, with the bridges of a
// given corner, all wires hot, the source low and worn.
type point struct {
	total, ahead, whole float64
	each                []float64
}

func conductance(n circuit.Network, corner int) point {
	ohms := make([]float64, len(n.Branches))
	sum, siemens := 0.0, 0.0
	for i, b := range n.Branches {
		wires := float64(b.Lead.Resistance(n.Hot)+b.Splice.Resistance(n.Hot)) + float64(1+b.Splices)*float64(b.Contact)
		ohms[i] = float64(b.Bridge)*(1-b.Tolerance) + wires
		if corner>>i&1 == 1 {
			ohms[i] = float64(b.Bridge)*(1+b.Tolerance) + wires
		}
		sum += ohms[i]
		siemens += 1 / ohms[i]
	}
	p := point{
		ahead: float64(n.AgedInternal + n.On + n.FiringLead.Resistance(n.Hot)),
		whole: 1 / siemens, each: make([]float64, len(ohms)),
	}
	if n.Series {
		p.whole = sum
	}
	p.total = math.Max(0, float64(n.Low-n.Drop)) / (p.ahead + p.whole)
	if n.Limit > 0 {
		p.total = math.Min(p.total, float64(n.Limit))
	}
	for i := range p.each {
		p.each[i] = p.total
		if !n.Series {
			p.each[i] = p.total * p.whole / ohms[i]
		}
	}
	return p
}

// No corner of the tolerances gives an igniter less than Worst reports, and one
// gives exactly that.
func TestWorstIsTheExactCorner(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := drawNetwork(t, rapid.IntRange(1, 6).Draw(t, "igniters"))
		each := n.WorstEach()
		for under := range n.Branches {
			least := math.Inf(1)
			for corner := range 1 << len(n.Branches) {
				least = math.Min(least, conductance(n, corner).each[under])
			}
			worst := n.Worst(under).Each[under]
			if math.Abs(float64(worst)-least) > rounding*least {
				t.Fatalf("igniter %d: worst %.15g, brute force %.15g", under, worst, least)
			}
			if each[under] != worst {
				t.Fatalf("igniter %d: WorstEach %.17g, Worst %.17g", under, each[under], worst)
			}
		}
	})
}

// The same corner is the exact worst one of the impulse from a capacitor.
func TestImpulseIsTheExactCorner(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := drawCapacitor(t, drawNetwork(t, rapid.IntRange(1, 6).Draw(t, "igniters")))
		for under := range n.Branches {
			least := math.Inf(1)
			for corner := range 1 << len(n.Branches) {
				p := conductance(n, corner)
				share := p.each[under] / p.total
				whole := float64(n.Capacitance) * p.total * (float64(n.Low-n.Drop) - p.total*(p.ahead+p.whole)/2)
				least = math.Min(least, whole*share*share)
			}
			if got := float64(n.CapacitorImpulse(under)); math.Abs(got-least) > rounding*least {
				t.Fatalf("igniter %d: %.15g, brute force %.15g", under, got, least)
			}
		}
	})
}

// Kirchhoff: currents into a node and voltages around the loop add to zero.
func TestKirchhoff(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := drawNetwork(t, rapid.IntRange(1, 6).Draw(t, "igniters"))
		s := n.Nominal()
		sum, clips := 0.0, 0.0
		for i := range n.Branches {
			across := float64(s.Each[i]) * float64(n.Branches[i].Resistance(0, 20))
			if !n.Series && i > 0 && math.Abs(across-clips) > rounding*clips {
				t.Fatalf("branch %d has %g V, the first %g V", i, across, clips)
			}
			if n.Series && s.Each[i] != s.Total {
				t.Fatalf("branch %d carries %g of %g A", i, s.Each[i], s.Total)
			}
			sum += float64(s.Each[i])
			if n.Series || i == 0 {
				clips += across
			}
		}
		if !n.Series && math.Abs(sum-float64(s.Total)) > rounding*sum {
			t.Fatalf("branches carry %g of %g A", sum, s.Total)
		}
		total := float64(s.Total)
		supply := float64(n.OpenCircuit) - total*float64(n.Internal)
		if math.Abs(supply-float64(s.Supply)) > rounding*supply {
			t.Fatalf("supply %g V, want %g V", s.Supply, supply)
		}
		left := float64(s.Supply) - float64(n.Drop) - total*float64(n.On+n.FiringLead.Resistance(20)) - clips
		limited := n.Limit > 0 && s.Total == n.Limit
		if left < -rounding*supply || !limited && left > rounding*supply {
			t.Fatalf("loop is off by %g V (limited: %v)", left, limited)
		}
	})
}

// More resistance never raises the current through what is in series with it.
func TestMoreResistanceNeverRaisesTheCurrent(t *testing.T) {
	changes := map[string]struct {
		all bool // in series with every igniter, not with the first alone
		add func(*circuit.Network, float64)
	}{
		"internal": {true, func(n *circuit.Network, r float64) {
			n.Internal += circuit.Ohms(r)
			n.AgedInternal += circuit.Ohms(r)
		}},
		"controller":  {true, func(n *circuit.Network, r float64) { n.On += circuit.Ohms(r) }},
		"firing lead": {true, func(n *circuit.Network, r float64) { n.FiringLead.Length += circuit.Metres(10 * r) }},
		"contact":     {false, func(n *circuit.Network, r float64) { n.Branches[0].Contact += circuit.Ohms(r) }},
		"bridge":      {false, func(n *circuit.Network, r float64) { n.Branches[0].Bridge += circuit.Ohms(r) }},
		"own lead":    {false, func(n *circuit.Network, r float64) { n.Branches[0].Lead.PerMetre20 += circuit.OhmsPerMetre(r) }},
		"splice":      {false, func(n *circuit.Network, r float64) { n.Branches[0].Splices++ }},
	}
	for name, change := range changes {
		t.Run(name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				before := drawNetwork(t, rapid.IntRange(1, 5).Draw(t, "igniters"))
				after := before
				after.Branches = append([]circuit.Branch{}, before.Branches...)
				change.add(&after, drawIn[float64](t, "more", 0, 3))
				reach := 1
				if change.all || before.Series {
					reach = len(before.Branches)
				}
				for i := range reach {
					noHigher(t, "worst", before.Worst(i).Each[i], after.Worst(i).Each[i])
					noHigher(t, "nominal", before.Nominal().Each[i], after.Nominal().Each[i])
					noHigher(t, "sag", before.Sag().Each[i], after.Sag().Each[i])
				}
				noHigher(t, "greatest", before.Greatest().Total, after.Greatest().Total)
				noHigher(t, "shorted", before.SagWithOneShorted().Total, after.SagWithOneShorted().Total)
				noHigher(t, "short", before.ShortCircuit(), after.ShortCircuit())
			})
		})
	}
}

func noHigher(t *rapid.T, what string, before, after circuit.Amps) {
	if after > before*(1+1e-12) { // rounding only
		t.Fatalf("%s: rose from %.15g to %.15g A", what, before, after)
	}
}

// The corners stand in the order their names promise. Worst against Nominal is
// held with wire in the firing lead only: see TestHotWireElsewhereCanHelp.
func TestCornersInOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := drawNetwork(t, rapid.IntRange(1, 6).Draw(t, "igniters"))
		bare := n
		bare.Branches = append([]circuit.Branch{}, n.Branches...)
		for i := range bare.Branches {
			bare.Branches[i].Lead, bare.Branches[i].Splice = circuit.Lead{}, circuit.Lead{}
		}
		for i := range n.Branches {
			noHigher(t, "worst above nominal", bare.Nominal().Each[i], bare.Worst(i).Each[i])
			noHigher(t, "worst total above sag", n.Sag().Total, n.Worst(i).Total)
		}
		noHigher(t, "nominal above greatest", n.Greatest().Total, n.Nominal().Total)
		noHigher(t, "sag above shorted", n.SagWithOneShorted().Total, n.Sag().Total)
		noHigher(t, "greatest above short circuit", n.ShortCircuit(), n.Greatest().Total)
		noHigher(t, "shorted above short circuit", n.ShortCircuit(), n.SagWithOneShorted().Total)
	})
}

// Worst heats all wires alike, as the project's design defines it. A hot lead in
// another branch leaves more for the igniter under test, so that a cold day can
// give it less than Worst says. This holds the doc comment of Worst to its word.
func TestHotWireElsewhereCanHelp(t *testing.T) {
	n := circuit.Network{
		Source:     circuit.Source{OpenCircuit: 12, Low: 12, Internal: 0.05, AgedInternal: 0.05},
		Controller: circuit.Controller{Limit: 2},
		Branches: []circuit.Branch{
			{Bridge: 1},
			{Bridge: 0.8, Lead: circuit.Lead{Length: 1, PerMetre20: 0.1}},
		},
		Hot: 40,
	}
	// By hand: 2 A shared by 1 ohm and 0.8 + 0.2 ohm, that 0.2157 ohm when hot.
	near(t, "at 20 C", float64(n.Nominal().Each[0]), 1, 1e-12)
	near(t, "hot", float64(n.Worst(0).Each[0]), 2*1.01572/2.01572, 1e-12)
}

// The order of the igniters does not matter.
func TestOrderDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := drawNetwork(t, rapid.IntRange(2, 6).Draw(t, "igniters"))
		turned := n
		turned.Branches = append(append([]circuit.Branch{}, n.Branches[1:]...), n.Branches[0])
		for i, worst := range n.WorstEach() {
			other := turned.WorstEach()[(i+len(n.Branches)-1)%len(n.Branches)]
			if math.Abs(float64(worst-other)) > rounding*float64(worst) {
				t.Fatalf("igniter %d: %g, then %g", i, worst, other)
			}
		}
	})
}

func TestMeterSpansNominal(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := drawNetwork(t, rapid.IntRange(1, 6).Draw(t, "igniters"))
		n.Limit, n.Drop = 0, 0
		nominal := float64(n.OpenCircuit)/float64(n.Nominal().Total) - float64(n.Internal+n.On)
		lo, hi := n.Meter()
		if float64(lo) > nominal*(1+rounding) || float64(hi) < nominal*(1-rounding) {
			t.Fatalf("%g to %g does not span %g", lo, hi, nominal)
		}
		missLo, missHi, ok := n.MeterOneMissing()
		if ok != (!n.Series && len(n.Branches) > 1) {
			t.Fatalf("ok is %v", ok)
		}
		if ok && (missLo < lo || missHi < hi || missLo > missHi) {
			t.Fatalf("missing %g to %g, whole %g to %g", missLo, missHi, lo, hi)
		}
	})
}

// What Check lets pass gives finite answers, at the ends of the range too.
func TestCheckedNetworksAreFinite(t *testing.T) {
	ends := rapid.SampledFrom([]float64{0, 1e-300, 1e-12, 1e-6, 1, 12, 1e9})
	passed := 0
	rapid.Check(t, func(t *rapid.T) {
		v := func(name string) float64 { return ends.Draw(t, name) }
		n := circuit.Network{
			Source: circuit.Source{
				OpenCircuit: circuit.Volts(v("open")), Internal: circuit.Ohms(v("internal")),
				AgedInternal: circuit.Ohms(v("worn")), Capacitor: true, Capacitance: circuit.Farads(v("farads")),
			},
			Controller: circuit.Controller{On: circuit.Ohms(v("on")), Drop: circuit.Volts(v("drop")), Limit: circuit.Amps(v("limit"))},
			FiringLead: circuit.Lead{Length: circuit.Metres(v("length")), PerMetre20: circuit.OhmsPerMetre(v("per metre"))},
			Series:     rapid.Bool().Draw(t, "series"),
			Hot:        40,
		}
		n.Low = min(n.OpenCircuit, circuit.Volts(v("low")))
		for range rapid.IntRange(1, 3).Draw(t, "igniters") {
			n.Branches = append(n.Branches, circuit.Branch{
				Bridge: circuit.Ohms(v("bridge")), Tolerance: rapid.Float64Range(0, 1).Draw(t, "tolerance"), Contact: circuit.Ohms(v("contact")),
			})
		}
		if n.Check() != nil {
			return
		}
		passed++
		for name, s := range map[string]circuit.State{
			"nominal": n.Nominal(), "worst": n.Worst(0), "sag": n.Sag(),
			"greatest": n.Greatest(), "shorted": n.SagWithOneShorted(),
		} {
			finite(t, name+" supply", float64(s.Supply))
			finite(t, name+" total", float64(s.Total))
			for _, amps := range s.Each {
				finite(t, name, float64(amps))
			}
		}
		lo, hi := n.Meter()
		finite(t, "meter", float64(lo))
		finite(t, "meter", float64(hi))
		finite(t, "short", float64(n.ShortCircuit()))
		finite(t, "impulse", float64(n.CapacitorImpulse(0)))
	})
	if passed == 0 {
		t.Error("no network passed Check")
	}
}

func finite(t *rapid.T, what string, v float64) {
	if math.IsNaN(v) || math.IsInf(v, 0) || v < -1e-6 {
		t.Fatalf("%s is %g", what, v)
	}
}
