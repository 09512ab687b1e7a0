package circuit_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"rangebox/compat/circuit"
)

func TestInverseByHand(t *testing.T) {
	n := pad(1)
	n.Hot = 20 // so that the lead is the table's
	need := circuit.Need{3}
	perMetre := float64(circuit.Gauge(18).PerMetre(20))

	// Computed by hand: (12 V / 3 A - 1.022 ohm) / (2 x ohm/m), down to 1 cm.
	lead, ok := n.LongestLead(need)
	want := math.Floor((12/3.0-1.022)/(2*perMetre)*100) / 100
	if !ok || math.Abs(float64(lead)-want) > 1e-9 {
		t.Errorf("longest lead %v, %v; want %v", lead, ok, want)
	}
	// 3 A x (0.022 + 1 + 1.256867) ohm = 6.836602 V, up to 1 mV.
	volts, ok := n.LowestVoltage(need)
	if !ok || volts != 6.837 {
		t.Errorf("lowest voltage %v, %v", volts, ok)
	}
	// 12 V / (1.278867 + 1/k) ohm / k: k = 2 gives 3.373, k = 3 gives 2.481 A.
	most, ok := n.MostIgniters(need)
	if !ok || most != 2 {
		t.Errorf("most igniters %v, %v", most, ok)
	}
	// 2.978 ohm may be lost in 60 m: 15.13 ohm per 1000 ft, between 20 and 22
	// AWG of the published table (10.15 and 16.14; quoted).
	wire, ok := n.SmallestWire(need)
	if !ok || wire != 20 {
		t.Errorf("smallest wire %v, %v", wire, ok)
	}
}

func TestNeedsThatAreNeverMet(t *testing.T) {
	n := pad(1)
	n.Source = circuit.CapacitorOutput(12, 0.022, 1)
	if !n.Holds(circuit.Need{1}) || !n.Holds(circuit.Need{1}, circuit.NeedImpulse{1}...) {
		t.Fatal("the plain needs are met")
	}
	for _, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 0, -1} {
		if n.Holds(circuit.Need{circuit.Amps(bad)}) {
			t.Errorf("need %g is met", bad)
		}
		if n.Holds(circuit.Need{1}, circuit.AmpSquaredSeconds(bad)) {
			t.Errorf("impulse %g is met", bad)
		}
	}
	for name, need := range map[string]circuit.Need{"none": nil, "two": {1, 1}} {
		if n.Holds(need) {
			t.Errorf("%s for one igniter is met", name)
		}
	}
	if n.Holds(circuit.Need{1}, 1, 1) {
		t.Error("two impulses for one igniter are met")
	}
	empty := pad(0)
	if empty.Holds(circuit.Need{}) {
		t.Error("a line without igniters is met")
	}
	if _, ok := empty.MostIgniters(circuit.Need{1}); ok {
		t.Error("a line without igniters has a most")
	}
}

// Next to an equal branch with an equal need, the rest is still asked.
func TestHoldsAsksWhatDiffers(t *testing.T) {
	n := pad(2)
	n.Branches[1].Bridge = 4 // gets a quarter of what the first gets
	each := n.WorstEach()
	if n.Holds(circuit.Need{2 * each[1], 2 * each[1]}) || !n.Holds(circuit.Need{each[1], each[1]}) {
		t.Errorf("another branch was not asked: %v", each)
	}
	n = pad(2)
	n.Source = circuit.CapacitorOutput(12, 0.022, 0.001)
	impulse := n.CapacitorImpulse(0)
	if n.Holds(circuit.Need{1, 1}, impulse, 2*impulse) || !n.Holds(circuit.Need{1, 1}, impulse, impulse) {
		t.Errorf("another impulse was not asked: %g", impulse)
	}
}

func TestImpulseIsAskedOfCapacitorsOnly(t *testing.T) {
	n := pad(1)
	if !n.Holds(circuit.Need{1}, 1e6) {
		t.Error("a battery was asked for an impulse")
	}
	n.Source = circuit.CapacitorOutput(12, 0.022, 0.001)
	if n.Holds(circuit.Need{1}, 1e6) || !n.Holds(circuit.Need{1}) {
		t.Error("a capacitor was not asked for its impulse")
	}
	if _, ok := n.LowestVoltage(circuit.Need{1}); ok {
		t.Error("a capacitor has a lowest battery voltage")
	}
}

// "At least" holds where both sides are equal as decimals.
func TestEqualDecimalsAreEqual(t *testing.T) {
	n := circuit.Network{
		Source:     circuit.Source{OpenCircuit: 12, Low: 12, Internal: 0.1, AgedInternal: 0.1},
		Controller: circuit.Controller{On: 0.2},
		Branches:   []circuit.Branch{{Bridge: 2.1}},
		Hot:        40,
	}
	got := n.Worst(0).Each[0]
	if got >= 5 {
		t.Fatalf("%.17g no longer shows the case", got)
	}
	if !n.Holds(circuit.Need{5}) {
		t.Errorf("%.17g A does not meet 5 A", got)
	}
	if n.Holds(circuit.Need{5.000001}) {
		t.Error("a microamp too little meets the need")
	}
	if volts, ok := n.LowestVoltage(circuit.Need{5}); !ok || volts != 12 {
		t.Errorf("lowest voltage %v, %v", volts, ok)
	}
}

func TestInverseAtItsBounds(t *testing.T) {
	n := pad(1)
	n.FiringLead.PerMetre20 = 1e-6
	if lead, ok := n.LongestLead(circuit.Need{1}); !ok || lead != circuit.MaxLead {
		t.Errorf("lead %v, %v", lead, ok)
	}
	if most, ok := n.MostIgniters(circuit.Need{0.001}); !ok || most != circuit.MostBranches {
		t.Errorf("igniters %v, %v", most, ok)
	}
	if wire, ok := n.SmallestWire(circuit.Need{0.001}); !ok || wire != circuit.ThinnestGauge {
		t.Errorf("wire %v, %v", wire, ok)
	}
	if volts, ok := n.LowestVoltage(circuit.Need{1e6}); ok {
		t.Errorf("voltage %v", volts)
	}
	n.Limit = 1
	if volts, ok := n.LowestVoltage(circuit.Need{1.5}); ok {
		t.Errorf("voltage %v above what the limit lets through", volts)
	}
}

// drawNeed is a share of what the igniters get, so that answers fall on both
// sides of the present line; a capacitor is asked for its impulse as well.
func drawNeed(t *rapid.T, n circuit.Network) (circuit.Need, circuit.NeedImpulse) {
	need := make(circuit.Need, len(n.Branches))
	var impulse circuit.NeedImpulse
	for i, worst := range n.WorstEach() {
		need[i] = worst * drawIn[circuit.Amps](t, "need", 0.1, 1.5)
		if n.Capacitor {
			impulse = append(impulse, n.CapacitorImpulse(i)*drawIn[circuit.AmpSquaredSeconds](t, "impulse", 0.1, 1.5))
		}
	}
	return need, impulse
}

func drawAsked(t *rapid.T) (circuit.Network, circuit.Need, circuit.NeedImpulse) {
	n := drawNetwork(t, rapid.IntRange(1, 4).Draw(t, "igniters"))
	if rapid.Bool().Draw(t, "capacitor") {
		n = drawCapacitor(t, n)
	}
	need, impulse := drawNeed(t, n)
	return n, need, impulse
}

func TestHoldsIsEveryIgniter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, need, impulse := drawAsked(t)
		if rapid.Bool().Draw(t, "one need for all") {
			for i := range need {
				need[i] = need[0]
			}
		}
		want := true
		for i := range n.Branches {
			want = want && circuit.Meets(n.Worst(i).Each[i], need[i])
			want = want && (!n.Capacitor || circuit.Meets(n.CapacitorImpulse(i), impulse[i]))
		}
		if got := n.Holds(need, impulse...); got != want {
			t.Fatalf("holds %v, igniter by igniter %v", got, want)
		}
	})
}

// Branches that are equal are asked once; that must not change the answer.
func TestHoldsOfEqualBranches(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := drawNetwork(t, 1)
		for range rapid.IntRange(1, 20).Draw(t, "more") {
			n.Branches = append(n.Branches, n.Branches[0])
		}
		first := n.WorstEach()[0]
		for i, worst := range n.WorstEach() {
			if worst != first || n.Worst(i).Each[i] != first {
				t.Fatalf("igniter %d gets %.17g, the first %.17g", i, worst, first)
			}
		}
		need := make(circuit.Need, len(n.Branches))
		for i := range need {
			need[i] = first
		}
		last := len(need) - 1
		if !n.Holds(need) {
			t.Fatal("does not hold what each gets")
		}
		need[last] = 2 * first
		if n.Holds(need) {
			t.Fatal("the last need was not asked")
		}
	})
}

func TestLongestLeadBrackets(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, need, impulse := drawAsked(t)
		lead, ok := n.LongestLead(need, impulse...)
		n.FiringLead.Length = lead
		if holds := n.Holds(need, impulse...); holds != ok {
			t.Fatalf("%v m: answer %v, holds %v", lead, ok, holds)
		}
		if n.FiringLead.Length += 0.02; ok && lead < circuit.MaxLead && n.Holds(need, impulse...) {
			t.Fatalf("%v m: 0.02 m more holds too", lead)
		}
		if cm := float64(lead) * 100; math.Abs(cm-math.Round(cm)) > 1e-6 {
			t.Fatalf("%v m is no whole centimetre", lead)
		}
	})
}

func TestSmallestWireBrackets(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, need, impulse := drawAsked(t)
		wire, ok := n.SmallestWire(need, impulse...)
		if !ok {
			wire = circuit.ThickestGauge
		}
		n.FiringLead.PerMetre20 = wire.PerMetre(20)
		if holds := n.Holds(need, impulse...); holds != ok {
			t.Fatalf("%v AWG: answer %v, holds %v", wire, ok, holds)
		}
		if wire%2 != 0 || wire < circuit.ThickestGauge || wire > circuit.ThinnestGauge {
			t.Fatalf("%v AWG is not on offer", wire)
		}
		n.FiringLead.PerMetre20 = (wire + 2).PerMetre(20)
		if ok && wire < circuit.ThinnestGauge && n.Holds(need, impulse...) {
			t.Fatalf("%v AWG: two gauges thinner holds too", wire)
		}
	})
}

func TestMostIgnitersBrackets(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := drawNetwork(t, 1)
		if rapid.Bool().Draw(t, "capacitor") {
			n = drawCapacitor(t, n)
		}
		need, impulse := drawNeed(t, n)
		need[0] *= drawIn[circuit.Amps](t, "fraction", 0.01, 1)
		most, ok := n.MostIgniters(need, impulse...)
		holds := func(count int) bool {
			like := n
			var needs circuit.Need
			var impulses circuit.NeedImpulse
			like.Branches = nil
			for range count {
				like.Branches = append(like.Branches, n.Branches[0])
				needs = append(needs, need[0])
				impulses = append(impulses, impulse...)
			}
			return like.Holds(needs, impulses...)
		}
		if ok && !holds(most) || !ok && most != 0 {
			t.Fatalf("%v igniters, %v, do not hold", most, ok)
		}
		if most < circuit.MostBranches && holds(most+1) {
			t.Fatalf("%v igniters: one more holds too", most)
		}
	})
}

func TestLowestVoltageBrackets(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := drawNetwork(t, rapid.IntRange(1, 4).Draw(t, "igniters"))
		need, _ := drawNeed(t, n)
		volts, ok := n.LowestVoltage(need)
		if !ok {
			volts = circuit.MaxVoltage
		}
		n.Low = volts
		if holds := n.Holds(need); holds != ok {
			t.Fatalf("%v V: answer %v, holds %v", volts, ok, holds)
		}
		if n.Low -= 0.002; ok && n.Holds(need) {
			t.Fatalf("%v V: 0.002 V less holds too", volts)
		}
		if mv := float64(volts) * 1000; math.Abs(mv-math.Round(mv)) > 1e-6 {
			t.Fatalf("%v V is no whole millivolt", volts)
		}
	})
}
