package compat

import (
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// supplyVoltage: where the firing battery also runs the controller's
// electronics, its terminals stay at 1.2 x brown-out while it fires, or the
// electronics bridge the pulse. The corner is that of the greatest current from
// a weak battery; missing resistances count as nothing. Source: ours.
func supplyVoltage(c *Circuit, l *Limits, out *Findings) {
	if c.Controller == nil || c.fromCapacitor() {
		return
	}
	subject := c.Controller.Handle
	switch {
	case c.Controller.Supply == 0 && c.Controller.Place != inventory.Pad && c.Controller.Place != inventory.Bench:
		out.skip(SupplyVoltage, factSupply, subject)
	case c.Controller.Supply != inventory.SharedSupply:
	case !c.Controller.Brownout.Known():
		out.skip(SupplyVoltage, factBrownout, subject)
	default:
		out.add(c.supply(subject, l))
	}
}

func (c *Circuit) supply(subject string, l *Limits) Finding {
	s := c.solve(l)
	bridged, knowsHoldup := c.bridges()
	if bridged && (s.worstLacks != 0 || s.invalid) {
		return Finding{Rule: SupplyVoltage, Subject: subject, Verdict: Go, reason: supplyOutlasted, own: l.own[SupplyVoltage]}
	}
	if s.worstLacks != 0 || s.invalid {
		return lacking(SupplyVoltage, subject, s.worstLacks)
	}
	brownout := c.Controller.Brownout.Or(0)
	lowest, shorted := volts(s.strong.Sag().Supply), volts(s.strong.SagWithOneShorted().Supply)
	f := Finding{Rule: SupplyVoltage, Subject: subject, own: l.own[SupplyVoltage], Assumed: s.assumedLeast}
	f.Value, f.extra = amount(lowest, quantity.Volt), amount(shorted, quantity.Volt)
	f.Limit = amount(times(brownout, l.SupplyMargin), quantity.Volt)
	switch {
	case bridged:
		f.Verdict, f.reason = Go, supplyBridged
	case lowest < brownout && knowsHoldup:
		f.Verdict, f.reason = NoGo, supplyFails
	case lowest < brownout:
		f.Verdict, f.reason, f.Missing = Unknown, supplyUnbridged, one(factHoldup)
	case shorted < brownout:
		f.Verdict, f.reason = Caution, supplyShorted
	case lowest < times(brownout, l.SupplyMargin):
		f.Verdict, f.reason = Caution, supplyThin
	default:
		f.Verdict, f.reason = Go, supplyHolds
	}
	return conclude(f)
}

// bridges tells whether the electronics outlast the pulse. An output without a
// pulse stays on: nothing outlasts that.
func (c *Circuit) bridges() (bridged, known bool) {
	holdup, known := c.Controller.Holdup.Get()
	pulse, ends := c.electrics().Pulse.Get()
	return known && ends && holdup >= pulse, known
}
