package compat

import (
	"slices"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// clusterFiring: several igniters at once, in parallel, the least favoured with
// twice its all-fire current. Asked from two igniters on. The margin is ours.
func clusterFiring(c *Circuit, l *Limits, out *Findings) {
	if c.Count() < 2 {
		return
	}
	f := Finding{Rule: ClusterFiring, Subject: c.Groups[0].Igniter.Handle, own: l.own[ClusterFiring]}
	if c.series() {
		f.Verdict, f.reason = Caution, clusterSeries
		if c.types() > 1 {
			f.Verdict, f.reason = NoGo, clusterMixedSeries
		}
		out.add(f)
		return
	}
	out.add(c.parallelCluster(f, l))
}

// parallelCluster judges the group with the least margin.
func (c *Circuit) parallelCluster(f Finding, l *Limits) Finding {
	s := c.solve(l)
	worst := lacking(ClusterFiring, f.Subject, 0)
	for i := range c.Groups {
		ig := c.Groups[i].Igniter
		allFire, known := ig.AllFire.Get()
		lacks := s.worstLacks
		if !known {
			lacks |= one(factAllFire)
		}
		if lacks != 0 || s.invalid {
			return lacking(ClusterFiring, ig.Handle, lacks)
		}
		got := c.clusterGroup(f, ig, amps(s.leastOf(c, i)), allFire, l)
		if i == 0 || got.lessFavoured(worst) {
			worst = got
		}
	}
	return worst
}

// lessFavoured orders the findings of a cluster: by verdict, then by margin, so
// that the order of the groups does not matter.
func (f Finding) lessFavoured(than Finding) bool {
	if severity[f.Verdict] != severity[than.Verdict] {
		return severity[f.Verdict] > severity[than.Verdict]
	}
	mine, other := f.Value.Float()/f.Limit.Float(), than.Value.Float()/than.Limit.Float()
	if mine != other {
		return mine < other
	}
	return f.Subject < than.Subject
}

func (c *Circuit) clusterGroup(f Finding, ig *inventory.Igniter, got, allFire quantity.Current, l *Limits) Finding {
	asked := times(allFire, l.ClusterMargin)
	f.Subject, f.Assumed = ig.Handle, c.solved.assumed
	f.Value, f.Limit = amount(got, quantity.Ampere), amount(asked, quantity.Ampere)
	composite, known := c.anyComposite()
	switch {
	case c.mixedPropellants():
		f.Verdict, f.reason = Caution, clusterMixedPropellants
	case got >= asked:
		f.Verdict, f.reason = Go, clusterFires
	case got < allFire:
		f.Verdict, f.reason = NoGo, clusterUnder
	case got >= times(allFire, l.FiringMargin) && known && !composite:
		f.Verdict, f.reason = Go, clusterBlackPowder
	default:
		f.Verdict, f.reason = Caution, clusterThin
		if !known {
			f.Assumed |= one(factPropellant)
		}
	}
	return conclude(f)
}

// types counts the types of igniter on the line.
func (c *Circuit) types() int {
	n := 0
	for i, g := range c.Groups {
		if !slices.ContainsFunc(c.Groups[:i], func(other Group) bool { return sameType(g.Igniter, other.Igniter) }) {
			n++
		}
	}
	return n
}

// sameType tells whether two records are of one type: a lot with readings of its
// own has a record of its own.
func sameType(a, b *inventory.Igniter) bool {
	return a == b || a.Header == b.Header && a.Header != inventory.Header{}
}

// anyComposite tells whether any motor lit is not black powder; it is known
// where one is, or none can be.
func (c *Circuit) anyComposite() (composite, known bool) {
	known = len(c.Propellants) > 0
	for _, p := range c.Propellants {
		composite = composite || p != inventory.BlackPowder && p != ""
		known = known && p != ""
	}
	return composite, known || composite
}

// mixedPropellants tells whether black powder is lit together with another.
func (c *Circuit) mixedPropellants() bool { return mixed(c.Propellants) }

func mixed(propellants []string) bool {
	black, other := false, false
	for _, p := range propellants {
		black = black || p == inventory.BlackPowder
		other = other || p != inventory.BlackPowder && p != ""
	}
	return black && other
}

// litTogether: motors of black powder and composite that are lit at one moment
// by different lines are a caution as they are on one. Source: ours.
func litTogether(c *craft, r *RocketReport) {
	type group struct {
		at    moment
		stage int
	}
	var order []group
	lit := map[group][]string{}
	lines := map[group]map[*inventory.Line]bool{}
	c.each(func(m *craftMount) {
		at, known := fired{mount: m}.moment()
		if !known || m.motor == nil {
			return
		}
		g := group{at, m.stage}
		if lines[g] == nil {
			order, lines[g] = append(order, g), map[*inventory.Line]bool{}
		}
		lit[g], lines[g][m.wire.line] = append(lit[g], m.motor.Propellant), true
	})
	for _, g := range order {
		if len(lines[g]) > 1 && mixed(lit[g]) {
			r.Stages[g.stage].add(Finding{
				Rule: ClusterFiring, Subject: c.stages[g.stage].name, Verdict: Caution, reason: clusterMixedPropellants,
			})
		}
	}
}
