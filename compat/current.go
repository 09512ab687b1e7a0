package compat

import (
	"rangebox/compat/circuit"
	"rangebox/inventory/quantity"
)

// firingCurrent: the least current on a bad day is at least 1.5 x all-fire, or
// the maker's firing current where only that is known. A capacitor must also
// give twice the firing impulse. Source: 14 CFR 417 appendix D, D417.19(l)
// (read): at least 150 % of all-fire at the lowest battery voltage and worst
// tolerances.
func firingCurrent(c *Circuit, l *Limits, out *Findings) {
	for i := range c.Groups {
		out.add(c.firing(i, l))
	}
}

func (c *Circuit) firing(group int, l *Limits) Finding {
	s := c.solve(l)
	ig := c.Groups[group].Igniter
	lacks := s.worstLacks
	if !ig.AllFire.Known() && !ig.Recommended.Known() {
		lacks |= one(factAllFire)
	}
	if lacks != 0 || s.invalid {
		return lacking(FiringCurrent, ig.Handle, lacks)
	}
	f := Finding{Rule: FiringCurrent, Subject: ig.Handle, Assumed: s.assumed, own: l.own[FiringCurrent]}
	worst := amps(s.leastOf(c, group))
	f.Value = amount(worst, quantity.Ampere)
	allFire, known := ig.AllFire.Get()
	if !known {
		return c.discharge(judgeRecommended(f, worst, ig.Recommended.Or(0)), group, l)
	}
	asked := times(allFire, l.FiringMargin)
	f.Limit, f.extra = amount(asked, quantity.Ampere), amount(allFire, quantity.Ampere)
	switch {
	case worst >= asked:
		f.Verdict, f.reason = Go, fires
	case worst >= allFire:
		f.Verdict, f.reason = Caution, firesThinly
	default:
		f.Verdict, f.reason = NoGo, firesNot
	}
	return c.discharge(conclude(f), group, l)
}

// judgeRecommended knows only the maker's firing current: below it nothing can
// be said of all-fire.
func judgeRecommended(f Finding, worst, recommended quantity.Current) Finding {
	f.Limit = amount(recommended, quantity.Ampere)
	if worst >= recommended {
		f.Verdict, f.reason = Go, firesRecommended
		return f
	}
	f.Verdict, f.reason, f.Missing = Unknown, firesBelowRecommended, one(factAllFire)
	return f
}

// discharge holds a capacitor's finding to the firing impulse as well, C V^2 /
// (2 R), and keeps the worse of the two.
func (c *Circuit) discharge(f Finding, group int, l *Limits) Finding {
	if !c.fromCapacitor() || f.Verdict == NoGo {
		return f
	}
	ig := c.Groups[group].Igniter
	lacks := Facts(0)
	need(ig.FiringImpulse, factFiringImpulse, &lacks)
	need(c.Controller.Cap, factCap, &lacks)
	if lacks != 0 {
		return lacking(FiringCurrent, ig.Handle, lacks)
	}
	k := ig.FiringImpulse.Or(0)
	asked := times(k, l.ImpulseMargin)
	given := quantity.FiringImpulse(toSteps(float64(c.solved.tight.CapacitorImpulse(c.first(group))), 1e6))
	d := f
	d.Value, d.Limit = amount(given, quantity.AmpSquareSecond), amount(asked, quantity.AmpSquareSecond)
	switch {
	case given >= asked:
		return f
	case given >= k:
		d.Verdict, d.reason = Caution, dischargeThin
	default:
		d.Verdict, d.reason = NoGo, dischargeNot
	}
	if d = conclude(d); severity[d.Verdict] >= severity[f.Verdict] {
		return d
	}
	return f
}

// first is the index of a group's first branch.
func (c *Circuit) first(group int) int {
	at := 0
	for _, g := range c.Groups[:group] {
		at += g.Count
	}
	return at
}

// needed is the current one igniter of a group is to get on a bad day.
func (g *Group) needed(l *Limits) (quantity.Current, bool) {
	if allFire, ok := g.Igniter.AllFire.Get(); ok {
		return times(allFire, l.FiringMargin), true
	}
	return g.Igniter.Recommended.Get()
}

// needs is what each branch needs at the worst corner, for the inverse answers.
func (c *Circuit) needs(l *Limits) (circuit.Need, circuit.NeedImpulse, bool) {
	var need circuit.Need
	var impulse circuit.NeedImpulse
	for i := range c.Groups {
		g := &c.Groups[i]
		current, ok := g.needed(l)
		if !ok {
			return nil, nil, false
		}
		k := times(g.Igniter.FiringImpulse.Or(0), l.ImpulseMargin)
		for range g.Count {
			need = append(need, circuit.Amps(current.Amps()))
			impulse = append(impulse, circuit.AmpSquaredSeconds(k.AmpSquaredSeconds()))
		}
	}
	return need, impulse, true
}
