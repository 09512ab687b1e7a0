package compat

import (
	"math"
	"slices"

	"rangebox/compat/ascent"
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// delay: a motor ejects slowly, at 10 m/s at most, even where its delay is a
// fifth shorter or longer than said; beyond 20 m/s on time nothing holds. Speeds
// are those of the part that the motor is in, before and after its top. Source:
// ours; the tolerance from memory.
func delay(c *craft, r *RocketReport) {
	sc := &scenario{}
	f := c.flight(sc)
	c.each(func(m *craftMount) {
		d, ok := c.delays(sc, f, m)
		if !ok {
			return
		}
		s := &r.Stages[m.stage]
		s.add(d.flown)
		s.Delays = append(s.Delays, d.DelayReport)
		if !s.NearestDelay.Known() {
			s.NearestDelay = d.Nearest
		}
	})
}

// delayed is what there is to say of a mount's delay.
type delayed struct {
	DelayReport
	flown Finding
}

// delays judges the delay a mount flies with and every one on offer. It is asked
// of motors that are to eject; where that is not recorded it is unknown.
func (c *craft) delays(sc *scenario, f *flown, m *craftMount) (delayed, bool) {
	d := delayed{DelayReport: DelayReport{Mount: m.point, Flown: m.rec.Delay}}
	if m.motor == nil || sc.lit(m) == 0 {
		return d, false
	}
	if m.rec.HeadEnd != inventory.EndDelay {
		d.flown = lacking(Delay, m.point, one(factHeadEnd))
		return d, m.rec.HeadEnd == 0 && (m.rec.Delay.Known() || c.spokenOf(m))
	}
	if f.stays {
		return d, false
	}
	lacks := f.lacks
	j := c.judge(f, m)
	if lacks == 0 && j == nil {
		lacks = c.lacksBody(m.stage)
	}
	if lacks == 0 {
		d.Offers, d.Nearest = j.offers(m.motor)
	}
	flown := need(m.rec.Delay, factDelay, &lacks)
	if lacks != 0 {
		d.flown = lacking(Delay, m.point, lacks)
		return d, true
	}
	d.flown = j.finding(m.point, flown)
	return d, true
}

// ejecting judges delays on the track of one part.
type ejecting struct {
	c       *craft
	burnout float64
	t       *track
}

// judge is nil where the part cannot be followed.
func (c *craft) judge(f *flown, m *craftMount) *ejecting {
	if !f.ok() {
		return nil
	}
	t := c.trackOf(f, m.stage)
	burnout := c.burnoutOf(f, m)
	if t == nil || math.IsInf(burnout, 1) {
		return nil
	}
	return &ejecting{c, burnout, t}
}

// trackOf is the way through time of the part that holds a stage.
func (c *craft) trackOf(f *flown, stage int) *track {
	x := &follower{c: c, f: f}
	for _, p := range f.Dropped {
		if p.Lowest <= stage && stage <= p.Highest {
			return x.falling(p.Body, p.From)
		}
	}
	return &track{top: f.Apogee.State, ground: f.Ground, at: f.At}
}

// speed is how fast the part is so long after burnout, on the ground as it
// arrives there.
func (j *ejecting) speed(delay float64) quantity.Speed {
	s, _ := j.t.at(ascent.Seconds(j.burnout + delay))
	return speedOf(ascent.MetresPerSecond(math.Abs(float64(s.Speed))))
}

// speeds are those on time, and the greatest of early, on time and late.
func (j *ejecting) speeds(delay quantity.Time) (nominal, worst quantity.Speed) {
	d, tolerance := delay.Seconds(), j.c.l.DelayTolerance.Fraction()
	nominal = j.speed(d)
	return nominal, max(nominal, j.speed(d*(1-tolerance)), j.speed(d*(1+tolerance)))
}

func (j *ejecting) finding(subject string, delay quantity.Time) Finding {
	l := j.c.l
	nominal, worst := j.speeds(delay)
	f := Finding{Rule: Delay, Subject: subject, own: l.own[Delay]}
	f.Value, f.Limit = amount(worst, quantity.MetrePerSecond), amount(l.EjectSoft, quantity.MetrePerSecond)
	f.extra = amount(nominal, quantity.MetrePerSecond)
	switch {
	case nominal > l.EjectMost:
		f.Verdict, f.reason = NoGo, delayTooFast
		f.Value, f.Limit = f.extra, amount(l.EjectMost, quantity.MetrePerSecond)
	case worst > l.EjectSoft:
		f.Verdict, f.reason = Caution, delayFast
	default:
		f.Verdict, f.reason = Go, delaySoft
	}
	return f
}

// offers judges every delay on offer; the nearest is the one that comes nearest
// to the top, of two as near the slower.
func (j *ejecting) offers(m *inventory.Motor) (list []DelayOffer, nearest quantity.Opt[quantity.Time]) {
	coast := float64(j.t.top.Time) - j.burnout
	least := math.Inf(1)
	for _, d := range DelaysOf(m) {
		f := j.finding("", d)
		nominal, worst := j.speeds(d)
		list = append(list, DelayOffer{d, f.Verdict, nominal, worst})
		if off := math.Abs(d.Seconds() - coast); off < least {
			least, nearest = off, quantity.Some(d)
		}
	}
	return list, nearest
}

// mostDelays bounds what a step that is absurdly small can offer.
const mostDelays = 1000

// DelaysOf lists the delays a motor can be had with, shortest first: those on
// offer, and where it is adjustable what shortening from the longest by its step
// gives. Without a step only the two ends count.
func DelaysOf(m *inventory.Motor) []quantity.Time {
	list := slices.Clone(m.Delays)
	least, ok := m.DelayMin.Get()
	most, ok2 := m.DelayMax.Get()
	if ok && ok2 && least <= most {
		list = append(list, least)
		step := max(m.DelayStep.Or(most-least), (most-least)/mostDelays, 1)
		for d := most; d > least; d -= step {
			list = append(list, d)
		}
	}
	slices.Sort(list)
	return slices.Compact(list)
}
