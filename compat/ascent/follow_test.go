package ascent

import (
	"errors"
	"math"
	"testing"
)

// Without drag a body flies a parabola: by hand.
func TestFollowParabola(t *testing.T) {
	from := State{Time: 5, Height: 100, Speed: 30}
	fall, err := Follow(Body{Mass: 1, Area: 1e-12, Cd: 1e-3}, from, Site{}, Seconds(math.Inf(1)))
	if err != nil {
		t.Fatal(err)
	}
	apogee := 100 + 900/2/StandardGravity
	for _, x := range []struct {
		name      string
		got, want float64
	}{
		{"apogee", float64(fall.Apogee.Height), apogee},
		{"apogee time", float64(fall.Apogee.Time), 5 + 30/StandardGravity},
		{"ground time", float64(fall.Ground.Time), 5 + 30/StandardGravity + math.Sqrt(2*apogee/StandardGravity)},
		{"ground speed", float64(fall.Ground.Speed), -math.Sqrt(2 * apogee * StandardGravity)},
	} {
		if !near(x.got, x.want, 1e-10) {
			t.Errorf("%s: %.12g, want %.12g", x.name, x.got, x.want)
		}
	}
	if s, ok := fall.Path.At(6); !ok || !near(float64(s.Speed), 30-StandardGravity, 1e-10) {
		t.Errorf("after a second: %+v, %v", s, ok)
	}
	if s, ok := fall.Path.At(4); ok || s != from {
		t.Errorf("before it begins: %+v, %v", s, ok)
	}
}

// A draggy body comes down at the speed at which drag is its weight, but for
// some 2 in 10^4 by which it lags behind the air that grows denser.
func TestFollowTerminalSpeed(t *testing.T) {
	b := Body{Mass: 0.05, Area: 0.01, Cd: 1}
	fall, err := Follow(b, State{Height: 300}, Site{}, 1e6)
	if err != nil {
		t.Fatal(err)
	}
	want := -math.Sqrt(2 * 0.05 * StandardGravity / (seaLevel * 0.01))
	if !fall.Ground.OK || fall.Apogee.OK || !near(float64(fall.Ground.Speed), want, 3e-4) {
		t.Errorf("ground %+v, want %g m/s", fall.Ground, want)
	}
}

func TestFollowEnds(t *testing.T) {
	b := Body{Mass: 0.1, Area: 0.001, Cd: 0.7}
	from := State{Time: 3, Height: 50, Speed: 40}
	fall, err := Follow(b, from, Site{}, 4)
	end, _ := fall.Path.End()
	if err != nil || end.Time != 4 || fall.Apogee.OK || fall.Ground.OK {
		t.Errorf("%+v, %v", fall, err)
	}
	if fall, err := Follow(b, from, Site{}, 2); err != nil || len(fall.Path.States()) != 1 {
		t.Errorf("until before the start: %+v, %v", fall, err)
	}
	if fall, err := Follow(b, State{Time: 1}, Site{}, 9); err != nil || !fall.Ground.OK || fall.Ground.Time != 1 {
		t.Errorf("on the ground: %+v, %v", fall, err)
	}
}

func TestFollowRefuses(t *testing.T) {
	good := Body{Mass: 0.1, Area: 0.001, Cd: 0.7}
	nan := math.NaN()
	for name, c := range map[string]struct {
		body Body
		from State
		site Site
		want error
	}{
		"no mass":      {Body{Area: 1, Cd: 1}, State{}, Site{}, ErrMissing},
		"no area":      {Body{Mass: 1, Cd: 1}, State{}, Site{}, ErrMissing},
		"no drag":      {Body{Mass: 1, Area: 1, Cd: nan}, State{}, Site{}, ErrMissing},
		"less than no": {Body{Mass: -1, Area: 1, Cd: 1}, State{}, Site{}, ErrInvalid},
		"no height":    {good, State{Height: Metres(nan)}, Site{}, ErrInvalid},
		"no time":      {good, State{Time: Seconds(nan)}, Site{}, ErrInvalid},
		"no site":      {good, State{}, Site{Altitude: 1e6}, ErrInvalid},
	} {
		if _, err := Follow(c.body, c.from, c.site, 10); !errors.Is(err, c.want) {
			t.Errorf("%s: %v", name, err)
		}
	}
}
