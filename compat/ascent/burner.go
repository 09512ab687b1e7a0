package ascent

import (
	"math"

	"rangebox/compat/thrust"
)

// burner is the motors of one mount that light.
type burner struct {
	stage, mount int
	by           By
	trigger      float64 // s, when current or flame comes
	begin        float64 // s, when thrust begins: trigger + lag
	count        float64
	curve        thrust.Curve
	next         int     // the curve's next knot ahead; 0 before thrust begins
	flow         float64 // kg of propellant per N s
	figures      thrust.Analysis
	gone         bool // left with its stage
}

// newBurner prepares a mount whose figures have been checked.
func newBurner(m *Mount, stage, mount int) (burner, error) {
	figures, err := thrust.Analyse(m.Motor.Curve, m.Motor.Propellant)
	if err != nil {
		return burner{}, err
	}
	curve, _ := thrust.Closed(m.Motor.Curve)
	return burner{
		stage: stage, mount: mount, by: m.Ignition.By,
		count: float64(m.lit()), curve: curve, figures: figures,
		flow:    float64(m.Motor.Propellant) / float64(figures.Impulse),
		trigger: math.Inf(1), begin: math.Inf(1),
	}, nil
}

// light sets when thrust begins.
func (b *burner) light(trigger float64, lag Seconds) {
	b.trigger, b.begin = trigger, trigger+float64(lag)
}

func (b *burner) burnout() float64 { return b.begin + float64(b.figures.BurnoutAt) }

// spent reports whether no thrust is to come from it.
func (b *burner) spent() bool { return b.gone || b.next == len(b.curve) }

// burning reports whether its curve is being run through.
func (b *burner) burning() bool { return b.next > 0 && !b.spent() }

// advance moves past the knots up to time t.
func (b *burner) advance(t float64) {
	for !b.spent() && b.knot() <= t {
		b.next++
	}
}

// knot is the time of the next knot, +Inf if there is none.
func (b *burner) knot() float64 {
	if b.spent() {
		return math.Inf(1)
	}
	return b.begin + float64(b.curve[b.next].T)
}

// act adds its thrust and mass flow from time t on, up to its next knot.
func (b *burner) act(m *motion, t float64) {
	if !b.burning() {
		return
	}
	from, to := b.curve[b.next-1], b.curve[b.next]
	slope := float64(to.F-from.F) / float64(to.T-from.T)
	thrust := b.count * math.Max(0, float64(from.F)+slope*(t-b.begin-float64(from.T)))
	slope *= b.count
	m.thrust += thrust
	m.slope += slope
	m.flow += b.flow * thrust
	m.rise += b.flow * slope
}

// burnt is the mass of propellant that has left it by time t.
func (b *burner) burnt(t float64) float64 {
	return b.count * b.flow * float64(b.curve.Delivered(Seconds(t-b.begin)))
}

// average is the average thrust of all its motors, N.
func (b *burner) average() float64 { return b.count * float64(b.figures.Average) }
