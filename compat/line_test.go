package compat

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"rangebox/inventory/quantity"
)

// TestCheckLine: the worked circuit of docs/sources.md (computed): 12 V, 0.022 ohm
// inside, 30 m of 18 AWG one way, igniters of 1.0 ohm.
func TestCheckLine(t *testing.T) {
	const worked = baseCircuit + " battery.internal_ohm=0.022 battery.aged_internal_ohm=0.022 controller.on_ohm=0 line.contact_ohm=0 line.lead_m=30 line.lead_awg=18 "
	for _, row := range []struct {
		set     string
		nominal float64
	}{
		{"count=1", 5.2658},
		{"count=3", 2.4811},
		{"battery.open_circuit_v=9 battery.low_v=9 battery.internal_ohm=1.7 line.lead_m=0 igniter.bridge_ohm=1.000001 igniter.bridge_tol_pct=0 controller.on_ohm=1.256867", 9 / (1.7 + 1.000001 + 1.256867)},
	} {
		r := CheckLine(newScene(t, worked, row.set).circuit(t), Defaults())
		got, ok := r.Groups[0].Nominal.Get()
		if !ok || math.Abs(got.Amps()-row.nominal) > 0.0001 {
			t.Errorf("%s: %v A, not %v", row.set, got.Amps(), row.nominal)
		}
	}
}

func TestCheckLineFigures(t *testing.T) {
	r := CheckLine(newScene(t, baseCircuit, "igniter.bridge_tol_pct=10").circuit(t), Defaults())
	near := func(what string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 2e-6 {
			t.Errorf("%s %v, not %v", what, got, want)
		}
	}
	g := r.Groups[0]
	near("nominal", g.Nominal.Or(0).Amps(), 8)
	near("worst", g.Worst.Or(0).Amps(), 7.5)
	near("needed", g.Needed.Or(0).Amps(), 1.5)
	near("ratio", g.Ratio.Or(0), 7.5)
	near("nominal supply", r.NominalSupply.Or(0).Volts(), 12-8*0.2)
	near("worst supply", r.WorstSupply.Or(0).Volts(), 12-12/1.4*0.2)
	near("short", r.Short.Or(0).Amps(), 30)
	meter := r.Meter.Or([2]quantity.Resistance{})
	near("meter lo", meter[0].Ohms(), 1.0)
	near("meter hi", meter[1].Ohms(), 1.2)
	near("lowest voltage", r.LowestVoltage.Or(0).Volts(), 1.5*1.6)
	if r.MeterOneMissing.Known() {
		t.Error("one missing of one reads something")
	}
	if g.Igniter.Handle != "wick" || g.Count != 1 || r.Worst != r.Verdict() {
		t.Errorf("%s %d %s", g.Igniter.Handle, g.Count, r.Worst)
	}
	// No firing lead: how long it could be is not known, the wire cannot matter.
	if r.LongestLead.Known() || r.SmallestWire.Or(0) != 32 {
		t.Errorf("longest %v, smallest %v", r.LongestLead, r.SmallestWire)
	}
}

// TestInverseAnswersHold: at the answer the line holds 1.5 x, beyond it not.
func TestInverseAnswersHold(t *testing.T) {
	const set = "line.lead_m=20 line.lead_awg=18 igniter.bridge_tol_pct=10 igniter.all_fire_a=1.2 count=2 battery.open_circuit_v=14 "
	l := Defaults()
	r := CheckLine(newScene(t, baseCircuit, set).circuit(t), l)
	holds := func(change func(*scene)) bool {
		s := newScene(t, baseCircuit, set)
		change(s)
		report := CheckLine(s.circuit(t), l)
		f, _ := findingOf(&report.Findings, FiringCurrent, "wick")
		return f.Verdict == Go
	}
	length, volts, gauge, most := r.LongestLead.Or(0), r.LowestVoltage.Or(0), r.SmallestWire.Or(0), r.MostIgniters.Or(0)
	for _, row := range []struct {
		what       string
		at, beyond func(*scene)
	}{
		{"longest lead", func(s *scene) { s.line.Lead = quantity.Some(length) }, func(s *scene) { s.line.Lead = quantity.Some(length + 10_000_000) }},
		{"lowest voltage", func(s *scene) { s.battery.LowV = quantity.Some(volts) }, func(s *scene) { s.battery.LowV = quantity.Some(volts - 1000) }},
		{"smallest wire", func(s *scene) { s.line.LeadWire.Gauge = quantity.Some(gauge) }, func(s *scene) { s.line.LeadWire.Gauge = quantity.Some(gauge + 2) }},
		{"most igniters", func(s *scene) { s.ask["count"] = strconv.Itoa(most) }, func(s *scene) { s.ask["count"] = strconv.Itoa(most + 1) }},
	} {
		if !holds(row.at) || holds(row.beyond) {
			t.Errorf("%s: %v %v %v %v", row.what, length, volts, gauge, most)
		}
	}
}

// TestMeterSpansWhatWasNotMeasured: a contact that was not measured may be
// anything up to its bound, and a good line must not read outside.
func TestMeterSpansWhatWasNotMeasured(t *testing.T) {
	r := CheckLine(newScene(t, baseCircuit, "count=2 line.contact_ohm=").circuit(t), Defaults())
	whole, missing := r.Meter.Or([2]quantity.Resistance{}), r.MeterOneMissing.Or([2]quantity.Resistance{})
	if whole != [2]quantity.Resistance{500_000, 600_000} || missing != [2]quantity.Resistance{1_000_000, 1_200_000} {
		t.Errorf("%v, one missing %v", whole, missing)
	}
}

// TestCheckLineLeavesOutWhatCannotBeHad: each figure is absent without what it
// rests on, and only then.
func TestCheckLineLeavesOutWhatCannotBeHad(t *testing.T) {
	for _, row := range []struct {
		set                            string
		nominal, worst, meter, inverse bool
	}{
		{"", true, true, true, true},
		{"battery=none", false, false, true, false},
		{"battery.low_v=", true, false, true, false},
		{"battery.open_circuit_v=", false, true, true, true},
		{"battery.open_circuit_v=11", false, false, false, false},
		{"igniter.bridge_ohm=", false, false, false, false},
		{"line.lead_m=", false, false, false, false},
		{"igniter.all_fire_a=", true, true, true, false},
		{capacitor, true, true, true, false}, // the impulse is not known
		{capacitor + "igniter.firing_impulse_a2s=0.001", true, true, true, true},
		{capacitor + "controller.cap_v=", false, false, true, false},
	} {
		r := CheckLine(newScene(t, baseCircuit, row.set).circuit(t), Defaults())
		g, fromBattery := r.Groups[0], !strings.Contains(row.set, "capacitor")
		if r.NominalSupply.Known() != (row.nominal && fromBattery) || r.WorstSupply.Known() != (row.worst && fromBattery) {
			t.Errorf("%q: supply %v, at worst %v", row.set, r.NominalSupply, r.WorstSupply)
		}
		if g.Nominal.Known() != row.nominal || g.Worst.Known() != row.worst || r.Meter.Known() != row.meter || r.MostIgniters.Known() != row.inverse || r.Short.Known() != row.nominal {
			t.Errorf("%q: nominal %v, worst %v, meter %v, most %v, short %v", row.set, g.Nominal, g.Worst, r.Meter, r.MostIgniters, r.Short)
		}
	}
}

// TestMixedBranch: two types in parallel, each with its own figures.
func TestMixedBranch(t *testing.T) {
	r := CheckLine(newScene(t, baseCircuit, two, "others=1 other.handle=fuse other.bridge_ohm=0.4 other.bridge_tol_pct=0 other.bridge_includes_leads=yes other.all_fire_a=3").circuit(t), Defaults())
	if len(r.Groups) != 2 || r.MostIgniters.Known() {
		t.Fatalf("%d groups, most %v", len(r.Groups), r.MostIgniters)
	}
	// 1.2, 1.2 and 0.6 ohm in parallel are 0.3 ohm behind 0.4 ohm: 5.142857 V.
	a, b := r.Groups[0].Worst.Or(0), r.Groups[1].Worst.Or(0)
	if a != 4_285_714 || b != 8_571_429 {
		t.Errorf("%d and %d uA", a, b)
	}
}
