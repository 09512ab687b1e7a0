package compat

import (
	"strings"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// Step is one thing to mind or to do, for the report to word, with what it is
// about.
type Step struct {
	ID StepID
	// Subject is a stage, a point or a controller, where it is about one.
	Subject string
	// Ready is how long the controller takes to be ready, Sign how it shows it.
	Ready quantity.Opt[quantity.Time]
	Sign  string
	// Wait is how long to wait.
	Wait quantity.Opt[quantity.Time]
}

// StepID names a step.
type StepID uint8

// The steps. All common practice, no source, but where a safety code is named
// (read in part).
const (
	// Cautions that apply.
	StepWadding StepID = iota // wherever a charge sits above the parachute, baffle or not
	StepWaddingNotListed
	StepGroundTest
	StepLiveMotor // an upper stage that came down unlit is a live motor with an igniter in it
	StepDistance  // nobody nearer than the safety code's distance

	// On board, before the rocket goes to the pad.
	StepBatteryOut      // battery out, outputs shunted
	StepTestIgniter     // the charge's igniter behind a shield
	StepWeighPowder     // away from igniters and static; head buried, container tied
	StepFlagWires       // each to its named terminal, tugged, a second pair of eyes
	StepUpperIgniter    // in as far as it goes, held
	StepClose           // close the airframe
	StepCheckAgain      // the upper igniter, after closing
	StepBatteryIn       // switch off, pointing away
	StepNothingSwitched // nothing is switched on before the rocket stands on the pad

	// At the pad.
	StepRailUp     // rail up, hands and face clear of the nozzles
	StepSwitchOn   // switch on the controllers on board
	StepWaitReady  // wait for the ready sign
	StepPadIgniter // in as far as it goes, plugged: only now
	StepClipsLast
	StepContinuity // from a distance

	// After a misfire.
	StepInterlockOut
	StepWait
	StepFromTheSide // on-board circuits off first

	steps
)

var stepNames = [steps]string{
	"wadding", "wadding-not-listed", "ground-test", "live-motor", "distance",
	"battery-out", "test-igniter", "weigh-powder", "flag-wires", "upper-igniter", "close", "check-again", "battery-in", "nothing-switched",
	"rail-up", "switch-on", "wait-ready", "pad-igniter", "clips-last", "continuity",
	"interlock-out", "wait", "from-the-side",
}

// String is the step's name.
func (s StepID) String() string { return stepNames[s] }

// misfireWait is how long a safety code has one wait after a misfire: 60 s
// (Model Rocket and High Power Rocket Safety Codes, read in part).
const misfireWait = quantity.Time(60_000_000)

// advise lists what to mind and the sequences that apply.
func (c *craft) advise(r *RocketReport) {
	c.cautions(r)
	c.onBoard(r)
	c.atPad(r)
	r.Fail = []Step{{ID: StepInterlockOut}, {ID: StepWait, Wait: quantity.Some(c.misfireWait())}, {ID: StepFromTheSide}}
}

func (c *craft) cautions(r *RocketReport) {
	add := func(id StepID, subject string) { r.Cautions = append(r.Cautions, Step{ID: id, Subject: subject}) }
	hot := false
	for i := range c.stages {
		s := &c.stages[i]
		if s.opensHot() {
			hot = true
			add(StepWadding, s.name)
		}
		for j := range s.ways {
			if w := &s.ways[j]; w.rec.By == inventory.RecoverByCharge {
				add(StepGroundTest, w.point)
			}
		}
		for j := range s.mounts {
			if m := &s.mounts[j]; i > 0 && m.motor != nil {
				add(StepLiveMotor, m.point)
			}
		}
	}
	if hot && !c.listsWadding() {
		add(StepWaddingNotListed, c.q.Rocket.Handle)
	}
	add(StepDistance, c.q.Rocket.Handle)
}

// opensHot tells whether the gas of a charge or motor opens something: there is
// wadding between, baffle or not.
func (s *craftStage) opensHot() bool {
	for i := range s.ways {
		if by := s.ways[i].rec.By; by == inventory.RecoverByCharge || by == inventory.RecoverByMotor {
			return true
		}
	}
	return false
}

// listsWadding tells whether a supply of the flight is called wadding.
func (c *craft) listsWadding() bool {
	for _, use := range c.q.Rocket.Supplies {
		text := use.Item.Handle
		if supply, ok := inventory.Follow[*inventory.Supply](c.q.Box, use.Item); ok {
			text += " " + supply.Handle + " " + supply.Name
		}
		if strings.Contains(strings.ToLower(text), "wadding") {
			return true
		}
	}
	return false
}

// onBoard is the sequence before the rocket goes to the pad.
func (c *craft) onBoard(r *RocketReport) {
	add := func(id StepID, subject string) { r.OnBoard = append(r.OnBoard, Step{ID: id, Subject: subject}) }
	controllers := c.onboardControllers()
	for _, ctl := range controllers {
		add(StepBatteryOut, ctl.Handle)
	}
	charges, upper := c.onboardPoints()
	for _, w := range charges {
		add(StepTestIgniter, w.point)
		add(StepWeighPowder, w.point)
	}
	for _, ctl := range controllers {
		add(StepFlagWires, ctl.Handle)
	}
	for _, m := range upper {
		add(StepUpperIgniter, m.point)
	}
	if len(charges)+len(upper) > 0 {
		add(StepClose, c.q.Rocket.Handle)
	}
	for _, m := range upper {
		add(StepCheckAgain, m.point)
	}
	for _, ctl := range controllers {
		add(StepBatteryIn, ctl.Handle)
	}
	if len(controllers) > 0 {
		add(StepNothingSwitched, c.q.Rocket.Handle)
	}
}

// atPad is the sequence at the pad.
func (c *craft) atPad(r *RocketReport) {
	r.AtPad = []Step{{ID: StepRailUp}}
	controllers := c.onboardControllers()
	for _, ctl := range controllers {
		r.AtPad = append(r.AtPad, Step{ID: StepSwitchOn, Subject: ctl.Handle})
	}
	for _, ctl := range controllers {
		r.AtPad = append(r.AtPad, Step{ID: StepWaitReady, Subject: ctl.Handle, Ready: ctl.Ready, Sign: ctl.ReadySign})
	}
	c.each(func(m *craftMount) {
		if m.By == inventory.LitAtPad {
			r.AtPad = append(r.AtPad, Step{ID: StepPadIgniter, Subject: m.point})
		}
	})
	r.AtPad = append(r.AtPad, Step{ID: StepClipsLast}, Step{ID: StepContinuity})
}

// onboardControllers are the controllers on board, in the order of the rocket.
func (c *craft) onboardControllers() (list []*inventory.Controller) {
	told := map[string]bool{}
	c.eachWire(func(_ int, w *wire) {
		if w.onboard() && !told[w.controller.Handle] {
			told[w.controller.Handle] = true
			list = append(list, w.controller)
		}
	})
	return list
}

// onboardPoints are the charges, and the mounts lit in the air by an igniter.
func (c *craft) onboardPoints() (charges []*craftWay, upper []*craftMount) {
	for i := range c.stages {
		for j := range c.stages[i].ways {
			if w := &c.stages[i].ways[j]; w.rec.By == inventory.RecoverByCharge {
				charges = append(charges, w)
			}
		}
	}
	c.each(func(m *craftMount) {
		if m.By == inventory.LitByTimer {
			upper = append(upper, m)
		}
	})
	return charges, upper
}

// misfireWait is 60 s, and longer than any timer could still run.
func (c *craft) misfireWait() quantity.Time {
	wait := misfireWait
	longest := func(at, after quantity.Opt[quantity.Time], ctl *inventory.Controller) {
		tolerance := c.l.TimerTolerance
		if ctl != nil {
			tolerance = ctl.TimerTolerance.Or(tolerance)
		}
		runs := at.Or(0) + after.Or(0)
		wait = max(wait, runs+shareUp(runs, tolerance)+1_000_000)
	}
	none := quantity.Opt[quantity.Time]{}
	c.each(func(m *craftMount) { longest(m.At, none, m.wire.controller) })
	for i := range c.stages {
		for j := range c.stages[i].ways {
			w := &c.stages[i].ways[j]
			longest(w.rec.At, w.rec.After, w.wire.controller)
		}
	}
	return wait
}
