package compat

import (
	"math"

	"rangebox/compat/ascent"
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// burnThrough: the booster's flame lights the motor above it where both burn
// black powder, the booster is of the open kind, the gap is 300 mm at most and
// the upper nozzle is free; no motor below burns on meanwhile. Asked of mounts that are lit so. Source: common
// practice.
func burnThrough(c *craft, r *RocketReport) {
	c.each(func(m *craftMount) {
		if m.By == inventory.LitByBurnThrough {
			r.Stages[m.stage].add(c.burnThrough(m))
		}
	})
}

func (c *craft) burnThrough(m *craftMount) Finding {
	if m.stage == 0 {
		return lacking(BurnThrough, m.point, one(factIgnition))
	}
	f := Finding{Rule: BurnThrough, Subject: m.point, own: c.l.own[BurnThrough]}
	open, lacks := c.openBelow(m.stage - 1)
	lacks |= m.lacksBlackPowder()
	if m.composite() || open != nil && open.composite() || open == nil && c.allComposite(m.stage-1) {
		f.Verdict, f.reason = NoGo, burnComposite
		return f
	}
	if open != nil {
		lacks |= open.lacksBlackPowder()
	} else if lacks&one(factHeadEnd) == 0 {
		f.Verdict, f.reason = NoGo, burnClosed
		return f
	}
	if f, pushed := c.flamesEarly(f, m); pushed {
		return f
	}
	gap := need(m.Gap, factGap, &lacks)
	if lacks != 0 {
		return lacking(BurnThrough, m.point, lacks)
	}
	f.Value, f.Limit = amount(gap, quantity.Millimetre), amount(c.l.BurnGap, quantity.Millimetre)
	switch {
	case gap > c.l.BurnGap:
		f.Verdict, f.reason, f.Missing = Unknown, burnFar, one(factGap)
	case !m.rec.Igniter.IsZero():
		f.Verdict, f.reason = Caution, burnStopped
	default:
		f.Verdict, f.reason = Go, burnsThrough
	}
	return f
}

// flamesEarly: the flame comes through while other motors of the booster push.
func (c *craft) flamesEarly(f Finding, m *craftMount) (Finding, bool) {
	flight := c.flight(&scenario{})
	first, last := math.Inf(1), math.Inf(-1)
	for i := range c.stages[m.stage-1].mounts {
		below := &c.stages[m.stage-1].mounts[i]
		out := c.burnoutOf(flight, below)
		if math.IsInf(out, 1) {
			continue
		}
		last = math.Max(last, out)
		if below.rec.HeadEnd == inventory.EndOpen {
			first = math.Min(first, out)
		}
	}
	if math.IsInf(first, 1) || last <= first {
		return f, false
	}
	f.Verdict, f.reason = NoGo, burnEarly
	f.Value, f.Limit = amount(timeOf(ascent.Seconds(first)), quantity.Second), amount(timeOf(ascent.Seconds(last)), quantity.Second)
	return f, true
}

// openBelow is a mount of a stage whose motors are of the open kind; nil where
// there is none, with what that lacks.
func (c *craft) openBelow(stage int) (open *craftMount, lacks Facts) {
	for i := range c.stages[stage].mounts {
		switch m := &c.stages[stage].mounts[i]; m.rec.HeadEnd {
		case inventory.EndOpen:
			return m, 0
		case 0:
			lacks |= one(factHeadEnd)
		}
	}
	return nil, lacks
}

func (c *craft) allComposite(stage int) bool {
	for i := range c.stages[stage].mounts {
		if !c.stages[stage].mounts[i].composite() {
			return false
		}
	}
	return len(c.stages[stage].mounts) > 0
}

func (m *craftMount) composite() bool {
	return m.motor != nil && m.motor.Propellant == inventory.Composite
}

// lacksBlackPowder: of a propellant that is neither, nothing is known.
func (m *craftMount) lacksBlackPowder() Facts {
	switch {
	case m.motor == nil:
		return one(factMotor)
	case m.motor.Propellant != inventory.BlackPowder:
		return one(factPropellant)
	}
	return 0
}
