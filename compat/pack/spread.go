package pack

import (
	"cmp"
	"slices"
)

// spreading gives what a flow holds for each class to the needs of that class.
type spreading struct {
	s     *search
	left  map[int][]amount // by class
	gives map[int][]amount // by need
}

// spread gives each need its own, clusters first, the greatest before the
// others, then flight by flight. It tells the first cluster that finds no item
// to be served with alone, or none.
func (s *search) spread(r relaxed) (gives map[int][]amount, mixed int) {
	x := spreading{s, make(map[int][]amount, len(r.of)), make(map[int][]amount, len(s.needs))}
	for class, of := range r.of {
		x.left[class] = slices.Clone(of)
	}
	for _, g := range s.unsettled() {
		if !x.serveGroup(g) {
			return nil, g
		}
	}
	for _, i := range s.needs {
		if _, served := x.gives[i]; !served {
			x.serve(i, none)
		}
	}
	return x.gives, none
}

// unsettled lists the clusters whose item is not settled, the greatest first.
func (s *search) unsettled() []int {
	var open []int
	for _, g := range s.groups {
		if s.item[g] == none {
			open = append(open, g)
		}
	}
	slices.SortStableFunc(open, func(a, b int) int { return cmp.Compare(s.size(b), s.size(a)) })
	return open
}

func (s *search) size(g int) (n int64) {
	for _, i := range s.m.groups[g].needs {
		n += s.m.needs[i].Quantity
	}
	return n
}

// serveGroup serves a cluster from one item, the first that will do.
func (x *spreading) serveGroup(g int) bool {
	of := &x.s.m.groups[g]
	item := none
	for _, candidate := range of.items {
		if x.fits(of, candidate) {
			item = candidate
			break
		}
	}
	if item == none && len(of.items) > 0 {
		return false
	}
	for _, i := range of.needs {
		x.serve(i, item)
	}
	return true
}

// fits tells whether what is left serves a whole cluster with one item.
func (x *spreading) fits(of *group, item int) bool {
	wanted := map[int]int64{}
	for _, i := range of.needs {
		wanted[x.s.class(i)] += x.s.m.needs[i].Quantity
	}
	for class, want := range wanted {
		for _, a := range x.left[class] {
			if x.is(a, item) {
				want -= a.n
			}
		}
		if want > 0 {
			return false
		}
	}
	return true
}

// is tells whether an amount is of an item, or of none at all; any item is
// right where none is asked for.
func (x *spreading) is(a amount, item int) bool {
	return item == none || a.lot == none || x.s.m.lots[a.lot].item == item
}

// serve gives a need what it wants of what is left for its class.
func (x *spreading) serve(i, item int) {
	want := x.s.m.needs[i].Quantity
	left := x.left[x.s.class(i)]
	x.gives[i] = nil
	for k := range left {
		if n := min(want, left[k].n); n > 0 && x.is(left[k], item) {
			x.gives[i] = append(x.gives[i], amount{left[k].lot, left[k].cautions, n})
			left[k].n -= n
			want -= n
		}
	}
}
