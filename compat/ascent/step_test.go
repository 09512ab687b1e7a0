package ascent

import (
	"math"
	"testing"
)

// figures lists the reported figures of a flight, for comparisons.
func figures(f *Flight) []float64 {
	out := []float64{
		float64(f.HoldDown), float64(f.RailExit.Time), float64(f.RailExit.Speed),
		float64(f.Apogee.Time), float64(f.Apogee.Height), float64(f.MaxSpeed.Speed), f.MaxMach,
	}
	for _, s := range f.Stages {
		out = append(out, float64(s.Ignition.Speed), float64(s.Ignition.Height), s.ThrustToWeight,
			float64(s.Burnout.Time), float64(s.Burnout.Speed), float64(s.Burnout.Height), float64(s.Coast))
	}
	if f.Ground.OK {
		out = append(out, float64(f.Ground.Time), float64(f.Ground.Speed))
	}
	return out
}

// TestHalvingTheStep holds the step to more than the 0.1 % that is asked for,
// and shows that a step 16 times as long would fail, so that the test can.
func TestHalvingTheStep(t *testing.T) {
	rockets, _ := references(t)
	rockets["feather"] = feather()
	most, coarse := 0.0, 0.0
	for name, r := range rockets {
		off := stepError(t, r, 1)
		if !(off <= 1e-6) {
			t.Errorf("%s: halving the step moves a figure by %.2g", name, off)
		}
		most, coarse = math.Max(most, off), math.Max(coarse, stepError(t, r, 16))
	}
	t.Logf("largest movement %.2g; with a 16-fold step %.2g", most, coarse)
	if coarse < 100*most {
		t.Errorf("a step 16 times as long moves a figure by %.2g only", coarse)
	}
}

func stepError(t *testing.T, r Rocket, scale float64) float64 {
	t.Helper()
	var runs [2][]float64
	for i := range runs {
		f, err := Run(r, Site{}, Options{Until: Seconds(math.Inf(1)), scale: scale / float64(1+i)})
		if err != nil {
			t.Fatal(err)
		}
		runs[i] = figures(&f)
	}
	most := 0.0
	for i, x := range runs[0] {
		if x != 0 {
			most = math.Max(most, math.Abs(x-runs[1][i])/math.Abs(x))
		}
	}
	return most
}

// feather is all drag: terminal speed within hundredths of a second.
func feather() Rocket {
	return Rocket{Rail: 1, Stages: []Stage{{
		Name: "foam", Diameter: 0.4, DryMass: 0.02, Cd: 1.2,
		Mounts: []Mount{{Name: "main", Count: 1, Ignition: Ignition{By: Pad},
			Motor: Motor{Mass: 0.02, Propellant: 0.01, Curve: triangle(20, 1)}}},
	}}}
}
