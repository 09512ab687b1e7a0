package compat

import (
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// spliceStep is what the length of a splice is rounded up to.
const spliceStep = 10 * quantity.Length(1_000_000)

// leadReach: lead and splice reach from the seat over the run to the clips with
// 25 mm to spare; a splice must lie outside the motor. Asked only when the run
// is given. Source: common practice.
func leadReach(p *Pair, l *Limits, out *Findings) {
	if !p.Run.Known() {
		return
	}
	needed, lacks := p.Needed(l)
	lead, known := p.Igniter.Lead.Get()
	if !known {
		lacks |= one(factLead)
	}
	if lacks != 0 {
		out.add(lacking(LeadReach, p.Igniter.Handle, lacks))
		return
	}
	f := Finding{
		Rule: LeadReach, Subject: p.Igniter.Handle, own: l.own[LeadReach],
		Value: amount(lead+p.Splice, quantity.Millimetre), Limit: amount(needed, quantity.Millimetre),
	}
	seat, _ := p.seat()
	switch {
	case lead+p.Splice >= needed && (p.Splice == 0 || lead >= seat+l.BeyondSeat):
		f.Verdict, f.reason = Go, reaches
	case lead < seat+l.BeyondSeat:
		f.Verdict, f.reason = NoGo, reachTooShort
		f.Value, f.Limit = amount(lead, quantity.Millimetre), amount(seat+l.BeyondSeat, quantity.Millimetre)
	default:
		f.Verdict, f.reason = Caution, reachesSpliced
		f.extra = amount(spliceFor(needed-lead), quantity.Millimetre)
	}
	out.add(f)
}

// Needed is the lead that reaches from the seat over the run to the clips, with
// slack; unknown without run or seat.
func (p *Pair) Needed(l *Limits) (quantity.Length, Facts) {
	seat, lacks := p.seat()
	return seat + p.Run.Or(0) + l.Slack, lacks
}

// NeededSplice is the splice that cures a short lead, up to the next 10 mm, and
// whether it can be told: 0 where none is needed. Where none would help, since it
// would lie in the nozzle or core, there is none to tell.
func (p *Pair) NeededSplice(l *Limits) (quantity.Length, bool) {
	needed, lacks := p.Needed(l)
	lead, known := p.Igniter.Lead.Get()
	if !p.Run.Known() || !known || lacks != 0 {
		return 0, false
	}
	switch seat, _ := p.seat(); {
	case lead >= needed:
		return 0, true
	case lead < seat+l.BeyondSeat:
		return 0, false
	}
	return spliceFor(needed - lead), true
}

func spliceFor(short quantity.Length) quantity.Length {
	return (short + spliceStep - 1) / spliceStep * spliceStep
}

// seat is the way from the nozzle exit to where the head must sit: the nozzle's
// depth, and the core of a composite. What is neither black powder nor composite
// is taken for composite.
func (p *Pair) seat() (quantity.Length, Facts) {
	depth, known := p.nozzle().Depth.Get()
	lacks := Facts(0)
	if !known {
		lacks = one(factDepth)
	}
	if p.Motor.Propellant == inventory.BlackPowder {
		return depth, lacks
	}
	core, known := p.Motor.Core.Get()
	if !known {
		lacks |= one(factCore)
	}
	return depth + core, lacks
}
