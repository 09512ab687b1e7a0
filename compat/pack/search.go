package pack

import "slices"

// search looks for the cheapest packing of some needs of one part, over the item
// of each cluster: depth first, each node bounded by the flow in which clusters
// not settled may mix items, settling a cluster that does mix.
type search struct {
	m        *model
	p        *part
	needs    []int   // to serve
	groups   []int   // among them
	free     []int64 // by lot
	mayShort bool    // needs may stay unserved, at a cost above all others
	anyWill  bool    // the first packing found will do
	effort   int64   // that is left

	item []int // by cluster, none: not settled
	node []int // by lot, in the network at hand
	best *packing
	cut  bool // the effort was spent before the search was through
}

// packing says what serves each need.
type packing struct {
	gives map[int][]amount
	item  []int // by cluster, as settled
	cost  Cost
}

// newSearch looks at the needs of the flights that are in.
func newSearch(m *model, p *part, free []int64, in func(flight int) bool) *search {
	s := &search{m: m, p: p, free: free, item: make([]int, len(m.groups)), node: make([]int, len(m.lots))}
	for g := range s.item {
		s.item[g] = none
	}
	for _, i := range p.needs {
		if in(m.needs[i].flight) {
			s.needs = append(s.needs, i)
		}
	}
	for _, g := range p.groups {
		if in(m.groups[g].flight) {
			s.groups = append(s.groups, g)
		}
	}
	return s
}

// run searches with so much effort.
func (s *search) run(effort int64) *packing {
	s.effort = effort
	if r, ok := s.bound(); ok {
		s.visit(r)
	}
	return s.best
}

// start takes a packing with these items as the best so far.
func (s *search) start(item []int) {
	settled := s.item
	s.item = slices.Clone(item)
	if r, ok := s.bound(); ok {
		s.keep(r)
	}
	s.item = settled
}

// keep keeps what a flow gives if no cluster mixes; else it tells which does.
func (s *search) keep(r relaxed) (mixed int) {
	gives, mixed := s.spread(r)
	if mixed == none {
		s.best = &packing{gives, s.settled(gives), r.cost}
	}
	return mixed
}

// visit looks at a node and what lies below it.
func (s *search) visit(r relaxed) {
	if s.best != nil && !r.cost.Less(s.best.cost) {
		return
	}
	mixed := s.keep(r)
	if mixed == none {
		return
	}
	g := s.firstTwin(mixed)
	for _, c := range s.children(g) {
		if s.anyWill && s.best != nil {
			break
		}
		s.item[g] = c.item
		s.visit(c.relaxed)
	}
	s.item[g] = none
}

// firstTwin is the first cluster not settled of those like g.
func (s *search) firstTwin(g int) int {
	for twin := s.twin(g); twin != none && s.item[twin] == none; twin = s.twin(g) {
		g = twin
	}
	return g
}

// twin is the cluster like g before it among those looked at.
func (s *search) twin(g int) int {
	twin := s.m.groups[g].twin
	for twin != none {
		if _, looked := slices.BinarySearch(s.groups, twin); looked {
			break
		}
		twin = s.m.groups[twin].twin
	}
	return twin
}

// child is a node with one more cluster settled.
type child struct {
	item int
	relaxed
}

// children settles a cluster in each way, the most promising first. Of clusters
// that are alike a later one takes no item before that of an earlier one: what
// that leaves out is the same with the two changed round.
func (s *search) children(g int) []child {
	var all []child
	twin := s.twin(g)
	for _, item := range s.m.groups[g].items {
		if twin != none && item < s.item[twin] {
			continue
		}
		if s.effort <= 0 {
			s.cut = true
			return all
		}
		s.item[g] = item
		if r, ok := s.bound(); ok {
			all = append(all, child{item, r})
		}
	}
	s.item[g] = none
	slices.SortStableFunc(all, func(a, b child) int { return a.cost.compare(b.cost) })
	return all
}

// settled tells the item that each cluster got.
func (s *search) settled(gives map[int][]amount) []int {
	item := slices.Clone(s.item)
	for _, g := range s.groups {
		for _, i := range s.m.groups[g].needs {
			for _, a := range gives[i] {
				if a.lot != none {
					item[g] = s.m.lots[a.lot].item
				}
			}
		}
	}
	return item
}
