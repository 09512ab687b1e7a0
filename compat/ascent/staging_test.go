package ascent

import (
	"errors"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"rangebox/compat/thrust"
)

func TestTimerStaging(t *testing.T) {
	f := mustRun(t, tall(), Site{}, Options{})
	booster, upper := f.Stages[0], f.Stages[1]
	if want := Seconds(1.6); upper.Ignition.Time != want || booster.Separation.Time != want || !booster.Separation.OK {
		t.Errorf("ignition %g s, separation %+v, want setting + lag = %g s", upper.Ignition.Time, booster.Separation, want)
	}
	if !upper.CoastOK || upper.Coast != f.Apogee.Time-upper.Burnout.Time || booster.CoastOK {
		t.Errorf("coast %g (%v), booster's %v", upper.Coast, upper.CoastOK, booster.CoastOK)
	}
	// 12 N x 1.4 s / 2 over a burn from 5 % to 5 %: 0.007 s to 1.337 s; on 0.09 kg.
	if want := 8.4 / 1.33 / (0.09 * StandardGravity); !near(upper.ThrustToWeight, want, 1e-9) {
		t.Errorf("thrust to weight of the upper stage %g, want %g", upper.ThrustToWeight, want)
	}
	if booster.ThrustToWeight != f.ThrustToWeight {
		t.Errorf("%g on the pad, %g of the booster", f.ThrustToWeight, booster.ThrustToWeight)
	}
	if want := NewtonSeconds(25*1.2/2 + 8.4); !near(float64(f.Impulse), float64(want), 1e-12) {
		t.Errorf("impulse %g, want %g", f.Impulse, want)
	}
}

// Mass is conserved where the stack parts: what leaves and what stays are what
// was there, and the booster leaves without its propellant.
func TestSeparationConservesMass(t *testing.T) {
	f := mustRun(t, tall(), Site{}, Options{})
	if len(f.Dropped) != 1 {
		t.Fatalf("%d parts", len(f.Dropped))
	}
	part := f.Dropped[0]
	if want := Kilograms(0.1 + 0.04 - 0.015); !near(float64(part.Body.Mass), float64(want), 1e-12) || part.Burning {
		t.Errorf("the booster leaves with %g kg (burning %v), want %g", part.Body.Mass, part.Burning, want)
	}
	whole, _ := f.Section(0, 1, part.From.Time)
	upper, _ := f.Section(1, 1, part.From.Time)
	if !near(float64(upper.Mass+part.Body.Mass), float64(whole.Mass), 1e-14) {
		t.Errorf("%g + %g kg of %g", upper.Mass, part.Body.Mass, whole.Mass)
	}
	if part.Body.Area != DiskArea(0.04) || part.Body.Cd != 0.6 || upper.Area != DiskArea(0.03) || upper.Cd != 0.5 || whole.Area != DiskArea(0.04) || whole.Cd != 0.6 {
		t.Errorf("shapes: %+v, %+v, %+v", part.Body, upper, whole)
	}
	if s, _ := f.At(part.From.Time); s != part.From {
		t.Errorf("parts at %+v, the rocket is at %+v", part.From, s)
	}
}

// The largest diameter attached counts, wherever it is, and the drag coefficient
// of the lowest stage: a wide head on a thin booster.
func TestShapeOfTheStack(t *testing.T) {
	r := tall()
	r.Stages[1].Diameter = 0.08
	f := mustRun(t, r, Site{}, Options{})
	whole, _ := f.Section(0, 1, 0)
	if want := (Body{Mass: whole.Mass, Area: DiskArea(0.08), Cd: 0.6}); whole != want {
		t.Errorf("%+v, want %+v", whole, want)
	}
	same := tall()
	same.Stages[0].Diameter, same.Stages[1].Diameter = 0.08, 0.08
	g := mustRun(t, same, Site{}, Options{})
	if a, b := figures(&f), figures(&g); !slices.Equal(a, b) {
		t.Errorf("wide head %v\nwide all over %v", a, b)
	}
	same.Stages[1].Diameter = 0.03
	h := mustRun(t, same, Site{}, Options{})
	if h.Stages[0].Burnout != g.Stages[0].Burnout || h.Apogee.Height <= g.Apogee.Height {
		t.Errorf("wide booster: %+v, %+v; wide all over: %+v, %+v", h.Stages[0].Burnout, h.Apogee, g.Stages[0].Burnout, g.Apogee)
	}
}

func TestBurnThrough(t *testing.T) {
	r := tall()
	r.Stages[1].Mounts[0].Ignition = Ignition{By: BurnThrough}
	f := mustRun(t, r, Site{}, Options{})
	booster, upper := f.Stages[0], f.Stages[1]
	if booster.Separation.Time != booster.Burnout.Time || !booster.Burnout.OK {
		t.Errorf("burnout %+v, separation %+v", booster.Burnout, booster.Separation)
	}
	if want := booster.Burnout.Time + 0.1; upper.Ignition.Time != want {
		t.Errorf("thrust at %g s, want burnout + lag = %g", upper.Ignition.Time, want)
	}
	// Of two boosters the last counts; with the booster unlit, none.
	long := r.clone(0)
	long.Stages[0].Mounts = append(long.Stages[0].Mounts, long.Stages[0].Mounts[0])
	long.Stages[0].Mounts[1].Motor.Curve = triangle(25, 2)
	g := mustRun(t, long, Site{}, Options{})
	// From its peak at 0.2 s it falls to zero at 2 s, through 5 % at 1.91 s.
	if got := g.Stages[0].Burnout.Time + g.HoldDown; !near(float64(got), 1.91, 1e-9) {
		t.Errorf("burnout of the stage %g s after ignition, want 1.91", got)
	}
	if g.Stages[1].Ignition.Time != g.Stages[0].Burnout.Time+0.1 {
		t.Errorf("thrust at %g s, burnout at %g", g.Stages[1].Ignition.Time, g.Stages[0].Burnout.Time)
	}
	if _, err := Run(r.WithStageUnlit(0), Site{}, Options{}); !errors.Is(err, ErrNeverLeaves) {
		t.Errorf("booster unlit: %v", err)
	}
}

func TestAsOne(t *testing.T) {
	r := tall()
	one := r.AsOne()
	if r.Stages[1].Mounts[0].Unlit != 0 {
		t.Fatal("the rocket itself was changed")
	}
	one.Stages[1].Cd = 0 // is not needed, as it never flies alone
	one.Stages[1].Mounts[0].Motor.Curve = nil
	f := mustRun(t, one, Site{}, Options{})
	if len(f.Dropped) != 0 || f.Stages[1].Lit || f.Stages[1].Ignition.OK || !f.Stages[0].CoastOK {
		t.Errorf("%+v", f.Stages)
	}
	if body, ok := f.Section(0, 1, f.Apogee.Time); !ok || !near(float64(body.Mass), 0.1+0.04-0.015+0.06+0.03, 1e-12) {
		t.Errorf("comes to apogee with %g kg", body.Mass)
	}
	if _, ok := f.Section(1, 1, 2); ok {
		t.Error("a section without a drag coefficient is offered")
	}
	// The path up to the ignition that does not come is the same.
	full := mustRun(t, r, Site{}, Options{})
	a, _ := f.At(1.6)
	if b := full.Stages[1].Ignition.State; !near(float64(a.Speed), float64(b.Speed), 1e-7) || !near(float64(a.Height), float64(b.Height), 1e-7) {
		t.Errorf("at 1.6 s %+v, with the upper stage lit %+v", a, b)
	}
}

func TestSeparatesWhileBurning(t *testing.T) {
	r := tall()
	r.Stages[1].Mounts[0].Ignition.At = 0.3
	f := mustRun(t, r, Site{}, Options{})
	b := f.Stages[0].Burnout
	if b.OK || b.Time < 1 || f.Stages[0].Separation.Time != 0.4 || !f.Dropped[0].Burning {
		t.Errorf("burnout %+v, separation %+v, part %+v", b, f.Stages[0].Separation, f.Dropped[0])
	}
	left := float64(r.Stages[0].Mounts[0].Motor.Curve.Delivered(f.HoldDown + 0.4))
	if want := 0.14 - 0.015*left/15; !near(float64(f.Dropped[0].Body.Mass), want, 1e-9) {
		t.Errorf("leaves with %g kg, want %g", f.Dropped[0].Body.Mass, want)
	}
}

// An upper stage whose timer is set beyond apogee does not light in this model.
func TestLightsTooLate(t *testing.T) {
	r := tall()
	r.Stages[1].Mounts[0].Ignition.At = 60
	f := mustRun(t, r, Site{}, Options{})
	one := mustRun(t, r.AsOne(), Site{}, Options{})
	s := f.Stages[1]
	if !near(float64(f.Apogee.Height), float64(one.Apogee.Height), 1e-9) || s.Ignition.OK || !s.Lit || !near(float64(s.Ignition.Time), 60.1, 1e-12) || len(f.Dropped) != 0 {
		t.Errorf("apogee %+v, as one %+v; %+v", f.Apogee, one.Apogee, s)
	}
}

// A motor that burns on too weakly to hold the rocket up does so beyond apogee.
func TestThrustingAtApogee(t *testing.T) {
	for _, c := range []struct {
		tail      thrust.Newtons
		thrusting bool
	}{{1.2, false}, {1.26, true}} { // under and over 5 % of the peak
		r := small()
		r.Stages[0].DryMass = 0.12
		r.Stages[0].Mounts[0].Motor.Curve = thrust.Curve{{T: 0, F: 0}, {T: 0.2, F: 25}, {T: 0.4, F: c.tail}, {T: 30, F: c.tail}, {T: 31, F: 0}}
		f := mustRun(t, r, Site{}, Options{})
		if s := f.Stages[0]; f.Thrusting != c.thrusting || s.Burnout.OK == c.thrusting || s.CoastOK == c.thrusting || f.Apogee.Time > 29 {
			t.Errorf("tail of %g N: thrusting %v at apogee %+v, %+v", c.tail, f.Thrusting, f.Apogee, s)
		}
	}
}

// A cluster of n flies as one motor n times as strong and as heavy.
func TestClusterIsOneStrongMotor(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 7).Draw(t, "n")
		cluster := drawRocket(t)
		cluster.Stages[0].Mounts[0].Count, cluster.Stages[0].Mounts[0].Unlit = n, 0
		single := cluster.clone(0)
		m := &single.Stages[0].Mounts[0]
		m.Count = 1
		m.Motor.Mass *= Kilograms(n)
		m.Motor.Propellant *= Kilograms(n)
		m.Motor.Curve = append(m.Motor.Curve[:0:0], m.Motor.Curve...)
		for i := range m.Motor.Curve {
			m.Motor.Curve[i].F *= thrust.Newtons(n)
		}
		a, b := fly(t, cluster, Site{}, Options{}), fly(t, single, Site{}, Options{})
		x, y := figures(&a), figures(&b)
		for i := range x {
			if !(math.Abs(x[i]-y[i]) <= 1e-6*math.Max(1, math.Abs(x[i]))) {
				t.Fatalf("figure %d: cluster %g, single %g", i, x[i], y[i])
			}
		}
	})
}

func TestUnlitMotorOfACluster(t *testing.T) {
	r := small()
	r.Stages[0].Mounts[0].Count = 3
	all := mustRun(t, r, Site{}, Options{})
	f := mustRun(t, r.WithUnlit(0, 0, 1), Site{}, Options{})
	if f.LiftoffMass != all.LiftoffMass || f.Impulse != all.Impulse {
		t.Error("an unlit motor is still aboard")
	}
	if !near(f.ThrustToWeight, all.ThrustToWeight*2/3, 1e-12) || f.Apogee.Height >= all.Apogee.Height || f.Stages[0].Mounts[0].Lit != 2 {
		t.Errorf("thrust to weight %g of %g, apogee %g of %g", f.ThrustToWeight, all.ThrustToWeight, f.Apogee.Height, all.Apogee.Height)
	}
	body, _ := f.Section(0, 0, f.Apogee.Time)
	if want := 0.1 + 3*0.04 - 2*0.015; !near(float64(body.Mass), want, 1e-12) {
		t.Errorf("%g kg at apogee, want %g", body.Mass, want)
	}
}

// A mount lit in the air in the stage that flies parts nothing.
func TestAirStart(t *testing.T) {
	r := small()
	r.Stages[0].Mounts = append(r.Stages[0].Mounts, r.Stages[0].Mounts[0])
	r.Stages[0].Mounts[1].Ignition = Ignition{By: Timer, At: 1}
	f := mustRun(t, r, Site{}, Options{})
	s := f.Stages[0]
	if len(f.Dropped) != 0 || s.Mounts[1].Ignition != 1 || s.Burnout.Time != s.Mounts[1].Burnout || s.Mounts[0].Burnout >= s.Mounts[1].Burnout {
		t.Errorf("%+v", s)
	}
	one := mustRun(t, small(), Site{}, Options{})
	if !near(f.ThrustToWeight, one.ThrustToWeight*0.14/0.18, 1e-12) || s.ThrustToWeight != f.ThrustToWeight {
		t.Errorf("thrust to weight %g: what is lit in the air does not count", f.ThrustToWeight)
	}
	if f.Apogee.Height <= one.Apogee.Height {
		t.Errorf("apogee %g m, without the second motor %g m", f.Apogee.Height, one.Apogee.Height)
	}
}

func TestOpening(t *testing.T) {
	r := tall().AsOne()
	o := Options{Open: []Opening{{Joint: 0, At: 2.5}}}
	f := mustRun(t, r, Site{}, o)
	if len(f.Dropped) != 1 || f.Dropped[0].From.Time != 2.5 || f.Stages[0].Separation.Time != 2.5 {
		t.Fatalf("%+v", f.Dropped)
	}
	if f.Dropped[0].Lowest != 0 || f.Dropped[0].Highest != 0 {
		t.Errorf("%+v", f.Dropped[0])
	}
	// What flies on is what Follow makes of the section.
	body, _ := f.Section(1, 1, 2.5)
	fall, err := Follow(body, f.Dropped[0].From, Site{}, 100)
	if err != nil || !near(float64(fall.Apogee.Height), float64(f.Apogee.Height), 1e-7) {
		t.Errorf("apogee %g m, followed %g m (%v)", f.Apogee.Height, fall.Apogee.Height, err)
	}
	late := mustRun(t, r, Site{}, Options{Open: []Opening{{Joint: 0, At: 50}}})
	if len(late.Dropped) != 0 {
		t.Error("a joint that opens after apogee is followed")
	}
	r.Stages[1].Cd = 0
	if _, err := Run(r, Site{}, o); !errors.Is(err, ErrMissing) {
		t.Errorf("upper stage without drag coefficient: %v", err)
	}
}

// A stage's thrust to weight counts the motors lit together with the first, not
// those that follow.
func TestThrustToWeightOfWhatIsLitTogether(t *testing.T) {
	r := tall()
	alone := mustRun(t, r, Site{}, Options{}).Stages[1].ThrustToWeight
	main := r.Stages[1].Mounts[0]
	later, lagging := main, main
	later.Ignition.At += 0.5
	lagging.Motor.Lag += 0.2
	r.Stages[1].Mounts = []Mount{later, lagging, main}
	got := mustRun(t, r, Site{}, Options{}).Stages[1].ThrustToWeight
	if want := alone * 2 * 0.09 / 0.15; !near(got, want, 1e-9) {
		t.Errorf("%g, want %g", got, want)
	}
}

// Three stages, of which the top lights first: what is below leaves with it, and
// never lights.
func TestWrongOrder(t *testing.T) {
	r := tall()
	r.Stages = append(r.Stages, r.clone(1).Stages[1])
	r.Stages[2].Mounts = []Mount{r.Stages[1].Mounts[0]}
	r.Stages[2].Mounts[0].Ignition.At = 1.2
	f := mustRun(t, r, Site{}, Options{})
	if len(f.Dropped) != 1 || f.Dropped[0].Highest != 1 || f.Stages[1].Ignition.OK || !f.Stages[1].Separation.OK || !f.Stages[2].Ignition.OK {
		t.Errorf("%+v, %+v", f.Dropped, f.Stages)
	}
}
