package compat

import (
	"fmt"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// checkPoints judges every ignition point: the igniter in its motor or charge,
// and its line with all that fires on it at once. A motor or charge without an
// igniter is unknown; one without a line is judged as far as that goes.
func (c *craft) checkPoints(r *RocketReport) {
	for i := range c.stages {
		s := &c.stages[i]
		for j := range s.mounts {
			if m := &s.mounts[j]; m.By != inventory.LitByBurnThrough && (m.igniter != nil || m.motor != nil) {
				r.Stages[i].Points = append(r.Stages[i].Points, c.motorPoints(m)...)
			}
		}
		for j := range s.ways {
			if w := &s.ways[j]; w.rec.By == inventory.RecoverByCharge {
				r.Stages[i].Points = append(r.Stages[i].Points, c.chargePoints(w)...)
			}
		}
	}
}

func (c *craft) motorPoints(m *craftMount) []PointReport {
	p := PointReport{Igniter: m.igniter, Line: m.wire.line}
	if m.igniter != nil {
		p.Splice = c.spliceOf(m)
		c.checkMotorPair(m, &p.Findings)
	}
	p.fire(m.point, c.lines[m.wire.line])
	return numbered(p, m.point, m.count)
}

func (c *craft) chargePoints(w *craftWay) []PointReport {
	p := PointReport{Igniter: w.igniter, Line: w.wire.line}
	if w.igniter != nil {
		p.Splice = c.chargeSplice(w)
		leadReach(w.pair(), c.l, &p.Findings)
	}
	p.fire(w.point, c.lines[w.wire.line])
	return numbered(p, w.point, int(w.rec.Count.Or(1)))
}

// fire adds what is said of the line that fires a point.
func (p *PointReport) fire(point string, line *Findings) {
	switch {
	case p.Igniter == nil:
		p.add(lacking(FiringCurrent, point, one(factIgniter)))
	case p.Line == nil:
		p.skip(FiringCurrent, factFireLine, point)
	default:
		p.take(line)
	}
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
