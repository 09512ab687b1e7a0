package compat_test

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"testing"

	"rangebox/compat"
	"rangebox/importers/archive"
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// flightBox reads a box of testdata/flight.
func flightBox(t testing.TB, name string) *inventory.Box {
	t.Helper()
	file, err := os.Open(filepath.Join("testdata", "flight", name))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	batch, err := archive.Read(file, name)
	if err != nil {
		t.Fatal(err)
	}
	box, err := inventory.BoxOf(batch)
	if err != nil {
		t.Fatal(err)
	}
	return box
}

func rocketNamed(t testing.TB, box *inventory.Box, handle string) *inventory.Rocket {
	t.Helper()
	r, err := inventory.Find[*inventory.Rocket](box, inventory.KindRocket, handle)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// ascentCase is one rocket of ascent-expected.json; times from lift-off.
type ascentCase struct {
	Rocket         string
	RailSpeed      float64 `json:"rail_speed_m_s"`
	ApogeeS        float64 `json:"apogee_s"`
	ApogeeM        float64 `json:"apogee_m"`
	MaxSpeed       float64 `json:"max_speed_m_s"`
	LiftoffMass    float64 `json:"liftoff_mass_g"`
	ThrustToWeight float64 `json:"thrust_to_weight"`
	Stages         []struct {
		IgnitionS     float64 `json:"ignition_s"`
		IgnitionSpeed float64 `json:"ignition_speed_m_s"`
		BurnoutS      float64 `json:"burnout_s"`
		BurnoutSpeed  float64 `json:"burnout_speed_m_s"`
		BurnoutM      float64 `json:"burnout_m"`
		CoastS        float64 `json:"coast_s"`
	}
	AsOne struct {
		ApogeeS float64 `json:"apogee_s"`
		ApogeeM float64 `json:"apogee_m"`
	} `json:"as_one_if_unlit"`
	Motors map[string]struct {
		Impulse float64 `json:"impulse_ns"`
		Burn    float64 `json:"burn_s"`
		Average float64 `json:"average_n"`
		Peak    float64 `json:"peak_n"`
		Isp     float64 `json:"isp_s"`
	}
}

// TestAscentReference holds the figures of CheckRocket to those of scipy (see
// testdata/flight/README.md), within 0.5 %, times also within 0.01 s.
func TestAscentReference(t *testing.T) {
	data, err := os.ReadFile(filepath.Join("testdata", "flight", "ascent-expected.json"))
	if err != nil {
		t.Fatal(err)
	}
	var cases []ascentCase
	if err := json.Unmarshal(data, &cases); err != nil {
		t.Fatal(err)
	}
	if len(cases) != 8 {
		t.Fatalf("%d cases, not 8", len(cases))
	}
	box := flightBox(t, "ascent.json")
	compared := 0
	for _, c := range cases {
		t.Run(c.Rocket, func(t *testing.T) {
			r := compat.CheckRocket(&compat.RocketQuestion{Rocket: rocketNamed(t, box, c.Rocket), Box: box}, compat.Defaults())
			compared += c.compare(t, &r)
		})
	}
	if compared != 94 {
		t.Errorf("%d figures compared", compared)
	}
}

type comparing struct {
	t *testing.T
	n int
}

func (x *comparing) figure(what string, got, want float64) {
	x.t.Helper()
	if want == 0 {
		return
	}
	x.n++
	if !(math.Abs(got-want) <= 0.005*math.Abs(want)) {
		x.t.Errorf("%s: %g, not %g", what, got, want)
	}
}

func (x *comparing) time(what string, got quantity.Opt[quantity.Time], want float64) {
	x.t.Helper()
	x.figure(what, got.Or(-1).Seconds(), want)
	if want != 0 && !(math.Abs(got.Or(-1).Seconds()-want) <= 0.01) {
		x.t.Errorf("%s: %g s, not %g", what, got.Or(-1).Seconds(), want)
	}
}

func (c *ascentCase) compare(t *testing.T, r *compat.RocketReport) int {
	x := &comparing{t: t}
	apogee := r.Flight.Apogee.Or(compat.Apogee{})
	x.figure("rail speed", r.Flight.RailSpeed.Or(0).MetresPerSecond(), c.RailSpeed)
	x.time("apogee", quantity.Some(apogee.At), c.ApogeeS)
	x.figure("apogee height", apogee.Height.Metres(), c.ApogeeM)
	x.figure("greatest speed", r.Flight.MaxSpeed.Or(0).MetresPerSecond(), c.MaxSpeed)
	x.figure("mass", r.LiftoffMass.Or(0).Grams(), c.LiftoffMass)
	x.figure("thrust to weight", r.Flight.ThrustToWeight.Or(0), c.ThrustToWeight)
	for i, s := range c.Stages {
		got := &r.Stages[i]
		if s.IgnitionS != 0 {
			x.time("ignition", got.Ignition, s.IgnitionS)
			x.figure("ignition speed", got.IgnitionSpeed.Or(0).MetresPerSecond(), s.IgnitionSpeed)
		}
		x.time("burnout", got.Burnout, s.BurnoutS)
		x.figure("burnout speed", got.BurnoutSpeed.Or(0).MetresPerSecond(), s.BurnoutSpeed)
		x.figure("burnout height", got.BurnoutHeight.Or(0).Metres(), s.BurnoutM)
		if s.CoastS != 0 {
			x.time("coast", got.Coast, s.CoastS)
		}
	}
	asOne := r.AsOne.Or(compat.Apogee{})
	x.time("apogee as one", quantity.Some(asOne.At), c.AsOne.ApogeeS)
	x.figure("apogee height as one", asOne.Height.Metres(), c.AsOne.ApogeeM)
	return x.n
}
