package compat

import (
	"math"
	"slices"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// sharedBattery: of two lines on one battery each fires its igniters with the
// other idle, and where the other may still be on also with it shorted at its
// leads, as an igniter may be after firing. Asked of lines that work in the same
// place. Source: ours.
func sharedBattery(c *craft, r *RocketReport) {
	circuits := c.circuits()
	circuits = slices.DeleteFunc(circuits, func(u lineUse) bool { return len(u.Groups) == 0 })
	for i := range circuits {
		circuits[i].at = c.firesAt(circuits[i].Line)
	}
	for i := range circuits {
		for j := range circuits {
			if i != j && circuits[i].shares(&circuits[j]) {
				r.Stages[circuits[i].stage].add(c.shared(&circuits[i], &circuits[j]))
			}
		}
	}
}

// shares tells whether two lines hang on one battery: the same one by the
// records, both on board or both on the ground.
func (u *lineUse) shares(other *lineUse) bool {
	return u.Battery != nil && other.Battery != nil && u.Battery.ID == other.Battery.ID &&
		!u.fromCapacitor() && !other.fromCapacitor() &&
		u.Controller != nil && other.Controller != nil && u.Controller.Place == other.Controller.Place
}

func (c *craft) shared(u, other *lineUse) Finding {
	f := u.least(&u.Circuit, c.l)
	switch {
	case f.Verdict == Unknown:
	case f.Verdict == NoGo:
		f.reason = sharedIdle
	case u.overlaps(other, c.l.DelayTolerance):
		idle := f.Assumed
		f = u.least(u.beside(other), c.l)
		f.Assumed |= idle // the battery was judged with those bounds
		fallthrough
	default:
		f = withoutNoGo(f)
	}
	f.Rule, f.Subject = SharedBattery, u.Line.Handle
	return f
}

// withoutNoGo: what fails only while the other line is shorted is a caution.
func withoutNoGo(f Finding) Finding {
	if f.Verdict == Go {
		f.reason = sharedBoth
		return f
	}
	f.reason = sharedShorted
	if f.Verdict == NoGo || f.Verdict == Unknown && f.Value.Known() {
		f.Verdict, f.Missing = Caution, 0
	}
	return f
}

// least is the finding of firing-current for the igniter that gets least of what
// it needs.
func (u *lineUse) least(on *Circuit, l *Limits) Finding {
	worst := on.firing(0, l)
	for i := 1; i < len(on.Groups); i++ {
		if f := on.firing(i, l); f.lessFavoured(worst) {
			worst = f
		}
	}
	return worst
}

// overlaps tells whether the other line may still be on when this one fires: it
// has no pulse that ends, or fires at about the same time, or nobody knows when.
// Computed moments may be off by as much as delays. Ours.
func (u *lineUse) overlaps(other *lineUse, off quantity.Percent) bool {
	pulse, ends := other.electrics().Pulse.Get()
	if !ends || math.IsNaN(u.at) || math.IsNaN(other.at) {
		return true
	}
	slack := off.Fraction() * math.Max(u.at, other.at)
	return u.at >= other.at-slack && u.at <= other.at+pulse.Seconds()+slack
}

// beside is the circuit as it is while the other line is shorted at its leads:
// the battery behind the divider that both make,
//
//	V' = (V R2 + d r) / (R2 + r)   r' = r R2 / (R2 + r)
//
// with R2 and d the resistance and the drop of the other line; or where that
// holds its current to a limit that binds, V' = V - limit r, r' = r.
func (u *lineUse) beside(other *lineUse) *Circuit {
	b := &builder{c: &other.Circuit, l: &Limits{}, least: true}
	ctl, lead := b.controller(), b.firingLead()
	r2 := float64(ctl.On) + float64(lead.Resistance(20))
	short := shorted{r2, float64(ctl.Drop), float64(ctl.Limit)}
	battery := *u.Battery
	battery.LowV, battery.AgedInternal = short.on(u.Battery.LowV, u.aged())
	battery.OpenCircuit, battery.Internal = short.on(u.Battery.OpenCircuit, u.Battery.Internal)
	on := u.Circuit
	on.Battery, on.solved = &battery, nil
	return &on
}

// aged is the worn resistance that the circuit was judged with.
func (u *lineUse) aged() quantity.Opt[quantity.Resistance] {
	if s := u.solved; s != nil && s.worstLacks == 0 {
		return quantity.Some(quantity.Resistance(toSteps(float64(s.weak.AgedInternal), 1e6)))
	}
	return u.Battery.AgedInternal
}

// shorted is a line with a short at its leads.
type shorted struct{ ohms, drop, limit float64 }

// on is a battery's voltage and resistance as another line sees them.
func (s shorted) on(v quantity.Opt[quantity.Voltage], r quantity.Opt[quantity.Resistance]) (quantity.Opt[quantity.Voltage], quantity.Opt[quantity.Resistance]) {
	if !v.Known() || !r.Known() {
		return v, r
	}
	volts, inside := v.Or(0).Volts(), r.Or(0).Ohms()
	draws := (volts - s.drop) / (inside + s.ohms)
	switch {
	case draws <= 0:
		return v, r
	case s.limit > 0 && draws > s.limit:
		return quantity.Some(quantity.Voltage(toSteps(math.Max(0, volts-s.limit*inside), 1e6))), r
	}
	total := s.ohms + inside
	return quantity.Some(quantity.Voltage(toSteps((volts*s.ohms+s.drop*inside)/total, 1e6))),
		quantity.Some(quantity.Resistance(toSteps(inside*s.ohms/total, 1e6)))
}

// firesAt is when a line fires: the first of what hangs on it. Charges that wait
// for the top fire there with everything right.
func (c *craft) firesAt(line *inventory.Line) float64 {
	f := c.flight(&scenario{})
	at := math.NaN()
	sooner := func(t float64) {
		if math.IsNaN(at) || t < at {
			at = t
		}
	}
	c.each(func(m *craftMount) {
		switch {
		case m.wire.line != line:
		case m.By == inventory.LitAtPad:
			sooner(0)
		case m.By == inventory.LitByTimer && m.At.Known():
			sooner(m.At.Or(0).Seconds())
		}
	})
	for i := range c.stages {
		for j := range c.stages[i].ways {
			w := &c.stages[i].ways[j]
			if w.wire.line != line || !f.ok() {
				continue
			}
			p, t := c.prospect(&scenario{}, f, w), c.trackOf(f, i)
			if p.works && t != nil {
				sooner(p.when(w, t))
			}
		}
	}
	return at
}
