package compat

import (
	"fmt"
	"testing"

	"pgregory.net/rapid"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// world draws a box in which everything is known or, where sparse, anything may
// be missing. Recorded figures are no worse than the bounds that stand in for
// them: a worse one that is forgotten would make a verdict better, as the rules
// are written.
type world struct {
	t      *rapid.T
	sparse bool
	n      int
}

func (w *world) name(what string) string {
	w.n++
	return fmt.Sprintf("%s %d", what, w.n)
}

func (w *world) here(what string) bool {
	return !w.sparse || rapid.IntRange(0, 5).Draw(w.t, w.name(what+" known")) > 0
}

func pick[T any](w *world, what string, of ...T) T {
	return rapid.SampledFrom(of).Draw(w.t, w.name(what))
}

func between[Q quantity.Quantity](w *world, what string, lo, hi Q) quantity.Opt[Q] {
	if !w.here(what) {
		return quantity.Opt[Q]{}
	}
	return quantity.Some(Q(rapid.Int64Range(int64(lo), int64(hi)).Draw(w.t, w.name(what))))
}

const mm = quantity.Length(1_000_000)

func (w *world) motor(handle string) *inventory.Motor {
	m := &inventory.Motor{Header: inventory.Header{Handle: handle}, Propellant: pick(w, "propellant", inventory.BlackPowder, inventory.Composite, "hybrid")}
	m.Core, m.Length = between(w, "core", 20*mm, 400*mm), between(w, "length", 50*mm, 500*mm)
	m.PropellantMass = between[quantity.Mass](w, "propellant mass", 1e9, 200e9)
	if pick(w, "demand recorded", true, false) {
		m.Ignition = pick(w, "demand", inventory.Low, inventory.Medium, inventory.High)
	}
	for i := range rapid.IntRange(0, 2).Draw(w.t, w.name("nozzles")) {
		m.Nozzles = append(m.Nozzles, inventory.Nozzle{
			Name: fmt.Sprint("n", i), Throat: between(w, "throat", mm, 6*mm), Depth: between(w, "depth", 0, 30*mm),
			MeasuredOn: pick(w, "measured on", inventory.MeasuredNew, inventory.MeasuredFired),
		})
	}
	return m
}

func (w *world) igniter(handle string) *inventory.Igniter {
	ig := &inventory.Igniter{Header: inventory.Header{Handle: handle}}
	ig.Head, ig.LeadPair = between(w, "head", mm, 5*mm), between(w, "lead pair", mm/2, 3*mm)
	if w.here("output") {
		ig.Output = pick(w, "output", inventory.Low, inventory.Medium, inventory.High)
	}
	ig.AllFire = between[quantity.Current](w, "all-fire", 300_000, 6_000_000)
	if all, ok := ig.AllFire.Get(); ok {
		ig.NoFire = between(w, "no-fire", all/4+1, all-1)
	}
	ig.FiringImpulse = between[quantity.FiringImpulse](w, "impulse", 100, 500_000)
	ig.Bridge, ig.BridgeTolerance = between[quantity.Resistance](w, "bridge", 300_000, 2_000_000), between[quantity.Percent](w, "tolerance", 0, 250_000)
	ig.BridgeIncludesLeads = quantity.Some(pick(w, "includes leads", true, false))
	ig.Lead, ig.LeadWire.Gauge = between(w, "lead", 60*mm, 900*mm), between[quantity.Gauge](w, "gauge", 20, 30)
	return ig
}

func (w *world) line() (*inventory.Line, *inventory.Battery, *inventory.Controller) {
	b := &inventory.Battery{Header: inventory.Header{Handle: "cells"}, LowV: between[quantity.Voltage](w, "low", 3_000_000, 12_000_000)}
	b.OpenCircuit = between(w, "fresh", b.LowV.Or(12_000_000), 13_000_000)
	b.Internal = between[quantity.Resistance](w, "internal", 10_000, 1_700_000)
	if inside, ok := b.Internal.Get(); ok {
		b.AgedInternal = between(w, "worn", inside, inside*3/2)
	}
	b.Pulse = between[quantity.Current](w, "pulse rating", 1_000_000, 40_000_000)
	c := &inventory.Controller{Header: inventory.Header{Handle: "box"}, Supply: inventory.SharedSupply}
	c.On, c.Max = between[quantity.Resistance](w, "on", 0, 200_000), between[quantity.Current](w, "max", 1_000_000, 40_000_000)
	c.Pulse, c.Continuity = between[quantity.Time](w, "pulse", 1_000, 2_000_000), between[quantity.Current](w, "continuity", 0, 500_000)
	c.Brownout, c.Holdup = between[quantity.Voltage](w, "brown-out", 2_000_000, 9_000_000), between[quantity.Time](w, "hold-up", 0, 2_000_000)
	l := &inventory.Line{Header: inventory.Header{Handle: "pad"}, Lead: between(w, "firing lead", 0, 30_000*mm), Contact: between[quantity.Resistance](w, "contact", 0, 200_000)}
	l.LeadWire.Gauge = between[quantity.Gauge](w, "firing wire", 12, 24)
	l.Wiring = pick(w, "wiring", inventory.Parallel, inventory.Series)
	return l, b, c
}

// forget is every figure that decides or has a bound, as a way to forget it.
// Not among them: what is optional (an opening, a default, a refinement that is
// then not asked); the recorded demand and the core, from which another demand
// is inferred, and the propellant beside a recorded demand, which then stands
// alone; and no-fire, without which time-to-fire reckons a shorter time.
func forget(m *inventory.Motor, ig *inventory.Igniter, l *inventory.Line, b *inventory.Battery, c *inventory.Controller, alone bool) []func() {
	ways := []func(){
		func() { ig.Head = none[quantity.Length]() },
		func() { ig.Output = 0 },
		func() { ig.Lead = none[quantity.Length]() },
		func() { ig.LeadWire = inventory.Wire{} },
		func() { ig.AllFire = none[quantity.Current]() },
		func() { ig.Bridge = none[quantity.Resistance]() },
		func() { ig.BridgeTolerance = none[quantity.Percent]() },
		func() { m.PropellantMass = none[quantity.Mass]() },
		func() { l.Lead = none[quantity.Length]() },
		func() { l.LeadWire = inventory.Wire{} },
		func() { b.LowV = none[quantity.Voltage]() },
		func() { b.OpenCircuit = none[quantity.Voltage]() },
		func() { b.Internal = none[quantity.Resistance]() },
		func() { b.AgedInternal = none[quantity.Resistance]() },
		func() { c.On = none[quantity.Resistance]() },
		func() { c.Holdup = none[quantity.Time]() },
	}
	if m.Ignition == 0 {
		ways = append(ways, func() { m.Propellant = "" })
	}
	for i := range m.Nozzles {
		ways = append(ways,
			func() { m.Nozzles[i].Throat = none[quantity.Length]() },
			func() { m.Nozzles[i].Depth = none[quantity.Length]() })
	}
	if alone || l.Wiring == inventory.Series {
		// In parallel a greater contact evens out the shares, and may help.
		ways = append(ways, func() { l.Contact = none[quantity.Resistance]() })
	}
	return ways
}

func none[Q any]() quantity.Opt[Q] { return quantity.Opt[Q]{} }

// TestLessDataNeverMakesGo: whatever is forgotten, no rule that was not go
// becomes go.
func TestLessDataNeverMakesGo(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := &world{t: t, sparse: pick(&world{t: t}, "sparse", true, false)}
		m, ig := w.motor("m"), w.igniter("wick")
		l, b, c := w.line()
		q := &FitQuestion{Run: between(w, "run", 0, 500*mm), Line: l, Battery: b, Controller: c, Count: rapid.IntRange(1, 4).Draw(t, "count")}
		before := Fit(q, m, NozzlesOf(m)[0], ig, Defaults())
		for i, way := range forget(m, ig, l, b, c, q.Count == 1) {
			if rapid.IntRange(0, 3).Draw(t, fmt.Sprint("forget ", i)) == 0 {
				way()
			}
		}
		after := Fit(q, m, NozzlesOf(m)[0], ig, Defaults())
		for _, now := range after.List {
			was, ok := findingOf(&before.Findings, now.Rule, now.Subject)
			if ok && was.Verdict != Go && now.Verdict == Go && !spliceGone(now, before, after) {
				t.Fatalf("%s was %s (%s), is go (%s)", now.Rule, was.Verdict, was.Why(quantity.Metric), now.Why(quantity.Metric))
			}
			if now.Verdict == NoGo && now.Assumed != 0 {
				t.Fatalf("%s is a no-go on %s", now.Rule, now.Assumed)
			}
		}
	})
}

// spliceGone: where the lead can no longer be judged no splice is asked for, and
// the circuit is another one; lead-reach is unknown then.
func spliceGone(now Finding, before, after Match) bool {
	return now.Rule > LeadReach && before.NeededSplice != after.NeededSplice && after.Worst.Severity() >= Unknown.Severity()
}

// TestMoreResistanceNeverHelps: more resistance of the battery, the controller,
// the firing lead or the bridge, and of contact and own leads where an igniter
// is alone or in series, never raises the verdict of firing-current.
func TestMoreResistanceNeverHelps(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := &world{t: t}
		ig, count := w.igniter("wick"), rapid.IntRange(1, 6).Draw(t, "count")
		l, b, c := w.line()
		if pick(w, "limited", true, false) {
			c.Limit = between[quantity.Current](w, "limit", 500_000, 10_000_000)
		}
		verdict := func() (Verdict, int64) {
			var f Findings
			firingCurrent(&Circuit{Line: l, Battery: b, Controller: c, Groups: []Group{{Igniter: ig, Count: count}}}, Defaults(), &f)
			return f.List[0].Verdict, f.List[0].Value.Steps
		}
		before, current := verdict()
		more := rapid.Int64Range(1, 1_000_000).Draw(t, "more")
		raise := func(o *quantity.Opt[quantity.Resistance]) { *o = quantity.Some(o.Or(0) + quantity.Resistance(more)) }
		ways := []func(){
			func() { raise(&b.AgedInternal) },
			func() { raise(&c.On) },
			func() { raise(&ig.Bridge) },
			func() { l.Lead = quantity.Some(l.Lead.Or(0) + quantity.Length(more)*1000) },
		}
		if count == 1 || l.Wiring == inventory.Series {
			ways = append(ways, func() { raise(&l.Contact) }, func() { ig.Lead = quantity.Some(ig.Lead.Or(0) + quantity.Length(more)*100) })
		}
		pick(w, "way", ways...)()
		after, less := verdict()
		if severity[after] < severity[before] || less > current+1 {
			t.Fatalf("%s at %d uA became %s at %d uA", before, current, after, less)
		}
	})
}

// TestChartEqualsFit: the short way in bulk says what the long way says of each.
func TestChartEqualsFit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := &world{t: t, sparse: true}
		motors, igniters := w.box()
		q := &FitQuestion{Count: rapid.IntRange(0, 3).Draw(t, "count"), Run: between(w, "run", 0, 500*mm), Tube: between(w, "tube", mm, 9*mm)}
		if pick(w, "with a line", true, false) {
			q.Line, q.Battery, q.Controller = w.line()
		}
		chart := MakeChart(q, motors, igniters, Defaults())
		at := 0
		for _, m := range motors {
			for _, n := range NozzlesOf(m) {
				row := chart.Rows[at]
				at++
				for i, ig := range igniters {
					match := Fit(q, m, n, ig, Defaults())
					if row.Motor != m || row.Nozzle != match.NozzleName() || row.Verdicts[i] != match.Worst.Letter() {
						t.Fatalf("%s %s %s: %s, not %s", m.Handle, row.Nozzle, ig.Handle, row.Verdicts, match.Worst)
					}
				}
			}
		}
		if at != len(chart.Rows) {
			t.Fatalf("%d rows, not %d", len(chart.Rows), at)
		}
	})
}

func (w *world) box() (motors []*inventory.Motor, igniters []*inventory.Igniter) {
	for i := range rapid.IntRange(1, 4).Draw(w.t, "motors") {
		motors = append(motors, w.motor(fmt.Sprint("m", i)))
	}
	for i := range rapid.IntRange(1, 4).Draw(w.t, "igniters") {
		igniters = append(igniters, w.igniter(fmt.Sprint("ig", i)))
	}
	return motors, igniters
}

// TestOrderAndStrangersChangeNothing: the same matches in the same order, however
// the igniters stood, and whatever other igniter lies in the box.
func TestOrderAndStrangersChangeNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := &world{t: t, sparse: true}
		motors, igniters := w.box()
		q := &FitQuestion{Run: between(w, "run", 0, 500*mm)}
		q.Line, q.Battery, q.Controller = w.line()
		stranger := w.igniter("stranger")
		plain := answers(q, motors[0], igniters)
		if got := answers(q, motors[0], rapid.Permutation(igniters).Draw(t, "order")); got != plain {
			t.Fatalf("in another order:\n%s\nnot\n%s", got, plain)
		}
		with := append(append([]*inventory.Igniter(nil), igniters...), stranger)
		if got := answers(q, motors[0], rapid.Permutation(with).Draw(t, "order with the stranger")); got != plain {
			t.Fatalf("with a stranger:\n%s\nnot\n%s", got, plain)
		}
	})
}

// answers is all that is said of a motor and some igniters, best first, but of
// the stranger nothing.
func answers(q *FitQuestion, m *inventory.Motor, igniters []*inventory.Igniter) string {
	var list []Match
	for _, n := range NozzlesOf(m) {
		for _, ig := range igniters {
			list = append(list, Fit(q, m, n, ig, Defaults()))
		}
	}
	SortMatches(list, func(*Match) bool { return true })
	text := ""
	for _, match := range list {
		if match.Igniter.Handle == "stranger" {
			continue
		}
		text += fmt.Sprintln(match.NozzleName(), match.Igniter.Handle, match.Worst, match.NeededSplice, match.NotChecked)
		for _, f := range match.List {
			text += fmt.Sprintln(" ", f.Rule, f.Verdict, f.Why(quantity.Metric), f.Remedy(quantity.Metric))
		}
	}
	return text
}

// TestOrderOfGroupsChangesNothing: on a mixed branch it does not matter which
// type is named first.
func TestOrderOfGroupsChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := &world{t: t, sparse: true}
		l, b, c := w.line()
		one, other := Group{Igniter: w.igniter("a"), Count: 2}, Group{Igniter: w.igniter("b"), Count: 1}
		r := CheckLine(&Circuit{Line: l, Battery: b, Controller: c, Groups: []Group{one, other}}, Defaults())
		s := CheckLine(&Circuit{Line: l, Battery: b, Controller: c, Groups: []Group{other, one}}, Defaults())
		if r.Worst != s.Worst || len(r.List) != len(s.List) {
			t.Fatalf("%s and %s", r.Worst, s.Worst)
		}
		for _, f := range r.List {
			if g, ok := findingOf(&s.Findings, f.Rule, f.Subject); f.Rule != ClusterFiring && (!ok || g.Verdict != f.Verdict || g.reason != f.reason || g.Assumed != f.Assumed) {
				t.Fatalf("%s of %s: %s, then %s", f.Rule, f.Subject, f.Why(quantity.Metric), g.Why(quantity.Metric))
			}
		}
	})
}
