package ascent

import (
	"math"

	"rangebox/compat/thrust"
)

// Run computes the flight of a rocket from a site. Errors: a ProblemsError that
// lists every figure that is missing or cannot be; ErrNeverLeaves; ErrBeyond.
func Run(r Rocket, site Site, o Options) (Flight, error) {
	if err := check(&r, site, o); err != nil {
		return Flight{}, err
	}
	if o.scale == 0 {
		o.scale = 1
	}
	x := run{rocket: r, site: site, air: site.air(), options: o, guide: float64(r.Rail)}
	if r.Rail == 0 {
		x.guide = shortestGuide
	}
	if err := x.load(); err != nil {
		return Flight{}, err
	}
	held, err := x.hold()
	if err != nil {
		return Flight{}, err
	}
	x.out.HoldDown = Seconds(held)
	x.schedule()
	if err := x.ascend(); err != nil {
		return Flight{}, err
	}
	return x.finish()
}

// shortestGuide is the height, m, up to which a rocket without a recorded rail
// may sink back onto the pad while a motor has yet to come up. Ours.
const shortestGuide = 0.01

// run is one computation in progress.
type run struct {
	rocket  Rocket
	site    Site
	air     air
	options Options
	guide   float64
	burners []burner
	events  []event
	out     Flight

	at    point
	mass  float64
	low   int     // lowest stage attached
	drag  float64 // Cd A / 2 of what is attached
	clear bool    // of the guide
	sank  bool    // back on the guide, with thrust to come
	top   bool    // apogee reached
	steps int
}

func (x *run) motor(b *burner) *Motor {
	return &x.rocket.Stages[b.stage].Mounts[b.mount].Motor
}

func (x *run) massAt(low, high int, t float64) float64 {
	return massAt(&x.rocket, x.burners, low, high, t)
}

// load prepares the burners and the figures of the rocket on the pad.
func (x *run) load() error {
	stages := x.rocket.Stages
	mounts := 0
	for i := range stages {
		mounts += len(stages[i].Mounts)
	}
	x.burners = make([]burner, 0, mounts)
	x.out.Stages = make([]StageFlight, len(stages))
	slots := make([]MountFlight, mounts)
	for i := range stages {
		n := len(stages[i].Mounts)
		x.out.Stages[i].Mounts, slots = slots[:n:n], slots[n:]
		for j := range stages[i].Mounts {
			if err := x.loadMount(i, j); err != nil {
				return err
			}
		}
	}
	x.mass = x.massAt(0, len(stages)-1, math.Inf(-1))
	x.out.LiftoffMass = Kilograms(x.mass)
	for i := range x.burners {
		if b := &x.burners[i]; b.by == Pad {
			x.out.ThrustToWeight += b.average() / (x.mass * StandardGravity)
		}
	}
	return nil
}

func (x *run) loadMount(stage, mount int) error {
	m := &x.rocket.Stages[stage].Mounts[mount]
	if m.lit() == 0 {
		if a, err := thrust.Analyse(m.Motor.Curve, 0); err == nil {
			x.out.Impulse += NewtonSeconds(m.Count) * a.Impulse
		}
		return nil
	}
	b, err := newBurner(m, stage, mount)
	if err != nil {
		s := &x.rocket.Stages[stage]
		return &ProblemsError{[]Problem{{nameOr(s.Name, stage), nameOr(m.Name, mount), "curve", err}}}
	}
	x.burners = append(x.burners, b)
	x.out.Impulse += NewtonSeconds(m.Count) * b.figures.Impulse
	return nil
}

// ascend goes from lift-off to apogee, one stretch without knots and events
// after another.
func (x *run) ascend() error {
	x.mass = x.massAt(0, len(x.rocket.Stages)-1, 0)
	x.attach(0)
	x.out.Path.nodes = make([]node, 0, 256)
	for {
		for i := range x.burners {
			x.burners[i].advance(x.at.t)
		}
		for len(x.events) > 0 && x.events[0].t <= x.at.t {
			x.fire(x.events[0])
			x.events = x.events[1:]
		}
		m := motion{start: x.at.t, mass: x.mass, drag: x.drag, air: x.air}
		end := math.Inf(1)
		if len(x.events) > 0 {
			end = x.events[0].t
		}
		for i := range x.burners {
			x.burners[i].act(&m, x.at.t)
			end = math.Min(end, x.burners[i].knot())
		}
		if err := x.stretch(&m, end); err != nil || x.top {
			return err
		}
		x.mass = m.massAt(end)
	}
}

// attach makes a stage the lowest one attached.
func (x *run) attach(low int) {
	x.low = low
	b := x.rocket.body(low, len(x.rocket.Stages)-1)
	x.drag = b.Cd * float64(b.Area) / 2
}

// stretch goes on to the end of a stretch, or to apogee.
func (x *run) stretch(m *motion, end float64) error {
	a := m.accel(x.at)
	x.out.Path.push(x.at, a)
	for x.at.t < end {
		dt := x.options.scale * m.stepSize(x.at, end-x.at.t)
		if rest := end - x.at.t; !math.IsInf(rest, 1) {
			dt = rest / math.Ceil(rest/dt)
		}
		p := x.at
		q := m.step(p, a, dt)
		if end-q.t < dt/2 {
			q.t = end
		}
		if x.steps++; x.steps > mostSteps || q.t <= p.t || !q.finite() {
			return ErrBeyond
		}
		if q.v <= 0 || q.h < 0 {
			var err error
			if q, err = x.turn(m, p, q, a); err != nil {
				return err
			}
		}
		b := m.accel(q)
		if !x.clear && q.h == 0 && q.v == 0 {
			b = math.Max(0, b) // the pad bears what thrust does not
		}
		x.watch(m, p, q, a, b)
		x.at, a = q, b
		x.out.Path.push(q, a)
		if x.top {
			x.mass = m.massAt(q.t)
			return nil
		}
	}
	return nil
}

// turn decides what a step from p to q, after which the rocket does not rise,
// means: it rests on the pad, sinks back along the guide with thrust to come, or
// is at apogee, which is solved for.
func (x *run) turn(m *motion, p, q point, a float64) (point, error) {
	waits := !x.clear && x.rising()
	switch {
	case !waits && (x.sank || q.h <= 0 && !x.clear):
		return q, ErrNeverLeaves
	case waits && q.h <= 0:
		q.h, q.v = 0, math.Max(0, q.v) // the pad holds it
	case waits:
		x.sank = true
	default:
		q = m.locate(p, a, q.t-p.t, func(s point) float64 { return s.v })
		q.v, x.top = 0, true
	}
	return q, nil
}

// rising reports whether a motor lit on the pad, or burning, has thrust to come.
func (x *run) rising() bool {
	for i := range x.burners {
		if b := &x.burners[i]; b.burning() || b.by == Pad && !b.spent() {
			return true
		}
	}
	return false
}

// watch notes what a step from p to q, with accelerations a and b, passed.
func (x *run) watch(m *motion, p, q point, a, b float64) {
	dt := q.t - p.t
	if rail := float64(x.rocket.Rail); !x.clear && q.h >= x.guide {
		x.clear, x.sank = true, false
		if rail > 0 {
			exit := m.locate(p, a, dt, func(s point) float64 { return s.h - rail })
			x.out.RailExit = Event{exit.state(), true}
		}
	}
	fastest := q
	if a > 0 && b < 0 {
		if s := m.locate(p, a, dt, m.accel); s.v > q.v {
			fastest = s
		}
	}
	if v := MetresPerSecond(fastest.v); v > x.out.MaxSpeed.Speed {
		x.out.MaxSpeed = Event{fastest.state(), true}
	}
	if mach := fastest.v / x.air.sound(fastest.h); mach > x.out.MaxMach {
		x.out.MaxMach = mach
	}
}

// finish closes the books at apogee and follows what is left as far as asked.
func (x *run) finish() (Flight, error) {
	f := &x.out
	f.Apogee = Event{x.at.state(), true}
	for i := range x.burners {
		f.Thrusting = f.Thrusting || x.burners[i].burning() && x.burners[i].burnout() > x.at.t
	}
	for i := range f.Stages {
		s := &f.Stages[i]
		if s.Burnout.OK && !s.Separation.OK {
			s.Coast, s.CoastOK = f.Apogee.Time-s.Burnout.Time, true
		}
	}
	f.rocket, f.burners = x.rocket, x.burners
	f.Path.site, f.Path.body = x.site, x.rocket.body(x.low, len(x.rocket.Stages)-1)
	f.Path.body.Mass = Kilograms(x.mass)
	if x.options.Until <= f.Apogee.Time {
		return *f, nil
	}
	fall, err := follow(f.Path.body, f.Apogee.State, x.site, x.options.Until, x.options.scale)
	if err != nil {
		return Flight{}, err
	}
	f.Ground = fall.Ground
	f.Path.nodes = append(f.Path.nodes, fall.Path.nodes...)
	return *f, nil
}
