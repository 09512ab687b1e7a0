package compat

import (
	"regexp"
	"strings"
	"testing"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// allRows gives the rows of every pair and circuit rule with what they find.
func allRows(t *testing.T) (pair, circuit []row) {
	t.Helper()
	for _, rows := range [][]row{throatRows, energyRows, reachRows} {
		pair = append(pair, rows...)
	}
	for _, rows := range [][]row{currentRows, clusterRows, continuityRows, supplyRows, batteryPulseRows, outputRows, timeRows} {
		circuit = append(circuit, rows...)
	}
	return pair, circuit
}

// everyFinding is what all rows find, of all rules at once.
func everyFinding(t *testing.T) (list []Finding, notChecked []NotChecked) {
	t.Helper()
	pair, circuit := allRows(t)
	var f Findings
	for _, r := range pair {
		CheckPair(newScene(t, basePair, r.set).pair(t), Defaults(), &f)
	}
	for _, r := range circuit {
		CheckCircuit(newScene(t, baseCircuit, r.set).circuit(t), Defaults(), &f)
	}
	for _, r := range append(append([]lotRow(nil), shelfRows...), certificationRows...) {
		f.List = append(f.List, r.findings(t).List...)
	}
	return f.List, f.NotChecked
}

// TestEveryReasonIsTested: every line of every pair, circuit and lot rule is
// wanted by some row; those of the flight rules stand behind them, and are
// tested with those rules.
func TestEveryReasonIsTested(t *testing.T) {
	wanted := map[reason]bool{}
	pair, circuit := allRows(t)
	for _, r := range append(pair, circuit...) {
		wanted[r.reason] = wanted[r.reason] || !r.silent
	}
	for _, r := range append(append([]lotRow(nil), shelfRows...), certificationRows...) {
		wanted[r.reason] = wanted[r.reason] || !r.silent
	}
	for i := range certifiedOther + 1 {
		if !wanted[i] {
			t.Errorf("reason %d is not tested: %s", i, reasons[i].why)
		}
	}
}

// touches finds advice to work on a nozzle, a motor or a head.
var touches = regexp.MustCompile(`(?i)\b(drill|file|filing|sand|trim|ream|shave|scrape|widen|enlarge|grind|cut)\w*\b`)

// wellFormed complains of text that was not filled in or is not put as the house
// puts it.
func wellFormed(t *testing.T, text string) {
	t.Helper()
	for _, bad := range []string{"{", "}", "  ", " ,", " ;", " .", "of ;", "()", "%!"} {
		if strings.Contains(text, bad) {
			t.Errorf("%q holds %q", text, bad)
		}
	}
	if text != strings.TrimSpace(text) || strings.HasSuffix(text, ".") || strings.HasSuffix(text, ";") {
		t.Errorf("%q ends or begins wrongly", text)
	}
}

func TestWordsOfEveryReason(t *testing.T) {
	for i := range reasons {
		f := Finding{
			Rule: FiringCurrent, Verdict: Caution, reason: reason(i),
			Value: amount(-2_500_000, quantity.Ampere), Limit: amount(3_000_000, quantity.Ampere), extra: amount(1_000_000, quantity.Ampere),
			Missing: one(factBridge),
		}
		for _, system := range []quantity.System{quantity.Metric, quantity.Imperial} {
			why, remedy := f.Why(system), f.Remedy(system)
			if why == "" {
				t.Errorf("reason %d says nothing", i)
			}
			wellFormed(t, why)
			wellFormed(t, remedy)
			if touches.MatchString(remedy) {
				t.Errorf("%q works on a part", remedy)
			}
		}
	}
}

// TestWordsOfEveryFinding: what is really said, with what was really known.
func TestWordsOfEveryFinding(t *testing.T) {
	list, notChecked := everyFinding(t)
	if len(list) < 300 || len(notChecked) == 0 {
		t.Fatalf("only %d findings, %d not checked", len(list), len(notChecked))
	}
	for _, f := range list {
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
		}
	}
	for _, n := range notChecked {
		if n.Subject == "" || n.Missing.How() == "" {
			t.Errorf("%+v", n)
		}
	}
}

// TestNoGoNeedsRecordedFigures: over all rows, no-go never stands on a bound,
// and an unknown one can say what to measure.
func TestNoGoNeedsRecordedFigures(t *testing.T) {
	list, _ := everyFinding(t)
	for _, f := range list {
		if f.Verdict == NoGo && f.Assumed != 0 {
			t.Errorf("%s is a no-go on %s", f.Rule, f.Assumed)
		}
		if f.Verdict == Unknown && f.Missing == 0 && f.reason != contradicts {
			t.Errorf("%s is unknown for want of nothing: %s", f.Rule, f.Why(quantity.Metric))
		}
	}
}

// TestUnknownAtABound: it says what the bounds are for, how to come by the
// figures, and what to do until then.
func TestUnknownAtABound(t *testing.T) {
	rows := []struct {
		finding     Finding
		why, remedy string
	}{
		{
			conclude(Finding{Verdict: NoGo, reason: testDangerous, Value: amount(200_000, quantity.Ampere), Limit: amount(25_000, quantity.Ampere), Assumed: one(factNoFire)}),
			"200 mA of continuity current comes near what can fire it; 25 mA is asked; that rests on bounds for no_fire_a, so it stays unknown",
			"read it on the igniter's sheet; until then do not connect it to this controller: checking continuity may fire it",
		},
		{lacking(LeadReach, "wick", one(factLead)|one(factCore)), "cannot be judged without core_mm, lead_mm", factCore.How() + "; " + factLead.How()},
		{
			conclude(Finding{Verdict: Caution, reason: testHigh, Value: amount(30_000, quantity.Ampere), Limit: amount(25_000, quantity.Ampere), Assumed: one(factNoFire)}),
			"30 mA of continuity current; 25 mA is asked", reasons[testHigh].remedy,
		},
	}
	for _, row := range rows {
		if got := row.finding.Why(quantity.Metric); got != row.why {
			t.Errorf("%q, not %q", got, row.why)
		}
		if got := row.finding.Remedy(quantity.Metric); got != row.remedy {
			t.Errorf("%q, not %q", got, row.remedy)
		}
	}
}

func TestFacts(t *testing.T) {
	seen := map[string]bool{}
	for i := range factTable {
		f := Fact(i)
		if f.String() == "" || f.How() == "" || seen[f.String()] {
			t.Errorf("fact %d: %q, %q", i, f, f.How())
		}
		seen[f.String()] = true
		wellFormed(t, f.How())
		if touches.MatchString(f.How()) {
			t.Errorf("%q works on a part", f.How())
		}
		if f >= firstRefinement {
			continue
		}
		if got := one(f).List(); len(got) != 1 || got[0] != f || !one(f).Has(f) {
			t.Errorf("the set of %s is %v", f, got)
		}
	}
	if firstRefinement > 64 {
		t.Error("more facts than a set holds")
	}
}

// TestFactsAreFields: what is asked for is called as in files.
func TestFactsAreFields(t *testing.T) {
	keys := map[string]bool{}
	var gather func(*inventory.Table)
	gather = func(table *inventory.Table) {
		for _, f := range table.Fields {
			keys[f.Key] = true
			if f.Sub != nil {
				gather(f.Sub)
			}
		}
	}
	for _, info := range inventory.Kinds {
		gather(info.Table)
	}
	for i := range factTable {
		if name := strings.TrimSuffix(Fact(i).String(), " of the line"); !keys[name] {
			t.Errorf("%q is no field", name)
		}
	}
}

// TestRuleNames: the names of the contract, in its order.
func TestRuleNames(t *testing.T) {
	const contract = "throat-clearance, ignition-energy, lead-reach, firing-current, cluster-firing, continuity-current, supply-voltage, " +
		"shared-battery, battery-pulse, time-to-fire, shelf-life, certification, stock, motor-mount, thrust-to-weight, rail-speed, delay, " +
		"burn-through, staging-window, timer-start, way-down, ejection-charge, arming, safety-distance"
	const further = ", output-use"
	if got := strings.Join(RuleNames(), ", "); got != contract+further {
		t.Errorf("%s", got)
	}
	for _, name := range RuleNames()[:6] {
		if name != "shared-battery" && Fails(name) == "" {
			t.Errorf("nothing short is said of %s", name)
		}
	}
	if Fails("no-rule") != "" {
		t.Error("something is said of no rule")
	}
}

func TestVerdicts(t *testing.T) {
	var zero Verdict
	if zero != Unknown {
		t.Errorf("the zero verdict is %s", zero)
	}
	order := []Verdict{Go, Caution, Unknown, NoGo}
	for i, a := range order {
		if a.Severity() != i {
			t.Errorf("%s has severity %d", a, a.Severity())
		}
		for j, b := range order {
			if got := Worse(a, b); got != order[max(i, j)] {
				t.Errorf("worse of %s and %s: %s", a, b, got)
			}
		}
	}
	if WorstOf(nil) != Unknown || (&Findings{}).Verdict() != Unknown {
		t.Error("nothing found is not unknown")
	}
	if got := WorstOf([]Finding{{Verdict: Go}, {Verdict: Unknown}, {Verdict: Caution}}); got != Unknown {
		t.Errorf("the worst is %s", got)
	}
	if got := string([]byte{Go.Letter(), Caution.Letter(), Unknown.Letter(), NoGo.Letter()}); got != "gcun" {
		t.Errorf("letters %s", got)
	}
}
