package compat

import (
	"regexp"
	"strings"
	"testing"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// The facts of this file are common practice, no source. The figures are those
// of no product: plausible ones.
const (
	match = "igniter.handle=match igniter.head_mm=3mm igniter.lead_pair_mm=1.6mm igniter.output=low igniter.all_fire_a=0.45A igniter.no_fire_a=0.2A " +
		"igniter.bridge_ohm=1.2 igniter.bridge_tol_pct=15 igniter.lead_mm=12in igniter.lead_awg=26 "
	thin = "igniter.handle=thin igniter.head_mm=1.8mm igniter.lead_pair_mm=1.2mm igniter.output=medium igniter.all_fire_a=1.5A " +
		"igniter.bridge_ohm=0.6 igniter.bridge_tol_pct=10 igniter.lead_mm=6in igniter.lead_awg=28 "
	blackPowder    = "motor.propellant=black-powder nozzle.throat_mm=3.4mm nozzle.depth_mm=9mm "
	smallComposite = "motor.propellant=composite nozzle.throat_mm=3/32in nozzle.depth_mm=6mm motor.core_mm=50mm motor.length_mm=70mm motor.propellant_g=12g "
	wiring         = "controller.handle=box controller.on_ohm=0.15 line.handle=pad line.lead_m=30ft line.lead_awg=20 line.contact_ohm=0.1 "
)

// TestMatchLightsBlackPowder (common practice, no source): an electric match
// lights black powder motors and ejection charges on almost any battery.
func TestMatchLightsBlackPowder(t *testing.T) {
	for name, battery := range map[string]string{
		"9 V alkaline":         "battery.open_circuit_v=9.4 battery.low_v=8 battery.internal_ohm=1.7 battery.aged_internal_ohm=3",
		"two lithium-polymers": "battery.open_circuit_v=8.4 battery.low_v=7.2 battery.internal_ohm=0.06 battery.aged_internal_ohm=0.1",
		"one lithium-polymer":  "battery.open_circuit_v=4.2 battery.low_v=3.6 battery.internal_ohm=0.1 battery.aged_internal_ohm=0.2",
		"12 V lead-acid":       "battery.open_circuit_v=12.8 battery.low_v=12 battery.internal_ohm=0.022 battery.aged_internal_ohm=0.04",
		"four AA":              "battery.open_circuit_v=6.2 battery.low_v=5.4 battery.internal_ohm=0.6 battery.aged_internal_ohm=1.5",
	} {
		s := newScene(t, match, blackPowder, wiring, battery)
		pair := Fit(&FitQuestion{Line: &s.line, Battery: &s.battery, Controller: &s.controller}, &s.motor, &s.motor.Nozzles[0], &s.igniter, Defaults())
		if pair.Worst != Go {
			t.Errorf("%s, motor: %s", name, pair.Worst)
			for _, f := range pair.List {
				t.Log(f.Rule, f.Verdict, f.Why(quantity.Metric))
			}
		}
		// On board, to a charge: a hand's length of wire.
		s = newScene(t, match, wiring, battery, "line.lead_m=0.2 line.lead_awg=24")
		var charge Findings
		CheckCircuit(s.circuit(t), Defaults(), &charge)
		if charge.Verdict() != Go {
			t.Errorf("%s, charge: %s", name, charge.Verdict())
		}
	}
}

// TestMatchDoesNotPassANarrowThroat (common practice, no source): the head of a
// match is wider than the throat of a small composite motor, and too cool for
// it; a thin igniter does both.
func TestMatchDoesNotPassANarrowThroat(t *testing.T) {
	verdicts := func(igniter string) (throat, heat Verdict) {
		s := newScene(t, igniter, smallComposite)
		var f Findings
		CheckPair(s.pair(t), Defaults(), &f)
		a, _ := findingOf(&f, ThroatClearance, "")
		b, _ := findingOf(&f, IgnitionEnergy, "")
		return a.Verdict, b.Verdict
	}
	if throat, heat := verdicts(match); throat != NoGo || heat != NoGo {
		t.Errorf("the match: throat %s, heat %s", throat, heat)
	}
	if throat, heat := verdicts(thin); throat != Go || heat != Go {
		t.Errorf("the thin igniter: throat %s, heat %s", throat, heat)
	}
}

// TestStagedIgniterNeedsASplice (common practice, no source): from the upper
// motor of a small two-stage rocket to its timer takes 11 to 12 in of lead, more
// than igniters come with.
func TestStagedIgniterNeedsASplice(t *testing.T) {
	s := newScene(t, thin, smallComposite, wiring, "line.lead_m=0 run=8.25in battery.open_circuit_v=8.4 battery.low_v=7.2 battery.internal_ohm=0.06 battery.aged_internal_ohm=0.1")
	q := &FitQuestion{Run: asked(t, s, "run", quantity.Millimetre), Line: &s.line, Battery: &s.battery, Controller: &s.controller}
	m := Fit(q, &s.motor, &s.motor.Nozzles[0], &s.igniter, Defaults())
	needed := m.NeededLead.Or(0)
	if needed < parse(t, "11in", quantity.Millimetre) || needed > parse(t, "12in", quantity.Millimetre) {
		t.Errorf("%.2f in are needed", needed.Millimetres()/25.4)
	}
	reach, _ := findingOf(&m.Findings, LeadReach, "thin")
	// Seat 56 mm, run 209.55 mm, slack 25 mm, less 152.4 mm: 138.15 mm.
	if reach.Verdict != Caution || m.NeededSplice != quantity.Some(140*mm) || !strings.Contains(reach.Remedy(quantity.Metric), "140 mm") {
		t.Errorf("%s, splice %v: %s", reach.Verdict, m.NeededSplice, reach.Remedy(quantity.Metric))
	}
	spliced, _ := findingOf(&m.Findings, FiringCurrent, "thin")
	q.Run = none[quantity.Length]()
	bare := Fit(q, &s.motor, &s.motor.Nozzles[0], &s.igniter, Defaults())
	plain, _ := findingOf(&bare.Findings, FiringCurrent, "thin")
	if spliced.Value.Steps >= plain.Value.Steps || spliced.Value.Steps == 0 {
		t.Errorf("%d uA with the splice, %d without", spliced.Value.Steps, plain.Value.Steps)
	}
}

// TestNobodyAsksForPolarity (common practice, no source): a bridge wire has no
// polarity. No field of an igniter or a line names one, no fact asks for one, no
// text tells of one.
func TestNobodyAsksForPolarity(t *testing.T) {
	polarity := regexp.MustCompile(`(?i)polarit|positive|negative|\bplus\b|\bminus\b|anode|cathode`)
	said := []string{}
	for _, kind := range []inventory.Kind{inventory.KindIgniter, inventory.KindLine} {
		for _, f := range kind.Info().Table.Fields {
			said = append(said, f.Key, f.Help)
		}
	}
	for i := range factTable {
		said = append(said, factTable[i].name, factTable[i].how)
	}
	for _, r := range reasons {
		said = append(said, r.why, r.remedy)
	}
	_, notChecked := everyFinding(t)
	for _, n := range notChecked {
		said = append(said, n.Missing.String(), n.Missing.How())
	}
	for _, text := range said {
		if polarity.MatchString(text) {
			t.Errorf("%q", text)
		}
	}
	if len(said) < 100 {
		t.Errorf("only %d texts were looked at", len(said))
	}
}
