package ascent

import (
	"cmp"
	"math"
	"slices"
)

// eventKind orders what happens at the same moment: a stage burns out, is left
// behind, and the next is lit.
type eventKind int

const (
	burnout eventKind = iota
	separation
	ignition
)

// event is something that is known, at lift-off, to come.
type event struct {
	t     float64
	kind  eventKind
	stage int // that burns out or lights, or becomes the lowest
}

// schedule sets when each burner above the pad is lit, and lists what is to
// come, in the order of time.
func (x *run) schedule() {
	x.events = make([]event, 0, 3*len(x.rocket.Stages)+len(x.options.Open))
	for i := range x.burners {
		b := &x.burners[i]
		switch b.by {
		case Timer:
			b.light(float64(x.rocket.Stages[b.stage].Mounts[b.mount].Ignition.At), x.motor(b).Lag)
		case BurnThrough:
			b.light(x.flameOf(b.stage-1), x.motor(b).Lag)
		}
		x.out.Stages[b.stage].Mounts[b.mount] = MountFlight{int(b.count), Seconds(b.begin), Seconds(b.burnout())}
	}
	for i := range x.rocket.Stages {
		x.scheduleStage(i)
	}
	for _, o := range x.options.Open {
		x.plan(float64(o.At), separation, o.Joint+1)
	}
	slices.SortStableFunc(x.events, func(a, b event) int {
		return cmp.Or(cmp.Compare(a.t, b.t), cmp.Compare(a.kind, b.kind))
	})
}

// flameOf is when a stage's flame passes forward: at the burnout of the first of
// its motors that are open, of the last where none is said to be; +Inf if none of
// them is lit.
func (x *run) flameOf(stage int) float64 {
	mounts := x.rocket.Stages[stage].Mounts
	if !slices.ContainsFunc(mounts, func(m Mount) bool { return m.Open }) {
		return x.burnoutOf(stage)
	}
	first := math.Inf(1)
	for i := range x.burners {
		if b := &x.burners[i]; b.stage == stage && mounts[b.mount].Open && !math.IsInf(b.begin, 1) {
			first = math.Min(first, b.burnout())
		}
	}
	return first
}

// burnoutOf is when the last burner of a stage burns out, +Inf if none is lit.
func (x *run) burnoutOf(stage int) float64 {
	last := math.Inf(-1)
	for i := range x.burners {
		if b := &x.burners[i]; b.stage == stage && !math.IsInf(b.begin, 1) {
			last = math.Max(last, b.burnout())
		}
	}
	if math.IsInf(last, -1) {
		return math.Inf(1)
	}
	return last
}

func (x *run) scheduleStage(stage int) {
	first, parts := math.Inf(1), math.Inf(1)
	for i := range x.burners {
		b := &x.burners[i]
		if b.stage != stage {
			continue
		}
		first = math.Min(first, b.begin)
		switch b.by {
		case Timer: // the thrust parts the joint
			parts = math.Min(parts, b.begin)
		case BurnThrough: // the booster's flame does
			parts = math.Min(parts, b.trigger)
		}
	}
	if math.IsInf(first, 1) {
		return
	}
	s := &x.out.Stages[stage]
	s.Lit = true
	s.Ignition.Time = Seconds(first)
	s.Burnout.Time = Seconds(x.burnoutOf(stage))
	if stage > 0 {
		x.plan(parts, separation, stage)
	}
	x.plan(first, ignition, stage)
	x.plan(float64(s.Burnout.Time), burnout, stage)
}

func (x *run) plan(t float64, kind eventKind, stage int) {
	if !math.IsInf(t, 1) {
		x.events = append(x.events, event{t, kind, stage})
	}
}

// fire lets an event happen, if what it happens to is still attached.
func (x *run) fire(e event) {
	if e.stage < x.low {
		return
	}
	now := Event{x.at.state(), true}
	now.Time = Seconds(e.t)
	s := &x.out.Stages[e.stage]
	switch e.kind {
	case burnout:
		s.Burnout = now
	case ignition:
		s.Ignition = now
		s.ThrustToWeight = x.together(e) / (x.lifted(e.t) * StandardGravity)
	case separation:
		if e.stage > x.low {
			x.separate(e.stage, now)
		}
	}
}

// lifted is the mass at an ignition: on the pad, as loaded.
func (x *run) lifted(t float64) float64 {
	if t <= 0 {
		return float64(x.out.LiftoffMass)
	}
	return x.mass
}

// together is the average thrust of the motors of a stage that are lit by the
// same current, or flame, as the first.
func (x *run) together(e event) float64 {
	var sum, trigger float64
	for i := range x.burners {
		if b := &x.burners[i]; b.stage == e.stage && b.begin == e.t {
			trigger = b.trigger
		}
	}
	for i := range x.burners {
		if b := &x.burners[i]; b.stage == e.stage && b.trigger == trigger {
			sum += b.average()
		}
	}
	return sum
}

// separate leaves everything below a stage behind.
func (x *run) separate(stage int, now Event) {
	part := Part{Lowest: x.low, Highest: stage - 1, From: now.State, Body: x.rocket.body(x.low, stage-1)}
	part.Body.Mass = Kilograms(x.massAt(x.low, stage-1, x.at.t))
	for i := range x.burners {
		if b := &x.burners[i]; b.stage < stage && !b.gone {
			part.Burning = part.Burning || b.burning()
			b.gone = true
		}
	}
	for i := x.low; i < stage; i++ {
		x.out.Stages[i].Separation = now
	}
	x.out.Dropped = append(x.out.Dropped, part)
	x.mass = x.massAt(stage, len(x.rocket.Stages)-1, x.at.t)
	x.attach(stage)
}
