package compat

import (
	"testing"

	"rangebox/inventory/quantity"
)

// Seat 10 mm (black powder), run 200 mm, slack 25 mm: 235 mm are needed.
var reachRows = []row{
	{name: "run not asked", silent: true, from: fromKept},
	{name: "long enough", set: "run=200mm", verdict: Go, reason: reaches, value: "300mm", limit: "235mm", from: fromPractice},
	{name: "just above seat, run and 25 mm", set: "run=200mm igniter.lead_mm=235.000001mm", verdict: Go, reason: reaches, value: "235.000001mm", limit: "235mm", from: fromPractice},
	{name: "at it", set: "run=200mm igniter.lead_mm=235mm", verdict: Go, reason: reaches, value: "235mm", limit: "235mm", from: fromPractice},
	{name: "just below it", set: "run=200mm igniter.lead_mm=234.999999mm", verdict: Caution, reason: reachesSpliced, value: "234.999999mm", limit: "235mm", from: fromPractice},
	{name: "own lead at seat and 20 mm", set: "run=200mm igniter.lead_mm=30mm", verdict: Caution, reason: reachesSpliced, value: "30mm", limit: "235mm", from: fromPractice},
	{name: "own lead just above that", set: "run=200mm igniter.lead_mm=30.000001mm", verdict: Caution, reason: reachesSpliced, value: "30.000001mm", limit: "235mm", from: fromPractice},
	{name: "own lead just below that", set: "run=200mm igniter.lead_mm=29.999999mm", verdict: NoGo, reason: reachTooShort, value: "29.999999mm", limit: "30mm", from: fromPractice},
	{name: "a splice does not save a lead that ends in the motor", set: "run=200mm igniter.lead_mm=29mm splice=1m", verdict: NoGo, reason: reachTooShort, value: "29mm", limit: "30mm", from: fromPractice},
	{name: "with its splice", set: "run=200mm igniter.lead_mm=135mm splice=100mm", verdict: Go, reason: reaches, value: "235mm", limit: "235mm", from: fromPractice},
	{name: "with too short a splice", set: "run=200mm igniter.lead_mm=135mm splice=99mm", verdict: Caution, reason: reachesSpliced, value: "234mm", limit: "235mm", from: fromPractice},
	{name: "no run to cover", set: "run=0mm igniter.lead_mm=35mm", verdict: Go, reason: reaches, value: "35mm", limit: "35mm", from: fromPractice},

	{name: "the core counts for a composite", set: "run=200mm motor.propellant=composite motor.core_mm=100mm", verdict: Caution, reason: reachesSpliced, value: "300mm", limit: "335mm", from: fromPractice},
	{name: "the core does not count for black powder", set: "run=200mm motor.core_mm=100mm", verdict: Go, reason: reaches, value: "300mm", limit: "235mm", from: fromPractice},
	{name: "the core decides where a splice may lie", set: "run=200mm motor.propellant=composite motor.core_mm=100mm igniter.lead_mm=129mm", verdict: NoGo, reason: reachTooShort, value: "129mm", limit: "130mm", from: fromPractice},
	{name: "any other propellant is taken for composite", set: "run=200mm motor.propellant= motor.core_mm=100mm", verdict: Caution, reason: reachesSpliced, value: "300mm", limit: "335mm", from: fromKept},

	{name: "no lead", set: "run=200mm igniter.lead_mm=", verdict: Unknown, reason: cannotJudge, missing: "lead_mm", from: fromKept},
	{name: "no depth", set: "run=200mm nozzle.depth_mm=", verdict: Unknown, reason: cannotJudge, missing: "depth_mm", from: fromKept},
	{name: "composite without core", set: "run=200mm motor.propellant=composite", verdict: Unknown, reason: cannotJudge, missing: "core_mm", from: fromKept},
	{name: "composite with nothing", set: "run=200mm motor.propellant=composite nozzle.depth_mm= igniter.lead_mm=", verdict: Unknown, reason: cannotJudge, missing: "depth_mm, core_mm, lead_mm", from: fromKept},
}

func TestLeadReach(t *testing.T) { checkPairRows(t, LeadReach, reachRows) }

// TestSpliceLength: what is short, up to the next 10 mm.
func TestSpliceLength(t *testing.T) {
	rows := []struct {
		set, splice string // empty: cannot be told
	}{
		{"run=200mm", "0mm"},
		{"run=200mm igniter.lead_mm=235mm", "0mm"},
		{"run=200mm igniter.lead_mm=234.999999mm", "10mm"},
		{"run=200mm igniter.lead_mm=225.000001mm", "10mm"},
		{"run=200mm igniter.lead_mm=225mm", "10mm"},
		{"run=200mm igniter.lead_mm=224.999999mm", "20mm"},
		{"run=12in igniter.lead_mm=6in", "190mm"}, // 10 + 304.8 + 25 - 152.4 = 187.4
		{"", ""},
		{"run=200mm igniter.lead_mm=30mm", "210mm"},   // 10 + 20 of own lead is the least
		{"run=200mm igniter.lead_mm=29.999999mm", ""}, // none would help
		{"run=200mm igniter.lead_mm=", ""},
		{"run=200mm nozzle.depth_mm=", ""},
	}
	for _, row := range rows {
		p := newScene(t, basePair, row.set).pair(t)
		got, known := p.NeededSplice(Defaults())
		if known != (row.splice != "") {
			t.Errorf("%q: known %v", row.set, known)
		}
		if known && got != parse(t, row.splice, quantity.Millimetre) {
			t.Errorf("%q: %d nm, not %s", row.set, got, row.splice)
		}
		var f Findings
		leadReach(p, Defaults(), &f)
		if known && got > 0 && f.List[0].extra != amount(got, quantity.Millimetre) {
			t.Errorf("%q: the finding tells of another splice: %s", row.set, f.List[0].Remedy(quantity.Metric))
		}
	}
}

// TestSplicedAsToldReaches: whoever splices on what was told gets a go.
func TestSplicedAsToldReaches(t *testing.T) {
	for lead := quantity.Length(30_000_000); lead < 240_000_000; lead += 1_234_567 {
		s := newScene(t, basePair, "run=200mm")
		s.igniter.Lead = quantity.Some(lead)
		p := s.pair(t)
		p.Splice, _ = p.NeededSplice(Defaults())
		var f Findings
		leadReach(p, Defaults(), &f)
		if f.List[0].Verdict != Go {
			t.Errorf("lead %d nm with a splice of %d nm: %s", lead, p.Splice, f.List[0].Why(quantity.Metric))
		}
	}
}
