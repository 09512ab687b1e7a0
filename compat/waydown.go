package compat

import (
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// wayDown: every part has something that brings it down, with everything right
// and with each motor in turn unlit; a controller or battery that is dead may
// take it away, which is a caution. Tumbling is for light spent boosters. What
// opens faster than the delay rule allows at most is a caution, except a motor's
// own ejection with everything right, which that rule judges. What opens before
// the part's motors have burnt out brings nothing down. Source: ours; the
// rule that matters most.
func (c *craft) wayDown(sc *scenario, p *Part) Finding {
	f := c.comesDown(sc, p)
	p.Verdict = f.Verdict
	return f
}

func (c *craft) comesDown(sc *scenario, p *Part) Finding {
	f := Finding{Rule: WayDown, Subject: p.Name, own: c.l.own[WayDown]}
	f.Verdict, f.reason = NoGo, wayNone
	electric := sc.fault.Kind == ControllerDead || sc.fault.Kind == BatteryDead
	if electric {
		f.Verdict = Caution
	}
	switch {
	case p.end == endsLate:
		f.Value, f.reason = amount(p.Ground.Or(0), quantity.Second), wayLate
		return f
	case p.end == endsNever:
		return f
	case p.by != nil && p.by.rec.By == inventory.RecoverByTumble && p.live:
		f.reason = wayTumblesLive
		return f
	case p.by != nil && p.by.rec.By == inventory.RecoverByTumble:
		return c.tumbles(f, p)
	case p.end == endsUnknown:
		return lacking(WayDown, p.Name, p.lacks)
	}
	speed := p.Speed.Or(0)
	f.Value = amount(speed, quantity.MetrePerSecond)
	if p.pushed {
		f.reason = wayPushed
		return f
	}
	if p.elsewhere {
		f.reason = wayElsewhere
		return f
	}
	judged := sc.fault.Kind == NoFault && p.by.rec.By == inventory.RecoverByMotor
	height := p.Height.Or(0)
	switch {
	case speed > c.l.EjectMost && !judged:
		f.Verdict, f.reason, f.Limit = Caution, wayOpensFast, amount(c.l.EjectMost, quantity.MetrePerSecond)
	case p.carried:
		f.Verdict, f.reason = Caution, wayCarries
	case p.Height.Known() && height < c.l.OpenLeast:
		f.Verdict, f.reason = Caution, wayLow
		f.Value, f.Limit = amount(height, quantity.Metre), amount(c.l.OpenLeast, quantity.Metre)
	default:
		f.Verdict, f.reason = Go, wayOpens
	}
	return f
}

// tumbles judges a part that comes down by tumbling by its mass; f says what it
// is where it is too heavy.
func (c *craft) tumbles(f Finding, p *Part) Finding {
	if p.noMass != 0 {
		return lacking(WayDown, p.Name, p.noMass)
	}
	f.Value, f.Limit, f.reason = amount(p.mass, quantity.Gram), amount(c.l.TumbleMost, quantity.Gram), wayTumblesHeavy
	if p.mass <= c.l.TumbleMost {
		f.Verdict, f.reason = Caution, wayTumbles
	}
	return f
}
