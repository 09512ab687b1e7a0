package ascent

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"rangebox/compat/thrust"
)

// near reports agreement within a relative tolerance.
func near(got, want, relative float64) bool {
	return math.Abs(got-want) <= relative*math.Abs(want)
}

// triangle is a curve that rises to a peak in a tenth of its time.
func triangle(peak thrust.Newtons, burn Seconds) thrust.Curve {
	return thrust.Curve{{T: 0, F: 0}, {T: burn / 10, F: peak}, {T: burn, F: 0}}
}

// block is a curve of constant thrust.
func block(f thrust.Newtons, burn Seconds) thrust.Curve {
	return thrust.Curve{{T: 0, F: f}, {T: burn, F: f}, {T: burn * (1 + 1e-9), F: 0}}
}

// small is a plain rocket of one stage.
func small() Rocket {
	return Rocket{Rail: 1, Stages: []Stage{{
		Name: "only", Diameter: 0.04, DryMass: 0.1, Cd: 0.6,
		Mounts: []Mount{{Name: "main", Count: 1, Ignition: Ignition{By: Pad},
			Motor: Motor{Mass: 0.04, Propellant: 0.015, Curve: triangle(25, 1.2)}}},
	}}}
}

// tall is a plain rocket of two stages; the upper is lit by a timer.
func tall() Rocket {
	r := small()
	r.Stages[0].Name = "booster"
	r.Stages = append(r.Stages, Stage{
		Name: "upper", Diameter: 0.03, DryMass: 0.06, Cd: 0.5,
		Mounts: []Mount{{Name: "main", Count: 1, Ignition: Ignition{By: Timer, At: 1.5},
			Motor: Motor{Mass: 0.03, Propellant: 0.01, Lag: 0.1, Curve: triangle(12, 1.4)}}},
	})
	return r
}

func mustRun(t testing.TB, r Rocket, s Site, o Options) Flight {
	t.Helper()
	f, err := Run(r, s, o)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// drawRocket draws a rocket of one to three stages with mixed mounts, plausible
// but for the odds of leaving the pad at all.
func drawRocket(t *rapid.T) Rocket {
	r := Rocket{Rail: Metres(rapid.SampledFrom([]float64{0, 0.3, 1, 3}).Draw(t, "rail"))}
	for i := range rapid.IntRange(1, 3).Draw(t, "stages") {
		s := Stage{
			Diameter: Metres(rapid.Float64Range(0.02, 0.15).Draw(t, "diameter")),
			DryMass:  Kilograms(rapid.Float64Range(0.02, 3).Draw(t, "dry")),
			Cd:       rapid.Float64Range(0.2, 1.2).Draw(t, "cd"),
		}
		for range rapid.IntRange(1, 2).Draw(t, "mounts") {
			s.Mounts = append(s.Mounts, drawMount(t, i))
		}
		r.Stages = append(r.Stages, s)
	}
	return r
}

func drawMount(t *rapid.T, stage int) Mount {
	ways := []By{Pad}
	if stage > 0 {
		ways = []By{Timer, BurnThrough, Pad}
	}
	m := Mount{
		Count:    rapid.IntRange(1, 3).Draw(t, "count"),
		Motor:    drawMotor(t),
		Ignition: Ignition{By: rapid.SampledFrom(ways).Draw(t, "by"), At: Seconds(rapid.Float64Range(0, 6).Draw(t, "at"))},
	}
	m.Unlit = rapid.SampledFrom([]int{0, 0, 0, 1}).Draw(t, "unlit")
	return m
}

func drawMotor(t *rapid.T) Motor {
	var c thrust.Curve
	var at Seconds
	for range rapid.IntRange(2, 12).Draw(t, "points") {
		c = append(c, thrust.Point{T: at, F: thrust.Newtons(rapid.Float64Range(0, 400).Draw(t, "F"))})
		at += Seconds(rapid.Float64Range(0.01, 0.5).Draw(t, "dt"))
	}
	c[0].F = thrust.Newtons(rapid.SampledFrom([]float64{0, 50}).Draw(t, "first"))
	c[1].F += 1
	mass := rapid.Float64Range(0.02, 1).Draw(t, "mass")
	return Motor{
		Mass: Kilograms(mass), Propellant: Kilograms(mass * rapid.Float64Range(0.1, 0.8).Draw(t, "propellant")),
		Curve: c, Lag: Seconds(rapid.SampledFrom([]float64{0, 0, 0.3}).Draw(t, "lag")),
	}
}

// fly runs a drawn rocket; those that stay on the pad are let go.
func fly(t *rapid.T, r Rocket, s Site, o Options) Flight {
	f, err := Run(r, s, o)
	if err == ErrNeverLeaves {
		t.Skip("stays on the pad")
	}
	if err != nil {
		t.Fatal(err)
	}
	return f
}
