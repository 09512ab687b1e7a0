package ascent

import "math"

// point is a state in plain numbers.
type point struct{ t, h, v float64 }

func (p point) state() State {
	return State{Time: Seconds(p.t), Height: Metres(p.h), Speed: MetresPerSecond(p.v)}
}

func (p point) finite() bool {
	sum := p.h + p.v
	return !math.IsNaN(sum) && !math.IsInf(sum, 0)
}

// motion is what acts on a body over a stretch of time without knots and
// events: thrust linear in time, mass flow in proportion to it, drag.
type motion struct {
	start  float64 // s, of the stretch
	thrust float64 // N, at the start
	slope  float64 // N/s
	mass   float64 // kg, at the start
	flow   float64 // kg/s, at the start
	rise   float64 // kg/s2, of the flow
	drag   float64 // m2, Cd A / 2
	air    air
}

// massAt is the mass at time t.
func (m *motion) massAt(t float64) float64 {
	dt := t - m.start
	return m.mass - dt*(m.flow+dt*m.rise/2)
}

// accel is the acceleration at a point.
func (m *motion) accel(p point) float64 {
	force := m.thrust + m.slope*(p.t-m.start) - m.air.density(p.h)*m.drag*p.v*math.Abs(p.v)
	return force/m.massAt(p.t) - StandardGravity
}

// step goes one classical Runge-Kutta step from p, where the acceleration is a.
func (m *motion) step(p point, a, dt float64) point {
	half := dt / 2
	v2 := p.v + half*a
	a2 := m.accel(point{p.t + half, p.h + half*p.v, v2})
	v3 := p.v + half*a2
	a3 := m.accel(point{p.t + half, p.h + half*v2, v3})
	v4 := p.v + dt*a3
	a4 := m.accel(point{p.t + dt, p.h + dt*v3, v4})
	return point{
		t: p.t + dt,
		h: p.h + dt/6*(p.v+2*(v2+v3)+v4),
		v: p.v + dt/6*(a+2*(a2+a3)+a4),
	}
}

// Steps are at most boostStep under thrust and coastStep without, and at most
// stepShare of the time in which drag would change the speed; all ours, chosen
// so that halving them moves no figure of the reference rockets by one part in
// 10^6. mostSteps ends what would never end.
const (
	boostStep = 0.025 // s
	coastStep = 0.1   // s
	stepShare = 0.1
	mostSteps = 1_000_000
)

// stepSize is the longest step to take from p in a stretch of the given length.
func (m *motion) stepSize(p point, length float64) float64 {
	k := m.air.density(p.h) * m.drag
	strongest := math.Max(m.thrust, m.massAt(p.t)*StandardGravity)
	if m.slope > 0 && m.slope*length < math.MaxFloat64 {
		strongest += m.slope * length
	}
	// Linearised, drag changes v at the rate 2 k |v| / m; |v| may come up to
	// the speed at which drag balances the strongest force, so that is allowed
	// for: k |v| = sqrt(k force).
	rate := 2 * math.Max(k*math.Abs(p.v), math.Sqrt(k*strongest)) / m.massAt(p.t)
	dt := coastStep
	if m.thrust > 0 || m.slope > 0 {
		dt = boostStep
	}
	if rate*dt > stepShare {
		dt = stepShare / rate
	}
	return dt
}

// locate returns the point within a step of length dt from p at which f is
// zero, f being of opposite signs, or zero, at the two ends. It is found by
// false position with the Illinois correction, on real steps from p.
func (m *motion) locate(p point, a, dt float64, f func(point) float64) point {
	x0, f0 := 0.0, f(p)
	if f0 == 0 {
		return p
	}
	x1, q := dt, m.step(p, a, dt)
	f1 := f(q)
	for range 100 {
		if f1 == 0 || math.Abs(x1-x0) <= 1e-15*dt {
			break
		}
		x2 := x1 - f1*(x1-x0)/(f1-f0)
		if !(math.Abs(x2-x0)+math.Abs(x2-x1) <= math.Abs(x1-x0)*(1+1e-9)) {
			x2 = x0 + (x1-x0)/2
		}
		if x2 == x1 {
			break
		}
		q = m.step(p, a, x2)
		f2 := f(q)
		if (f2 < 0) != (f1 < 0) {
			x0, f0 = x1, f1
		} else {
			f0 /= 2
		}
		x1, f1 = x2, f2
	}
	return q
}
