package ascent

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestStandardAtmosphere(t *testing.T) {
	for _, c := range []struct{ altitude, density, slack float64 }{
		// U.S. Standard Atmosphere, 1976, by geometric altitude (the project's
		// sources; quoted).
		{0, 1.2250, 0.00005},
		{1000, 1.1117, 0.00005},
		{3000, 0.9093, 0.00006}, // 0.90925, rounded up there
		// The same, table I, from memory.
		{11000, 0.36480, 0.00001},
		{20000, 0.088910, 0.000005},
		{32000, 0.013555, 0.000002},
		{50000, 0.0010269, 0.0000002},
		{80000, 1.8458e-5, 0.0005e-5},
	} {
		if got := (Site{}).Density(Metres(c.altitude)); !(math.Abs(got-c.density) <= c.slack) {
			t.Errorf("%g m: %.6g kg/m3, want %.5g", c.altitude, got, c.density)
		}
	}
	// Speed of sound at 0 m: 340.294 m/s (same, from memory).
	if got := (Site{}).SpeedOfSound(0); math.Abs(float64(got)-340.294) > 0.0005 {
		t.Errorf("speed of sound %.6g", got)
	}
}

func TestSite(t *testing.T) {
	// By hand: 101325 / (287.0529 x 308.15) at 35 C.
	if got := (Site{Temperature: Celsius(35)}).Density(0); !near(got, 1.145490, 1e-5) {
		t.Errorf("35 C: %.7g", got)
	}
	// By hand: the root of 1.4 x 287.0529 x 308.15.
	if got := (Site{Temperature: Celsius(35)}).SpeedOfSound(0); !near(float64(got), 351.9056, 1e-6) {
		t.Errorf("35 C, sound: %.7g", got)
	}
	// Height adds to the site's altitude.
	if got, want := (Site{Altitude: 1400}).Density(1600), (Site{}).Density(3000); !near(got, want, 1e-14) {
		t.Errorf("1400 m + 1600 m: %g, want %g", got, want)
	}
	// The standard temperature given is as none given: 281.651 K at 1000 m.
	if got, want := (Site{Altitude: 1000, Temperature: 281.651}).Density(500), (Site{Altitude: 1000}).Density(500); !near(got, want, 1e-5) {
		t.Errorf("standard temperature given: %g, want %g", got, want)
	}
}

// Density falls with height everywhere, over the layers' seams too.
func TestDensityFalls(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := rapid.Float64Range(-1000, 120000).Draw(t, "h")
		d := rapid.Float64Range(1, 2000).Draw(t, "d")
		s := Site{Temperature: Kelvin(rapid.Float64Range(240, 320).Draw(t, "T"))}
		if lo, hi := s.Density(Metres(h)), s.Density(Metres(h+d)); !(hi < lo) || !(hi > 0) {
			t.Fatalf("%g m: %g, %g m: %g", h, lo, h+d, hi)
		}
	})
}

// Thinner air is higher flight.
func TestSiteMatters(t *testing.T) {
	last := Metres(0)
	for _, s := range []Site{{Temperature: Celsius(-10)}, {}, {Temperature: Celsius(35)}, {Altitude: 2000, Temperature: Celsius(25)}} {
		f := mustRun(t, small(), s, Options{})
		if f.Apogee.Height <= last {
			t.Errorf("%+v: %g m after %g m", s, f.Apogee.Height, last)
		}
		last = f.Apogee.Height
	}
}
