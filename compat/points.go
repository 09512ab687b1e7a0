package compat

import (
	"fmt"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// checkPoints judges every ignition point: the igniter in its motor or charge,
// and its line with all that fires on it at once.
func (c *craft) checkPoints(r *RocketReport) {
	said := map[*inventory.Line]*Findings{}
	for _, u := range c.circuits() {
		out := &Findings{}
		CheckCircuit(&u.Circuit, c.l, out)
		said[u.Line] = out
	}
	for i := range c.stages {
		s := &c.stages[i]
		for j := range s.mounts {
			if m := &s.mounts[j]; m.igniter != nil && m.By != inventory.LitByBurnThrough {
				r.Stages[i].Points = append(r.Stages[i].Points, c.motorPoints(m, said[m.wire.line])...)
			}
		}
		for j := range s.ways {
			if w := &s.ways[j]; w.igniter != nil && w.rec.By == inventory.RecoverByCharge {
				r.Stages[i].Points = append(r.Stages[i].Points, c.chargePoints(w, said[w.wire.line])...)
			}
		}
	}
}

func (c *craft) motorPoints(m *craftMount, line *Findings) []PointReport {
	p := PointReport{Igniter: m.igniter, Line: m.wire.line, Splice: c.spliceOf(m)}
	c.checkMotorPair(m, &p.Findings)
	p.take(line)
	return numbered(p, m.point, m.count)
}

func (c *craft) chargePoints(w *craftWay, line *Findings) []PointReport {
	p := PointReport{Igniter: w.igniter, Line: w.wire.line, Splice: c.chargeSplice(w)}
	leadReach(w.pair(), c.l, &p.Findings)
	p.take(line)
	return numbered(p, w.point, int(w.rec.Count.Or(1)))
}

// numbered repeats what is said of points alike, `stage/mount/n`.
func numbered(p PointReport, name string, count int) []PointReport {
	list := make([]PointReport, count)
	for n := range list {
		list[n] = p
		list[n].Point = fmt.Sprintf("%s/%d", name, n+1)
	}
	return list
}

// take adds what is said of a point's line, less what is said of another type of
// igniter alone.
func (p *PointReport) take(line *Findings) {
	if line == nil {
		return
	}
	mine := func(rule Rule, subject string) bool {
		switch rule {
		case FiringCurrent, ContinuityCurrent, TimeToFire:
			return subject == p.Igniter.Handle
		}
		return true
	}
	for _, f := range line.List {
		if mine(f.Rule, f.Subject) {
			p.add(f)
		}
	}
	for _, n := range line.NotChecked {
		if mine(n.Rule, n.Subject) {
			p.NotChecked = append(p.NotChecked, n)
		}
	}
}

// checkMotorPair applies the pair rules. Through the head the throat is no
// passage and there is no seat to reach: only a recorded guide tube is judged.
func (c *craft) checkMotorPair(m *craftMount, out *Findings) {
	if m.motor == nil {
		out.add(lacking(ThroatClearance, m.igniter.Handle, one(factMotor)))
		return
	}
	if m.Entry != inventory.EntryHead {
		CheckPair(m.pair(), c.l, out)
		return
	}
	through := m.pair()
	if m.Tube.Known() {
		throatClearance(through, c.l, out)
	}
	ignitionEnergy(&Pair{Motor: m.motor, Igniter: m.igniter}, c.l, out)
	leadReach(through, c.l, out)
}

// pair is the igniter in the mount's motor.
func (m *craftMount) pair() *Pair {
	p := &Pair{
		Motor: m.motor, Nozzle: m.nozzle, Igniter: m.igniter,
		Tube: m.Tube, Run: m.Run, Splice: m.Splice.Or(0),
	}
	if m.Entry == inventory.EntryHead {
		p.Motor = &inventory.Motor{Header: m.motor.Header, Propellant: inventory.BlackPowder}
		p.Nozzle = &inventory.Nozzle{Throat: m.Tube, Depth: quantity.Some(quantity.Length(0))}
	}
	return p
}

// pair is the igniter in the powder of a charge: nothing to pass, no seat.
func (w *craftWay) pair() *Pair {
	return &Pair{
		Motor: &inventory.Motor{Propellant: inventory.BlackPowder}, Igniter: w.igniter, Run: w.rec.Run,
		Nozzle: &inventory.Nozzle{Depth: quantity.Some(quantity.Length(0))},
	}
}

// spliceOf is the splice recorded, else the one that lead-reach asks for.
func (c *craft) spliceOf(m *craftMount) quantity.Length {
	if recorded, ok := m.Splice.Get(); ok {
		return recorded
	}
	if m.motor == nil {
		return 0
	}
	needed, _ := m.pair().NeededSplice(c.l)
	return needed
}

func (c *craft) chargeSplice(w *craftWay) quantity.Length {
	needed, _ := w.pair().NeededSplice(c.l)
	return needed
}

// circuits are the lines of the rocket, each with every igniter on it: what
// hangs on one output fires at once.
func (c *craft) circuits() []lineUse {
	var list []lineUse
	use := func(stage int, w *wire) *lineUse {
		for i := range list {
			if list[i].Line == w.line {
				return &list[i]
			}
		}
		list = append(list, lineUse{stage: stage, wire: *w, at: c.firesAt(w.line)})
		u := &list[len(list)-1]
		u.Line, u.Battery, u.Controller = w.line, w.battery, w.controller
		return u
	}
	for i := range c.stages {
		s := &c.stages[i]
		for j := range s.mounts {
			m := &s.mounts[j]
			if m.wire.line == nil || m.igniter == nil || m.By == inventory.LitByBurnThrough {
				continue
			}
			u := use(i, &m.wire)
			u.hang(Group{Igniter: m.igniter, Count: m.count, Splice: c.spliceOf(m), SpliceGauge: m.SpliceGauge})
			if m.motor != nil && m.motor.Propellant != "" {
				u.Propellants = append(u.Propellants, m.motor.Propellant)
			}
		}
		for j := range s.ways {
			w := &s.ways[j]
			if w.wire.line != nil && w.igniter != nil && w.rec.By == inventory.RecoverByCharge {
				use(i, &w.wire).hang(Group{Igniter: w.igniter, Count: int(w.rec.Count.Or(1)), Splice: c.chargeSplice(w)})
			}
		}
	}
	return list
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
