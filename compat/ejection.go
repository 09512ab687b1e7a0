package compat

import (
	"rangebox/compat/charge"
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// ejectionCharge: the recorded powder makes 10 psi without pins, or 1.5 x the
// force of all pins; too much is a caution, and more force than the user's limit
// a no-go. What is judged is the powder recorded, not the one recommended. Source:
// ours; the powder's constants are those of the trade (package charge).
func ejectionCharge(c *craft, r *RocketReport) {
	for i := range c.stages {
		for j := range c.stages[i].ways {
			w := &c.stages[i].ways[j]
			if w.rec.By != inventory.RecoverByCharge {
				continue
			}
			s := &r.Stages[i]
			report := c.powder(w)
			s.Charges = append(s.Charges, report)
			s.add(c.chargeFinding(w, &report))
		}
	}
}

// powder works out what a charge should and does make. Where pins hold whose
// number or force is not known nothing is recommended.
func (c *craft) powder(w *craftWay) ChargeReport {
	r := ChargeReport{Recovery: w.rec.Name}
	joint := charge.Joint{
		Bore: charge.Metres(w.rec.Bore.Or(0).Metres()), Length: charge.Metres(w.rec.Length.Or(0).Metres()),
		Target: charge.Pascals(w.rec.Target.Or(0).Pascals()),
		Pins:   int(w.rec.Pins.Or(0)), PinForce: charge.Newtons(w.rec.PinForce.Or(0).Newtons()),
		Factor: c.l.PinMargin.Float(),
	}
	if w.rec.Bore.Known() && w.rec.Length.Known() {
		r.Short = quantity.Some(grams(charge.ShortRule(joint.Bore, joint.Length)))
	}
	if rec, err := charge.Recommend(joint); err == nil && (joint.Pins > 0 || !c.pinned(w)) {
		r.Powder, r.Computed = quantity.Some(grams(rec.Powder)), quantity.Some(grams(rec.Computed))
	}
	powder, ok := w.rec.PowderMass.Get()
	if !ok || !r.Short.Known() {
		return r
	}
	made := charge.Pressure(charge.Kilograms(powder.Kilograms()), charge.Cylinder(joint.Bore, joint.Length))
	r.Made = quantity.Some(quantity.Pressure(toSteps(float64(made), 1e3)))
	r.Force = quantity.Some(quantity.Force(toSteps(float64(charge.Force(made, charge.Disk(joint.Bore))), 1e3)))
	return r
}

func grams(m charge.Kilograms) quantity.Mass { return quantity.Mass(toSteps(float64(m), 1e12)) }

func (c *craft) chargeFinding(w *craftWay, r *ChargeReport) Finding {
	lacks := Facts(0)
	need(w.rec.Bore, factBore, &lacks)
	need(w.rec.Length, factLength, &lacks)
	powder := need(w.rec.PowderMass, factPowderMass, &lacks)
	if c.pinned(w) {
		lacks |= w.lacksPins()
	}
	if lacks != 0 {
		return lacking(EjectionCharge, w.point, lacks)
	}
	f := Finding{Rule: EjectionCharge, Subject: w.point, own: c.l.own[EjectionCharge]}
	force := r.Force.Or(0)
	limit, limited := w.rec.ForceLimit.Get()
	switch {
	case limited && force > limit:
		f.Value, f.Limit = amount(force, quantity.Newton), amount(limit, quantity.Newton)
		f.Verdict, f.reason = NoGo, chargeForce
		return f
	case c.pinned(w):
		return c.shears(f, w, r)
	}
	return c.presses(f, r, powder)
}

// pinned tells whether pins hold what a way opens: it says so, or the joint does.
func (c *craft) pinned(w *craftWay) bool {
	joint := c.jointOf(w)
	return w.rec.Pins.Or(0) > 0 || !w.rec.Pins.Known() && w.rec.PinForce.Known() ||
		joint >= 0 && c.stages[joint].rec.Joint == inventory.PinnedJoint
}

// lacksPins: no pins in a joint that is pinned is a number not known.
func (w *craftWay) lacksPins() (lacks Facts) {
	need(w.rec.PinForce, factPinForce, &lacks)
	if w.rec.Pins.Or(0) == 0 {
		lacks |= one(factPins)
	}
	return lacks
}

func (c *craft) shears(f Finding, w *craftWay, r *ChargeReport) Finding {
	force, powder := r.Force.Or(0), w.rec.PowderMass.Or(0)
	all := w.rec.PinForce.Or(0) * quantity.Force(w.rec.Pins.Or(0))
	asked := times(all, c.l.PinMargin)
	f.Value, f.Limit = amount(force, quantity.Newton), amount(asked, quantity.Newton)
	switch {
	case force < all:
		f.Verdict, f.reason = NoGo, pinsHold
	case force < asked:
		f.Verdict, f.reason = Caution, pinsThin
	case powder > c.mostPowder(r):
		f.Verdict, f.reason = Caution, chargeOver
		f.Value, f.Limit = amount(powder, quantity.Gram), amount(c.mostPowder(r), quantity.Gram)
	default:
		f.Verdict, f.reason = Go, pinsShear
	}
	return f
}

// mostPowder is what is not yet much.
func (c *craft) mostPowder(r *ChargeReport) quantity.Mass {
	return max(c.l.ChargeOverMass, times(r.Powder.Or(0), c.l.ChargeOver))
}

func (c *craft) presses(f Finding, r *ChargeReport, powder quantity.Mass) Finding {
	made := r.Made.Or(0)
	f.Value, f.Limit = amount(made, quantity.Kilopascal), amount(c.l.ChargeAsked, quantity.Kilopascal)
	most := c.mostPowder(r)
	switch {
	case made < c.l.ChargeLeast:
		f.Verdict, f.reason = NoGo, chargeLittle
	case made < c.l.ChargeAsked:
		f.Verdict, f.reason = Caution, chargeThin
	case powder > most:
		f.Verdict, f.reason = Caution, chargeOver
		f.Value, f.Limit = amount(powder, quantity.Gram), amount(most, quantity.Gram)
	default:
		f.Verdict, f.reason = Go, chargeEnough
	}
	return f
}
