package compat

import (
	"math"

	"rangebox/compat/ascent"
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// timerStart: after lift-off the acceleration stays at 1.5 x what starts a
// controller for as long as that must last; thrust of what is lit later does not
// count. Asked of controllers on board that light a motor by time or fire a
// charge. Source: ours.
func timerStart(c *craft, r *RocketReport) {
	f := c.coasting(0, true)
	if f.stays {
		return
	}
	told := map[string]bool{}
	c.eachFired(func(x fired) {
		ctl := x.wire.controller
		if !x.wire.onboard() || told[ctl.Handle] || x.mount != nil && x.mount.By != inventory.LitByTimer {
			return
		}
		told[ctl.Handle] = true
		if !ctl.Detect.Known() {
			r.Stages[x.stage].skip(TimerStart, factDetect, ctl.Handle)
			return
		}
		r.Stages[x.stage].add(c.starts(f, ctl))
	})
}

func (c *craft) starts(flown *flown, ctl *inventory.Controller) Finding {
	if flown.lacks != 0 {
		return lacking(TimerStart, ctl.Handle, flown.lacks)
	}
	f := Finding{Rule: TimerStart, Subject: ctl.Handle, own: c.l.own[TimerStart]}
	lasts, known := ctl.DetectTime.Get()
	if !known {
		lasts, f.Assumed = c.l.Detection, one(factDetectTime)
	}
	asked := times(ctl.Detect.Or(0), c.l.StartMargin)
	held := quantity.Acceleration(toSteps(sustained(flown.Path.States(), lasts.Seconds())/ascent.StandardGravity, 1e6))
	f.Value, f.Limit = amount(held, quantity.Gravity), amount(asked, quantity.Gravity)
	f.Verdict, f.reason = Go, timerStarts
	if held < asked {
		f.Verdict, f.reason = NoGo, timerStartsNot
	}
	return conclude(f)
}

// sustained is the greatest acceleration that lasts for a time, m/s2: of every
// stretch of that length the least, of those the greatest.
func sustained(path []ascent.State, lasts float64) float64 {
	best := 0.0
	for i := range path {
		least := math.Inf(1)
		for j := i + 1; j < len(path); j++ {
			a, b := path[j-1], path[j]
			least = math.Min(least, float64(b.Speed-a.Speed)/float64(b.Time-a.Time))
			if least <= best {
				break
			}
			if float64(b.Time-path[i].Time) >= lasts {
				best = least
				break
			}
		}
	}
	return best
}
