package compat

import (
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// fired is a mount or a charge that a line is to fire; the other of the two is
// nil.
type fired struct {
	stage int
	wire  *wire
	mount *craftMount
	way   *craftWay
}

// eachFired visits what the lines of the rocket are to fire, lowest stage first,
// a stage's motors before its charges.
func (c *craft) eachFired(visit func(fired)) {
	for i := range c.stages {
		s := &c.stages[i]
		for j := range s.mounts {
			if m := &s.mounts[j]; m.wire.line != nil && m.By != inventory.LitByBurnThrough {
				visit(fired{stage: i, wire: &m.wire, mount: m})
			}
		}
		for j := range s.ways {
			if w := &s.ways[j]; w.wire.line != nil && w.rec.By == inventory.RecoverByCharge {
				visit(fired{stage: i, wire: &w.wire, way: w})
			}
		}
	}
}

// group is the igniters that hang on the line; none where the igniter is not
// recorded.
func (c *craft) group(f fired) (Group, bool) {
	m, w := f.mount, f.way
	switch {
	case w != nil && w.igniter == nil, m != nil && m.igniter == nil:
		return Group{}, false
	case w != nil:
		return Group{Igniter: w.igniter, Count: int(w.rec.Count.Or(1)), Splice: c.chargeSplice(w)}, true
	}
	return Group{Igniter: m.igniter, Count: m.count, Splice: c.spliceOf(m), SpliceGauge: m.SpliceGauge}, true
}

// propellant is what the igniters light; empty where that is not known.
func (f fired) propellant() string {
	switch {
	case f.way != nil:
		return inventory.BlackPowder
	case f.mount.motor == nil:
		return ""
	}
	return f.mount.motor.Propellant
}

// moment is when something is to fire, as recorded; two that are equal fire
// together.
type moment struct {
	timer   bool // else at the pad, or where trigger says
	trigger inventory.Trigger
	at      quantity.Time
	height  quantity.Length
}

// moment is false where that is not recorded.
func (f fired) moment() (moment, bool) {
	if f.way != nil {
		return f.way.moment()
	}
	at, known := f.mount.At.Get()
	switch f.mount.By {
	case inventory.LitAtPad:
		return moment{}, true
	case inventory.LitByTimer:
		return moment{timer: true, at: at}, known
	}
	return moment{}, false
}

func (w *craftWay) moment() (moment, bool) {
	m := moment{trigger: w.rec.Trigger, at: w.rec.After.Or(0)}
	switch w.rec.Trigger {
	case 0:
		return moment{}, false
	case inventory.TriggerTimer:
		at, known := w.rec.At.Get()
		return moment{timer: true, at: m.at + at}, known
	case inventory.TriggerHeight:
		height, known := w.rec.AtHeight.Get()
		m.height = height
		return m, known
	}
	return m, true
}

// lineUse is a line of the rocket with all that hangs on it.
type lineUse struct {
	Circuit
	stage int // the lowest that uses it
	wire  wire
	fires []fired
	// at is when it fires, from lift-off; NaN where that is not known.
	at float64
}

// circuits are the lines of the rocket, each with every igniter on it: what
// hangs on one output fires at once.
func (c *craft) circuits() []lineUse {
	var list []lineUse
	c.eachFired(func(f fired) {
		use := lineOf(&list, f)
		use.fires = append(use.fires, f)
		use.Propellants = append(use.Propellants, f.propellant())
		if g, ok := c.group(f); ok {
			use.hang(g)
		}
	})
	return list
}

// lineOf finds a line among those used, or adds it.
func lineOf(list *[]lineUse, f fired) *lineUse {
	for i := range *list {
		if u := &(*list)[i]; u.Line == f.wire.line {
			return u
		}
	}
	u := lineUse{stage: f.stage, wire: *f.wire}
	u.Line, u.Battery, u.Controller = f.wire.line, f.wire.battery, f.wire.controller
	*list = append(*list, u)
	return &(*list)[len(*list)-1]
}

// hang puts igniters on the line, alike ones together.
func (u *lineUse) hang(g Group) {
	for i := range u.Groups {
		o := &u.Groups[i]
		if sameType(o.Igniter, g.Igniter) && o.Splice == g.Splice && o.SpliceGauge == g.SpliceGauge {
			o.Count += g.Count
			return
		}
	}
	u.Groups = append(u.Groups, g)
}

// judgeLines applies the circuit rules to every line that has an igniter.
func (c *craft) judgeLines() {
	c.lines = map[*inventory.Line]*Findings{}
	for _, u := range c.circuits() {
		if len(u.Groups) == 0 {
			continue
		}
		out := &Findings{}
		CheckCircuit(&u.Circuit, c.l, out)
		c.lines[u.Line] = out
	}
}
