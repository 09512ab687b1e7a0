package compat

import (
	"fmt"

	"rangebox/inventory"
)

// FaultKind is what is wrong in a branch.
type FaultKind uint8

// The faults that are gone through.
const (
	NoFault FaultKind = iota
	MotorUnlit
	ControllerDead
	BatteryDead
	ChargeUnlit // one charge by itself: asked when packing
)

// Fault is one thing that goes wrong.
type Fault struct {
	Kind FaultKind
	// Subject is a mount as `stage/mount`, a charge as `stage/recovery`, or a
	// controller or battery by handle.
	Subject string
	// Of is how many motors the mount holds, of which one does not light.
	Of int
}

// String is the fault in words.
func (f Fault) String() string {
	switch f.Kind {
	case MotorUnlit:
		if f.Of > 1 {
			return fmt.Sprintf("one of %d motors in %s does not light", f.Of, f.Subject)
		}
		return f.Subject + " does not light"
	case ControllerDead:
		return "controller " + f.Subject + " is dead"
	case BatteryDead:
		return "battery " + f.Subject + " is flat"
	case ChargeUnlit:
		return f.Subject + " does not fire"
	}
	return "everything right"
}

// Branch is the flight in which one thing goes wrong, or nothing.
type Branch struct {
	Findings
	Fault Fault
	Parts []Part
	// StaysOnPad tells that too little is left to lift it.
	StaysOnPad bool
}

// checkBranches follows the parts through every branch.
func (c *craft) checkBranches(r *RocketReport) {
	for _, sc := range c.scenarios() {
		r.Branches = append(r.Branches, c.branch(sc))
	}
}

func (c *craft) branch(sc *scenario) Branch {
	f := c.flight(sc)
	b := Branch{Fault: sc.fault, Parts: c.parts(sc, f), StaysOnPad: f.stays}
	c.partWith(b.Parts)
	for i := range b.Parts {
		b.add(c.wayDown(sc, &b.Parts[i]))
	}
	if sc.fault.Kind == MotorUnlit && c.stageOf(sc) > 1 {
		c.again(sc, f, &b)
	}
	return b
}

// stageOf counts the motors of the stage of which one stays unlit.
func (c *craft) stageOf(sc *scenario) (n int) {
	for i := range c.stages {
		mine := false
		of := 0
		for j := range c.stages[i].mounts {
			m := &c.stages[i].mounts[j]
			of += m.count
			mine = mine || sc.unlit[m.rec] > 0
		}
		if mine {
			n = of
		}
	}
	return n
}

// partWith marks the parts that are to be opened, after they have come apart, by
// a controller that also opens another: it goes with one of them only, nobody
// says with which.
func (c *craft) partWith(parts []Part) {
	for i := range parts {
		for j := range parts[:i] {
			a, b := &parts[i], &parts[j]
			apart := max(a.apart, b.apart)
			if a.by.firedBy(b.by) && a.Opens.Or(0) > apart && b.Opens.Or(0) > apart {
				a.elsewhere, b.elsewhere = true, true
			}
		}
	}
}

// firedBy tells whether two charges hang on one controller.
func (w *craftWay) firedBy(other *craftWay) bool {
	return w != nil && other != nil && w.rec.By == inventory.RecoverByCharge && other.rec.By == inventory.RecoverByCharge &&
		w.wire.controller != nil && other.wire.controller != nil && w.wire.controller.ID == other.wire.controller.ID
}

// again judges the flight of a cluster in which one motor stays unlit. What
// happens only when something fails is a caution at most.
func (c *craft) again(sc *scenario, f *flown, b *Branch) {
	var found Findings
	found.add(c.thrustToWeight(sc, f))
	c.railSpeed(f, &found)
	for i := range c.stages {
		for j := range c.stages[i].mounts {
			m := &c.stages[i].mounts[j]
			if d, ok := c.delays(sc, f, m); ok {
				found.add(d.flown)
			}
		}
	}
	for _, x := range found.List {
		if x.Verdict == NoGo {
			x.Verdict = Caution
		}
		b.add(x)
	}
}

// scenarios are the branches: everything right, each motor in turn unlit, each
// controller and each battery on board dead.
func (c *craft) scenarios() []*scenario {
	list := []*scenario{{}}
	pad := 0
	c.each(func(m *craftMount) {
		if m.By == inventory.LitAtPad {
			pad += m.count
		}
	})
	c.each(func(m *craftMount) {
		if m.motor == nil || m.By == inventory.LitAtPad && pad < 2 {
			return // a rocket whose only motor does not light stays where it is
		}
		list = append(list, &scenario{
			fault: Fault{MotorUnlit, m.point, m.count}, unlit: map[*inventory.Mount]int{m.rec: 1},
		})
	})
	return append(append(list, c.deadControllers()...), c.deadBatteries()...)
}

func (c *craft) deadControllers() (list []*scenario) {
	c.eachWire(func(_ int, w *wire) {
		if !w.onboard() || told(list, w.controller.Handle) {
			return
		}
		sc := &scenario{fault: Fault{Kind: ControllerDead, Subject: w.controller.Handle}, dead: map[*inventory.Line]bool{}}
		c.eachWire(func(_ int, other *wire) {
			if other.controller != nil && other.controller.ID == w.controller.ID {
				sc.dead[other.line] = true
			}
		})
		list = append(list, sc)
	})
	return list
}

func told(list []*scenario, subject string) bool {
	for _, sc := range list {
		if sc.fault.Subject == subject {
			return true
		}
	}
	return false
}

// deadBatteries: a flat battery takes its lines along, and where it also runs a
// controller's electronics all lines of that controller.
func (c *craft) deadBatteries() (list []*scenario) {
	c.eachWire(func(_ int, w *wire) {
		if !w.onboard() || w.battery == nil || told(list, w.battery.Handle) {
			return
		}
		sc := &scenario{fault: Fault{Kind: BatteryDead, Subject: w.battery.Handle}, dead: map[*inventory.Line]bool{}}
		c.eachWire(func(_ int, other *wire) {
			if other.onboard() && c.fed(other, w.battery) {
				sc.dead[other.line] = true
			}
		})
		list = append(list, sc)
	})
	return list
}

// fed tells whether a line needs a battery: to fire, or to run the electronics
// that switch it. What runs the electronics is taken to be the firing battery
// unless they are known to have their own.
func (c *craft) fed(w *wire, battery *inventory.Battery) bool {
	if w.battery != nil && w.battery.ID == battery.ID {
		return true
	}
	if w.controller.Supply == inventory.OwnSupply {
		return false
	}
	needs := false
	c.eachWire(func(_ int, other *wire) {
		same := other.controller != nil && other.controller.ID == w.controller.ID
		needs = needs || same && other.battery != nil && other.battery.ID == battery.ID
	})
	return needs
}
