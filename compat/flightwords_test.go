package compat

import (
	"testing"

	"rangebox/inventory/quantity"
)

// allFlightRows gives the rows of every flight rule.
func allFlightRows() (rows []flightRow) {
	for _, of := range [][]flightRow{
		sharedRows, mountRows, weightRows, railRows, delayRows, burnRows, stagingRows, startRows, wayRows, chargeRows, armingRows, distanceRows, outputUseRows, togetherRows, backupRows,
	} {
		rows = append(rows, of...)
	}
	return rows
}

// everyFlightFinding is what all rows find, of all rules and branches at once.
func everyFlightFinding(t *testing.T) (list []Finding, notChecked []NotChecked) {
	t.Helper()
	for _, row := range allFlightRows() {
		r := checkScene(t, row.rocket, row.set)
		for _, s := range r.Stages {
			list = append(list, s.List...)
			notChecked = append(notChecked, s.NotChecked...)
			for _, p := range s.Points {
				list = append(list, p.List...)
			}
		}
		for _, b := range r.Branches {
			list = append(list, b.List...)
		}
	}
	for _, c := range chosen(t, "flame", "booster/main", "") {
		list = append(list, c.List...)
	}
	return list, notChecked
}

// TestEveryFlightReasonIsTested: every line of every flight rule is wanted by
// some row.
func TestEveryFlightReasonIsTested(t *testing.T) {
	wanted := map[reason]bool{}
	for _, r := range allFlightRows() {
		wanted[r.reason] = wanted[r.reason] || !r.silent
	}
	for i := certifiedOther + 1; int(i) < len(reasons); i++ {
		if !wanted[i] {
			t.Errorf("reason %d is not tested: %s", i, reasons[i].why)
		}
	}
}

// TestWordsOfEveryFlightFinding: what is really said, with what was really known.
func TestWordsOfEveryFlightFinding(t *testing.T) {
	list, notChecked := everyFlightFinding(t)
	if len(list) < 2000 || len(notChecked) < 100 {
		t.Fatalf("only %d findings, %d not checked", len(list), len(notChecked))
	}
	seen := map[Rule]map[Verdict]bool{}
	for _, f := range list {
		if seen[f.Rule] == nil {
			seen[f.Rule] = map[Verdict]bool{}
		}
		seen[f.Rule][f.Verdict] = true
		for _, system := range []quantity.System{quantity.Metric, quantity.Imperial} {
			why, remedy := f.Why(system), f.Remedy(system)
			wellFormed(t, why)
			wellFormed(t, remedy)
			if why == "" || f.Source() == "" || f.Subject == "" {
				t.Errorf("%s: why %q, source %q, subject %q", f.Rule, why, f.Source(), f.Subject)
			}
			if (remedy == "") != (f.Verdict == Go) {
				t.Errorf("%s %s (%s): remedy %q", f.Rule, f.Verdict, why, remedy)
			}
			if touches.MatchString(remedy) {
				t.Errorf("%q works on a part", remedy)
			}
		}
	}
	for _, n := range notChecked {
		if n.Subject == "" || n.Missing.How() == "" {
			t.Errorf("%+v", n)
		}
	}
	everyVerdict(t, seen)
}

// everyVerdict: each flight rule at each verdict it can give (docs/rules.md).
func everyVerdict(t *testing.T, seen map[Rule]map[Verdict]bool) {
	t.Helper()
	for rule, verdicts := range map[Rule][]Verdict{
		SharedBattery: {Go, Caution, Unknown, NoGo}, MotorMount: {Go, Caution, Unknown, NoGo}, ThrustToWeight: {Go, Caution, Unknown, NoGo},
		RailSpeed: {Go, Caution, Unknown, NoGo}, Delay: {Go, Caution, Unknown, NoGo}, BurnThrough: {Go, Caution, Unknown, NoGo},
		StagingWindow: {Go, Caution, Unknown, NoGo}, TimerStart: {Go, Unknown, NoGo}, WayDown: {Go, Caution, Unknown, NoGo},
		EjectionCharge: {Go, Caution, Unknown, NoGo}, Arming: {Go, Caution, Unknown, NoGo}, SafetyDistance: {Go, Caution, Unknown},
	} {
		for _, v := range verdicts {
			if !seen[rule][v] {
				t.Errorf("%s never says %s", rule, v)
			}
		}
	}
}

// TestFlightNoGoNeedsRecordedFigures: no-go never stands on a bound, and an
// unknown one can say what to measure.
func TestFlightNoGoNeedsRecordedFigures(t *testing.T) {
	list, _ := everyFlightFinding(t)
	for _, f := range list {
		if f.Verdict == NoGo && f.Assumed != 0 {
			t.Errorf("%s is a no-go on %s", f.Rule, f.Assumed)
		}
		if f.Verdict == Unknown && f.Missing == 0 && f.reason != contradicts && f.reason != distanceBeyond && f.reason != outputLines {
			t.Errorf("%s is unknown for want of nothing: %s", f.Rule, f.Why(quantity.Metric))
		}
	}
}
