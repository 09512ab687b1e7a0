package ascent

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"testing"

	"rangebox/compat/thrust"
)

// The reference rockets; testdata/reference/README.md says where they are from.

type refMotor struct {
	Handle     string  `json:"handle"`
	Mass       float64 `json:"mass_g"`
	Propellant float64 `json:"propellant_g"`
	Lag        float64 `json:"lag_s"`
	Curve      []struct {
		T float64 `json:"t_s"`
		F float64 `json:"thrust_n"`
	} `json:"curve"`
}

type refStage struct {
	Name     string  `json:"name"`
	Diameter float64 `json:"diameter_mm"`
	DryMass  float64 `json:"dry_mass_g"`
	Cd       float64 `json:"cd"`
	Mounts   []struct {
		Name     string `json:"name"`
		Count    int    `json:"count"`
		Motor    string `json:"motor"`
		Ignition struct {
			By string  `json:"by"`
			At float64 `json:"at_s"`
		} `json:"ignition"`
	} `json:"mounts"`
}

type refBox struct {
	Motors  []refMotor `json:"motors"`
	Rockets []struct {
		Handle string     `json:"handle"`
		Rail   float64    `json:"rail_m"`
		Stages []refStage `json:"stages"`
	} `json:"rockets"`
}

type refStageFigures struct {
	Ignition      *float64 `json:"ignition_s"`
	IgnitionSpeed *float64 `json:"ignition_speed_m_s"`
	Burnout       float64  `json:"burnout_s"`
	BurnoutSpeed  float64  `json:"burnout_speed_m_s"`
	BurnoutHeight float64  `json:"burnout_m"`
	Coast         *float64 `json:"coast_s"`
}

type refFigures struct {
	Rocket         string            `json:"rocket"`
	HoldDown       float64           `json:"liftoff_s_after_ignition"`
	RailSpeed      float64           `json:"rail_speed_m_s"`
	ApogeeTime     float64           `json:"apogee_s"`
	Apogee         float64           `json:"apogee_m"`
	MaxSpeed       float64           `json:"max_speed_m_s"`
	Stages         []refStageFigures `json:"stages"`
	LiftoffMass    float64           `json:"liftoff_mass_g"`
	ThrustToWeight float64           `json:"thrust_to_weight"`
	AsOne          *struct {
		ApogeeTime float64 `json:"apogee_s"`
		Apogee     float64 `json:"apogee_m"`
	} `json:"as_one_if_unlit"`
}

func readJSON(t testing.TB, file string, into any) {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(data, into); err != nil {
		t.Fatalf("%s: %v", file, err)
	}
}

// references returns the rockets by name and the figures expected of them.
func references(t testing.TB) (map[string]Rocket, []refFigures) {
	t.Helper()
	var box refBox
	var want []refFigures
	readJSON(t, "testdata/reference/archive.json", &box)
	readJSON(t, "testdata/reference/expected.json", &want)
	motors := map[string]Motor{}
	for _, m := range box.Motors {
		motor := Motor{Mass: Kilograms(m.Mass / 1e3), Propellant: Kilograms(m.Propellant / 1e3), Lag: Seconds(m.Lag)}
		for _, p := range m.Curve {
			motor.Curve = append(motor.Curve, thrust.Point{T: Seconds(p.T), F: thrust.Newtons(p.F)})
		}
		motors[m.Handle] = motor
	}
	rockets := map[string]Rocket{}
	for _, r := range box.Rockets {
		rocket := Rocket{Rail: Metres(r.Rail)}
		for _, s := range r.Stages {
			stage := Stage{Name: s.Name, Diameter: Metres(s.Diameter / 1e3), DryMass: Kilograms(s.DryMass / 1e3), Cd: s.Cd}
			for _, m := range s.Mounts {
				by := map[string]By{"pad": Pad, "timer": Timer, "burn-through": BurnThrough}[m.Ignition.By]
				stage.Mounts = append(stage.Mounts, Mount{
					Name: m.Name, Count: m.Count, Motor: motors[m.Motor],
					Ignition: Ignition{By: by, At: Seconds(m.Ignition.At)},
				})
			}
			rocket.Stages = append(rocket.Stages, stage)
		}
		rockets[r.Handle] = rocket
	}
	if len(want) != len(rockets) || len(want) == 0 {
		t.Fatalf("%d rockets, %d results", len(rockets), len(want))
	}
	return rockets, want
}

// figure is one number to compare.
type figure struct {
	name      string
	got, want float64
	clock     bool // a time, which must also agree within timeSlack
}

func TestReferenceFlights(t *testing.T) {
	// The reference finds lift-off on a grid of 1e-5 s and takes altitude as
	// geopotential; taken out, these leave 2e-6 and 1.1e-5 s. The project asks
	// for 0.5 % and 0.01 s.
	const relative, timeSlack = 1e-5, 1e-4
	rockets, want := references(t)
	worst := map[bool]figure{}
	for _, w := range want {
		for _, f := range compareFlight(t, rockets[w.Rocket], w) {
			off := math.Abs(f.got - f.want)
			if f.clock && off > timeSlack || !f.clock && !(off <= relative*math.Abs(f.want)) {
				t.Errorf("%s %s: got %.9g, want %.9g", w.Rocket, f.name, f.got, f.want)
			}
			share := off
			if !f.clock {
				share /= math.Abs(f.want)
			}
			if share > worst[f.clock].got {
				worst[f.clock] = figure{name: w.Rocket + " " + f.name, got: share}
			}
		}
	}
	t.Logf("largest relative deviation %.2g (%s), largest of a time %.2g s (%s)",
		worst[false].got, worst[false].name, worst[true].got, worst[true].name)
}

func compareFlight(t *testing.T, r Rocket, w refFigures) []figure {
	t.Helper()
	f, err := Run(r, Site{}, Options{})
	if err != nil {
		t.Fatalf("%s: %v", w.Rocket, err)
	}
	out := []figure{
		{"hold-down", float64(f.HoldDown), w.HoldDown, true},
		{"rail speed", float64(f.RailExit.Speed), w.RailSpeed, false},
		{"apogee time", float64(f.Apogee.Time), w.ApogeeTime, true},
		{"apogee", float64(f.Apogee.Height), w.Apogee, false},
		{"max speed", float64(f.MaxSpeed.Speed), w.MaxSpeed, false},
		{"lift-off mass", float64(f.LiftoffMass) * 1e3, w.LiftoffMass, false},
		{"thrust to weight", f.ThrustToWeight, w.ThrustToWeight, false},
	}
	for i, ws := range w.Stages {
		s := f.Stages[i]
		name := fmt.Sprintf("stage %d ", i)
		out = append(out,
			figure{name + "burnout time", float64(s.Burnout.Time), ws.Burnout, true},
			figure{name + "burnout speed", float64(s.Burnout.Speed), ws.BurnoutSpeed, false},
			figure{name + "burnout height", float64(s.Burnout.Height), ws.BurnoutHeight, false})
		if ws.Ignition != nil {
			out = append(out,
				figure{name + "ignition time", float64(s.Ignition.Time), *ws.Ignition, true},
				figure{name + "ignition speed", float64(s.Ignition.Speed), *ws.IgnitionSpeed, false})
		}
		if s.CoastOK != (ws.Coast != nil) {
			t.Errorf("%s %scoast: %v", w.Rocket, name, s.CoastOK)
		} else if ws.Coast != nil {
			out = append(out, figure{name + "coast", float64(s.Coast), *ws.Coast, true})
		}
	}
	if w.AsOne != nil {
		one, err := Run(r.AsOne(), Site{}, Options{})
		if err != nil {
			t.Fatal(err)
		}
		out = append(out,
			figure{"as one apogee time", float64(one.Apogee.Time), w.AsOne.ApogeeTime, true},
			figure{"as one apogee", float64(one.Apogee.Height), w.AsOne.Apogee, false})
	}
	return out
}
