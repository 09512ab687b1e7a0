package compat

import (
	"math"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// throatClearance: passage less item is at least the greater of 0.2 mm and 5 %
// of the passage. A fired motor's throat has worn and proves no more than a
// caution. Source: common practice.
func throatClearance(p *Pair, l *Limits, out *Findings) {
	passage, missing := p.passage()
	item, lacks := p.item()
	f := Finding{Rule: ThroatClearance, Subject: p.Igniter.Handle, own: l.own[ThroatClearance]}
	clear := passage - item
	if clear >= 0 && missing|lacks != 0 {
		out.add(lacking(ThroatClearance, p.Igniter.Handle, missing|lacks))
		return
	}
	asked := max(l.Clearance, shareUp(passage, l.ClearanceShare))
	f.Value, f.Limit = amount(clear, quantity.Millimetre), amount(asked, quantity.Millimetre)
	switch {
	case clear < 0:
		f.Verdict, f.reason = NoGo, tooWide
	case p.nozzle().MeasuredOn == inventory.MeasuredFired:
		f.Verdict, f.reason = Caution, clearsWorn
	case clear < asked:
		f.Verdict, f.reason = Caution, clearsTightly
	default:
		f.Verdict, f.reason = Go, clears
	}
	out.add(f)
	if !p.Igniter.LeadPair.Known() && clear >= 0 {
		out.skip(ThroatClearance, factLeadPair, p.Igniter.Handle)
	}
}

// passage is the least of the recorded openings the igniter must pass.
func (p *Pair) passage() (quantity.Length, Facts) {
	n := p.nozzle()
	least := quantity.Length(math.MaxInt64)
	for _, opening := range [...]quantity.Opt[quantity.Length]{p.Tube, n.CapHole, n.Throat, p.Motor.CoreWidth} {
		least = min(least, opening.Or(math.MaxInt64))
	}
	if !n.Throat.Known() {
		return least, one(factThroat)
	}
	return least, 0
}

// item is the greater of head and lead pair.
func (p *Pair) item() (quantity.Length, Facts) {
	widest := max(p.Igniter.Head.Or(0), p.Igniter.LeadPair.Or(0))
	if !p.Igniter.Head.Known() {
		return widest, one(factHead)
	}
	return widest, 0
}
