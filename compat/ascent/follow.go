package ascent

import "math"

// Fall is what Follow found.
type Fall struct {
	Path   Path
	Apogee Event // if it still rose at the start and came so far
	Ground Event // if it reached the ground
}

// Follow lets a body fly on without thrust from a state, ballistically, until
// a time or until it reaches the ground, whichever is first. The time may be
// +Inf. A body that lacks a figure, or a state or site that cannot be, gives a
// ProblemsError; ErrBeyond as for Run.
func Follow(body Body, from State, site Site, until Seconds) (Fall, error) {
	return follow(body, from, site, until, 1)
}

func follow(body Body, from State, site Site, until Seconds, scale float64) (Fall, error) {
	if err := checkBody(body, from, site); err != nil {
		return Fall{}, err
	}
	f := faller{scale: scale}
	f.out.Path = Path{body: body, site: site, nodes: make([]node, 0, 64)}
	err := f.fall(body, point{float64(from.Time), float64(from.Height), float64(from.Speed)}, float64(until))
	return f.out, err
}

func checkBody(b Body, from State, site Site) error {
	var p problems
	p.positive("mass", float64(b.Mass))
	p.positive("area", float64(b.Area))
	p.positive("cd", b.Cd)
	p.site(site)
	if at := (point{float64(from.Time), float64(from.Height), float64(from.Speed)}); !at.finite() || math.IsNaN(at.t) || math.IsInf(at.t, 0) {
		p.add("from", ErrInvalid)
	}
	return p.err()
}

type faller struct {
	out   Fall
	scale float64 // of the steps, for the test that halves them
}

func (f *faller) fall(body Body, p point, until float64) error {
	m := motion{start: p.t, mass: float64(body.Mass), drag: body.Cd * float64(body.Area) / 2, air: f.out.Path.site.air()}
	a := m.accel(p)
	f.out.Path.push(p, a)
	for steps := 0; p.t < until; steps++ {
		if p.h <= 0 && p.v <= 0 {
			f.ground(p)
			return nil
		}
		q, last := f.next(&m, p, a, until)
		if steps > mostSteps || !q.finite() || q == p && !last {
			return ErrBeyond
		}
		p, a = q, m.accel(q)
		f.out.Path.push(p, a)
		if last {
			return nil
		}
	}
	return nil
}

// next goes one step, or less where an event ends it; last reports the ground.
func (f *faller) next(m *motion, p point, a, until float64) (q point, last bool) {
	dt := f.scale * m.stepSize(p, 0)
	ends := p.t+dt >= until
	if ends {
		dt = until - p.t
	}
	q = m.step(p, a, dt)
	if ends {
		q.t = until
	}
	if p.v > 0 && q.v <= 0 {
		q = m.locate(p, a, dt, func(x point) float64 { return x.v })
		q.v = 0
		f.out.Apogee = Event{q.state(), true}
		return q, false
	}
	if q.h <= 0 && q.v < 0 {
		if p.h > 0 {
			q = m.locate(p, a, dt, func(x point) float64 { return x.h })
		}
		q.h = 0
		f.ground(q)
		return q, true
	}
	return q, false
}

func (f *faller) ground(p point) {
	f.out.Ground = Event{p.state(), true}
}
