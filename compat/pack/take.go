package pack

// taker decides which flights are taken, in their order.
type taker struct {
	m      *model
	taken  []bool
	stocks []*stock // by part
	free   []int64  // by lot
	effort int64
	cut    bool
}

// stock is what one part has left beside the flights taken: a flow from classes
// to lots that more can be pushed through.
type stock struct {
	*graph
	sink    int
	item    []int // by cluster, as settled
	journal []pushed
	seen    []int32 // by node: the round in which it was reached
	round   int32
	via     []int32
}

// pushed is an entry of the journal by which a flight is put back.
type pushed struct {
	arc int
	n   int64
}

func newTaker(m *model, effort int64) *taker {
	t := &taker{m: m, taken: make([]bool, len(m.ofs)), free: make([]int64, len(m.lots)), effort: effort}
	for l := range m.lots {
		t.free[l] = max(m.lots[l].Free, 0)
	}
	items := make([]int, len(m.groups))
	for g := range items {
		items[g] = none
	}
	for p := range m.parts {
		t.stocks = append(t.stocks, t.newStock(&m.parts[p], items))
	}
	return t
}

// newStock lays out the classes, the lots that they know and the sink.
func (t *taker) newStock(p *part, item []int) *stock {
	node, nodes := map[int]int{}, len(p.classes)+1
	for _, of := range p.classes {
		for _, c := range of {
			if _, known := node[c.lot]; !known {
				node[c.lot] = nodes
				nodes++
			}
		}
	}
	s := &stock{graph: newGraph(nodes), sink: len(p.classes), seen: make([]int32, nodes), via: make([]int32, nodes)}
	s.item = append(s.item, item...)
	added := make(map[int]bool, len(node))
	for class, of := range p.classes {
		for _, c := range of {
			s.arc(class, node[c.lot], far/4, 0)
			if !added[c.lot] {
				added[c.lot] = true
				s.arc(node[c.lot], s.sink, t.free[c.lot], 0)
			}
		}
	}
	return s
}

// take takes a flight if it can be served with those taken before. Where it can
// not, all is as it was.
func (t *taker) take(f int) bool {
	t.taken[f] = true
	var undo []func()
	for _, p := range t.m.partsOf(f) {
		back, ok := t.takePart(f, p)
		if !ok {
			for _, put := range undo {
				put()
			}
			t.taken[f] = false
			return false
		}
		undo = append(undo, back)
	}
	return true
}

// partsOf lists the parts that a flight has needs in.
func (m *model) partsOf(f int) []int {
	var parts []int
	known := map[int]bool{}
	for _, i := range m.ofs[f] {
		if p := m.needs[i].part; !known[p] {
			known[p] = true
			parts = append(parts, p)
		}
	}
	return parts
}

// takePart serves what a flight needs in one part: along augmenting paths while
// the items of the clusters stay, else, where there are clusters, by searching
// them anew.
func (t *taker) takePart(f, p int) (undo func(), ok bool) {
	before := t.stocks[p]
	mark := len(before.journal)
	if before.serveFlight(t.m, f, p) {
		return func() { before.undo(mark) }, true
	}
	search := newSearch(t.m, &t.m.parts[p], t.free, func(flight int) bool { return t.taken[flight] })
	if len(search.groups) == 0 {
		return nil, false
	}
	search.anyWill = true
	found := search.run(t.share())
	t.effort -= t.share() - search.effort
	if found == nil {
		t.cut = t.cut || search.cut
		return nil, false
	}
	t.stocks[p] = t.restock(p, found.item)
	return func() { t.stocks[p] = before }, true
}

// share is the effort for one search: no single one spends all there is.
func (t *taker) share() int64 { return t.effort/4 + 1 }

// restock serves the flights taken anew with these items.
func (t *taker) restock(p int, item []int) *stock {
	s := t.newStock(&t.m.parts[p], item)
	for _, i := range t.m.parts[p].needs {
		n := &t.m.needs[i]
		switch {
		case !t.taken[n.flight]:
		case n.group >= 0:
			s.send(n.typed[item[n.group]], n.Quantity)
		default:
			s.send(n.class, n.Quantity)
		}
	}
	return s
}

// serveFlight serves what a flight needs in this part, or nothing.
func (s *stock) serveFlight(m *model, f, p int) bool {
	mark := len(s.journal)
	for _, i := range m.ofs[f] {
		n := &m.needs[i]
		if n.part != p {
			continue
		}
		ok := true
		switch {
		case n.group < 0:
			ok = s.send(n.class, n.Quantity)
		case m.groups[n.group].needs[0] == i:
			ok = s.serveGroup(m, n.group)
		}
		if !ok {
			s.undo(mark)
			return false
		}
	}
	return true
}

// serveGroup serves a cluster with the first item that will do.
func (s *stock) serveGroup(m *model, g int) bool {
	mark := len(s.journal)
	for _, item := range m.groups[g].items {
		s.item[g] = item
		ok := true
		for _, i := range m.groups[g].needs {
			ok = ok && s.send(m.needs[i].typed[item], m.needs[i].Quantity)
		}
		if ok {
			return true
		}
		s.undo(mark)
	}
	return false
}

// send serves so much of a class along augmenting paths. Where it can not it
// has sent what it could.
func (s *stock) send(class int, want int64) bool {
	for want > 0 {
		if !s.reach(class) {
			return false
		}
		n := want
		for v := s.sink; v != class; v = int(s.to[s.via[v]^1]) {
			n = min(n, s.room[s.via[v]])
		}
		for v := s.sink; v != class; v = int(s.to[s.via[v]^1]) {
			s.push(int(s.via[v]), n)
			s.journal = append(s.journal, pushed{int(s.via[v]), n})
		}
		want -= n
	}
	return true
}

// reach finds a path with room from a class to the sink, the one with the fewest
// arcs.
func (s *stock) reach(class int) bool {
	s.round++
	s.seen[class] = s.round
	queue := []int32{int32(class)}
	for len(queue) > 0 {
		v := queue[0]
		queue = queue[1:]
		for a := s.first[v]; a >= 0; a = s.next[a] {
			to := s.to[a]
			if s.room[a] == 0 || s.seen[to] == s.round {
				continue
			}
			s.seen[to], s.via[to] = s.round, a
			if int(to) == s.sink {
				return true
			}
			queue = append(queue, to)
		}
	}
	return false
}

func (s *stock) undo(mark int) {
	for len(s.journal) > mark {
		last := s.journal[len(s.journal)-1]
		s.journal = s.journal[:len(s.journal)-1]
		s.push(last.arc, -last.n)
	}
}
