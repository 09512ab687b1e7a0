package compat

import (
	"math"

	"rangebox/compat/ascent"
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// timerStart: after lift-off the acceleration stays at 1.5 x what starts the
// timer for as long as that must last. Asked of controllers on board that light
// a motor or fire a charge by time. Source: ours.
func timerStart(c *craft, r *RocketReport) {
	f := c.flight(&scenario{})
	if f.stays {
		return
	}
	told := map[string]bool{}
	ask := func(stage int, w *wire) {
		if !w.onboard() || told[w.controller.Handle] {
			return
		}
		told[w.controller.Handle] = true
		if !w.controller.Detect.Known() {
			r.Stages[stage].skip(TimerStart, factDetect, w.controller.Handle)
			return
		}
		r.Stages[stage].add(c.starts(f, w.controller))
	}
	for i := range c.stages {
		s := &c.stages[i]
		for j := range s.mounts {
			if s.mounts[j].By == inventory.LitByTimer {
				ask(i, &s.mounts[j].wire)
			}
		}
		for j := range s.ways {
			if s.ways[j].rec.Trigger == inventory.TriggerTimer {
				ask(i, &s.ways[j].wire)
			}
		}
	}
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
