package compat

import "rangebox/inventory/quantity"

// batteryPulse: the greatest current - a fresh battery, igniters at the least of
// their tolerance, cool leads, missing resistances counted as nothing - is at
// most 0.8 x the battery's pulse rating and under what harms the output.
// Source: ours.
func batteryPulse(c *Circuit, l *Limits, out *Findings) {
	if c.Controller == nil {
		return
	}
	if !c.fromCapacitor() && c.Battery != nil {
		c.judgePulse(l, out)
	}
	c.judgeOutput(l, out)
}

func (c *Circuit) judgePulse(l *Limits, out *Findings) {
	subject := c.Battery.Handle
	rated, known := c.Battery.Pulse.Get()
	if !known {
		out.skip(BatteryPulse, factPulseA, subject)
		return
	}
	f, ok := c.greatest(subject, l)
	asked := share(rated, l.PulseShare)
	f.Limit = amount(asked, quantity.Ampere)
	switch got := quantity.Current(f.Value.Steps); {
	case !ok:
		f.Limit = Amount{}
	case got <= asked:
		f.Verdict, f.reason = Go, pulseWithin
	case got <= rated:
		f.Verdict, f.reason = Caution, pulseNear
	default:
		f.Verdict, f.reason = NoGo, pulseAbove
	}
	out.add(conclude(f))
}

func (c *Circuit) judgeOutput(l *Limits, out *Findings) {
	subject := c.Controller.Handle
	most, known := c.electrics().Max.Get()
	if !known {
		out.skip(BatteryPulse, factMaxA, subject)
		return
	}
	f, ok := c.greatest(subject, l)
	f.Limit = amount(most, quantity.Ampere)
	switch got := quantity.Current(f.Value.Steps); {
	case !ok:
		f.Limit = Amount{}
	case got < most:
		f.Verdict, f.reason = Go, outputWithin
	case got == most:
		f.Verdict, f.reason = Caution, outputNear
	default:
		f.Verdict, f.reason = NoGo, outputAbove
	}
	out.add(conclude(f))
}

// greatest is the finding with the greatest current as its value, or the one
// that says what that lacks.
func (c *Circuit) greatest(subject string, l *Limits) (Finding, bool) {
	s := c.solve(l)
	if s.nominalLacks != 0 || s.invalid {
		return lacking(BatteryPulse, subject, s.nominalLacks), false
	}
	most := amps(s.strong.Greatest().Total)
	return Finding{
		Rule: BatteryPulse, Subject: subject, own: l.own[BatteryPulse],
		Assumed: s.assumedLeast &^ one(factAged), Value: amount(most, quantity.Ampere),
	}, true
}
