package thrust

// burnShare is the share of peak thrust that bounds the burn: 5 % (NFPA 1125;
// from memory).
const burnShare = 0.05

// Analysis is what a thrust curve says of its motor.
type Analysis struct {
	Impulse    NewtonSeconds // total, trapezoid integral
	Burn       Seconds       // BurnoutAt - IgnitionAt
	Average    Newtons       // Impulse / Burn
	Peak       Newtons
	IgnitionAt Seconds // first rise through 5 % of the peak, after t = 0 of the curve
	BurnoutAt  Seconds // last fall through 5 % of the peak, after t = 0 of the curve
	Isp        Seconds // Impulse / (propellant mass x g0); meaningful only with IspKnown
	IspKnown   bool    // whether a propellant mass was given
}

// Analyse computes the figures of a motor from its curve, and its specific
// impulse if the propellant mass is known (0: unknown). A curve that lacks its
// first or last zero point is analysed as Closed would complete it. It returns
// the error of Check, ErrNoThrust for a curve that is zero throughout,
// ErrPropellant for a mass that is none, or ErrNotFinite where the figures
// overflow. It goes once along the curve and does not allocate.
func Analyse(c Curve, propellant Kilograms) (Analysis, error) {
	if err := Check(c); err != nil {
		return Analysis{}, err
	}
	a := Analysis{Peak: peak(c)}
	if a.Peak == 0 {
		return Analysis{}, ErrNoThrust
	}
	if propellant < 0 || !finite(float64(propellant)) {
		return Analysis{}, ErrPropellant
	}
	a.sweep(c)
	a.Burn = a.BurnoutAt - a.IgnitionAt
	a.Average = Newtons(float64(a.Impulse) / float64(a.Burn))
	if propellant != 0 {
		a.Isp = Seconds(float64(a.Impulse) / (float64(propellant) * StandardGravity))
		a.IspKnown = true
	}
	if !finite(float64(a.Impulse)) || !finite(float64(a.Average)) || !finite(float64(a.Isp)) || a.Burn <= 0 {
		return Analysis{}, ErrNotFinite
	}
	return a, nil
}

func peak(c Curve) Newtons {
	var most Newtons
	for _, p := range c {
		most = max(most, p.F)
	}
	return most
}

// sweep goes once along the completed curve, adds up the impulse and notes the
// crossings of the burn threshold.
func (a *Analysis) sweep(c Curve) {
	s := sweeper{Analysis: a, level: burnShare * a.Peak}
	if c[0].T > 0 {
		s.add(Point{})
	}
	for _, p := range c {
		s.add(p)
	}
	if c[len(c)-1].F > 0 {
		s.add(closing(c))
	}
}

type sweeper struct {
	*Analysis
	level   Newtons
	last    Point
	started bool // a point was seen
	lit     bool // the threshold was reached
}

func (s *sweeper) add(p Point) {
	switch {
	case !s.started:
		if p.F >= s.level {
			s.IgnitionAt, s.lit = p.T, true
		}
	case p.F >= s.level && !s.lit:
		s.IgnitionAt, s.lit = crossing(s.last, p, s.level), true
	case p.F < s.level && s.last.F >= s.level:
		s.BurnoutAt = crossing(s.last, p, s.level)
	}
	if s.started {
		s.Impulse += area(s.last, p)
	}
	s.last, s.started = p, true
}

// crossing is the time at which the line from a to b is at a level between
// the two.
func crossing(a, b Point, level Newtons) Seconds {
	return a.T + (b.T-a.T)*Seconds((level-a.F)/(b.F-a.F))
}
