package compat

import "rangebox/inventory/quantity"

// railSpeed: off the rail the rocket has 15 m/s, and four times the wind, so
// that the fins steer; below 10 m/s they do not. Source: common practice.
func railSpeed(c *craft, r *RocketReport) {
	if len(r.Stages) == 0 {
		return
	}
	out := &r.Stages[0].Findings
	c.railSpeed(c.flight(&scenario{}), out)
	if !c.q.Wind.Known() {
		out.skip(RailSpeed, factWind, c.q.Rocket.Handle)
	}
}

func (c *craft) railSpeed(flown *flown, out *Findings) {
	lacks := flown.lacks
	need(c.q.Rocket.Rail, factRail, &lacks)
	f := Finding{Rule: RailSpeed, Subject: c.q.Rocket.Handle, own: c.l.own[RailSpeed]}
	asked := max(c.l.RailAsked, times(c.q.Wind.Or(0), c.l.RailWind))
	f.Limit, f.extra = amount(asked, quantity.MetrePerSecond), amount(c.l.RailLeast, quantity.MetrePerSecond)
	if flown.stays {
		f.Verdict, f.reason = NoGo, neverLeaves
		out.add(f)
		return
	}
	if lacks != 0 {
		out.add(lacking(RailSpeed, c.q.Rocket.Handle, lacks))
		return
	}
	speed := speedOf(flown.RailExit.Speed) // 0 where it is at the top before
	f.Value = amount(speed, quantity.MetrePerSecond)
	switch {
	case speed < c.l.RailLeast:
		f.Verdict, f.reason = NoGo, railTooSlow
	case speed < c.l.RailAsked:
		f.Verdict, f.reason = Caution, railSlow
	case speed < asked:
		f.Verdict, f.reason = Caution, railWind
	default:
		f.Verdict, f.reason = Go, railFast
	}
	out.add(f)
}
