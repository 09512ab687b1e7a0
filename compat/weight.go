package compat

import (
	"rangebox/compat/ascent"
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// thrustToWeight: the sum of the average thrusts of the motors lit on the pad is
// at least five times the weight as loaded, and never below three. It needs no
// flight. Sources: 5, common practice; 3, safety code (from memory).
func thrustToWeight(c *craft, r *RocketReport) {
	if len(r.Stages) == 0 {
		return
	}
	sc := &scenario{}
	f := c.thrustToWeight(sc, c.flight(sc))
	r.Stages[0].add(f)
	if f.Value.Known() {
		r.Flight.ThrustToWeight = quantity.Some(f.Value.Float())
	}
}

func (c *craft) thrustToWeight(sc *scenario, flown *flown) Finding {
	mass, lacks := c.liftoffMass()
	thrust, lacksThrust := c.padThrust(sc)
	if lacks |= lacksThrust; lacks != 0 {
		return lacking(ThrustToWeight, c.q.Rocket.Handle, lacks)
	}
	ratio := numberOf(thrust / (mass.Kilograms() * ascent.StandardGravity))
	f := Finding{Rule: ThrustToWeight, Subject: c.q.Rocket.Handle, own: c.l.own[ThrustToWeight]}
	f.Value, f.Limit = amount(ratio, quantity.One), amount(c.l.ThrustAsked, quantity.One)
	f.extra = amount(c.l.ThrustLeast, quantity.One)
	switch {
	case flown.stays:
		f.Verdict, f.reason = NoGo, neverLeaves
	case ratio < c.l.ThrustLeast:
		f.Verdict, f.reason = NoGo, thrustLittle
	case ratio < c.l.ThrustAsked:
		f.Verdict, f.reason = Caution, thrustThin
	default:
		f.Verdict, f.reason = Go, thrustEnough
	}
	return f
}

// padThrust is the sum of the average thrusts of the motors lit on the pad, N.
func (c *craft) padThrust(sc *scenario) (sum float64, lacks Facts) {
	lit := false
	c.each(func(m *craftMount) {
		switch {
		case m.By == 0:
			lacks |= one(factIgnition)
		case m.By == inventory.LitAtPad:
			lit = true
			lacks |= m.lacksCurve()
			sum += float64(sc.lit(m)) * float64(m.figures.Average)
		}
	})
	if !lit {
		lacks |= one(factIgnition)
	}
	return sum, lacks
}
