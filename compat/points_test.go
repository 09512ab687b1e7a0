package compat

import (
	"strings"
	"testing"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// TestPoints: every ignition point is there, by its name.
func TestPoints(t *testing.T) {
	for _, row := range []struct{ rocket, set, want string }{
		{"solo", "", "body/main/1"},
		{"trio", "", "body/ring/1 body/ring/2 body/ring/3"},
		{"two", "", "booster/main/1 sustainer/main/1 sustainer/backup/1"},
		{"two", "sustainer/backup.count=2", "booster/main/1 sustainer/main/1 sustainer/backup/1 sustainer/backup/2"},
		{"flame", "", "booster/main/1 sustainer/backup/1"},
		{"flame", "sustainer/main.igniter=wick", "booster/main/1 sustainer/backup/1"},
		{"two", "sustainer/main.igniter=", "booster/main/1 sustainer/main/1 sustainer/backup/1"},
		{"two", "sustainer/main.igniter= sustainer/main.motor=", "booster/main/1 sustainer/backup/1"},
		{"two", "sustainer/backup.igniter=", "booster/main/1 sustainer/main/1 sustainer/backup/1"},
	} {
		r := checkScene(t, row.rocket, row.set)
		var got []string
		for _, s := range r.Stages {
			for _, p := range s.Points {
				got = append(got, p.Point)
			}
		}
		if strings.Join(got, " ") != row.want {
			t.Errorf("%s %s: %q", row.rocket, row.set, got)
		}
	}
}

// TestPointRules: what is said of one point, and what is not asked.
func TestPointRules(t *testing.T) {
	for _, row := range []struct {
		name, rocket, set, point string
		rule                     Rule
		silent                   bool
		verdict                  Verdict
		reason                   reason
		value, limit, missing    string
	}{
		{name: "throat", rocket: "solo", point: "body/main/1", rule: ThroatClearance, verdict: Go, reason: clears, value: "2mm", limit: "0.2mm"},
		{name: "through a guide tube", rocket: "solo", set: "body/main.tube_mm=2.1", point: "body/main/1", rule: ThroatClearance, verdict: Caution, reason: clearsTightly, value: "0.1mm", limit: "0.2mm"},
		{name: "through the head: the throat is no passage", rocket: "two", set: "sustainer/main.entry=head motor:amber.core_width_mm=1", point: "sustainer/main/1", rule: ThroatClearance, silent: true},
		{name: "through the head and a tube", rocket: "two", set: "sustainer/main.entry=head sustainer/main.tube_mm=2.4", point: "sustainer/main/1", rule: ThroatClearance, verdict: NoGo, reason: tooWide, value: "-0.1mm", limit: "0.2mm"},
		{name: "through the head no seat is to be reached", rocket: "two", set: "sustainer/main.entry=head", point: "sustainer/main/1", rule: LeadReach, verdict: Go, reason: reaches, value: "400mm", limit: "175mm"},
		{name: "through the nozzle the seat counts", rocket: "two", point: "sustainer/main/1", rule: LeadReach, verdict: Go, reason: reaches, value: "400mm", limit: "223mm"},
		{name: "heat counts through the head as well", rocket: "two", set: "sustainer/main.entry=head sustainer/main.igniter=wick", point: "sustainer/main/1", rule: IgnitionEnergy, verdict: NoGo, reason: heatLowComposite, value: "low", limit: "medium"},
		{name: "lead too short", rocket: "two", set: "sustainer/main.run_mm=400", point: "sustainer/main/1", rule: LeadReach, verdict: Caution, reason: reachesSpliced, value: "400mm", limit: "473mm"},
		{name: "with its splice", rocket: "two", set: "sustainer/main.run_mm=400 sustainer/main.splice_mm=80", point: "sustainer/main/1", rule: LeadReach, verdict: Go, reason: reaches, value: "480mm", limit: "473mm"},
		{name: "no run: not asked", rocket: "two", set: "sustainer/main.run_mm=", point: "sustainer/main/1", rule: LeadReach, silent: true},
		{name: "a charge's lead", rocket: "two", point: "sustainer/backup/1", rule: LeadReach, verdict: Go, reason: reaches, value: "400mm", limit: "125mm"},
		{name: "a charge's lead, short", rocket: "two", set: "sustainer/backup.run_mm=500", point: "sustainer/backup/1", rule: LeadReach, verdict: Caution, reason: reachesSpliced, value: "400mm", limit: "525mm"},
		{name: "a charge has no throat", rocket: "two", point: "sustainer/backup/1", rule: ThroatClearance, silent: true},
		{name: "no line: no circuit rules", rocket: "two", set: "sustainer/main.line=", point: "sustainer/main/1", rule: FiringCurrent, silent: true},
		{name: "no battery", rocket: "two", set: "line:up.battery=", point: "sustainer/main/1", rule: FiringCurrent, verdict: Unknown, reason: cannotJudge, missing: "battery"},
		{name: "no motor", rocket: "two", set: "sustainer/main.motor=", point: "sustainer/main/1", rule: ThroatClearance, verdict: Unknown, reason: cannotJudge, missing: "motor"},
		{name: "a single igniter is no cluster", rocket: "solo", point: "body/main/1", rule: ClusterFiring, silent: true},
	} {
		t.Run(row.name, func(t *testing.T) {
			r := checkScene(t, row.rocket, row.set)
			f, found := findingOf(pointFindings(t, &r, row.point), row.rule, "")
			if found == row.silent {
				t.Fatalf("a finding: %v", found)
			}
			if found {
				flat := rowOf(row.verdict, row.reason, row.value, row.limit, row.missing)
				f.Assumed = 0
				flat.compare(t, f)
			}
		})
	}
}

func rowOf(v Verdict, why reason, value, limit, missing string) row {
	return row{verdict: v, reason: why, value: value, limit: limit, missing: missing}
}

// TestOneLineFiresTogether: all that hangs on a line is one circuit, over several
// mounts, of mixed types, with their splices and the propellants they light.
func TestOneLineFiresTogether(t *testing.T) {
	s := newFlightScene(t, "trio", "")
	s.q.Rocket.Stages[0].Mounts = append(s.q.Rocket.Stages[0].Mounts, s.q.Rocket.Stages[0].Mounts[0])
	second := &s.q.Rocket.Stages[0].Mounts[1]
	second.Name, second.Count = "core", quantity.Some(quantity.Count(1))
	ignition := *second.Ignition
	ignition.Run = quantity.Some(parse(t, "500", quantity.Millimetre))
	second.Ignition = &ignition
	s.set(t, "body/core.motor=amber")
	s.set(t, "body/core.igniter=glow")
	c := newCraft(&s.q, s.limits)
	uses := c.circuits()
	if len(uses) != 1 || uses[0].Count() != 4 || len(uses[0].Groups) != 2 {
		t.Fatalf("%d lines, %+v", len(uses), uses)
	}
	if uses[0].Groups[1].Splice != parse(t, "180", quantity.Millimetre) {
		t.Errorf("a splice of %d", uses[0].Groups[1].Splice)
	}
	r := CheckRocket(&s.q, s.limits)
	mixed, _ := findingOf(pointFindings(t, &r, "body/ring/2"), ClusterFiring, "")
	if mixed.reason != clusterMixedPropellants {
		t.Errorf("%s", mixed.Why(quantity.Metric))
	}
	// Each point hears of its own igniter's current only.
	for point, igniter := range map[string]string{"body/ring/1": "wick", "body/core/1": "glow"} {
		for _, f := range pointFindings(t, &r, point).List {
			if f.Rule == FiringCurrent && f.Subject != igniter {
				t.Errorf("%s hears of %s", point, f.Subject)
			}
		}
	}
}

// TestReadingsCount: what was read of an igniter stands in its record's place.
func TestReadingsCount(t *testing.T) {
	s := newFlightScene(t, "solo", "")
	ig, err := inventory.Find[*inventory.Igniter](s.q.Box, inventory.KindIgniter, "wick")
	if err != nil {
		t.Fatal(err)
	}
	value, _ := quantity.One.Parse("3.9")
	reading := &inventory.Reading{What: "head_mm", Value: quantity.Some(value), Of: &inventory.ReadingOf{Kind: "igniter", Item: inventory.Ref{ID: ig.ID}}}
	reading.ID = inventory.DerivedID(inventory.KindReading, "one")
	s.q.Box.Put(reading)
	s.q.Box.Link()
	r := CheckRocket(&s.q, s.limits)
	f, _ := findingOf(pointFindings(t, &r, "body/main/1"), ThroatClearance, "")
	if f.Verdict != Caution {
		t.Errorf("%s", f.Why(quantity.Metric))
	}
}
