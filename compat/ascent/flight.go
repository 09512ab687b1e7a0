package ascent

import "math"

// Options are what a flight can be asked beyond the rocket and the site.
type Options struct {
	// Until is how long after lift-off the path is to be computed, past apogee
	// as a ballistic descent of what is then left, at most to the ground. The
	// ascent itself is always computed to apogee. 0: to apogee.
	Until Seconds
	// Open lists joints that open of themselves, by a separation charge or a
	// booster's own ejection. Those at or after apogee have no effect.
	Open []Opening

	scale float64 // of the steps, for the test that halves them; 0 is 1
}

// Opening is a joint that opens at a time without thrust.
type Opening struct {
	Joint int     // between stage Joint and the one above it
	At    Seconds // from lift-off
}

// opens reports whether a joint is among those that open.
func (o *Options) opens(joint int) bool {
	for _, open := range o.Open {
		if open.Joint == joint {
			return true
		}
	}
	return false
}

// Flight is the ascent of a rocket. All times count from lift-off.
type Flight struct {
	HoldDown       Seconds       // from the first thrust on the pad to lift-off
	LiftoffMass    Kilograms     // as loaded, before ignition
	Impulse        NewtonSeconds // of all motors aboard, lit or not; one whose curve is not known adds nothing
	ThrustToWeight float64       // average thrust of the motors lit on the pad / (LiftoffMass x g0)
	RailExit       Event
	Apogee         Event // of what carries the top stage; thrust is not counted after it
	MaxSpeed       Event // of the ascent
	MaxMach        float64
	Thrusting      bool  // thrust was still to come from a burning motor at apogee
	Ground         Event // if Options.Until reaches that far
	Stages         []StageFlight
	Dropped        []Part // what was left behind, in the order of time
	Path           Path   // of what carries the top stage

	rocket  Rocket
	burners []burner
}

// StageFlight is the part that one stage plays. An event that is set to come
// but did not, because the rocket was past apogee or the stage no longer
// attached, has its time and OK false.
type StageFlight struct {
	Lit            bool    // whether anything in it is set to light
	Ignition       Event   // the first thrust in it; on the pad at a negative time, at rest
	ThrustToWeight float64 // at that moment: average thrust of the motors lit with it / weight of what they lift; 0 if there is none
	Burnout        Event   // the last fall through 5 % of peak, of its last mount
	Separation     Event   // when it was left behind
	Coast          Seconds // from its burnout to apogee, if CoastOK
	CoastOK        bool    // whether it burnt out before apogee and was still attached there
	Mounts         []MountFlight
}

// MountFlight is when the motors of a mount that are set to light do so.
type MountFlight struct {
	Lit      int     // how many motors
	Ignition Seconds // thrust begins; +Inf if what should light it does not come
	Burnout  Seconds // last fall through 5 % of peak; +Inf likewise
}

// Part is one or more stages left behind.
type Part struct {
	Lowest, Highest int // stages, both included
	Body            Body
	From            State
	Burning         bool // a motor in it was still giving thrust, which Follow does not count
}

// Transonic reports whether the flight came above Mach 0.8, where a constant
// drag coefficient no longer holds.
func (f *Flight) Transonic() bool { return f.MaxMach > transonic }

// At returns the state at time t after lift-off of what carries the top stage;
// see Path.At. Before lift-off it is at rest on the pad, and ok is true back to
// the first thrust.
func (f *Flight) At(t Seconds) (s State, ok bool) {
	if t < 0 {
		return State{Time: t}, t >= -f.HoldDown
	}
	return f.Path.At(t)
}

// Section returns the body that the stages from lowest to highest, both
// included, make up at a time after lift-off: their mass with what their motors
// have burnt by then, the largest of their diameters, the drag coefficient of
// the lowest. It is for parts that come apart in another way than by thrust.
// ok is false if there are no such stages or the lowest has no drag coefficient.
func (f *Flight) Section(lowest, highest int, at Seconds) (b Body, ok bool) {
	if lowest < 0 || lowest > highest || highest >= len(f.rocket.Stages) {
		return Body{}, false
	}
	b = f.rocket.body(lowest, highest)
	b.Mass = Kilograms(massAt(&f.rocket, f.burners, lowest, highest, float64(at)))
	return b, b.Cd > 0 && !math.IsInf(b.Cd, 0)
}

// massAt is the mass of the stages from low to high at time t.
func massAt(r *Rocket, burners []burner, low, high int, t float64) float64 {
	var mass float64
	for i := low; i <= high; i++ {
		s := &r.Stages[i]
		mass += float64(s.DryMass)
		for j := range s.Mounts {
			mass += float64(s.Mounts[j].Count) * float64(s.Mounts[j].Motor.Mass)
		}
	}
	for i := range burners {
		if b := &burners[i]; b.stage >= low && b.stage <= high {
			mass -= b.burnt(t)
		}
	}
	return mass
}
