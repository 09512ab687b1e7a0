package compat

import (
	"fmt"
	"strings"
	"testing"

	"rangebox/inventory/quantity"
)

// The facts of this file are common practice, no source. The rockets are
// invented.

// unmeasured is a timer and an upper motor of which little is recorded, lit 3 s
// after lift-off.
const unmeasured = "sustainer/main.at_s=3 controller:tick.tol_pct= controller:tick.detect_s= motor:amber.lag_s= "

// TestShortDelayUnderAThreeSecondTimer (common practice, no source): under a
// timer that lights the upper stage 3 s after lift-off a booster takes a short
// delay, 3 to 5 s. 5 s passes; 3 s comes out as a caution with the seconds by
// which tolerances overlap; one that fires before the timer is a no-go.
func TestShortDelayUnderAThreeSecondTimer(t *testing.T) {
	window := func(delay float64) (Finding, RocketReport) {
		r := checkScene(t, "two", unmeasured+fmt.Sprintf("booster/main.delay_s=%g", delay))
		f, ok := findingOf(said(&r, ""), StagingWindow, "sustainer/main")
		if !ok {
			t.Fatal("no staging window")
		}
		return f, r
	}
	if f, _ := window(5); f.Verdict != Go {
		t.Errorf("5 s: %s, %s", f.Verdict, f.Why(quantity.Metric))
	}
	f, r := window(3)
	// The timer 5 % late, detected 0.2 s late, the motor 1 s slow: 4.35 s. The
	// booster's burnout and 80 % of its delay.
	over := 3*1.05 + 0.2 + 1.0 - (float64(r.Unlit.Stages[0].Burnout.Time) + 0.8*3)
	if f.Verdict != Caution || f.reason != stagingOverlaps || !near(f.extra.Float(), over, 1e-6) {
		t.Errorf("3 s: %s, %s; %g s over, not %g", f.Verdict, f.Why(quantity.Metric), f.extra.Float(), over)
	}
	if why := f.Why(quantity.Metric); !strings.Contains(why, f.extra.brief(quantity.Metric)) {
		t.Errorf("%q does not say by how much", why)
	}
	if f, _ := window(1.5); f.Verdict != NoGo || f.reason != stagingLate {
		t.Errorf("1.5 s: %s, %s", f.Verdict, f.Why(quantity.Metric))
	}
}

// TestCompositeUpperStageNeedsABackup (common practice, no source): composite
// motors are the ones that fail to light, so an upper stage that relies on its
// motor alone has no way down; a charge that fires when the rocket tips over
// turns it.
func TestCompositeUpperStageNeedsABackup(t *testing.T) {
	without := checkScene(t, "two", "drop=sustainer/backup")
	f, _ := findingOf(said(&without, unlit), WayDown, "sustainer")
	if f.Verdict != NoGo || without.Worst != NoGo || without.Stages[1].Worst != NoGo {
		t.Errorf("without: %s, the rocket %s", f.Verdict, without.Worst)
	}
	with := checkScene(t, "two", "")
	f, _ = findingOf(said(&with, unlit), WayDown, "sustainer")
	if f.Verdict != Go || with.Worst == NoGo {
		t.Errorf("with: %s, the rocket %s", f.Verdict, with.Worst)
	}
}

// TestQuarterGramInATwoInchModel (common practice, no source): a backup charge in
// a two-inch class model is about a quarter of a gram.
func TestQuarterGramInATwoInchModel(t *testing.T) {
	for _, length := range []string{"6in", "9in", "12in"} {
		r := checkScene(t, "two", "sustainer/backup.bore_mm=1.9in sustainer/backup.length_mm="+length)
		c := r.Stages[1].Charges[0]
		if g := c.Powder.Or(0).Grams(); g < 0.18 || g > 0.32 {
			t.Errorf("%s: %g g", length, g)
		}
		if f, _ := findingOf(said(&r, ""), EjectionCharge, "sustainer/backup"); f.Verdict != Go {
			t.Errorf("%s: a quarter gram is %s, %s", length, f.Verdict, f.Why(quantity.Metric))
		}
	}
}

// stepsOf is a sequence as ids, each with its subject where it has one.
func stepsOf(list []Step) string {
	var words []string
	for _, s := range list {
		text := s.ID.String()
		if s.Subject != "" {
			text += ":" + s.Subject
		}
		words = append(words, text)
	}
	return strings.Join(words, " ")
}

// TestWadding (common practice, no source): wadding is asked for wherever a
// charge sits above the parachute, baffle or not.
func TestWadding(t *testing.T) {
	for _, row := range []struct{ rocket, set, want string }{
		{"solo", "", "wadding:body distance:solo"},
		{"trio", "", "wadding:body wadding-not-listed:trio distance:trio"},
		{"flame", "", "wadding:sustainer ground-test:sustainer/backup live-motor:sustainer/main wadding-not-listed:flame distance:flame"},
		{"two", "", "wadding:booster wadding:sustainer ground-test:sustainer/backup live-motor:sustainer/main distance:two"},
		{"solo", "body/chute.by=tumble", "distance:solo"},
	} {
		r := checkScene(t, row.rocket, row.set)
		if got := stepsOf(r.Cautions); got != row.want {
			t.Errorf("%s %s: %s", row.rocket, row.set, got)
		}
	}
}

// TestSequences (common practice, no source, and the safety codes as read in
// part): two sequences, never one; the upper igniter goes in as far as it will
// and is checked again after closing; nothing is switched on before the pad; an
// on-board timer needs 20 to 30 s before it shows ready, and the pad sequence
// says so; the pad's igniter goes in last, clips after it.
func TestSequences(t *testing.T) {
	r := checkScene(t, "two", "")
	const onBoard = "battery-out:tick test-igniter:sustainer/backup weigh-powder:sustainer/backup flag-wires:tick upper-igniter:sustainer/main " +
		"close:two check-again:sustainer/main battery-in:tick nothing-switched:two"
	if got := stepsOf(r.OnBoard); got != onBoard {
		t.Errorf("on board: %s", got)
	}
	const atPad = "rail-up switch-on:tick wait-ready:tick pad-igniter:booster/main clips-last continuity"
	if got := stepsOf(r.AtPad); got != atPad {
		t.Errorf("at the pad: %s", got)
	}
	wait := r.AtPad[2]
	if s := wait.Ready.Or(0).Seconds(); s < 20 || s > 30 || wait.Sign != "slow blinks" {
		t.Errorf("ready after %g s, %q", s, wait.Sign)
	}
	if got := stepsOf(r.Fail); got != "interlock-out wait from-the-side" {
		t.Errorf("after a misfire: %s", got)
	}
	single := checkScene(t, "solo", "")
	if got := stepsOf(single.OnBoard) + "|" + stepsOf(single.AtPad); got != "|rail-up pad-igniter:body/main clips-last continuity" {
		t.Errorf("a single stage: %s", got)
	}
	for i := range stepNames {
		if StepID(i).String() == "" {
			t.Errorf("step %d has no name", i)
		}
	}
}

// TestMisfireWait: 60 s (safety codes, read in part), and longer than any timer
// could still run.
func TestMisfireWait(t *testing.T) {
	for set, want := range map[string]string{
		"": "60s",
		"sustainer/backup.trigger=timer sustainer/backup.at_s=99 sustainer/backup.after_s=1": "103s", // 2 % late, and 1 s
	} {
		r := checkScene(t, "two", set)
		if got := r.Fail[1].Wait.Or(0); got != parse(t, want, quantity.Second) {
			t.Errorf("%q: %g s", set, got.Seconds())
		}
	}
}

// TestChargeFigures: docs/sources.md, worked (computed): 4 x 12 in at 15 psi 1.1674 g,
// short rule 1.152; 3 x 10 in 0.5472 g; 6 x 18 in 3.9400 g; and never under 0.2 g.
func TestChargeFigures(t *testing.T) {
	for _, row := range []struct {
		bore, length    string
		computed, short float64
	}{
		{"4in", "12in", 1.1674, 1.152}, {"3in", "10in", 0.5472, 0.54}, {"6in", "18in", 3.9400, 3.888},
	} {
		r := checkScene(t, "two", "sustainer/backup.bore_mm="+row.bore+" sustainer/backup.length_mm="+row.length)
		c := r.Stages[1].Charges[0]
		if !near(c.Computed.Or(0).Grams(), row.computed, 1e-4) || c.Powder != c.Computed || !near(c.Short.Or(0).Grams(), row.short, 1e-6) {
			t.Errorf("%s x %s: %v, short rule %v", row.bore, row.length, c.Computed, c.Short)
		}
	}
	r := checkScene(t, "two", "sustainer/backup.bore_mm=1in sustainer/backup.length_mm=3in")
	if c := r.Stages[1].Charges[0]; c.Powder.Or(0) != parse(t, "0.2", quantity.Gram) || c.Computed.Or(0) >= c.Powder.Or(0) {
		t.Errorf("%+v", c)
	}
	r = checkScene(t, "two", "sustainer/backup.pins=2")
	if c := r.Stages[1].Charges[0]; c.Computed.Known() || c.Powder.Known() || !c.Made.Known() {
		t.Errorf("recommended without the pins' force: %+v", c)
	}
}

func near(got, want, within float64) bool { return got-want <= within && want-got <= within }
