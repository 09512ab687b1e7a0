package compat

import (
	"math"

	"rangebox/compat/ascent"
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// stagingWindow: a stage that a timer lights gives thrust (setting, lift-off
// detection and lag together) after the booster's burnout, before its ejection
// and at 20 m/s or more, with every tolerance against it. Speeds are those of
// the stack coasting on unlit, or of what a charge has parted from it. A rocket above Class 1 by mass or propellant asks
// for an inhibit; a slip joint does not hold over a coast. Source: ours.
func stagingWindow(c *craft, r *RocketReport) {
	c.each(func(m *craftMount) {
		if m.By != inventory.LitByTimer {
			return
		}
		s := &r.Stages[m.stage]
		s.List = append(s.List, m.flies()...)
		if m.stage == 0 {
			return // lit in the air, but nothing is staged
		}
		w, lacks := c.window(m)
		if w.f.stays {
			return // what does not leave the pad stages nothing
		}
		if lacks != 0 {
			s.add(lacking(StagingWindow, m.point, lacks))
		} else {
			s.add(w.judge())
			s.List = append(s.List, w.offStep()...)
			if w.coast() > 0 && c.stages[m.stage-1].rec.Joint == 0 {
				s.skip(StagingWindow, factJoint, m.point)
			}
			if span, ok := w.settings(); ok && !s.TimerWindow.Known() {
				s.TimerWindow = quantity.Some(span)
			}
			s.List = append(s.List, c.slips(w)...)
		}
		if m.wire.controller != nil && !m.wire.controller.Step.Known() {
			s.skip(StagingWindow, factStep, m.point)
		}
		s.List = append(s.List, c.inhibited(m)...)
	})
}

// window is the time in which an upper stage may begin to thrust, and what lies
// between the timer's setting and that.
type window struct {
	c *craft
	m *craftMount
	f *flown // unlit
	// burnout of the booster; ejects on time, and at the earliest; slow and
	// tooSlow are when the speed falls to what is asked and to the least.
	burnout, ejects, early, slow, tooSlow float64
	setting, tolerance                    float64
	detect, lag                           reach
	assumed                               Facts
	step                                  float64 // 0: not known
}

// reach is a figure that lies between two bounds, and is nominal where recorded.
type reach struct{ nominal, least, most float64 }

func (c *craft) window(m *craftMount) (*window, Facts) {
	w := &window{c: c, m: m, f: c.coasting(m.stage, false)}
	lacks := w.f.lacks
	w.setting = need(m.At, factAt, &lacks).Seconds()
	if m.wire.controller == nil {
		lacks |= one(factController)
	}
	if m.motor == nil {
		lacks |= one(factMotor)
	}
	if lacks |= w.below(); lacks != 0 {
		return w, lacks
	}
	if w.f.stays {
		return w, 0
	}
	w.timer(m.wire.controller)
	w.lag = w.between(m.motor.Lag, factLag, c.l.Lag)
	w.slow = w.falls(c.l.StagingAsked)
	w.tooSlow = w.falls(c.l.StagingLeast)
	return w, 0
}

// below reads what the stage below does: when it burns out, and when it ejects.
func (w *window) below() (lacks Facts) {
	w.burnout, w.ejects, w.early = math.Inf(-1), math.Inf(1), math.Inf(1)
	stage := &w.c.stages[w.m.stage-1]
	for i := range stage.mounts {
		m := &stage.mounts[i]
		out := w.c.burnoutOf(w.f, m)
		if math.IsInf(out, 1) {
			continue
		}
		w.burnout = math.Max(w.burnout, out)
		switch m.rec.HeadEnd {
		case inventory.EndOpen:
			w.ejects, w.early = math.Min(w.ejects, out), math.Min(w.early, out)
		case inventory.EndDelay:
			delay := need(m.rec.Delay, factDelay, &lacks).Seconds()
			w.ejects = math.Min(w.ejects, out+delay)
			w.early = math.Min(w.early, out+delay*(1-w.c.l.DelayTolerance.Fraction()))
		case 0:
			lacks |= one(factHeadEnd)
		}
	}
	if math.IsInf(w.burnout, -1) && w.f.ok() {
		lacks |= one(factIgnition) // nothing burns below
	}
	return lacks
}

func (w *window) timer(ctl *inventory.Controller) {
	tolerance, ok := ctl.TimerTolerance.Get()
	if !ok {
		tolerance = w.c.l.TimerTolerance
		w.assumed |= one(factTimerTolerance)
	}
	w.tolerance = tolerance.Fraction()
	w.step = ctl.Step.Or(0).Seconds()
	w.detect = w.between(ctl.DetectTime, factDetectTime, w.c.l.Detection)
}

// between is a time that is exact where recorded, else nothing to its bound.
func (w *window) between(t quantity.Opt[quantity.Time], f Fact, most quantity.Time) reach {
	if known, ok := t.Get(); ok {
		return reach{known.Seconds(), known.Seconds(), known.Seconds()}
	}
	w.assumed |= one(f)
	return reach{0, 0, most.Seconds()}
}

// falls is when the speed of the unlit stack falls to one, after burnout.
func (w *window) falls(to quantity.Speed) float64 {
	lo, hi := w.burnout, float64(w.f.Apogee.Time)
	if w.speed(lo) <= to.MetresPerSecond() {
		return lo
	}
	for range 60 {
		mid := (lo + hi) / 2
		if w.speed(mid) > to.MetresPerSecond() {
			lo = mid
		} else {
			hi = mid
		}
	}
	return hi
}

func (w *window) speed(at float64) float64 {
	s, _ := w.f.At(ascent.Seconds(at))
	return float64(s.Speed)
}

// settings are the earliest and the latest setting of the timer that are right
// with every tolerance against them; false where there is none.
func (w *window) settings() ([2]quantity.Time, bool) {
	earliest := math.Max(0, (w.burnout-w.detect.least-w.lag.least)/(1-w.tolerance))
	latest := (math.Min(w.early, w.slow) - w.detect.most - w.lag.most) / (1 + w.tolerance)
	span := [2]quantity.Time{timeOf(ascent.Seconds(earliest)), timeOf(ascent.Seconds(latest))}
	return span, span[0] <= span[1]
}

// anyStep tells whether a step of the timer lies where thrust would begin right,
// without tolerances; where nothing would be right it is not the step's fault.
func (w *window) anyStep() bool {
	if w.step == 0 {
		return true
	}
	delay := w.detect.nominal + w.lag.nominal
	from, to := w.burnout-delay, math.Min(w.ejects, w.tooSlow)-delay
	return from >= to || math.Ceil(from/w.step-1e-9)*w.step <= to+1e-9
}

func (w *window) judge() Finding {
	l := w.c.l
	thrust := w.setting + w.detect.nominal + w.lag.nominal
	end := math.Min(w.ejects, float64(w.f.Apogee.Time))
	f := Finding{Rule: StagingWindow, Subject: w.m.point, Assumed: w.assumed, own: l.own[StagingWindow]}
	f.Value = amount(timeOf(ascent.Seconds(thrust)), quantity.Second)
	switch {
	case !w.anyStep():
		f.Verdict, f.reason = NoGo, stagingNoStep
		f.Value, f.Assumed = amount(timeOf(ascent.Seconds(w.step)), quantity.Second), 0
	case thrust < w.burnout:
		f.Verdict, f.reason, f.Limit = NoGo, stagingEarly, amount(timeOf(ascent.Seconds(w.burnout)), quantity.Second)
		if w.setting+w.detect.most+w.lag.most < w.burnout {
			f.Assumed = 0 // at no bound would it be right
		}
	case thrust > end:
		f.Verdict, f.reason, f.Limit = NoGo, stagingLate, amount(timeOf(ascent.Seconds(end)), quantity.Second)
		f.Assumed = 0 // what is not recorded only makes it later
	case w.speed(thrust) < l.StagingLeast.MetresPerSecond():
		f.Verdict, f.reason, f.Assumed = NoGo, stagingTooSlow, 0
		f.Value = amount(speedOf(ascent.MetresPerSecond(w.speed(thrust))), quantity.MetrePerSecond)
		f.extra = amount(l.StagingLeast, quantity.MetrePerSecond)
	default:
		return w.tolerances(f)
	}
	return conclude(f)
}

// tolerances judges what is right at nominal with everything against it.
func (w *window) tolerances(f Finding) Finding {
	first := w.setting*(1-w.tolerance) + w.detect.least + w.lag.least
	last := w.setting*(1+w.tolerance) + w.detect.most + w.lag.most
	if over := math.Max(w.burnout-first, last-w.early); over > 5e-7 {
		f.Verdict, f.reason = Caution, stagingOverlaps
		f.extra = amount(timeOf(ascent.Seconds(over)), quantity.Second)
		if w.burnout-first > last-w.early {
			f.Limit = amount(timeOf(ascent.Seconds(w.burnout)), quantity.Second)
		} else {
			f.Limit = amount(timeOf(ascent.Seconds(w.early)), quantity.Second)
		}
		return f
	}
	asked := w.c.l.StagingAsked
	if slowest := speedOf(ascent.MetresPerSecond(w.speed(last))); slowest < asked {
		f.Verdict, f.reason = Caution, stagingSlow
		f.Value, f.Limit = amount(max(0, slowest), quantity.MetrePerSecond), amount(asked, quantity.MetrePerSecond)
		return f
	}
	f.Verdict, f.reason = Go, stagingRight
	return f
}

// flies: what stays on the ground lights nothing in the air.
func (m *craftMount) flies() []Finding {
	switch {
	case m.wire.controller == nil || m.wire.controller.Place == inventory.Onboard:
		return nil
	case m.wire.grounded():
		return []Finding{{Rule: StagingWindow, Verdict: NoGo, reason: stagingGround, Subject: m.point}}
	}
	return []Finding{lacking(StagingWindow, m.point, one(factPlace))}
}

// coast is from the burnout below to thrust.
func (w *window) coast() float64 { return w.setting + w.detect.nominal + w.lag.nominal - w.burnout }

// offStep: a setting that the timer cannot be given.
func (w *window) offStep() []Finding {
	if w.step == 0 {
		return nil
	}
	steps := w.setting / w.step
	if math.Abs(steps-math.Round(steps))*w.step < 5e-7 {
		return nil
	}
	return []Finding{{
		Rule: StagingWindow, Verdict: Caution, reason: stagingOffStep, Subject: w.m.point,
		Value: amount(timeOf(ascent.Seconds(w.setting)), quantity.Second), Limit: amount(timeOf(ascent.Seconds(w.step)), quantity.Second),
	}}
}

// slips: a slip joint with a coast may part early.
func (c *craft) slips(w *window) []Finding {
	coast := w.coast()
	if c.stages[w.m.stage-1].rec.Joint != inventory.SlipJoint || coast <= 0 {
		return nil
	}
	return []Finding{{
		Rule: StagingWindow, Verdict: Caution, reason: stagingSlips, Subject: w.m.point,
		Value: amount(timeOf(ascent.Seconds(coast)), quantity.Second),
	}}
}

// inhibited: above 125 g of propellant or 1500 g something must keep a rocket
// that leans from lighting its upper stage.
func (c *craft) inhibited(m *craftMount) []Finding {
	ctl := m.wire.controller
	if ctl == nil || len(ctl.Inhibit) > 0 {
		return nil
	}
	f := Finding{Rule: StagingWindow, Verdict: Caution, Subject: m.point}
	mass, lacks := c.liftoffMass()
	propellant, lacksP := c.propellant()
	switch {
	case mass > modelMass:
		f.reason, f.Value, f.Limit = stagingUninhibited, amount(mass, quantity.Gram), amount(modelMass, quantity.Gram)
	case propellant > modelPropellant:
		f.reason, f.Value, f.Limit = stagingUninhibitedPropellant, amount(propellant, quantity.Gram), amount(modelPropellant, quantity.Gram)
	case lacks|lacksP != 0:
		f = lacking(StagingWindow, m.point, lacks|lacksP)
	default:
		return nil
	}
	return []Finding{f}
}
