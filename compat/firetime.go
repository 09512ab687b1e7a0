package compat

import (
	"rangebox/compat/circuit"
	"rangebox/inventory/quantity"
)

// timeToFire: at the worst current the igniter fires within half the pulse.
// K / I^2, or with the no-fire current known -(K/Inf^2) ln(1 - (Inf/I)^2).
// Asked of pulses from a battery. Source: ours.
func timeToFire(c *Circuit, l *Limits, out *Findings) {
	if c.Controller == nil || c.fromCapacitor() {
		return
	}
	for i := range c.Groups {
		c.fireTime(i, l, out)
	}
}

func (c *Circuit) fireTime(group int, l *Limits, out *Findings) {
	ig := c.Groups[group].Igniter
	pulse, ends := c.electrics().Pulse.Get()
	k, known := ig.FiringImpulse.Get()
	if !known {
		out.skip(TimeToFire, factFiringImpulse, ig.Handle)
		return
	}
	if !ends {
		out.skip(TimeToFire, factPulse, ig.Handle)
		return
	}
	s := c.solve(l)
	if s.worstLacks != 0 || s.invalid {
		out.add(lacking(TimeToFire, ig.Handle, s.worstLacks))
		return
	}
	t, ever := circuit.TimeToFire(circuit.AmpSquaredSeconds(k.AmpSquaredSeconds()),
		circuit.Amps(ig.NoFire.Or(0).Amps()), s.leastOf(c, group))
	f := Finding{Rule: TimeToFire, Subject: ig.Handle, own: l.own[TimeToFire], Assumed: s.assumed}
	f.Limit, f.extra = amount(share(pulse, l.FireTimeShare), quantity.Second), amount(pulse, quantity.Second)
	if ever {
		f.Value = amount(seconds(t), quantity.Second)
	}
	switch {
	case !ever:
		f.Verdict, f.reason = NoGo, timeNever
	case seconds(t) <= share(pulse, l.FireTimeShare):
		f.Verdict, f.reason = Go, timeEnough
	case seconds(t) <= pulse:
		f.Verdict, f.reason = Caution, timeThin
	default:
		f.Verdict, f.reason = NoGo, timeShort
	}
	out.add(conclude(f))
}
