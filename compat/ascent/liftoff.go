package ascent

import "math"

// hold burns the motors lit on the pad until thrust exceeds weight, and shifts
// their times so that this moment is 0. It returns how long that took from the
// first thrust.
func (x *run) hold() (float64, error) {
	t := x.padClock()
	if math.IsInf(t, 1) {
		return 0, ErrNeverLeaves
	}
	first, mass := t, x.massAt(0, len(x.rocket.Stages)-1, t)
	for {
		m := motion{start: t, mass: mass}
		end := math.Inf(1)
		for i := range x.burners {
			if b := &x.burners[i]; b.by == Pad {
				b.advance(t)
				b.act(&m, t)
				end = math.Min(end, b.knot())
			}
		}
		if dt, ok := m.outweighs(end - t); ok {
			x.shift(t + dt)
			return t + dt - first, nil
		}
		if math.IsInf(end, 1) {
			return 0, ErrNeverLeaves
		}
		t, mass = end, m.massAt(end)
	}
}

// padClock lights the pad and returns when thrust first begins, +Inf if never.
func (x *run) padClock() float64 {
	first := math.Inf(1)
	for i := range x.burners {
		if b := &x.burners[i]; b.by == Pad {
			b.light(0, x.motor(b).Lag)
			first = math.Min(first, b.begin)
		}
	}
	return first
}

// shift makes time t of the pad's clock the zero of time.
func (x *run) shift(t float64) {
	for i := range x.burners {
		if b := &x.burners[i]; b.by == Pad {
			b.trigger -= t
			b.begin -= t
		}
	}
}

// outweighs returns the first moment, after the start of the stretch, at which
// thrust exceeds weight, if there is one within the length given. Thrust less
// weight is a quadratic in time, so that its vertex and its end are all there
// is to look at.
func (m *motion) outweighs(length float64) (float64, bool) {
	excess := func(dt float64) float64 {
		return m.thrust + m.slope*dt - StandardGravity*m.massAt(m.start+dt)
	}
	if excess(0) > 0 {
		return 0, true
	}
	if math.IsInf(length, 1) {
		return 0, false
	}
	slope, bend := m.slope+StandardGravity*m.flow, StandardGravity*m.rise
	hi := length
	if vertex := -slope / bend; bend < 0 && vertex > 0 && vertex < length {
		hi = vertex
	}
	if !(excess(hi) > 0) {
		return 0, false
	}
	lo := 0.0
	for range 200 {
		mid := lo + (hi-lo)/2
		if mid <= lo || mid >= hi {
			break
		}
		if excess(mid) > 0 {
			hi = mid
		} else {
			lo = mid
		}
	}
	return hi, true
}
