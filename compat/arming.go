package compat

import "rangebox/inventory"

// arming: a controller on board is kept safe by a switch or pin until it stands
// on the pad. Asked of each controller on board; a model rocket without is a
// caution. One that is to fire something in the air counts as on board. Source: High Power Rocket Safety Code (read in part): firing circuits
// on board are inhibited until in the launching position. What is more than a
// model rocket: 14 CFR 101.22 (read).
func arming(c *craft, r *RocketReport) {
	told := map[string]bool{}
	c.eachWire(func(stage int, w *wire) {
		if !w.onboard() || told[w.controller.Handle] {
			return
		}
		told[w.controller.Handle] = true
		out := &r.Stages[stage].Findings
		if w.controller.Arming == 0 {
			out.skip(Arming, factArming, w.controller.Handle)
			return
		}
		f := c.armed(w.controller)
		if w.controller.Place == 0 {
			f.Assumed |= one(factPlace)
		}
		out.add(conclude(f))
	})
}

func (c *craft) armed(ctl *inventory.Controller) Finding {
	f := Finding{Rule: Arming, Subject: ctl.Handle}
	if ctl.Arming != inventory.ArmNone {
		f.Verdict, f.reason = Go, armingSafe
		return f
	}
	high, lacks := c.highPower()
	switch {
	case lacks != 0:
		return lacking(Arming, ctl.Handle, lacks)
	case high:
		f.Verdict, f.reason = NoGo, armingNone
	default:
		f.Verdict, f.reason = Caution, armingModel
	}
	return f
}
