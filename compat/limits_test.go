package compat

import (
	"errors"
	"math"
	"math/big"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// flightDefaults has the thresholds of the flight rules as docs/rules.md states them;
// what they decide stands with those rules.
var flightDefaults = map[string]string{
	"motor-mount.play_mm": "1 mm", "thrust-to-weight.asked": "5", "thrust-to-weight.least": "3", "rail-speed.asked_m_s": "15 m/s",
	"rail-speed.least_m_s": "10 m/s", "rail-speed.wind_ratio": "4", "delay.soft_m_s": "10 m/s", "delay.most_m_s": "20 m/s",
	"burn-through.gap_mm": "300 mm", "staging-window.asked_m_s": "20 m/s", "staging-window.least_m_s": "10 m/s", "timer-start.margin": "1.5",
	"way-down.tumble_g": "250 g", "way-down.least_m": "15 m", "ejection-charge.asked_kpa": "68.948 kPa", "ejection-charge.least_kpa": "34.474 kPa", // 10 and 5 psi
	"ejection-charge.over": "2", "ejection-charge.over_g": "300 mg", "ejection-charge.pin_margin": "1.5",
	"ejection-charge.backup_least": "1.2", "ejection-charge.backup_most": "1.5", "ejection-charge.backup_after_s": "1 s", "ejection-charge.backup_within_s": "2 s",
	"bound.delay_tol_pct": "20%", "bound.timer_tol_pct": "5%", "bound.detect_s": "200 ms", "bound.lag_s": "1 s",
}

// TestEveryThresholdIsTested: none is without its figure of docs/rules.md here.
func TestEveryThresholdIsTested(t *testing.T) {
	decided, standard := map[string]bool{}, Defaults()
	for _, row := range limitRows {
		decided[row.name] = true
	}
	seen := map[string]bool{}
	for _, threshold := range Thresholds {
		if seen[threshold.Name] {
			t.Errorf("%s is there twice", threshold.Name)
		}
		seen[threshold.Name] = true
		want, flight := flightDefaults[threshold.Name]
		if !flight && !decided[threshold.Name] {
			t.Errorf("%s is not tested", threshold.Name)
		}
		if got := threshold.Show(standard, quantity.Metric); flight && got != want {
			t.Errorf("%s is %s, not %s as in docs/rules.md", threshold.Name, got, want)
		}
	}
}

// limitRows has, for every threshold of the pair and circuit rules, its default
// as docs/rules.md states it and a case that another value decides otherwise.
var limitRows = []struct {
	name, standard, value string
	set                   string
	before, after         Verdict
}{
	{"throat-clearance.least_mm", "0.2 mm", "1.5", basePair, Go, Caution},
	{"throat-clearance.share_pct", "5%", "40", basePair, Go, Caution},
	{"ignition-energy.small_g", "60 g", "100", basePair + " motor.propellant=composite motor.core_mm=80 motor.propellant_g=90 igniter.output=high", Go, Caution},
	{"ignition-energy.long_core_mm", "250 mm", "4in", basePair + " motor.propellant=composite motor.core_mm=150 igniter.output=medium", Go, Caution},
	{"lead-reach.slack_mm", "25 mm", "100mm", basePair + " run=200", Go, Caution},
	{"lead-reach.beyond_seat_mm", "20 mm", "300", basePair + " run=400", Caution, NoGo},
	{"firing-current.margin", "1.5", "9", baseCircuit, Go, Caution},
	{"firing-current.impulse_margin", "2", "5", baseCircuit + " " + capacitor + "igniter.firing_impulse_a2s=0.02", Go, Caution},
	{"cluster-firing.margin", "2", "7", baseCircuit + " " + two, Go, Caution},
	{"continuity-current.share_pct", "10%", "1", baseCircuit + " controller.continuity_a=0.04", Go, Caution},
	{"continuity-current.most_a", "50 mA", "10mA", baseCircuit + " controller.continuity_a=0.04", Go, Caution},
	{"continuity-current.danger_pct", "50%", "12", baseCircuit + " controller.continuity_a=0.05", Caution, NoGo},
	{"supply-voltage.margin", "1.2", "2", baseCircuit + " " + limited + "controller.brownout_v=8", Go, Caution},
	{"battery-pulse.share_pct", "80%", "50", baseCircuit + " battery.pulse_a=10", Go, Caution},
	{"time-to-fire.share_pct", "50%", "10", baseCircuit + " " + adiabatic + "controller.pulse_s=0.02", Go, Caution},
	{"bound.contact_ohm", "0.2 ohm", "1", baseCircuit + " line.contact_ohm= igniter.all_fire_a=4", Go, Caution},
	{"bound.on_ohm", "0.2 ohm", "1000mohm", baseCircuit + " controller.on_ohm= igniter.all_fire_a=4", Go, Caution},
	{"bound.bridge_tol_pct", "25%", "90", baseCircuit + " igniter.bridge_tol_pct= igniter.all_fire_a=4", Go, Caution},
	{"bound.aged_ratio", "1.5", "5", baseCircuit + " battery.aged_internal_ohm= igniter.all_fire_a=4", Go, Caution},
	{"bound.no_fire_pct", "25%", "5", baseCircuit + " igniter.no_fire_a= controller.continuity_a=6mA", Go, Caution},
}

func TestThresholds(t *testing.T) {
	for _, row := range limitRows {
		t.Run(row.name, func(t *testing.T) {
			threshold := thresholdNamed(t, row.name)
			standard := Defaults()
			if got := threshold.Show(standard, quantity.Metric); got != row.standard {
				t.Errorf("default %s, not %s as in docs/rules.md", got, row.standard)
			}
			own, err := LimitsFrom(&inventory.Settings{Thresholds: map[string]string{row.name: row.value}})
			if err != nil {
				t.Fatal(err)
			}
			before, after := limitFinding(t, row.set, threshold.Rule, standard), limitFinding(t, row.set, threshold.Rule, own)
			if before.Verdict != row.before || after.Verdict != row.after {
				t.Errorf("%s, then %s", before.Verdict, after.Verdict)
			}
			if strings.Contains(before.Source(), "your setting") {
				t.Errorf("before: %s", before.Source())
			}
			// A bound is no limit: the finding's source stays where it was.
			if limit := !strings.HasPrefix(row.name, "bound."); strings.HasPrefix(after.Source(), "your setting") != limit {
				t.Errorf("after: %s", after.Source())
			}
		})
	}
}

func thresholdNamed(t *testing.T, name string) Threshold {
	t.Helper()
	for _, threshold := range Thresholds {
		if threshold.Name == name {
			return threshold
		}
	}
	t.Fatalf("there is no threshold %s", name)
	return Threshold{}
}

func limitFinding(t *testing.T, set string, rule Rule, l *Limits) Finding {
	t.Helper()
	s := newScene(t, set)
	var f Findings
	if rule <= LeadReach {
		CheckPair(s.pair(t), l, &f)
	} else {
		CheckCircuit(s.circuit(t), l, &f)
	}
	got, ok := findingOf(&f, rule, "")
	if !ok {
		t.Fatal("no finding")
	}
	return got
}

func TestLimitsFromRefuses(t *testing.T) {
	for name, value := range map[string]string{
		"firing-current.margins":      "2",
		"":                            "2",
		"firing-current.margin":       "much",
		"lead-reach.slack_mm":         "2V",
		"continuity-current.most_a":   "0",
		"battery-pulse.share_pct":     "-5",
		"throat-clearance.least_mm ":  "1",
		"throat-clearance.least_inch": "1",
	} {
		_, err := LimitsFrom(&inventory.Settings{Thresholds: map[string]string{name: value}})
		if !errors.Is(err, inventory.ErrInvalid) {
			t.Errorf("%q=%q: %v", name, value, err)
		}
	}
}

func TestLimitsFromNothingAreTheDefaults(t *testing.T) {
	l, err := LimitsFrom(&inventory.Settings{})
	if err != nil || *l != *Defaults() {
		t.Errorf("%+v %v", l, err)
	}
}

// TestSharesAreExact: against exact arithmetic, large figures included.
func TestSharesAreExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := rapid.Int64Range(0, math.MaxInt64/4).Draw(t, "q")
		n := rapid.Int64Range(1, 100_000_000_000).Draw(t, "n")
		exact := new(big.Rat).Mul(new(big.Rat).SetInt64(q), new(big.Rat).SetInt64(n))
		bound := new(big.Rat).Quo(exact, big.NewRat(1_000_000, 1))
		down, up := share(quantity.Length(q), quantity.Percent(n)), shareUp(quantity.Length(q), quantity.Percent(n))
		if bound.Cmp(big.NewRat(math.MaxInt64, 1)) >= 0 {
			if down != math.MaxInt64 || up != math.MaxInt64 {
				t.Fatalf("%d %% of %d: %d, %d", n, q, down, up)
			}
			return
		}
		floor := new(big.Int).Quo(bound.Num(), bound.Denom()).Int64()
		ceil := floor
		if !bound.IsInt() {
			ceil++
		}
		if int64(down) != floor || int64(up) != ceil {
			t.Fatalf("%d of %d: %d and %d, not %d and %d", n, q, down, up, floor, ceil)
		}
		if got := times(quantity.Length(q), quantity.Number(n*1000)); got != up {
			t.Fatalf("times: %d, not %d", got, up)
		}
	})
}
