package ascent

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"rangebox/compat/thrust"
)

// TestAtBetweenSteps compares what is interpolated with a run of eighth steps.
func TestAtBetweenSteps(t *testing.T) {
	for _, r := range []Rocket{small(), tall(), feather()} {
		f := mustRun(t, r, Site{}, Options{Until: 60})
		fine := mustRun(t, r, Site{}, Options{Until: 60, scale: 1. / 8})
		end, _ := f.Path.End()
		for i := range 1000 {
			at := Seconds(float64(i) / 1000 * math.Min(60, float64(end.Time)-0.01))
			a, ok := f.At(at)
			b, _ := fine.At(at)
			if !ok || math.Abs(float64(a.Speed-b.Speed)) > 1e-3 || math.Abs(float64(a.Height-b.Height)) > 1e-3 {
				t.Fatalf("%s at %g s: %+v, with finer steps %+v", r.Stages[0].Name, at, a, b)
			}
		}
	}
}

// TestAtBeyondTheEnd: the state after apogee is the same whether the path was
// computed that far or not.
func TestAtBeyondTheEnd(t *testing.T) {
	long := mustRun(t, small(), Site{}, Options{Until: Seconds(math.Inf(1))})
	short := mustRun(t, small(), Site{}, Options{})
	for _, after := range []Seconds{0.5, 1, 3} {
		a, ok := long.At(long.Apogee.Time + after)
		b, also := short.At(short.Apogee.Time + after)
		if !ok || !also || a.Speed >= 0 || !near(float64(a.Speed), float64(b.Speed), 1e-6) || !near(float64(a.Height), float64(b.Height), 1e-6) {
			t.Errorf("%g s after apogee: %+v and %+v", after, a, b)
		}
	}
	if !long.Ground.OK || long.Ground.Height != 0 {
		t.Fatalf("ground: %+v", long.Ground)
	}
	for _, f := range []Flight{long, short} {
		s, ok := f.At(10000)
		if ok || !near(float64(s.Time), float64(long.Ground.Time), 1e-7) {
			t.Errorf("after the ground: %+v, %v", s, ok)
		}
	}
	if _, ok := (Path{}).At(1); ok {
		t.Error("the zero path has a state")
	}
	if _, ok := (Path{}).End(); ok {
		t.Error("the zero path has an end")
	}
	if s, ok := short.At(-1); ok || s.Height != 0 {
		t.Errorf("before ignition: %+v, %v", s, ok)
	}
}

// TestStates: the series for plots is in the order of time and holds the events.
func TestStates(t *testing.T) {
	f := mustRun(t, tall(), Site{}, Options{Until: 1000})
	states := f.Path.States()
	for i := 1; i < len(states); i++ {
		if states[i].Time <= states[i-1].Time {
			t.Fatalf("%g s after %g s", states[i].Time, states[i-1].Time)
		}
		if states[i].Time-states[i-1].Time > coastStep*1.001 {
			t.Fatalf("a gap from %g to %g s", states[i-1].Time, states[i].Time)
		}
	}
	for name, e := range map[string]Event{
		"burnout": f.Stages[0].Burnout, "ignition": f.Stages[1].Ignition, "burnout 2": f.Stages[1].Burnout,
		"apogee": f.Apogee, "ground": f.Ground,
	} {
		if !e.OK || !slices.Contains(states, e.State) {
			t.Errorf("%s %+v is not among the states", name, e)
		}
	}
	if s, ok := f.At(f.RailExit.Time); !ok || !near(float64(s.Height), 1, 1e-6) || !near(float64(s.Speed), float64(f.RailExit.Speed), 1e-5) {
		t.Errorf("rail exit %+v, the path says %+v", f.RailExit, s)
	}
}

func TestMaxSpeedIsTheMaximum(t *testing.T) {
	for _, r := range []Rocket{small(), tall(), feather()} {
		f := mustRun(t, r, Site{}, Options{scale: 1. / 8})
		rough := mustRun(t, r, Site{}, Options{})
		most, mach := 0.0, 0.0
		for _, s := range f.Path.States() {
			most = math.Max(most, float64(s.Speed))
			mach = math.Max(mach, float64(s.Speed/Site{}.SpeedOfSound(s.Height)))
		}
		if !near(float64(rough.MaxSpeed.Speed), most, 1e-5) || !near(rough.MaxMach, mach, 1e-5) {
			t.Errorf("%s: %g m/s, Mach %g; seen %g m/s, Mach %g", r.Stages[0].Name, rough.MaxSpeed.Speed, rough.MaxMach, most, mach)
		}
	}
}

func TestTransonic(t *testing.T) {
	r := small()
	if f := mustRun(t, r, Site{}, Options{}); f.Transonic() || f.MaxMach > 0.8 {
		t.Errorf("Mach %g", f.MaxMach)
	}
	m := &r.Stages[0].Mounts[0].Motor
	for i := range m.Curve {
		m.Curve[i].F *= 4
	}
	if f := mustRun(t, r, Site{}, Options{}); !f.Transonic() || f.MaxMach < 0.8 {
		t.Errorf("Mach %g", f.MaxMach)
	}
}

// While nothing thrusts, the energy of a body never grows.
func TestEnergyNeverGrowsWhileCoasting(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawRocket(t)
		f := fly(t, r, Site{Altitude: Metres(rapid.Float64Range(0, 3000).Draw(t, "altitude"))}, Options{Until: Seconds(math.Inf(1))})
		quiet := Seconds(0)
		for i, s := range f.Stages {
			for j, m := range s.Mounts {
				c, _ := thrust.Closed(r.Stages[i].Mounts[j].Motor.Curve)
				if m.Lit > 0 && m.Ignition < f.Apogee.Time {
					quiet = max(quiet, m.Ignition+c[len(c)-1].T)
				}
			}
		}
		coasting(t, f.Path.States(), f.Apogee.Time, quiet)
	})
}

func coasting(t *rapid.T, states []State, apogee, quiet Seconds) {
	last := math.Inf(1)
	for _, s := range states {
		if s.Time < min(apogee, quiet) {
			continue
		}
		energy := StandardGravity*float64(s.Height) + float64(s.Speed)*float64(s.Speed)/2
		if energy > last*(1+1e-9)+1e-9 {
			t.Fatalf("%g J/kg at %g s after %g J/kg", energy, s.Time, last)
		}
		last = energy
	}
}

// Laws that any flight keeps.
func TestFlightLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawRocket(t)
		f := fly(t, r, Site{}, Options{})
		if !f.Apogee.OK || f.Apogee.Speed != 0 || f.Apogee.Height < 0 || f.HoldDown < 0 {
			t.Fatalf("%+v", f.Apogee)
		}
		for _, s := range f.Path.States() {
			if s.Height < 0 || s.Height > f.Apogee.Height+1e-9 || s.Speed > f.MaxSpeed.Speed || s.Time < 0 {
				t.Fatalf("%+v: apogee %+v, max speed %+v", s, f.Apogee, f.MaxSpeed)
			}
		}
		whole, _ := f.Section(0, len(r.Stages)-1, -100)
		if !near(float64(whole.Mass), float64(f.LiftoffMass), 1e-12) {
			t.Fatalf("%g kg before ignition, lift-off mass %g", whole.Mass, f.LiftoffMass)
		}
		lowest := 0
		for _, p := range f.Dropped {
			if p.Lowest != lowest || p.Body.Mass <= 0 {
				t.Fatalf("%+v", f.Dropped)
			}
			lowest = p.Highest + 1
		}
		for _, s := range f.Stages {
			for _, e := range []Event{s.Ignition, s.Burnout, s.Separation} {
				if e.OK && e.Time > f.Apogee.Time {
					t.Fatalf("%+v after apogee", e)
				}
			}
		}
	})
}
