package compat

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"rangebox/compat/ascent"
	"rangebox/inventory/quantity"
)

// partsOf is the parts of a branch as name:what-brings-it-down.
func partsOf(t *testing.T, r *RocketReport, branch string) (words []string, parts []Part) {
	t.Helper()
	for _, b := range r.Branches {
		if b.Fault.String() != branch {
			continue
		}
		for _, p := range b.Parts {
			words = append(words, p.Name+":"+p.DownBy)
		}
		return words, b.Parts
	}
	t.Fatalf("there is no branch %q", branch)
	return nil, nil
}

// TestBranches: which faults are gone through.
func TestBranches(t *testing.T) {
	for _, row := range []struct{ rocket, set, want string }{
		{"solo", "", "everything right"},
		{"trio", "", "everything right; one of 3 motors in body/ring does not light"},
		{"two", "", "everything right; sustainer/main does not light; controller tick is dead; battery small is flat"},
		{"flame", "", "everything right; sustainer/main does not light; controller tick is dead; battery small is flat"},
		{"flame", "drop=sustainer/backup", "everything right; sustainer/main does not light"},
		{"two", "sustainer/main.motor=", "everything right; controller tick is dead; battery small is flat"},
	} {
		r := checkScene(t, row.rocket, row.set)
		var got []string
		for _, b := range r.Branches {
			got = append(got, b.Fault.String())
		}
		if strings.Join(got, "; ") != row.want {
			t.Errorf("%s %s: %q", row.rocket, row.set, got)
		}
	}
}

// TestParts: what comes down together, and by what.
func TestParts(t *testing.T) {
	for _, row := range []struct{ name, rocket, set, branch, want string }{
		{"each stage by its own", "two", "", right, "booster:booster/chute sustainer:sustainer/chute"},
		{"the booster's ejection opens the stack", "two", "", unlit, "booster:booster/chute sustainer:sustainer/backup"},
		{"so it does where no recovery speaks of it", "two", "drop=booster/chute", unlit, "booster: sustainer:sustainer/backup"},
		{"a plugged booster leaves it whole", "two", "booster/main.head_end=plugged", unlit, "booster+sustainer:sustainer/backup"},
		{"an ejection that opens the nose as well", "two", "booster/chute.opens=mid", unlit, "booster+sustainer:booster/chute"},
		{"a charge opens the stack at the top", "two", "booster/main.head_end=plugged sustainer/backup.opens=interstage", unlit, "sustainer:sustainer/backup booster:"},
		{"a separation charge opens it on the way up", "two", "booster/main.head_end=plugged sustainer/backup.opens=interstage sustainer/backup.trigger=timer sustainer/backup.at_s=1 sustainer/backup.after_s=0.5", unlit, "booster: sustainer:sustainer/backup"},
		{"a dead controller", "two", "", dead, "booster:booster/chute sustainer:"},
		{"a flat battery", "two", "", flat, "booster:booster/chute sustainer:"},
		{"a booster tumbles", "flame", "", right, "booster:booster/tumble sustainer:sustainer/chute"},
		{"a stack on the backup", "flame", "", unlit, "booster+sustainer:sustainer/backup"},
		{"an upper stage that cannot be followed", "two", "sustainer.cd= booster/main.head_end=plugged booster/chute.by=charge booster/chute.trigger=apogee booster/chute.line=out booster/chute.igniter=wick", unlit, "booster:booster/chute sustainer:sustainer/backup"},
		{"a booster that cannot be followed on", "two", "booster/main.head_end=plugged sustainer/main.line=pad sustainer/backup.opens=interstage booster.cd=", unlit, "booster: sustainer:sustainer/backup"},
		{"a stack whose stages only tumble", "flame", "drop=sustainer/backup sustainer/chute.by=tumble", unlit, "booster+sustainer:"},
		{"a stage without a name", "solo", "body.name=", right, "1:1/chute"},
		{"no curve: each stage alone", "two", "motor:soot.curve=", right, "booster:booster/chute sustainer:sustainer/chute"},
		{"does not leave the pad", "two", "booster.dry_mass_g=2500", right, ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			r := checkScene(t, row.rocket, row.set)
			if got, _ := partsOf(t, &r, row.branch); strings.Join(got, " ") != row.want {
				t.Errorf("%q", got)
			}
		})
	}
}

// TestDeadBattery: it takes its own lines along, and where it may run a
// controller's electronics all lines of that.
func TestDeadBattery(t *testing.T) {
	const apart = "line:out.battery=big "
	for _, row := range []struct{ name, set, branch, want string }{
		{"its own electronics", apart, "battery small is flat", "booster:booster/chute sustainer:sustainer/backup"},
		{"its own electronics: the other battery", apart, "battery big is flat", "booster:booster/chute sustainer:sustainer/chute"},
		{"shared electronics", apart + "controller:tick.supply=shared", "battery small is flat", "booster:booster/chute sustainer:"},
		{"nobody knows what runs them", apart + "controller:tick.supply=", "battery small is flat", "booster:booster/chute sustainer:"},
	} {
		t.Run(row.name, func(t *testing.T) {
			r := checkScene(t, "two", row.set)
			if got, _ := partsOf(t, &r, row.branch); strings.Join(got, " ") != row.want {
				t.Errorf("%q", got)
			}
		})
	}
}

// TestBoosterOpensTheStack: in the branch in which the upper stage does not
// light the booster ejects at the interstage, with the speed that the stack
// coasting on whole has at that time.
func TestBoosterOpensTheStack(t *testing.T) {
	for _, delay := range []float64{2, 3, 5, 7} {
		r := checkScene(t, "two", fmt.Sprintf("booster/main.delay_s=%g", delay))
		_, parts := partsOf(t, &r, unlit)
		at := r.Unlit.Stages[0].Burnout.Time + ascent.Seconds(delay)
		stack, _ := r.Unlit.At(at)
		booster := parts[0]
		if booster.Name != "booster" && delay < 5 {
			t.Fatalf("%g s: %s comes first", delay, booster.Name)
		}
		if booster.Name != "booster" {
			continue
		}
		if math.Abs(booster.Opens.Or(0).Seconds()-float64(at)) > 1e-5 ||
			math.Abs(booster.Speed.Or(0).MetresPerSecond()-math.Abs(float64(stack.Speed))) > 1e-3 ||
			math.Abs(booster.Height.Or(0).Metres()-float64(stack.Height)) > 1e-2 {
			t.Errorf("%g s: opens at %v, %v, %v, not at %v", delay, booster.Opens, booster.Speed, booster.Height, stack)
		}
	}
}

// TestOneOfAClusterUnlit recomputes: two motors of three, and the third carried.
func TestOneOfAClusterUnlit(t *testing.T) {
	r := checkScene(t, "trio", "")
	const branch = "one of 3 motors in body/ring does not light"
	f, ok := findingOf(said(&r, branch), ThrustToWeight, "trio")
	if want := r.Flight.ThrustToWeight.Or(0) * 2 / 3; !ok || math.Abs(f.Value.Float()-want) > 1e-8 {
		t.Errorf("thrust to weight %v, not %g", f.Value.Float(), want)
	}
	// Two alike and one dead weight: as two motors with the third in the dry mass.
	pair := checkScene(t, "trio", "body/ring.count=2 body.dry_mass_g=745")
	rail, _ := findingOf(said(&r, branch), RailSpeed, "trio")
	same, _ := findingOf(said(&pair, ""), RailSpeed, "trio")
	if rail.Value != same.Value || rail.Value == (Amount{}) {
		t.Errorf("rail speed %v, not %v", rail.Value, same.Value)
	}
	ejects, _ := findingOf(said(&r, branch), Delay, "body/ring")
	same, _ = findingOf(said(&pair, ""), Delay, "body/ring")
	if ejects.Value != same.Value || ejects.extra != same.extra || ejects.Value == (Amount{}) {
		t.Errorf("ejects at %v, not %v", ejects.Value, same.Value)
	}
}

// TestClusterOutStaysOnPad: with one of two unlit there is too little to lift it.
func TestClusterOutStaysOnPad(t *testing.T) {
	r := checkScene(t, "trio", "body/ring.count=2 body.dry_mass_g=2000 body/ring.igniter=")
	b := r.Branches[1]
	f, _ := findingOf(&b.Findings, ThrustToWeight, "trio")
	if !b.StaysOnPad || len(b.Parts) > 0 || f.reason != neverLeaves || f.Verdict != Caution {
		t.Errorf("%+v", b)
	}
}

// TestEverythingElseIsSaid: without any curve, drag and mass what needs none of
// them is still said.
func TestEverythingElseIsSaid(t *testing.T) {
	whole := checkScene(t, "two", "")
	for _, set := range []string{
		"motor:soot.curve= motor:amber.curve=", "booster.cd=", "sustainer.dry_mass_g=", "motor:amber.mass_g=", "booster.diameter_mm=", "rail_m=",
	} {
		r := checkScene(t, "two", set)
		for _, rule := range []Rule{MotorMount, EjectionCharge, Arming, SharedBattery} {
			a, b := said(&whole, ""), said(&r, "")
			subject, _ := findingOf(a, rule, "")
			want, _ := findingOf(a, rule, subject.Subject)
			if got, ok := findingOf(b, rule, subject.Subject); !ok || got.Verdict != want.Verdict {
				t.Errorf("%s: %s is no longer said", set, rule)
			}
		}
		for i := range whole.Stages {
			if len(whole.Stages[i].Points) != len(r.Stages[i].Points) || len(r.Stages[i].Points) == 0 {
				t.Errorf("%s: points of %s", set, r.Stages[i].Name)
			}
		}
		if len(r.Branches) != len(whole.Branches) || len(r.Cautions) == 0 {
			t.Errorf("%s: %d branches", set, len(r.Branches))
		}
	}
}

// TestLessDataIsNeverBetter: taking a figure away never turns a rocket's verdict
// to the better, and never makes a no-go of what was none.
func TestLessDataIsNeverBetter(t *testing.T) {
	figures := strings.Fields("rail_m= booster.cd= booster.diameter_mm= booster.dry_mass_g= sustainer.cd= sustainer.dry_mass_g= " +
		"booster/main.motor= booster/main.head_end= booster/main.delay_s= booster/main.mount_mm= booster/main.by= " +
		"sustainer/main.motor= sustainer/main.head_end= sustainer/main.delay_s= sustainer/main.at_s= sustainer/main.by= " +
		"sustainer/backup.by= sustainer/backup.trigger= sustainer/backup.powder_g= sustainer/backup.bore_mm= sustainer/backup.length_mm= " +
		"sustainer/chute.by= sustainer/backup.igniter= sustainer/backup.line= motor:soot.curve= motor:soot.mass_g= motor:soot.propellant_g= " +
		"motor:soot.lag_s= motor:soot.diameter_mm= motor:amber.curve= motor:amber.lag_s= controller:tick.tol_pct= controller:tick.detect_s= controller:tick.arming= " +
		"controller:tick.place= line:out.output= line:up.output= line:out.battery= igniter:wick.all_fire_a= sustainer/main.igniter= sustainer/main.line= motor:amber.propellant=")
	for _, rocket := range []string{"two", "flame"} {
		for _, base := range []string{"", "booster.dry_mass_g=700"} {
			before := checkScene(t, rocket, base)
			for _, figure := range figures {
				if rocket == "flame" && strings.Contains(figure, "at_s") {
					continue
				}
				after := checkScene(t, rocket, strings.TrimSpace(base+" "+figure))
				if before.Worst != NoGo && after.Worst == NoGo {
					t.Errorf("%s %s %s: %s became %s", rocket, base, figure, before.Worst, after.Worst)
					for i := range after.Branches {
						for _, f := range after.Branches[i].List {
							t.Log(after.Branches[i].Fault, f.Rule, f.Verdict, f.Why(quantity.Metric))
						}
					}
				}
			}
		}
	}
}

// TestCheckRocketIsTheSameEveryTime, and leaves what it was given alone.
func TestCheckRocketIsTheSameEveryTime(t *testing.T) {
	s := newFlightScene(t, "two", "")
	text := func() string {
		r := CheckRocket(&s.q, s.limits)
		r.Nominal, r.Unlit = nil, nil
		for i := range r.Branches {
			for j := range r.Branches[i].Parts {
				r.Branches[i].Parts[j].by = nil
			}
		}
		for i := range r.Stages {
			for j := range r.Stages[i].Points {
				r.Stages[i].Points[j].Igniter, r.Stages[i].Points[j].Line = nil, nil
			}
		}
		r.Distance = nil
		return fmt.Sprintf("%+v", r)
	}
	if first := text(); first != text() {
		t.Error("not the same")
	}
}

func TestRocketWithoutStages(t *testing.T) {
	s := newFlightScene(t, "solo", "")
	s.q.Rocket.Stages = nil
	r := CheckRocket(&s.q, s.limits)
	if r.Worst != Unknown || len(r.Stages) != 0 {
		t.Errorf("%s", r.Worst)
	}
}

// TestLeavesOut: what the model leaves out is said of every rocket.
func TestLeavesOut(t *testing.T) {
	for set, want := range map[string][]Omission{
		"":                            {OmitsWind, OmitsWeathercocking, OmitsTilt, OmitsWobble, OmitsTemperature, OmitsAltitude},
		"altitude=100 temperature=20": {OmitsWind, OmitsWeathercocking, OmitsTilt, OmitsWobble},
		"altitude=100 temperature=20 motor:soot.curve=8":   {OmitsWind, OmitsWeathercocking, OmitsTilt, OmitsWobble, OmitsTransonicDrag},
		"altitude=100 temperature=20 body.dry_mass_g=2500": {OmitsWind, OmitsWeathercocking, OmitsTilt, OmitsWobble},
	} {
		r := checkScene(t, "solo", set)
		if !slices.Equal(r.LeavesOut, want) {
			t.Errorf("%q: %v", set, r.LeavesOut)
		}
		for _, o := range r.LeavesOut {
			if o.String() == "" {
				t.Errorf("omission %d has no words", o)
			}
		}
	}
}

// TestSiteMatters: thinner air lets it rise higher (1976 standard atmosphere).
func TestSiteMatters(t *testing.T) {
	last := -1.0
	for _, site := range []string{"altitude=0", "altitude=1000", "altitude=3000", "altitude=3000 temperature=30"} {
		r := checkScene(t, "solo", site)
		if h := r.Flight.Apogee.Or(Apogee{}).Height.Metres(); h <= last {
			t.Errorf("%s: %g m after %g", site, h, last)
		} else {
			last = h
		}
	}
}
