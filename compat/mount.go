package compat

import (
	"slices"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// motorMount: the motor's diameter is that of the mount within 1 mm, it is no
// longer, and it is to be had with the forward end and the delay that it is to
// fly with. Lengths that are not known are not checked. Source: common practice.
func motorMount(c *craft, r *RocketReport) {
	c.each(func(m *craftMount) {
		out := &r.Stages[m.stage].Findings
		out.add(c.mounted(m))
		if m.motor == nil {
			return
		}
		out.List = append(out.List, m.offered()...)
		if !m.rec.Length.Known() {
			out.skip(MotorMount, factMountLength, m.point)
		}
		if !m.motor.Length.Known() {
			out.skip(MotorMount, factLength, m.point)
		}
	})
}

func (c *craft) mounted(m *craftMount) Finding {
	if m.motor == nil {
		return lacking(MotorMount, m.point, one(factMotor))
	}
	lacks := Facts(0)
	width := need(m.rec.Width, factMountWidth, &lacks)
	diameter := need(m.motor.Diameter, factDiameter, &lacks)
	if lacks != 0 {
		return lacking(MotorMount, m.point, lacks)
	}
	f := Finding{
		Rule: MotorMount, Subject: m.point, own: c.l.own[MotorMount],
		Value: amount(diameter, quantity.Millimetre), Limit: amount(width, quantity.Millimetre),
	}
	room, known := m.rec.Length.Get()
	length := m.motor.Length.Or(0)
	switch {
	case diameter > width+c.l.MountPlay:
		f.Verdict, f.reason = NoGo, mountLarger
	case known && length > room:
		f.Verdict, f.reason = Caution, mountLonger
		f.Value, f.Limit = amount(length, quantity.Millimetre), amount(room, quantity.Millimetre)
	case diameter < width-c.l.MountPlay:
		f.Verdict, f.reason = Caution, mountAdapter
	default:
		f.Verdict, f.reason = Go, mountFits
	}
	return f
}

// headWords is what a motor's list of forward ends calls them.
var headWords = map[inventory.HeadEnd]string{
	inventory.EndDelay: inventory.HeadDelay, inventory.EndOpen: inventory.HeadOpen, inventory.EndPlugged: inventory.HeadPlugged,
}

// offered complains of a forward end or a delay that the motor is not to be had
// with; where the motor says nothing of them it cannot be told.
func (m *craftMount) offered() []Finding {
	f := Finding{Rule: MotorMount, Verdict: NoGo, Subject: m.point}
	word := headWords[m.rec.HeadEnd]
	if word != "" && len(m.motor.HeadEnds) > 0 && !slices.Contains(m.motor.HeadEnds, word) {
		f.reason = mountHeadEnd
		return []Finding{f}
	}
	if m.Entry == inventory.EntryHead && m.rec.HeadEnd == inventory.EndDelay {
		return []Finding{{Rule: MotorMount, Verdict: Caution, reason: mountEntry, Subject: m.point}}
	}
	delay, flown := m.rec.Delay.Get()
	if flown && m.rec.HeadEnd == inventory.EndDelay && !hasDelay(m.motor, delay) {
		f.reason, f.Value = mountDelay, amount(delay, quantity.Second)
		return []Finding{f}
	}
	return nil
}

// hasDelay tells whether a motor is to be had with a delay: one on offer, or one
// within what shortening gives, to a tenth of a second.
func hasDelay(m *inventory.Motor, delay quantity.Time) bool {
	offers := DelaysOf(m)
	least, most := m.DelayMin.Or(delay), m.DelayMax.Or(delay)
	adjustable := m.DelayMin.Known() && m.DelayMax.Known() && !m.DelayStep.Known() && least <= delay && delay <= most
	return len(offers) == 0 || adjustable || slices.ContainsFunc(offers, func(d quantity.Time) bool { return max(d-delay, delay-d) <= 100_000 })
}
