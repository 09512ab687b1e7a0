package compat

import (
	"strings"
	"testing"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// flightLimitRows has, for every threshold of the flight rules, its default as
// docs/rules.md states it and a case that another value decides otherwise.
var flightLimitRows = []struct {
	name, standard, value string
	rule                  Rule
	rocket, set, subject  string
	branch                string
	before, after         Verdict
}{
	{"motor-mount.play_mm", "1 mm", "0.5", MotorMount, "solo", "motor:soot.diameter_mm=25", "body/main", "", Go, NoGo},
	{"thrust-to-weight.asked", "5", "8", ThrustToWeight, "solo", "", "solo", "", Go, Caution},
	{"thrust-to-weight.least", "3", "4.9", ThrustToWeight, "solo", "body.dry_mass_g=400", "solo", "", Caution, NoGo},
	{"rail-speed.asked_m_s", "15 m/s", "14", RailSpeed, "solo", "", "solo", "", Caution, Go},
	{"rail-speed.least_m_s", "10 m/s", "14.5", RailSpeed, "solo", "", "solo", "", Caution, NoGo},
	{"rail-speed.wind_ratio", "4", "5", RailSpeed, "solo", "rail_m=2 wind=3.75", "solo", "", Go, Caution},
	{"delay.soft_m_s", "10 m/s", "15", Delay, "solo", "", "body/main", "", Caution, Go},
	{"delay.most_m_s", "20 m/s", "4", Delay, "solo", "", "body/main", "", Caution, NoGo},
	{"burn-through.gap_mm", "300 mm", "19mm", BurnThrough, "flame", "", "sustainer/main", "", Go, Unknown},
	{"staging-window.asked_m_s", "20 m/s", "40", StagingWindow, "two", "", "sustainer/main", "", Go, Caution},
	{"staging-window.least_m_s", "10 m/s", "40", StagingWindow, "two", "", "sustainer/main", "", Go, NoGo},
	{"timer-start.margin", "1.5", "9", TimerStart, "two", "", "tick", "", Go, NoGo},
	{"way-down.tumble_g", "250 g", "60", WayDown, "flame", "", "booster", right, Caution, NoGo},
	{"way-down.least_m", "15 m", "5000", WayDown, "solo", "", "body", right, Go, Caution},
	{"ejection-charge.asked_kpa", "68.948 kPa", "40 psi", EjectionCharge, "two", "", "sustainer/backup", "", Go, Caution},
	{"ejection-charge.least_kpa", "34.474 kPa", "9 psi", EjectionCharge, "two", "sustainer/backup.powder_g=0.06", "sustainer/backup", "", Caution, NoGo},
	{"ejection-charge.over", "2", "1.1", EjectionCharge, "two", "sustainer/backup.powder_g=0.31", "sustainer/backup", "", Go, Caution},
	{"ejection-charge.over_g", "0.3 g", "0.6", EjectionCharge, "two", "sustainer/backup.powder_g=0.5", "sustainer/backup", "", Caution, Go},
	{"ejection-charge.pin_margin", "1.5", "4", EjectionCharge, "two", "sustainer/backup.pins=2 sustainer/backup.pin_n=60", "sustainer/backup", "", Go, Caution},
	{"ejection-charge.backup_least", "1.2", "1.3", EjectionCharge, "two", own + "sustainer/late.trigger=apogee sustainer/late.powder_g=0.3", "sustainer/late", "", Go, Caution},
	{"ejection-charge.backup_most", "1.5", "1.1", EjectionCharge, "two", own + "sustainer/late.trigger=apogee sustainer/late.powder_g=0.3", "sustainer/late", "", Go, Caution},
	{"ejection-charge.backup_after_s", "1 s", "2", EjectionCharge, "two", own + "sustainer/late.trigger=tilt sustainer/late.after_s=2 sustainer/late.powder_g=0.3", "sustainer/late", "", Go, Caution},
	{"ejection-charge.backup_within_s", "2 s", "0.9", EjectionCharge, "two", own + "sustainer/late.trigger=tilt sustainer/late.after_s=2 sustainer/late.powder_g=0.3", "sustainer/late", "", Go, Caution},
	{"bound.delay_tol_pct", "20%", "5", Delay, "solo", "", "body/main", "", Caution, Go},
	{"bound.timer_tol_pct", "5%", "50", StagingWindow, "two", "controller:tick.tol_pct= booster/main.delay_s=3", "sustainer/main", "", Go, Caution},
	{"bound.detect_s", "0.2 s", "2", StagingWindow, "two", "controller:tick.detect_s= booster/main.delay_s=3", "sustainer/main", "", Go, Caution},
	{"bound.lag_s", "1 s", "0.1", StagingWindow, "two", "motor:amber.lag_s= booster/main.delay_s=3", "sustainer/main", "", Caution, Go},
}

// flightThresholds are those after the ones of pairs and circuits.
func flightThresholds() []Threshold { return Thresholds[len(limitRows):] }

func TestFlightThresholds(t *testing.T) {
	if len(flightLimitRows) != len(flightThresholds()) {
		t.Fatalf("%d thresholds, %d tested", len(flightThresholds()), len(flightLimitRows))
	}
	for i, row := range flightLimitRows {
		t.Run(row.name, func(t *testing.T) {
			threshold := flightThresholds()[i]
			if threshold.Name != row.name {
				t.Fatalf("stands at the place of %s", threshold.Name)
			}
			got := threshold.Show(Defaults(), quantity.Metric)
			if got != row.standard && !(row.standard == "0.3 g" && got == "300 mg") && !(row.standard == "0.2 s" && got == "200 ms") {
				t.Errorf("default %s, not %s as in docs/rules.md", got, row.standard)
			}
			s := newFlightScene(t, row.rocket, row.set)
			own, err := LimitsFrom(&inventory.Settings{Thresholds: map[string]string{row.name: row.value}})
			if err != nil {
				t.Fatal(err)
			}
			verdict := func(l *Limits) (Verdict, string) {
				r := CheckRocket(&s.q, l)
				return worstFinding(t, said(&r, row.branch), row.rule, row.subject)
			}
			before, source := verdict(Defaults())
			after, changed := verdict(own)
			if before != row.before || after != row.after {
				t.Errorf("%s, then %s", before, after)
			}
			if limit := !strings.HasPrefix(row.name, "bound."); strings.HasPrefix(source, "your setting") || strings.HasPrefix(changed, "your setting") != limit {
				t.Errorf("%s, then %s", source, changed)
			}
		})
	}
}

// worstFinding is the worst verdict of a rule on a subject, and its source.
func worstFinding(t *testing.T, all *Findings, rule Rule, subject string) (Verdict, string) {
	t.Helper()
	worst, source := Unknown, ""
	for _, f := range all.List {
		if f.Rule == rule && f.Subject == subject && (source == "" || severity[f.Verdict] > severity[worst]) {
			worst, source = f.Verdict, f.Source()
		}
	}
	if source == "" {
		t.Fatal("no finding")
	}
	return worst, source
}

// TestFlightEdges: the figure that the flight gives is the edge itself; on it
// the better verdict holds, a step beyond the worse.
func TestFlightEdges(t *testing.T) {
	for _, row := range []struct {
		threshold            string
		rule                 Rule
		rocket, set, subject string
		branch               string
		nominal              bool // the edge is the finding's further figure
		beyond               int64
		on, past             Verdict
	}{
		{"thrust-to-weight.asked", ThrustToWeight, "solo", "", "solo", "", false, 1, Go, Caution},
		{"thrust-to-weight.least", ThrustToWeight, "solo", "body.dry_mass_g=400", "solo", "", false, 1, Caution, NoGo},
		{"rail-speed.asked_m_s", RailSpeed, "solo", "", "solo", "", false, 1, Go, Caution},
		{"rail-speed.least_m_s", RailSpeed, "solo", "", "solo", "", false, 1, Caution, NoGo},
		{"delay.soft_m_s", Delay, "solo", "", "body/main", "", false, -1, Go, Caution},
		{"delay.most_m_s", Delay, "solo", "", "body/main", "", true, -1, Caution, NoGo},
		{"staging-window.asked_m_s", StagingWindow, "two", "sustainer/main.at_s=4.8", "sustainer/main", "", false, 1, Go, Caution},
		{"staging-window.least_m_s", StagingWindow, "two", "sustainer/main.at_s=5.4", "sustainer/main", "", false, 1, Caution, NoGo},
		{"way-down.tumble_g", WayDown, "flame", "", "booster", right, false, -1, Caution, NoGo},
		{"delay.most_m_s", WayDown, "two", "booster/main.delay_s=2", "booster", unlit, false, -1, Go, Caution},
		{"ejection-charge.asked_kpa", EjectionCharge, "two", "", "sustainer/backup", "", false, 1, Go, Caution},
		{"ejection-charge.least_kpa", EjectionCharge, "two", "sustainer/backup.powder_g=0.06", "sustainer/backup", "", false, 1, Caution, NoGo},
	} {
		t.Run(row.threshold, func(t *testing.T) {
			s := newFlightScene(t, row.rocket, row.set)
			finding := func(l *Limits) Finding {
				r := CheckRocket(&s.q, l)
				f, ok := findingOf(said(&r, row.branch), row.rule, row.subject)
				if !ok {
					t.Fatal("no finding")
				}
				return f
			}
			base := finding(Defaults())
			edge := base.Value
			if row.nominal {
				edge = base.extra
			}
			for _, threshold := range Thresholds {
				if threshold.Name != row.threshold {
					continue
				}
				l := Defaults()
				threshold.set(l, edge.Steps)
				if f := finding(l); f.Verdict != row.on {
					t.Errorf("on the edge %s: %s", f.Verdict, f.Why(quantity.Metric))
				}
				threshold.set(l, edge.Steps+row.beyond)
				if f := finding(l); f.Verdict != row.past {
					t.Errorf("beyond it %s: %s", f.Verdict, f.Why(quantity.Metric))
				}
			}
		})
	}
}

// TestTimerStartEdge: 1.5 x what starts it, exactly.
func TestTimerStartEdge(t *testing.T) {
	r := checkScene(t, "two", "")
	f, _ := findingOf(said(&r, ""), TimerStart, "tick")
	for over, want := range map[quantity.Acceleration]Verdict{0: Go, 1: NoGo} {
		s := newFlightScene(t, "two", "")
		ctl, err := inventory.Find[*inventory.Controller](s.q.Box, inventory.KindController, "tick")
		if err != nil {
			t.Fatal(err)
		}
		ctl.Detect = quantity.Some(quantity.Acceleration(f.Value.Steps*2/3) + over)
		r := CheckRocket(&s.q, Defaults())
		if f, _ := findingOf(said(&r, ""), TimerStart, "tick"); f.Verdict != want {
			t.Errorf("%d over: %s, %s", over, f.Verdict, f.Why(quantity.Metric))
		}
	}
}
