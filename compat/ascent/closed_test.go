package ascent

import (
	"errors"
	"math"
	"testing"

	"rangebox/compat/thrust"
)

// seaLevel is the standard density at 0 m, kg/m3.
var seaLevel = Site{}.Density(0)

// TestClosedForm compares with the closed forms for constant mass, thrust and
// density (the project's sources, Ascent; computed there, closed form and an
// independent RK4 alike). Density here falls with height, which is no error. So
// the cases are flown as models of themselves at 1 : 10000: with heights to that
// scale, times and speeds to its root and k to its inverse, the equation of
// motion is the same, and the air as good as constant.
func TestClosedForm(t *testing.T) {
	const scale, relative = 1e-4, 1e-4 // the project asks for 1e-3
	root := math.Sqrt(scale)
	for _, c := range []struct {
		boosting, coasting, thrust, burn, k float64
		speed, burnout, coast, coastTime    float64
	}{
		{0.050, 0.050, 6.0, 1.5, 2.2190168e-4, 123.12877, 106.25641, 232.30073, 5.781332},
		{1.5, 1.5, 120, 1.6, 7.0138019e-4, 109.26608, 88.61677, 481.84157, 9.545325},
		{8.0, 7.4, 500, 2.56, 2.97944e-3, 129.39474, 169.08661, 649.72597, 11.016462},
	} {
		const tiny = 1e-9 // of the mass is propellant, since a motor must have some
		cd, diameter := 0.5, Metres(0)
		area := 2 * c.k / scale / (seaLevel * cd)
		diameter = Metres(math.Sqrt(area * 4 / math.Pi))
		r := Rocket{Stages: []Stage{{Diameter: diameter, DryMass: Kilograms(c.boosting / 2), Cd: cd, Mounts: []Mount{{
			Count: 1, Ignition: Ignition{By: Pad},
			Motor: Motor{Mass: Kilograms(c.boosting / 2), Propellant: Kilograms(tiny * c.boosting), Curve: block(thrust.Newtons(c.thrust), Seconds(c.burn*root))},
		}}}}}
		f := mustRun(t, r, Site{}, Options{})
		out := f.Stages[0].Burnout
		fall, err := Follow(Body{Mass: Kilograms(c.coasting), Area: DiskArea(diameter), Cd: cd}, out.State, Site{}, 1e9)
		if err != nil {
			t.Fatal(err)
		}
		for _, x := range []struct {
			name      string
			got, want float64
		}{
			{"speed", float64(out.Speed) / root, c.speed},
			{"burnout height", float64(out.Height) / scale, c.burnout},
			{"coast", float64(fall.Apogee.Height-out.Height) / scale, c.coast},
			{"coast time", float64(fall.Apogee.Time-out.Time) / root, c.coastTime},
		} {
			if !near(x.got, x.want, relative) {
				t.Errorf("%g N, %s: %.8g, want %.8g", c.thrust, x.name, x.got, x.want)
			}
		}
		if c.boosting == c.coasting && !near(float64(f.Apogee.Height), float64(fall.Apogee.Height), 1e-7) {
			t.Errorf("%g N: Run says %g, Follow %g", c.thrust, f.Apogee.Height, fall.Apogee.Height)
		}
	}
}

// TestDragFree lets drag go to nothing. Speed at burnout is then that of the
// rocket equation less gravity, whatever the curve: (I/mp) ln(m0/m1) - g t; what
// follows is a parabola.
func TestDragFree(t *testing.T) {
	r := small()
	s := &r.Stages[0]
	s.Cd = 1e-15
	motor := &s.Mounts[0].Motor
	motor.Curve = block(25, 0.8)
	f := mustRun(t, r, Site{}, Options{Until: Seconds(math.Inf(1))})
	exhaust := 25 * 0.8 / float64(motor.Propellant)
	m0 := float64(s.DryMass + motor.Mass)
	m1 := m0 - float64(motor.Propellant)
	v := exhaust*math.Log(m0/m1) - StandardGravity*0.8
	// Height: the integral of the above, with burn rate b = mp / t.
	b := float64(motor.Propellant) / 0.8
	h := exhaust/b*(m1*math.Log(m1/m0)+m0-m1) - StandardGravity*0.8*0.8/2
	apogee := h + v*v/2/StandardGravity
	for _, x := range []struct {
		name      string
		got, want float64
	}{
		{"speed", float64(f.Stages[0].Burnout.Speed), v},
		{"height", float64(f.Stages[0].Burnout.Height), h},
		{"apogee", float64(f.Apogee.Height), apogee},
		{"apogee time", float64(f.Apogee.Time), 0.8 + v/StandardGravity},
		{"coast", float64(f.Stages[0].Coast), v / StandardGravity},
		{"impact", float64(f.Ground.Speed), -math.Sqrt(2 * StandardGravity * apogee)},
		{"mean thrust to weight", f.ThrustToWeight, 25 / (m0 * StandardGravity)},
	} {
		if !near(x.got, x.want, 1e-7) {
			t.Errorf("%s: %.10g, want %.10g", x.name, x.got, x.want)
		}
	}
}

func TestNeverLeaves(t *testing.T) {
	for name, spoil := range map[string]func(*Rocket){
		"too heavy": func(r *Rocket) { r.Stages[0].DryMass = 10 },
		"as heavy":  func(r *Rocket) { r.Stages[0].Mounts[0].Motor.Curve = block(0.14*StandardGravity*(1-1e-12), 0.001) },
		"unlit":     func(r *Rocket) { *r = r.WithUnlit(0, 0, 1) },
		"nothing on the pad": func(r *Rocket) {
			r.Stages[0].Mounts[0].Ignition = Ignition{By: Timer, At: 1}
		},
		"no motor": func(r *Rocket) { r.Stages[0].Mounts = nil },
		"lifts by a hair and sinks back": func(r *Rocket) {
			r.Stages[0].Mounts[0].Motor.Curve = thrust.Curve{{T: 0, F: 0}, {T: 0.01, F: 1.3731}, {T: 0.02, F: 0}, {T: 3, F: 0.1}, {T: 4, F: 0}}
		},
	} {
		r := small()
		spoil(&r)
		if _, err := Run(r, Site{}, Options{}); !errors.Is(err, ErrNeverLeaves) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// TestLiftoff: thrust rises at 100 N/s and the mass falls in proportion to what
// is delivered. By hand: 100 t = g0 (0.14 - 0.015 x 50 t^2 / I).
func TestLiftoff(t *testing.T) {
	r := small()
	r.Stages[0].Mounts[0].Motor.Curve = thrust.Curve{{T: 0, F: 0}, {T: 0.25, F: 25}, {T: 1.25, F: 0}}
	const impulse = 25 * 1.25 / 2
	a, b, c := StandardGravity*0.015*50/impulse, 100.0, -0.14*StandardGravity
	want := (-b + math.Sqrt(b*b-4*a*c)) / (2 * a)
	for _, lag := range []Seconds{0, 0.4} { // held from the first thrust, not from the current
		r.Stages[0].Mounts[0].Motor.Lag = lag
		f := mustRun(t, r, Site{}, Options{})
		if !near(float64(f.HoldDown), want, 1e-12) {
			t.Errorf("lag %g: held for %.12g s, want %.12g", lag, f.HoldDown, want)
		}
		if got := f.Stages[0].Ignition; !got.OK || !near(float64(got.Time), -want, 1e-12) || got.Speed != 0 || got.Height != 0 {
			t.Errorf("lag %g: ignition %+v", lag, got)
		}
		if s, ok := f.At(-f.HoldDown / 2); !ok || s.Height != 0 || s.Speed != 0 {
			t.Errorf("on the pad: %+v, %v", s, ok)
		}
	}
}

// TestFallingThrustLiftsLater: held while thrust falls, until enough propellant
// has gone; by the end of the second curve weight has the better of it again.
func TestFallingThrustLiftsLater(t *testing.T) {
	for _, curve := range []thrust.Curve{
		{{T: 0, F: 1.15}, {T: 2, F: 0.9}, {T: 4, F: 0}},
		{{T: 0, F: 1.15}, {T: 8, F: 0}},
	} {
		r := small()
		r.Rail = 0
		s := &r.Stages[0]
		s.DryMass = 0.02
		s.Mounts[0].Motor = Motor{Mass: 0.1, Propellant: 0.09, Curve: curve}
		f := mustRun(t, r, Site{}, Options{})
		before, _ := f.Section(0, 0, -1e-6)
		after, _ := f.Section(0, 0, 1e-6)
		force := func(t Seconds) float64 { return float64(curve.At(f.HoldDown + t)) }
		if f.HoldDown < 0.05 || force(-1e-6) > StandardGravity*float64(before.Mass) || force(1e-6) < StandardGravity*float64(after.Mass) {
			t.Errorf("%v: held for %g s, thrust %g N on %g kg", curve, f.HoldDown, force(0), before.Mass)
		}
	}
}

// TestSinksBackOntoThePad: a first kick lifts the rocket by a hair; it stands on
// the pad again until the motor comes up. The timers run from the kick.
func TestSinksBackOntoThePad(t *testing.T) {
	r := small()
	m := &r.Stages[0].Mounts[0].Motor
	m.Curve = thrust.Curve{{T: 0, F: 0}, {T: 0.02, F: 1.6}, {T: 0.1, F: 0}, {T: 1, F: 0}, {T: 1.1, F: 25}, {T: 2, F: 0}}
	f := mustRun(t, r, Site{}, Options{})
	if s, ok := f.At(0.8); !ok || s.Height != 0 || s.Speed != 0 {
		t.Errorf("between kick and thrust: %+v, %v", s, ok)
	}
	m.Curve = thrust.Curve{{T: 0, F: 0}, {T: 0.1, F: 25}, {T: 1, F: 0}}
	g := mustRun(t, r, Site{}, Options{})
	if !near(float64(f.Apogee.Height), float64(g.Apogee.Height), 0.003) || !near(float64(f.RailExit.Speed), float64(g.RailExit.Speed), 0.003) {
		t.Errorf("apogee %g m, without the kick %g m", f.Apogee.Height, g.Apogee.Height)
	}
}
