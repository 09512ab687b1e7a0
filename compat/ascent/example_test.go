package ascent_test

import (
	"fmt"
	"math"

	"rangebox/compat/ascent"
	"rangebox/compat/thrust"
)

// twoStages is an invented rocket.
func twoStages() ascent.Rocket {
	return ascent.Rocket{Rail: 1.8, Stages: []ascent.Stage{
		{
			Name: "booster", Diameter: 0.041, DryMass: 0.070, Cd: 0.6,
			Mounts: []ascent.Mount{{
				Name: "main", Count: 1, Ignition: ascent.Ignition{By: ascent.Pad},
				Motor: ascent.Motor{Mass: 0.076, Propellant: 0.037, Curve: thrust.Curve{{T: 0, F: 0}, {T: 0.1, F: 25}, {T: 1.5, F: 13}, {T: 1.6, F: 0}}},
			}},
		},
		{
			Name: "sustainer", Diameter: 0.034, DryMass: 0.095, Cd: 0.5,
			Mounts: []ascent.Mount{{
				Name: "main", Count: 1, Ignition: ascent.Ignition{By: ascent.Timer, At: 2.0},
				Motor: ascent.Motor{Mass: 0.032, Propellant: 0.017, Lag: 0.1, Curve: thrust.Curve{{T: 0, F: 0}, {T: 0.1, F: 13}, {T: 1.4, F: 7}, {T: 1.5, F: 0}}},
			}},
		},
	}}
}

func ExampleRun() {
	site := ascent.Site{Altitude: 400, Temperature: ascent.Celsius(22)}
	f, err := ascent.Run(twoStages(), site, ascent.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	upper := f.Stages[1]
	fmt.Printf("thrust to weight %.1f, %.0f m/s off the rail\n", f.ThrustToWeight, f.RailExit.Speed)
	fmt.Printf("upper stage lit at %.1f s, %.0f m/s\n", upper.Ignition.Time, upper.Ignition.Speed)
	fmt.Printf("apogee %.0f m at %.1f s, %.1f s after burnout\n", f.Apogee.Height, f.Apogee.Time, upper.Coast)
	// What a delay of 5 s would eject into:
	at, _ := f.At(upper.Mounts[0].Burnout + 5)
	fmt.Printf("delay 5 s: %.0f m/s\n", math.Abs(float64(at.Speed)))
	// Output:
	// thrust to weight 6.7, 17 m/s off the rail
	// upper stage lit at 2.1 s, 75 m/s
	// apogee 658 m at 11.1 s, 7.5 s after burnout
	// delay 5 s: 26 m/s
}

// The upper stage does not light, and the booster's own ejection parts the stack
// 4 s after its burnout.
func ExampleFollow() {
	r := twoStages().AsOne()
	f, err := ascent.Run(r, ascent.Site{}, ascent.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	parting, _ := f.At(f.Stages[0].Burnout.Time + 4)
	for i, stage := range r.Stages {
		body, _ := f.Section(i, i, parting.Time)
		fall, err := ascent.Follow(body, parting, ascent.Site{}, 60)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%s, %.0f g: apogee %.0f m, down at %.1f s\n", stage.Name, body.Mass*1000, fall.Apogee.Height, fall.Ground.Time)
	}
	// Output:
	// booster, 109 g: apogee 308 m, down at 17.6 s
	// sustainer, 127 g: apogee 310 m, down at 16.8 s
}
