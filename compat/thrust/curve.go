package thrust

import (
	"errors"
	"fmt"
	"math"
	"sort"
)

// Point is one point of a thrust curve: thrust F at time T after ignition.
type Point struct {
	T Seconds
	F Newtons
}

// Curve is a thrust curve: points in the order of time, linear between them,
// nothing before the first and after the last.
type Curve []Point

// What can be wrong with a curve. Check and Analyse wrap these in a PointError
// where one point is to blame.
var (
	ErrEmpty     = errors.New("the curve has no points")
	ErrNotFinite = errors.New("not a finite number")
	ErrTime      = errors.New("time does not rise")
	ErrEarly     = errors.New("time before ignition")
	ErrNegative  = errors.New("thrust below zero")
	ErrNoThrust  = errors.New("the curve never rises above zero")

	ErrPropellant = errors.New("propellant mass is below zero or not finite")
)

// PointError says which point of a curve cannot be right, and why.
type PointError struct {
	Index int // from 0
	Point Point
	Err   error
}

// Error gives the point counted from 1, as a person counts lines.
func (e *PointError) Error() string {
	return fmt.Sprintf("point %d (%g s, %g N): %v", e.Index+1, float64(e.Point.T), float64(e.Point.F), e.Err)
}

// Unwrap returns the reason.
func (e *PointError) Unwrap() error { return e.Err }

// Check reports the first thing wrong with a curve, or nil: it needs a point,
// all numbers finite, times not before 0 and strictly rising, no thrust below
// zero. A single point is enough (Closed makes a triangle of it), and a curve
// that is zero throughout passes; Analyse refuses it.
func Check(c Curve) error {
	if len(c) == 0 {
		return ErrEmpty
	}
	for i, p := range c {
		if err := checkPoint(c, i); err != nil {
			return &PointError{Index: i, Point: p, Err: err}
		}
	}
	return nil
}

func checkPoint(c Curve, i int) error {
	p := c[i]
	switch {
	case !finite(float64(p.T)) || !finite(float64(p.F)):
		return ErrNotFinite
	case p.T < 0:
		return ErrEarly
	case i > 0 && p.T <= c[i-1].T:
		return ErrTime
	case p.F < 0:
		return ErrNegative
	}
	return nil
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// closingTime is how long after its last point a curve that ends above zero
// is taken to reach zero: the smallest step in which times are stored. It adds
// half a millionth of the last thrust in N s, so that no impulse is made up
// which the file does not hold. Ours.
const closingTime Seconds = 1e-6

// Closed returns the curve with the points that a file may leave out: a first
// one at zero at t = 0 where the curve starts later, and a last one at zero, a
// microsecond after the last, where it ends above zero. The flag says whether
// anything was supplied; if not, the curve itself is returned, else a copy. A
// curve that starts above zero at t = 0 keeps its jump. An empty curve stays
// empty.
func Closed(c Curve) (Curve, bool) {
	if len(c) == 0 {
		return c, false
	}
	first, last := c[0].T > 0, c[len(c)-1].F > 0
	if !first && !last {
		return c, false
	}
	out := make(Curve, 0, len(c)+2)
	if first {
		out = append(out, Point{})
	}
	out = append(out, c...)
	if last {
		out = append(out, closing(c))
	}
	return out, true
}

// closing is the zero point that follows a curve which ends above zero.
func closing(c Curve) Point {
	end := c[len(c)-1].T
	t := end + closingTime
	if t <= end { // times so large that a microsecond is lost in them
		t = Seconds(math.Nextafter(float64(end), math.Inf(1)))
	}
	return Point{T: t}
}

// At returns the thrust at time t after ignition, linear between points, zero
// before the first and after the last. The curve must pass Check.
func (c Curve) At(t Seconds) Newtons {
	if len(c) == 0 || !(t >= c[0].T && t <= c[len(c)-1].T) {
		return 0
	}
	i := c.after(t)
	if i == len(c) {
		return c[i-1].F
	}
	return between(c[i-1], c[i], t)
}

// Delivered returns the impulse delivered up to time t after ignition. The
// curve must pass Check.
func (c Curve) Delivered(t Seconds) NewtonSeconds {
	var sum NewtonSeconds
	for i := 1; i < len(c) && c[i-1].T < t; i++ {
		end := c[i]
		if t < end.T {
			end = Point{T: t, F: between(c[i-1], c[i], t)}
		}
		sum += area(c[i-1], end)
	}
	return sum
}

// after is the index of the first point later than t.
func (c Curve) after(t Seconds) int {
	return sort.Search(len(c), func(i int) bool { return c[i].T > t })
}

// between is the thrust at t on the line from a to b.
func between(a, b Point, t Seconds) Newtons {
	return a.F + (b.F-a.F)*Newtons((t-a.T)/(b.T-a.T))
}

// area is the trapezoid under the line from a to b.
func area(a, b Point) NewtonSeconds {
	return NewtonSeconds(float64(b.T-a.T) * (float64(a.F)/2 + float64(b.F)/2))
}
