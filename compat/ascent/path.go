package ascent

import (
	"math"
	"sort"
)

// node is a computed point and the acceleration on it. Where acceleration
// jumps, two nodes stand at the same time.
type node struct {
	point
	a float64
}

// Path is a body's way through time: every state that was computed. The zero
// value is no path.
type Path struct {
	nodes []node
	body  Body // what flies on at the end
	site  Site
}

// States returns every computed state in the order of time, dense enough to be
// joined by straight lines in a plot. Knots, ignitions, burnouts, separations,
// apogee and the ground are among them; rail exit and the highest speed lie
// between two of them.
func (p Path) States() []State {
	out := make([]State, 0, len(p.nodes))
	for i, n := range p.nodes {
		if i > 0 && n.t == p.nodes[i-1].t {
			continue
		}
		out = append(out, n.state())
	}
	return out
}

// End returns the last computed state. ok is false for a path without any.
func (p Path) End() (s State, ok bool) {
	if len(p.nodes) == 0 {
		return State{}, false
	}
	return p.nodes[len(p.nodes)-1].state(), true
}

// At returns the state at time t. Beyond the end of the path the body that flew
// last goes on in free, ballistic flight. ok is false before the path begins
// (the state is then the first, at rest where that is the pad) and after the
// ground is reached (the state is then the one of impact).
func (p Path) At(t Seconds) (s State, ok bool) {
	if len(p.nodes) == 0 || math.IsNaN(float64(t)) {
		return State{}, false
	}
	first, last := p.nodes[0], p.nodes[len(p.nodes)-1]
	switch {
	case float64(t) < first.t:
		return first.state(), false
	case float64(t) <= last.t:
		return p.within(float64(t)).state(), true
	}
	further, err := Follow(p.body, last.state(), p.site, t)
	if err != nil || further.Path.nodes[len(further.Path.nodes)-1].t < float64(t) {
		end, _ := further.Path.End()
		return end, false
	}
	return further.Path.End()
}

// within interpolates between the two nodes around t: speed by the cubic and
// height by the quintic that share values and derivatives with both.
func (p *Path) within(t float64) point {
	i := sort.Search(len(p.nodes), func(i int) bool { return p.nodes[i].t >= t })
	n := p.nodes[i]
	if n.t == t || i == 0 {
		return n.point
	}
	l := p.nodes[i-1]
	d := n.t - l.t
	x := (t - l.t) / d
	y := 1 - x
	v := y*y*(1+2*x)*l.v + x*x*(3-2*x)*n.v + d*x*y*(y*l.a-x*n.a)
	h := y*y*y*(1+3*x+6*x*x)*l.h + x*x*x*(1+3*y+6*y*y)*n.h +
		d*(x*y*y*y*(1+3*x)*l.v-y*x*x*x*(1+3*y)*n.v) +
		d*d/2*(x*x*y*y*y*l.a+y*y*x*x*x*n.a)
	return point{t, math.Max(h, math.Min(l.h, n.h)), v} // never through the pad
}

func (p *Path) push(at point, a float64) {
	if k := len(p.nodes); k > 0 && p.nodes[k-1].point == at && p.nodes[k-1].a == a {
		return
	}
	p.nodes = append(p.nodes, node{at, a})
}
