package compat

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"rangebox/compat/ascent"
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// scenario is what is wrong in a branch; its zero value is nothing.
type scenario struct {
	fault Fault
	// unlit counts the motors of a mount that do not light.
	unlit map[*inventory.Mount]int
	// dead are the lines that fire nothing.
	dead map[*inventory.Line]bool
	// shut keeps what opens a joint without thrust out of the flight.
	shut bool
}

// lit is how many motors of a mount light.
func (sc *scenario) lit(m *craftMount) int {
	if m.wire.line != nil && sc.dead[m.wire.line] && m.By != inventory.LitByBurnThrough {
		return 0
	}
	return max(0, m.count-sc.unlit[m.rec])
}

// flown is a flight, or what keeps it from being computed.
type flown struct {
	ascent.Flight
	lacks Facts
	// stays tells that the rocket does not leave the pad.
	stays bool
	// openings are the joints that came apart without thrust.
	openings []ascent.Opening
}

func (f *flown) ok() bool { return f.lacks == 0 && !f.stays }

// flight computes the flight of a scenario: first as if nothing opened but by
// thrust, then with the joints that open of themselves on the way up.
func (c *craft) flight(sc *scenario) *flown {
	f := c.run(sc, nil)
	if !f.ok() || sc.shut || len(c.stages) == 1 {
		return f
	}
	openings := c.openings(sc, f)
	if len(openings) == 0 {
		return f
	}
	again := c.run(sc, openings)
	again.openings = openings
	return again
}

// run computes a flight once for each set of motors lit and joints opened.
func (c *craft) run(sc *scenario, open []ascent.Opening) *flown {
	key := fmt.Appendf(nil, "%v", open)
	c.each(func(m *craftMount) { key = append(key, byte(sc.lit(m)), byte(sc.lit(m)>>8)) })
	if f, ok := c.flown[string(key)]; ok {
		return f
	}
	f := &flown{}
	if f.lacks = c.lacksMotor(); f.lacks == 0 {
		var err error
		f.Flight, err = ascent.Run(c.rocket(sc), c.site, ascent.Options{Until: ascent.Seconds(math.Inf(1)), Open: open})
		f.note(err)
	}
	c.flown[string(key)] = f
	return f
}

func (c *craft) lacksMotor() (lacks Facts) {
	c.each(func(m *craftMount) {
		if m.motor == nil {
			lacks |= one(factMotor)
		}
	})
	if len(c.stages) == 0 {
		lacks |= one(factMotor)
	}
	return lacks
}

// note says what an error of the ascent means.
func (f *flown) note(err error) {
	if err == nil {
		return
	}
	if errors.Is(err, ascent.ErrNeverLeaves) {
		f.stays = true
		return
	}
	var problems *ascent.ProblemsError
	if errors.As(err, &problems) {
		for _, p := range problems.Problems {
			f.lacks |= one(factOf(p))
		}
		return
	}
	f.lacks = one(factCurve) // figures that overflow: a curve that no motor has
}

// factOf is the fact that a problem of the ascent is about.
func factOf(p ascent.Problem) Fact {
	switch p.Field {
	case "dry_mass":
		return factDryMass
	case "diameter":
		return factDiameter
	case "cd":
		return factDrag
	case "mass":
		return factMotorMass
	case "propellant":
		return factPropellantMass
	case "lag":
		return factLag
	case "ignition.by":
		return factIgnition
	case "ignition.at":
		return factAt
	case "stages", "count":
		return factMotor
	}
	return factCurve
}

// rocket is the craft in SI, in a scenario.
func (c *craft) rocket(sc *scenario) ascent.Rocket {
	r := ascent.Rocket{Rail: ascent.Metres(c.q.Rocket.Rail.Or(0).Metres()), Stages: make([]ascent.Stage, len(c.stages))}
	for i := range c.stages {
		s := &c.stages[i]
		r.Stages[i] = ascent.Stage{
			Name: s.name, Diameter: ascent.Metres(s.rec.Diameter.Or(0).Metres()),
			DryMass: ascent.Kilograms(s.rec.DryMass.Or(0).Kilograms()), Cd: s.rec.Drag.Or(0).Float(),
			Mounts: make([]ascent.Mount, len(s.mounts)),
		}
		for j := range s.mounts {
			r.Stages[i].Mounts[j] = s.mounts[j].ascent(sc)
		}
	}
	return r
}

func (m *craftMount) ascent(sc *scenario) ascent.Mount {
	out := ascent.Mount{Name: m.rec.Name, Count: m.count, Unlit: m.count - sc.lit(m), Open: m.rec.HeadEnd == inventory.EndOpen, Motor: ascent.Motor{
		Mass:       ascent.Kilograms(m.motor.Mass.Or(0).Kilograms()),
		Propellant: ascent.Kilograms(m.motor.PropellantMass.Or(0).Kilograms()),
		Curve:      m.curve,
		Lag:        ascent.Seconds(m.motor.Lag.Or(0).Seconds()),
	}}
	switch m.By {
	case inventory.LitAtPad:
		out.Ignition.By = ascent.Pad
	case inventory.LitByTimer:
		out.Ignition = ascent.Ignition{By: ascent.Timer, At: ascent.Seconds(math.NaN())}
		if at, ok := m.At.Get(); ok {
			out.Ignition.At = ascent.Seconds(at.Seconds())
		}
	case inventory.LitByBurnThrough:
		out.Ignition.By = ascent.BurnThrough
	}
	return out
}

// openings are the joints that a booster's own ejection, or a charge set by
// time, opens before apogee; of one joint the first.
func (c *craft) openings(sc *scenario, f *flown) []ascent.Opening {
	var list []ascent.Opening
	for joint := range len(c.stages) - 1 {
		if at, ok := c.opens(sc, f, joint); ok && at < float64(f.Apogee.Time) {
			list = append(list, ascent.Opening{Joint: joint, At: ascent.Seconds(at)})
		}
	}
	return list
}

// opens is when a joint first opens without thrust, by what does not wait for
// the top.
func (c *craft) opens(sc *scenario, f *flown, joint int) (at float64, ok bool) {
	at = math.Inf(1)
	for _, s := range [2]int{joint, joint + 1} {
		for i := range c.stages[s].ways {
			w := &c.stages[s].ways[i]
			if p := c.prospect(sc, f, w); c.jointOf(w) == joint && p.works && !p.waits {
				at = math.Min(at, p.at)
			}
		}
	}
	// A booster's ejection that no recovery speaks of opens the interstage.
	for i := range c.stages[joint].mounts {
		if m := &c.stages[joint].mounts[i]; !c.spokenOf(m) {
			at = math.Min(at, c.ejects(sc, f, m))
		}
	}
	return at, !math.IsInf(at, 1) && at >= 0
}

// jointOf is the joint below which a stage comes off when a way opens, counted
// by the stage below it; -1 where it opens none between stages. The interstage
// of a stage is above it, that of the top stage below. What opens the fore end of
// a stage below another opens the interstage, and what opens nobody says where is
// taken to: it is not to bring down what stands above it.
func (c *craft) jointOf(w *craftWay) int {
	top := len(c.stages) - 1
	fore := w.stage < top && (w.rec.Opens == 0 || w.rec.Opens == inventory.OpensNose) && w.rec.By != inventory.RecoverByTumble
	if w.rec.Opens != inventory.OpensInterstage && !fore {
		return -1
	}
	return min(w.stage, top-1)
}

// spokenOf tells whether a recovery of the stage says what the mount's ejection
// does.
func (c *craft) spokenOf(m *craftMount) bool {
	return slices.ContainsFunc(c.stages[m.stage].ways, func(w craftWay) bool {
		return w.rec.By == inventory.RecoverByMotor && w.ejectedBy(m)
	})
}

// ejectedBy tells whether a way is opened by a mount's motors: by all of the
// stage where it names none.
func (w *craftWay) ejectedBy(m *craftMount) bool {
	return w.rec.Mount == "" || w.rec.Mount == m.rec.Name
}

// ejects is when a mount's motors eject, +Inf if they do not.
func (c *craft) ejects(sc *scenario, f *flown, m *craftMount) float64 {
	delay, ok := m.rec.Delay.Get()
	if m.rec.HeadEnd != inventory.EndDelay || !ok || sc.lit(m) == 0 {
		return math.Inf(1)
	}
	return c.burnoutOf(f, m) + delay.Seconds()
}

// burnoutOf is when a mount burns out in a flight; +Inf if it does not.
func (c *craft) burnoutOf(f *flown, m *craftMount) float64 {
	if !f.ok() {
		return math.Inf(1)
	}
	for j := range c.stages[m.stage].mounts {
		if c.stages[m.stage].mounts[j].rec == m.rec {
			if mf := f.Stages[m.stage].Mounts[j]; mf.Lit > 0 {
				return float64(mf.Burnout)
			}
		}
	}
	return math.Inf(1)
}

// coasting is the flight in which nothing but the pad lights anything from a stage
// up; shut is that nothing opens but by thrust.
func (c *craft) coasting(stage int, shut bool) *flown {
	sc := &scenario{unlit: map[*inventory.Mount]int{}, shut: shut}
	for i := stage; i < len(c.stages); i++ {
		for j := range c.stages[i].mounts {
			if m := &c.stages[i].mounts[j]; m.By != inventory.LitAtPad {
				sc.unlit[m.rec] = m.count
			}
		}
	}
	return c.flight(sc)
}

// fly fills in the figures of the flight.
func (c *craft) fly(r *RocketReport) {
	f := c.flight(&scenario{})
	r.Flight.Lacks = f.lacks
	c.lists(r, f)
	if f.ok() {
		r.Nominal = &f.Flight
		r.Flight.RailSpeed = speedIf(f.RailExit)
		r.Flight.Apogee = apogeeOf(f)
		r.Flight.MaxSpeed = speedIf(f.MaxSpeed)
		r.Flight.MaxMach = quantity.Some(f.MaxMach)
		for i := range r.Stages {
			r.Stages[i].fly(&f.Flight.Stages[i])
		}
	}
	if len(c.stages) < 2 {
		return
	}
	if f := c.coasting(1, true); f.ok() {
		r.Unlit, r.AsOne = &f.Flight, apogeeOf(f)
	}
}

func apogeeOf(f *flown) quantity.Opt[Apogee] {
	return quantity.Some(Apogee{timeOf(f.Apogee.Time), heightOf(f.Apogee.Height)})
}

func (s *StageReport) fly(f *ascent.StageFlight) {
	if f.Ignition.OK {
		s.Ignition, s.IgnitionSpeed = quantity.Some(timeOf(f.Ignition.Time)), speedIf(f.Ignition)
		s.ThrustToWeight = quantity.Some(f.ThrustToWeight)
	}
	if f.Burnout.OK {
		s.Burnout, s.BurnoutSpeed = quantity.Some(timeOf(f.Burnout.Time)), speedIf(f.Burnout)
		s.BurnoutHeight = quantity.Some(heightOf(f.Burnout.Height))
	}
	if f.CoastOK {
		s.Coast = quantity.Some(timeOf(f.Coast))
	}
}

func speedIf(e ascent.Event) quantity.Opt[quantity.Speed] {
	if !e.OK {
		return quantity.Opt[quantity.Speed]{}
	}
	return quantity.Some(speedOf(e.Speed))
}

// lists says what the model leaves out.
func (c *craft) lists(r *RocketReport, f *flown) {
	r.LeavesOut = []Omission{OmitsWind, OmitsWeathercocking, OmitsTilt, OmitsWobble}
	if f.ok() && f.Transonic() {
		r.LeavesOut = append(r.LeavesOut, OmitsTransonicDrag)
	}
	if f.ok() && f.Thrusting {
		r.LeavesOut = append(r.LeavesOut, OmitsThrustAfterTheTop)
	}
	if c.detects() {
		r.LeavesOut = append(r.LeavesOut, OmitsDetection)
	}
	if !c.q.Temperature.Known() {
		r.LeavesOut = append(r.LeavesOut, OmitsTemperature)
	}
	if !c.q.Altitude.Known() {
		r.LeavesOut = append(r.LeavesOut, OmitsAltitude)
	}
}

// detects tells whether a timer lights anything that takes time to see lift-off,
// or may.
func (c *craft) detects() (takes bool) {
	c.each(func(m *craftMount) {
		if m.By == inventory.LitByTimer && m.wire.controller != nil {
			takes = takes || m.wire.controller.DetectTime.Or(1) > 0
		}
	})
	return takes
}
