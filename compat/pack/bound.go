package pack

// none stands for a lot where nothing is served.
const none = -1

// amount is so much of a lot, with the cautions it has there.
type amount struct {
	lot, cautions int
	n             int64
}

// relaxed is the cheapest flow where clusters whose item is not settled may mix:
// no packing with the items settled so far costs less.
type relaxed struct {
	of   map[int][]amount // by class, in the order of the lots, what is not served last
	cost Cost
}

// bound finds the cheapest flow for the needs with the items settled so far;
// false where there is none.
func (s *search) bound() (relaxed, bool) {
	n := s.network()
	sent := n.cheapest(n.source, n.sink)
	s.effort -= n.steps + int64(len(n.first))
	if sent < n.wanted {
		return relaxed{}, false
	}
	return n.read(s.m), true
}

// network is a graph of classes and lots, and which arc means what.
type network struct {
	*graph
	source, sink int
	wanted       int64
	served       []arcOf
}

// arcOf says that an arc serves a class from a lot.
type arcOf struct {
	arc, class int
	amount
}

// network lays out source, classes, lots and sink. The cost of an arc weighs one
// unserved piece above any sum of cautions on a path or cycle, and one caution
// above any places of lots on it: a path enters the sink once.
func (s *search) network() *network {
	wanted := s.demand()
	lots, nodes := s.touched(wanted)
	n := &network{graph: newGraph(nodes), source: 0, sink: 1}
	caution := int64(2*len(lots) + 2)
	short := caution * (mostCautions*int64(nodes) + 1)
	for place, l := range lots {
		n.arc(s.node[l], n.sink, s.free[l], int64(place))
	}
	at := 2 + len(lots)
	for class, want := range wanted {
		if want == 0 {
			continue
		}
		n.wanted += want
		n.arc(n.source, at, want, 0)
		for _, c := range s.p.classes[class] {
			if s.free[c.lot] > 0 {
				n.serve(at, s.node[c.lot], class, amount{c.lot, c.cautions, want}, caution*int64(c.cautions))
			}
		}
		if s.mayShort {
			n.serve(at, n.sink, class, amount{none, 0, want}, short)
		}
		at++
	}
	return n
}

func (n *network) serve(from, to, class int, most amount, cost int64) {
	n.served = append(n.served, arcOf{n.arc(from, to, most.n, cost), class, most})
}

// demand is how much is wanted of each class.
func (s *search) demand() []int64 {
	wanted := make([]int64, len(s.p.classes))
	for _, i := range s.needs {
		wanted[s.class(i)] += s.m.needs[i].Quantity
	}
	return wanted
}

// class is the class of a need with the items settled so far.
func (s *search) class(i int) int {
	n := &s.m.needs[i]
	if n.group >= 0 && s.item[n.group] != none {
		return n.typed[s.item[n.group]]
	}
	return n.class
}

// touched lists, in order, the lots that could serve what is wanted, sets their
// nodes, and counts all nodes.
func (s *search) touched(wanted []int64) (lots []int, nodes int) {
	nodes = 2
	marked := make([]bool, len(s.m.lots))
	for class, want := range wanted {
		if want == 0 {
			continue
		}
		nodes++
		for _, c := range s.p.classes[class] {
			marked[c.lot] = s.free[c.lot] > 0
		}
	}
	for l, is := range marked {
		if is {
			s.node[l] = 2 + len(lots)
			lots = append(lots, l)
		}
	}
	return lots, nodes + len(lots)
}

// read tells what the flow serves and what that costs.
func (n *network) read(m *model) relaxed {
	r := relaxed{of: map[int][]amount{}}
	for _, s := range n.served {
		sent := n.room[s.arc^1]
		if sent == 0 {
			continue
		}
		s.n = sent
		r.of[s.class] = append(r.of[s.class], s.amount)
		r.cost = r.cost.plus(m.costOf(s.amount), sent)
	}
	return r
}

// costOf is what one piece costs.
func (m *model) costOf(a amount) Cost {
	if a.lot == none {
		return Cost{Short: 1}
	}
	c := m.lots[a.lot].each
	c.Cautions = int64(a.cautions)
	return c
}
