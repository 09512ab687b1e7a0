package ascent

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"rangebox/compat/thrust"
)

// TestMissingFigures: every figure that is missing is listed, by its place.
func TestMissingFigures(t *testing.T) {
	nan := math.NaN()
	r := tall()
	r.Stages[0].DryMass = 0
	r.Stages[0].Cd = nan
	r.Stages[1].Diameter = Metres(nan)
	r.Stages[1].Mounts[0].Name = ""
	r.Stages[1].Mounts[0].Motor = Motor{Lag: Seconds(nan)}
	r.Stages[1].Mounts[0].Ignition.At = Seconds(nan)
	_, err := Run(r, Site{}, Options{})
	want := "cannot compute the flight: booster.dry_mass: missing; booster.cd: missing; upper.diameter: missing; " +
		"upper/1.mass: missing; upper/1.propellant: missing; upper/1.curve: missing; upper/1.lag: missing; upper/1.ignition.at: missing"
	if err == nil || err.Error() != want {
		t.Errorf("got  %v\nwant %s", err, want)
	}
	var list *ProblemsError
	if !errors.As(err, &list) || len(list.Problems) != 8 || !errors.Is(err, ErrMissing) || errors.Is(err, ErrInvalid) {
		t.Errorf("%#v", err)
	}
}

func TestRefusedFigures(t *testing.T) {
	for name, c := range map[string]struct {
		spoil func(*Rocket, *Site, *Options)
		field string
		want  error
	}{
		"no stages":          {func(r *Rocket, _ *Site, _ *Options) { r.Stages = nil }, "stages", ErrMissing},
		"negative mass":      {func(r *Rocket, _ *Site, _ *Options) { r.Stages[0].DryMass = -1 }, "dry_mass", ErrInvalid},
		"endless diameter":   {func(r *Rocket, _ *Site, _ *Options) { r.Stages[1].Diameter = Metres(math.Inf(1)) }, "diameter", ErrInvalid},
		"upper drag":         {func(r *Rocket, _ *Site, _ *Options) { r.Stages[1].Cd = 0 }, "cd", ErrMissing},
		"negative rail":      {func(r *Rocket, _ *Site, _ *Options) { r.Rail = -1 }, "rail", ErrInvalid},
		"no count":           {func(r *Rocket, _ *Site, _ *Options) { r.Stages[0].Mounts[0].Count = 0 }, "count", ErrInvalid},
		"more unlit than is": {func(r *Rocket, _ *Site, _ *Options) { r.Stages[0].Mounts[0].Unlit = 2 }, "count", ErrInvalid},
		"all propellant":     {func(r *Rocket, _ *Site, _ *Options) { r.Stages[0].Mounts[0].Motor.Propellant = 0.05 }, "propellant", ErrInvalid},
		"negative lag":       {func(r *Rocket, _ *Site, _ *Options) { r.Stages[0].Mounts[0].Motor.Lag = -1 }, "lag", ErrInvalid},
		"negative timer":     {func(r *Rocket, _ *Site, _ *Options) { r.Stages[1].Mounts[0].Ignition.At = -1 }, "ignition.at", ErrInvalid},
		"not lit by any":     {func(r *Rocket, _ *Site, _ *Options) { r.Stages[0].Mounts[0].Ignition = Ignition{} }, "ignition.by", ErrMissing},
		"lit by what":        {func(r *Rocket, _ *Site, _ *Options) { r.Stages[0].Mounts[0].Ignition.By = 9 }, "ignition.by", ErrInvalid},
		"burn-through below": {func(r *Rocket, _ *Site, _ *Options) { r.Stages[0].Mounts[0].Ignition.By = BurnThrough }, "ignition.by", ErrInvalid},
		"curve falls back": {func(r *Rocket, _ *Site, _ *Options) {
			r.Stages[0].Mounts[0].Motor.Curve = thrust.Curve{{T: 0, F: 0}, {T: 1, F: 5}, {T: 0.5, F: 0}}
		}, "curve", thrust.ErrTime},
		"curve without thrust": {func(r *Rocket, _ *Site, _ *Options) {
			r.Stages[0].Mounts[0].Motor.Curve = thrust.Curve{{T: 0, F: 0}, {T: 1, F: 0}}
		}, "curve", thrust.ErrNoThrust},
		"site in space":  {func(_ *Rocket, s *Site, _ *Options) { s.Altitude = 1e5 }, "altitude", ErrInvalid},
		"site no number": {func(_ *Rocket, s *Site, _ *Options) { s.Altitude = Metres(math.NaN()) }, "altitude", ErrInvalid},
		"celsius given":  {func(_ *Rocket, s *Site, _ *Options) { s.Temperature = 20 }, "temperature", ErrInvalid},
		"no such joint":  {func(_ *Rocket, _ *Site, o *Options) { o.Open = []Opening{{Joint: 1, At: 2}} }, "open.joint", ErrInvalid},
		"opens before":   {func(_ *Rocket, _ *Site, o *Options) { o.Open = []Opening{{Joint: 0, At: -2}} }, "open.at", ErrInvalid},
	} {
		r, s, o := tall(), Site{}, Options{}
		c.spoil(&r, &s, &o)
		_, err := Run(r, s, o)
		var list *ProblemsError
		if !errors.As(err, &list) || len(list.Problems) != 1 || list.Problems[0].Field != c.field || !errors.Is(err, c.want) {
			t.Errorf("%s: %v", name, err)
		}
	}
	mustRun(t, tall(), Site{}, Options{})
}

// Figures of no rocket may be refused, but neither panic nor hang, and never
// give a number that is none.
func TestAbsurdFigures(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		far := func(name string) float64 { return math.Exp(rapid.Float64Range(-9, 9).Draw(t, name)) }
		r := drawRocket(t)
		s := &r.Stages[rapid.IntRange(0, len(r.Stages)-1).Draw(t, "which")]
		m := &s.Mounts[0].Motor
		switch rapid.IntRange(0, 5).Draw(t, "what") {
		case 0:
			s.DryMass = Kilograms(far("dry"))
		case 1:
			s.Diameter = Metres(far("diameter"))
		case 2:
			s.Cd = far("cd")
		case 3:
			m.Mass, m.Propellant = Kilograms(far("mass")), m.Mass/2
		case 4:
			m.Lag = Seconds(far("lag"))
		case 5:
			k := far("thrust")
			for i := range m.Curve {
				m.Curve[i].F *= thrust.Newtons(k)
			}
		}
		f, err := Run(r, Site{}, Options{Until: 100})
		if err != nil {
			return
		}
		for i, x := range figures(&f) {
			if math.IsNaN(x) {
				t.Fatalf("figure %d is no number", i)
			}
		}
	})
}

func TestBeyond(t *testing.T) {
	r := small()
	r.Stages[0].Diameter = 1e8 // an area that needs steps too short to end
	if _, err := Run(r, Site{}, Options{}); !errors.Is(err, ErrBeyond) {
		t.Errorf("%v", err)
	}
}
