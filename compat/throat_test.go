package compat

import (
	"fmt"
	"testing"

	"rangebox/inventory/quantity"
)

var throatRows = []row{
	{name: "room enough", verdict: Go, reason: clears, value: "1mm", limit: "0.2mm", from: fromPractice},
	{name: "just above 0.2 mm", set: "igniter.head_mm=2.799999mm", verdict: Go, reason: clears, value: "0.200001mm", limit: "0.2mm", from: fromPractice},
	{name: "at 0.2 mm", set: "igniter.head_mm=2.8mm", verdict: Go, reason: clears, value: "0.2mm", limit: "0.2mm", from: fromPractice},
	{name: "just below 0.2 mm", set: "igniter.head_mm=2.800001mm", verdict: Caution, reason: clearsTightly, value: "0.199999mm", limit: "0.2mm", from: fromPractice},
	{name: "just passes", set: "igniter.head_mm=3mm", verdict: Caution, reason: clearsTightly, value: "0mm", limit: "0.2mm", from: fromPractice},
	{name: "just does not pass", set: "igniter.head_mm=3.000001mm", verdict: NoGo, reason: tooWide, value: "-0.000001mm", limit: "0.2mm", from: fromPractice},

	{name: "at the crossover 5 % is 0.2 mm", set: "nozzle.throat_mm=4mm igniter.head_mm=3.8mm", verdict: Go, reason: clears, value: "0.2mm", limit: "0.2mm", from: fromPractice},
	{name: "below the crossover 0.2 mm holds", set: "nozzle.throat_mm=3.99998mm igniter.head_mm=3.79998mm", verdict: Go, reason: clears, value: "0.2mm", limit: "0.2mm", from: fromPractice},
	{name: "above the crossover 5 % holds", set: "nozzle.throat_mm=4.00002mm igniter.head_mm=3.800019mm", verdict: Go, reason: clears, value: "0.200001mm", limit: "0.200001mm", from: fromPractice},
	{name: "above the crossover 0.2 mm is too little", set: "nozzle.throat_mm=4.00002mm igniter.head_mm=3.80002mm", verdict: Caution, reason: clearsTightly, value: "0.2mm", limit: "0.200001mm", from: fromPractice},
	{name: "5 % of 6 mm", set: "nozzle.throat_mm=6mm igniter.head_mm=5.7mm", verdict: Go, reason: clears, value: "0.3mm", limit: "0.3mm", from: fromPractice},
	{name: "just under 5 % of 6 mm", set: "nozzle.throat_mm=6mm igniter.head_mm=5.700001mm", verdict: Caution, reason: clearsTightly, value: "0.299999mm", limit: "0.3mm", from: fromPractice},

	{name: "thousandths, at the limit", set: "nozzle.throat_mm=0.200in igniter.head_mm=0.190in", verdict: Go, reason: clears, value: "0.01in", limit: "0.01in", from: fromPractice},
	{name: "thousandths, just under it", set: "nozzle.throat_mm=0.200in igniter.head_mm=0.1901in", verdict: Caution, reason: clearsTightly, value: "0.0099in", limit: "0.01in", from: fromPractice},
	{name: "sixty-fourths, at the limit", set: "nozzle.throat_mm=20/64in igniter.head_mm=19/64in", verdict: Go, reason: clears, value: "1/64in", limit: "1/64in", from: fromPractice},
	{name: "the same size twice", set: "nozzle.throat_mm=7/64in igniter.head_mm=0.109375in", verdict: Caution, reason: clearsTightly, value: "0in", limit: "0.2mm", from: fromPractice},
	{name: "0.0001 in too wide", set: "nozzle.throat_mm=3/32in igniter.head_mm=0.09385in", verdict: NoGo, reason: tooWide, value: "-0.0001in", limit: "0.2mm", from: fromPractice},

	{name: "the guide tube is narrowest", set: "tube=2.1mm", verdict: Caution, reason: clearsTightly, value: "0.1mm", limit: "0.2mm", from: fromPractice},
	{name: "the cap hole is narrowest", set: "nozzle.cap_hole_mm=1.9mm", verdict: NoGo, reason: tooWide, value: "-0.1mm", limit: "0.2mm", from: fromPractice},
	{name: "the core is narrowest", set: "motor.core_width_mm=2.2mm", verdict: Go, reason: clears, value: "0.2mm", limit: "0.2mm", from: fromPractice},
	{name: "wider openings do not matter", set: "tube=9mm nozzle.cap_hole_mm=9mm motor.core_width_mm=9mm", verdict: Go, reason: clears, value: "1mm", limit: "0.2mm", from: fromPractice},
	{name: "the lead pair is wider than the head", set: "igniter.lead_pair_mm=2.9mm", verdict: Caution, reason: clearsTightly, value: "0.1mm", limit: "0.2mm", from: fromPractice},

	{name: "throat of a fired motor", set: "nozzle.measured_on=fired", verdict: Caution, reason: clearsWorn, value: "1mm", limit: "0.2mm", from: fromPractice},
	{name: "too wide even for a fired motor", set: "nozzle.measured_on=fired igniter.head_mm=3.1mm", verdict: NoGo, reason: tooWide, value: "-0.1mm", limit: "0.2mm", from: fromPractice},
	{name: "throat by the maker", set: "nozzle.measured_on=maker", verdict: Go, reason: clears, value: "1mm", limit: "0.2mm", from: fromPractice},
	{name: "throat of a motor not named", set: "nozzle.measured_on=", verdict: Go, reason: clears, value: "1mm", limit: "0.2mm", from: fromPractice},

	{name: "no throat", set: "nozzle.throat_mm=", verdict: Unknown, reason: cannotJudge, missing: "throat_mm", from: fromKept},
	{name: "no head", set: "igniter.head_mm=", verdict: Unknown, reason: cannotJudge, missing: "head_mm", from: fromKept},
	{name: "neither", set: "nozzle.throat_mm= igniter.head_mm= igniter.lead_pair_mm=", verdict: Unknown, reason: cannotJudge, missing: "throat_mm, head_mm", from: fromKept},
	{name: "no throat, and the tube passes", set: "nozzle.throat_mm= tube=3mm", verdict: Unknown, reason: cannotJudge, missing: "throat_mm", from: fromKept},
	{name: "no throat, and the tube just passes", set: "nozzle.throat_mm= tube=2mm", verdict: Unknown, reason: cannotJudge, missing: "throat_mm", from: fromKept},
	{name: "just passes, no lead pair", set: "igniter.head_mm=3mm igniter.lead_pair_mm=", verdict: Caution, reason: clearsTightly, value: "0mm", limit: "0.2mm", skipped: "lead_pair_mm", from: fromKept},
	{name: "no throat, but the cap hole is too narrow", set: "nozzle.throat_mm= nozzle.cap_hole_mm=1.9mm", verdict: NoGo, reason: tooWide, value: "-0.1mm", limit: "0.2mm", from: fromKept},
	{name: "no head, but the lead pair is too wide", set: "igniter.head_mm= igniter.lead_pair_mm=3.1mm", verdict: NoGo, reason: tooWide, value: "-0.1mm", limit: "0.2mm", from: fromKept},
	{name: "no lead pair", set: "igniter.lead_pair_mm=", verdict: Go, reason: clears, value: "1mm", limit: "0.2mm", skipped: "lead_pair_mm", from: fromKept},
}

func TestThroatClearance(t *testing.T) { checkPairRows(t, ThroatClearance, throatRows) }

// TestThroatOfMotorWithoutNozzle: a motor of which no nozzle is recorded.
func TestThroatOfMotorWithoutNozzle(t *testing.T) {
	s := newScene(t, basePair)
	s.motor.Nozzles = nil
	var f Findings
	CheckPair(s.pair(t), Defaults(), &f)
	got, ok := findingOf(&f, ThroatClearance, "wick")
	if !ok || got.Verdict != Unknown || got.Missing != one(factThroat) {
		t.Errorf("%v %s, missing %s", ok, got.Verdict, got.Missing)
	}
	if _, known := s.pair(t).Clearance(); known {
		t.Error("a clearance without a throat")
	}
}

// TestInchLimitsAreExact tries every throat in thousandths and in sixty-fourths
// of an inch up to 100 mm with heads at and a nanometre to either side of the
// limit. In micrometres some 12 % of these fall on the wrong side (measured: 11.8 %).
func TestInchLimitsAreExact(t *testing.T) {
	var throats []string
	for n := 40; n <= 3900; n++ {
		throats = append(throats, fmt.Sprintf("0.%03din", n))
		if n >= 1000 {
			throats[len(throats)-1] = fmt.Sprintf("%d.%03din", n/1000, n%1000)
		}
	}
	for n := 4; n <= 250; n++ {
		throats = append(throats, fmt.Sprintf("%d/64in", n))
	}
	s, l := newScene(t, basePair, "igniter.lead_pair_mm="), Defaults()
	for _, text := range throats {
		throat := parse(t, text, quantity.Millimetre)
		// Exactly: 20 x clearance >= throat, and clearance >= 200,000 nm.
		limit := max((throat+19)/20, 200_000)
		s.motor.Nozzles[0].Throat = quantity.Some(throat)
		for off, want := range map[quantity.Length]Verdict{-1: Go, 0: Go, 1: Caution, limit: Caution, limit + 1: NoGo} {
			s.igniter.Head = quantity.Some(throat - limit + off)
			var f Findings
			throatClearance(s.pair(t), l, &f)
			if f.List[0].Verdict != want {
				t.Errorf("throat %s, head %d nm: %s, not %s", text, throat-limit+off, f.List[0].Verdict, want)
			}
		}
	}
}
