package compat

import (
	"rangebox/compat/ascent"
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// RocketQuestion asks of a rocket as it is to fly.
type RocketQuestion struct {
	Rocket *inventory.Rocket
	// Box holds what the rocket refers to, linked (inventory.Box.Link), with the
	// readings of it and the settings.
	Box *inventory.Box
	// Altitude and Temperature of the site; sea level and the standard
	// atmosphere where not known.
	Altitude    quantity.Opt[quantity.Length]
	Temperature quantity.Opt[quantity.Temperature]
	Wind        quantity.Opt[quantity.Speed]
}

// RocketReport is everything there is to say of a rocket. Figures that cannot
// be had are not known; times count from lift-off.
type RocketReport struct {
	Worst       Verdict
	LiftoffMass quantity.Opt[quantity.Mass]
	Propellant  quantity.Opt[quantity.Mass]
	// Impulse of all motors aboard, N s.
	Impulse quantity.Opt[float64]
	// HighPower tells a high-power rocket from a model rocket.
	HighPower quantity.Opt[bool]
	// Stages, lowest first. What is said of the whole rocket - thrust-to-weight,
	// rail-speed, safety-distance - stands with the lowest.
	Stages []StageReport
	Flight FlightReport
	// AsOne is the apogee of the stack coasting on whole, of several stages.
	AsOne quantity.Opt[Apogee]
	// Branches: everything right first, then each fault in turn.
	Branches []Branch
	// Distance says which table spoke.
	Distance *DistanceTable
	// LeavesOut is what the model leaves out.
	LeavesOut []Omission
	// Cautions and the sequences are what to mind, in order; see Step.
	Cautions             []Step
	OnBoard, AtPad, Fail []Step
	// Nominal and Unlit are the flights themselves, for a plot: everything right,
	// and the stack coasting on whole. nil where they cannot be computed.
	Nominal, Unlit *ascent.Flight
}

// StageReport is what there is to say of a stage.
type StageReport struct {
	Findings
	Name string
	// Worst is of its findings, its points, and its way down in every branch.
	Worst          Verdict
	Ignition       quantity.Opt[quantity.Time]
	IgnitionSpeed  quantity.Opt[quantity.Speed]
	ThrustToWeight quantity.Opt[float64]
	Burnout        quantity.Opt[quantity.Time]
	BurnoutSpeed   quantity.Opt[quantity.Speed]
	BurnoutHeight  quantity.Opt[quantity.Length]
	Coast          quantity.Opt[quantity.Time]
	TimerWindow    quantity.Opt[[2]quantity.Time]
	NearestDelay   quantity.Opt[quantity.Time]
	Delays         []DelayReport
	Points         []PointReport
	Charges        []ChargeReport
}

// DelayReport is a mount whose motors eject.
type DelayReport struct {
	Mount   string
	Flown   quantity.Opt[quantity.Time]
	Nearest quantity.Opt[quantity.Time]
	// Offers are the delays the motor can be had with, shortest first.
	Offers []DelayOffer
}

// DelayOffer is one delay and the speeds at which it ejects.
type DelayOffer struct {
	Delay          quantity.Time
	Verdict        Verdict
	Nominal, Worst quantity.Speed
}

// PointReport is an ignition point, `stage/mount/n` or `stage/recovery/n`.
type PointReport struct {
	Findings
	Point   string
	Igniter *inventory.Igniter
	Line    *inventory.Line
	// Splice is the wire that the circuit was judged with.
	Splice quantity.Length
}

// ChargeReport is the powder of one ejection charge.
type ChargeReport struct {
	Recovery string
	// Powder is recommended: Computed, and never under 0.2 g.
	Powder, Computed quantity.Opt[quantity.Mass]
	// Short is the trade's short rule, as a cross-check.
	Short quantity.Opt[quantity.Mass]
	// Made and Force are the pressure and force of the recorded powder.
	Made  quantity.Opt[quantity.Pressure]
	Force quantity.Opt[quantity.Force]
}

// FlightReport is the flight with everything right.
type FlightReport struct {
	ThrustToWeight quantity.Opt[float64]
	RailSpeed      quantity.Opt[quantity.Speed]
	Apogee         quantity.Opt[Apogee]
	MaxSpeed       quantity.Opt[quantity.Speed]
	MaxMach        quantity.Opt[float64]
	// Lacks is what keeps the flight from being computed.
	Lacks Facts
}

// Apogee is the top of a flight.
type Apogee struct {
	At     quantity.Time
	Height quantity.Length
}

// Omission is something that the model of the flight leaves out.
type Omission uint8

// What is left out: the first four always.
const (
	OmitsWind Omission = iota
	OmitsWeathercocking
	OmitsTilt
	OmitsWobble
	OmitsTransonicDrag     // the flight comes above Mach 0.8
	OmitsThrustAfterTheTop // a motor still had thrust to give
	OmitsTemperature       // of the site; the standard one is taken
	OmitsAltitude          // of the site; sea level is taken
	OmitsDetection         // timers count from lift-off itself
	omissions
)

var omissionWords = [omissions]string{
	"wind", "weathercocking", "tilt", "wobble",
	"drag above Mach 0.8 is not what the recorded coefficient says",
	"thrust after the top, where the rocket no longer points up",
	"the site's temperature: that of the standard atmosphere is taken",
	"the site's altitude: sea level is taken",
	"the time a timer takes to see lift-off: in the flight it counts from lift-off itself, where staging-window adds it",
}

// String says what is left out.
func (o Omission) String() string { return omissionWords[o] }

// CheckRocket applies every rule to a rocket and works out the figures beside.
// What lacks figures is unknown; all that can be said without them is said.
func CheckRocket(q *RocketQuestion, l *Limits) RocketReport {
	c := newCraft(q, l)
	r := RocketReport{Stages: make([]StageReport, len(c.stages))}
	for i := range c.stages {
		r.Stages[i].Name = c.stages[i].name
	}
	c.weigh(&r)
	c.fly(&r)
	c.checkPoints(&r)
	for _, rule := range flightRules {
		rule(c, &r)
	}
	c.checkBranches(&r)
	c.advise(&r)
	r.conclude()
	return r
}

// conclude finds the worst of each stage and of all.
func (r *RocketReport) conclude() {
	if len(r.Stages) == 0 {
		return
	}
	r.Worst = Go
	for i := range r.Stages {
		s := &r.Stages[i]
		s.Worst = worstOr(Go, s.List)
		for p := range s.Points {
			s.Worst = worstOr(s.Worst, s.Points[p].List)
		}
		r.Worst = Worse(r.Worst, s.Worst)
	}
	for i := range r.Branches {
		b := &r.Branches[i]
		r.Worst = worstOr(r.Worst, b.List)
		for p := range b.Parts {
			part := &b.Parts[p]
			for s := part.Lowest; s <= part.Highest; s++ {
				r.Stages[s].Worst = Worse(r.Stages[s].Worst, part.Verdict)
			}
		}
	}
}

func worstOr(v Verdict, list []Finding) Verdict {
	for i := range list {
		v = Worse(v, list[i].Verdict)
	}
	return v
}
