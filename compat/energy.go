package compat

import (
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// ignitionEnergy: the igniter's output meets the motor's demand, recorded or
// inferred from its propellant. Source: common practice.
func ignitionEnergy(p *Pair, l *Limits, out *Findings) {
	f := Finding{Rule: IgnitionEnergy, Subject: p.Igniter.Handle, own: l.own[IgnitionEnergy]}
	if p.supplied() {
		f.Verdict, f.reason = Go, heatSupplied
		out.add(f)
		return
	}
	demand, recorded, lacks := p.demand(l)
	output := p.Igniter.Output
	if output == 0 {
		lacks |= one(factOutput)
	}
	if lacks != 0 {
		out.add(lacking(IgnitionEnergy, p.Igniter.Handle, lacks))
		return
	}
	f.Value, f.Limit = heat(output), heat(demand)
	f.Verdict, f.reason, f.Assumed = p.judgeHeat(output, demand, recorded, l)
	out.add(f)
	if p.coreMatters(demand, recorded, l) && output == inventory.Medium {
		out.skip(IgnitionEnergy, factCore, p.Igniter.Handle)
	}
}

func heat(level inventory.Level) Amount { return amount(quantity.Count(level), quantity.Heat) }

// judgeHeat compares output and demand, both known.
func (p *Pair) judgeHeat(output, demand inventory.Level, recorded bool, l *Limits) (Verdict, reason, Facts) {
	composite := p.Motor.Propellant == inventory.Composite
	switch {
	case composite && output == inventory.Low:
		return NoGo, heatLowComposite, 0
	case output < demand && recorded:
		return NoGo, heatUnder, 0
	case output < demand:
		return Caution, heatUnderInferred, 0
	case p.Motor.Propellant == inventory.BlackPowder && output > demand+1:
		return Caution, heatFarAbove, 0
	case composite && output == inventory.High && demand != inventory.High:
		return p.judgeHighOnComposite(l)
	}
	return Go, heatMeets, 0
}

// judgeHighOnComposite: too much for a small motor; without its propellant mass
// it is taken for one.
func (p *Pair) judgeHighOnComposite(l *Limits) (Verdict, reason, Facts) {
	mass, known := p.Motor.PropellantMass.Get()
	switch {
	case !known:
		return Caution, heatSmallComposite, one(factPropellantMass)
	case mass < l.SmallComposite:
		return Caution, heatSmallComposite, 0
	}
	return Go, heatMeets, 0
}

// demand is the heat the motor asks for, and whether that is recorded.
func (p *Pair) demand(l *Limits) (level inventory.Level, recorded bool, lacks Facts) {
	if p.Motor.Ignition != 0 {
		return p.Motor.Ignition, true, 0
	}
	switch p.Motor.Propellant {
	case inventory.BlackPowder:
		return inventory.Low, false, 0
	case inventory.Composite:
		if p.Motor.Core.Or(0) >= l.LongCore {
			return inventory.High, false, 0
		}
		return inventory.Medium, false, 0
	}
	return 0, false, one(factPropellant)
}

// coreMatters tells that a core of unknown length could ask for more heat.
func (p *Pair) coreMatters(demand inventory.Level, recorded bool, l *Limits) bool {
	return !recorded && demand == inventory.Medium && !p.Motor.Core.Known() &&
		p.Motor.Length.Or(l.LongCore) >= l.LongCore
}

// supplied tells whether the igniter comes with the motor.
func (p *Pair) supplied() bool {
	s := p.Motor.IgniterSupplied
	return !s.IsZero() && (s.ID == p.Igniter.ID && s.Handle == "" || s.Handle == p.Igniter.Handle && s.Handle != "")
}
