package compat

import "rangebox/inventory/quantity"

// motorMount: the motor's diameter is that of the mount within 1 mm, and it is
// no longer. Lengths that are not known are not checked. Source: common practice.
func motorMount(c *craft, r *RocketReport) {
	c.each(func(m *craftMount) {
		out := &r.Stages[m.stage].Findings
		out.add(c.mounted(m))
		if m.motor == nil {
			return
		}
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
