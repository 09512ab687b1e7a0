package compat

import (
	"math"
	"strings"

	"rangebox/compat/ascent"
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// prospect is what can be expected of a way down in a scenario.
type prospect struct {
	// works tells that it will open; without it, lacks says what that is not
	// known for, and nothing where it is known not to.
	works bool
	lacks Facts
	// at is when, from lift-off; of one that waits, how long after the top or
	// after the height is passed.
	at    float64
	waits bool
}

// prospect judges a way down by what fires it; times only where the flight is
// known.
func (c *craft) prospect(sc *scenario, f *flown, w *craftWay) prospect {
	switch w.rec.By {
	case inventory.RecoverByMotor:
		return c.ejection(sc, f, w)
	case inventory.RecoverByCharge:
		return c.charge(sc, w)
	case inventory.RecoverByTumble:
		return prospect{works: true, waits: true}
	}
	return prospect{lacks: one(factRecovery)}
}

// ejection: a motor's own ejection works only if the motor was lit and has a
// delay.
func (c *craft) ejection(sc *scenario, f *flown, w *craftWay) prospect {
	best := prospect{at: math.Inf(1)}
	for i := range c.stages[w.stage].mounts {
		m := &c.stages[w.stage].mounts[i]
		if !w.ejectedBy(m) || sc.lit(m) == 0 {
			continue
		}
		switch {
		case m.rec.HeadEnd == 0:
			best.lacks |= one(factHeadEnd)
		case m.rec.HeadEnd != inventory.EndDelay:
		case !m.rec.Delay.Known():
			best.lacks |= one(factDelay)
		default:
			best.works, best.at = true, math.Min(best.at, c.ejects(sc, f, m))
		}
	}
	return best
}

// charge: it works if its line fires its igniter and its trigger comes.
func (c *craft) charge(sc *scenario, w *craftWay) prospect {
	p := prospect{at: w.rec.After.Or(0).Seconds()}
	if w.wire.line != nil && sc.dead[w.wire.line] || w.wire.grounded() {
		return p // what stays on the ground fires nothing in the air
	}
	p.lacks = w.lacksFiring()
	fails, lacks := c.unfired(w)
	if fails {
		return p
	}
	p.lacks |= lacks
	switch w.rec.Trigger {
	case inventory.TriggerTimer:
		p.at += need(w.rec.At, factAt, &p.lacks).Seconds()
	case inventory.TriggerHeight:
		p.waits = true
		need(w.rec.AtHeight, factAtHeight, &p.lacks)
	default: // the rocket tips over at the top
		p.waits = true
	}
	p.works = p.lacks == 0
	return p
}

// lacksFiring is what a charge needs to be fired, and is not recorded.
func (w *craftWay) lacksFiring() (lacks Facts) {
	if w.wire.line == nil {
		lacks |= one(factFireLine)
	}
	if w.igniter == nil {
		lacks |= one(factIgniter)
	}
	if w.rec.Trigger == 0 {
		lacks |= one(factTrigger)
	}
	return lacks
}

// unfired tells whether a charge's line is known not to fire its igniter, else
// what that cannot be told for want of.
func (c *craft) unfired(w *craftWay) (fails bool, lacks Facts) {
	if w.wire.line == nil || w.igniter == nil {
		return false, 0 // said by lacksFiring
	}
	if w.wire.controller != nil && w.wire.controller.Place == 0 {
		lacks |= one(factPlace)
	}
	said := c.lines[w.wire.line]
	if said == nil {
		return false, one(factRecovery)
	}
	for _, f := range said.List {
		switch {
		case f.Rule == FiringCurrent && f.Subject == w.igniter.Handle && f.Verdict == Unknown:
			lacks |= f.Missing
			if f.Missing == 0 { // the figures contradict each other
				lacks |= one(factOpenCircuit)
			}
		case f.Verdict != NoGo:
		case f.Rule == ClusterFiring, (f.Rule == FiringCurrent || f.Rule == TimeToFire) && f.Subject == w.igniter.Handle:
			fails = true
		}
	}
	return fails, lacks
}

// Part is one or more stages that come down together.
type Part struct {
	// Name is its stages, joined by +.
	Name            string
	Lowest, Highest int
	Verdict         Verdict
	// What brings it down: a recovery as `stage/recovery`, empty where nothing
	// does; when, and how fast and how high it then is.
	DownBy string
	Opens  quantity.Opt[quantity.Time]
	Speed  quantity.Opt[quantity.Speed]
	Height quantity.Opt[quantity.Length]
	// Ground is when it would hit the ground if nothing opened.
	Ground quantity.Opt[quantity.Time]

	end     ending
	lacks   Facts // without which it cannot be told, or not be followed
	by      *craftWay
	mass    quantity.Mass
	noMass  Facts
	forSure bool          // it has a way that works, whenever
	pushed  bool          // a motor in it has not burnt out when it opens
	live    bool          // it holds motors, and none of them was lit
	apart   quantity.Time // when it came off, 0 of what carries the top stage
	// elsewhere: the controller that opens it also opens another part.
	elsewhere bool
	// carried: it comes down by what belongs to a stage below its top, and opens
	// no joint.
	carried bool
}

// ending is how a part comes down.
type ending uint8

const (
	endsUnknown ending = iota
	endsOpen
	endsNever
	endsLate
)

// track is a part's way through time.
type track struct {
	blind     bool // nobody knows it; of the ways that work the first recorded counts
	from, top ascent.State
	ground    ascent.Event
	at        func(ascent.Seconds) (ascent.State, bool)
}

// follower follows the parts of one branch.
type follower struct {
	c     *craft
	sc    *scenario
	f     *flown
	parts []Part
}

// parts follows every part of a scenario to what brings it down.
func (c *craft) parts(sc *scenario, f *flown) []Part {
	if f.stays {
		return nil
	}
	x := &follower{c: c, sc: sc, f: f}
	top := len(c.stages) - 1
	if !f.ok() {
		for i := range c.stages {
			x.guess(i, i, f.lacks)
		}
		return x.parts
	}
	low := 0
	for _, p := range f.Dropped {
		x.follow(p.Lowest, p.Highest, x.falling(p.Body, p.From))
		low = p.Highest + 1
	}
	x.follow(low, top, &track{top: f.Apogee.State, ground: f.Ground, at: f.At})
	return x.parts
}

// falling is the track of a part from where it came off; before, it was part of
// the whole. nil where the part cannot be followed.
func (x *follower) falling(body ascent.Body, from ascent.State) *track {
	fall, err := ascent.Follow(body, from, x.c.site, ascent.Seconds(math.Inf(1)))
	if err != nil {
		return nil
	}
	t := &track{from: from, top: from, ground: fall.Ground, at: func(at ascent.Seconds) (ascent.State, bool) {
		if at < from.Time {
			return x.f.At(at)
		}
		return fall.Path.At(at)
	}}
	if fall.Apogee.OK {
		t.top = fall.Apogee.State
	}
	return t
}

// follow finds what opens first on a part, and follows what then comes apart.
func (x *follower) follow(low, high int, t *track) {
	if t == nil {
		x.guess(low, high, x.c.lacksBody(low))
		return
	}
	best, at, lacks := x.first(low, high, t)
	part := x.part(low, high)
	part.apart = timeOf(t.from.Time)
	part.lacks = lacks
	if t.ground.OK {
		part.Ground = quantity.Some(timeOf(t.ground.Time))
	}
	switch {
	case best != nil && t.ground.OK && at > float64(t.ground.Time):
		part.end, part.forSure = endsLate, true
	case best != nil:
		x.open(part, best, ascent.Seconds(at), t)
		return
	case lacks == 0:
		part.end = endsNever
	}
	x.parts = append(x.parts, part)
}

// open brings a part down by a way; where that opens a joint within it, only
// what hangs on the way's side, and the rest is followed on.
func (x *follower) open(part Part, w *craftWay, at ascent.Seconds, t *track) {
	low, high := part.Lowest, part.Highest
	state, _ := t.at(at)
	joint := x.c.jointOf(w)
	rest := [2]int{0, -1}
	part.carried = joint < 0 && w.stage < high
	apart := part.apart
	if joint >= low && joint < high {
		part, rest = x.part(low, joint), [2]int{joint + 1, high}
		if w.stage > joint {
			part, rest = x.part(joint+1, high), [2]int{low, joint}
		}
	}
	part.apart = apart
	part.end, part.by, part.DownBy, part.forSure = endsOpen, w, w.point, true
	part.pushed = w.rec.By != inventory.RecoverByTumble && x.pushes(part.Lowest, part.Highest, at)
	part.Opens = quantity.Some(timeOf(state.Time))
	part.Speed = quantity.Some(speedOf(ascent.MetresPerSecond(math.Abs(float64(state.Speed)))))
	part.Height = quantity.Some(heightOf(state.Height))
	x.parts = append(x.parts, part)
	if rest[0] <= rest[1] {
		x.fallOn(rest[0], rest[1], state)
	}
}

// pushes tells whether a motor of some stages gives thrust at a time, or is yet
// to.
func (x *follower) pushes(low, high int, at ascent.Seconds) bool {
	for s := low; s <= high; s++ {
		for _, m := range x.f.Stages[s].Mounts {
			if m.Lit > 0 && !math.IsInf(float64(m.Ignition), 1) && at < m.Burnout {
				return true
			}
		}
	}
	return false
}

// fallOn follows stages that came off without being brought down.
func (x *follower) fallOn(low, high int, state ascent.State) {
	body, ok := x.f.Section(low, high, state.Time)
	if !ok {
		x.follow(low, high, nil)
		return
	}
	x.follow(low, high, x.falling(body, state))
}

// first is the way that opens first on a part, when, and what the others lack
// where none works. Tumbling counts only where nothing else opens before the
// ground: until it opens, a part does what it does.
func (x *follower) first(low, high int, t *track) (best *craftWay, at float64, lacks Facts) {
	var tumble *craftWay
	at = math.Inf(1)
	ways := 0
	for s := low; s <= high; s++ {
		for i := range x.c.stages[s].ways {
			w := &x.c.stages[s].ways[i]
			tumbles := w.rec.By == inventory.RecoverByTumble
			if tumbles && low != high {
				continue // a stack does not tumble
			}
			ways++
			p := x.c.prospect(x.sc, x.f, w)
			lacks |= p.lacks
			switch when := p.when(w, t); {
			case tumbles:
				tumble = w
			case p.works && (best == nil || when < at):
				best, at = w, when
			}
		}
	}
	switch {
	case tumble != nil && (best == nil || t.ground.OK && at > float64(t.ground.Time)):
		return tumble, float64(t.top.Time), 0
	case best != nil:
		return best, at, 0
	case ways == 0:
		lacks |= x.c.noWay(low, high)
	}
	return nil, at, lacks
}

// noWay: no recovery recorded at all is not known; a stack whose stages only
// tumble has none.
func (c *craft) noWay(low, high int) Facts {
	for s := low; s <= high; s++ {
		if len(c.stages[s].ways) > 0 {
			return 0
		}
	}
	return one(factRecovery)
}

// when a way opens on a track.
func (p *prospect) when(w *craftWay, t *track) float64 {
	switch {
	case t.blind:
		return 0
	case !p.waits:
		return p.at
	case w.rec.Trigger == inventory.TriggerHeight:
		return t.passes(w.rec.AtHeight.Or(0).Metres()) + p.at
	}
	return float64(t.top.Time) + p.at
}

// passes is when a part comes down through a height; at the top where it never
// was so high.
func (t *track) passes(height float64) float64 {
	lo, hi := float64(t.top.Time), float64(t.ground.Time)
	if float64(t.top.Height) <= height || !t.ground.OK {
		return lo
	}
	for range 60 {
		mid := (lo + hi) / 2
		if s, _ := t.at(ascent.Seconds(mid)); float64(s.Height) > height {
			lo = mid
		} else {
			hi = mid
		}
	}
	return hi
}

// guess says what can be said of stages that cannot be followed: whether they
// have a way down at all.
func (x *follower) guess(low, high int, lacks Facts) {
	part := x.part(low, high)
	best, _, missing := x.first(low, high, &track{blind: true})
	switch {
	case best != nil:
		part.by, part.DownBy, part.lacks, part.forSure = best, best.point, lacks, true
	case missing != 0:
		part.lacks = missing
	default:
		part.end = endsNever
	}
	x.parts = append(x.parts, part)
}

// part begins the report of a part.
func (x *follower) part(low, high int) Part {
	p := Part{Lowest: low, Highest: high}
	names := make([]string, 0, high-low+1)
	for s := low; s <= high; s++ {
		names = append(names, x.c.stages[s].name)
		p.mass += need(x.c.stages[s].rec.DryMass, factDryMass, &p.noMass)
		for i := range x.c.stages[s].mounts {
			p.mass += x.c.stages[s].mounts[i].left(x.sc, &p.noMass)
		}
	}
	p.live = x.unlit(low, high)
	p.Name = strings.Join(names, "+")
	return p
}

// unlit tells whether some stages hold motors of which none lights.
func (x *follower) unlit(low, high int) bool {
	motors, lit := 0, 0
	for s := low; s <= high; s++ {
		for i := range x.c.stages[s].mounts {
			m := &x.c.stages[s].mounts[i]
			motors += m.count
			if !x.f.ok() || !math.IsInf(x.c.burnoutOf(x.f, m), 1) {
				lit += x.sc.lit(m)
			}
		}
	}
	return motors > 0 && lit == 0
}

// left is what the motors of a mount weigh once those lit have burnt out.
func (m *craftMount) left(sc *scenario, lacks *Facts) quantity.Mass {
	if m.motor == nil {
		*lacks |= one(factMotor)
		return 0
	}
	mass := quantity.Mass(m.count) * need(m.motor.Mass, factMotorMass, lacks)
	if lit := sc.lit(m); lit > 0 {
		mass -= quantity.Mass(lit) * need(m.motor.PropellantMass, factPropellantMass, lacks)
	}
	return mass
}

// lacksBody is what a part has not recorded that it would take to follow it.
func (c *craft) lacksBody(low int) (lacks Facts) {
	rec := c.stages[low].rec
	need(rec.Drag, factDrag, &lacks)
	need(rec.Diameter, factDiameter, &lacks)
	need(rec.DryMass, factDryMass, &lacks)
	if lacks == 0 {
		lacks = one(factDrag)
	}
	return lacks
}
