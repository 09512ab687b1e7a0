package pack

import "slices"

// Pack packs the box for a day. It refuses, with ErrInput, what cannot be.
func Pack(r *Request) (*Plan, error) {
	m, err := newModel(r)
	if err != nil {
		return nil, err
	}
	effort := r.Effort
	if effort == 0 {
		effort = DefaultEffort
	}
	p := packer{m: m, gives: make([][]amount, len(m.needs)), taker: newTaker(m, effort)}
	for f := range r.Flights {
		p.take(f)
	}
	for i := range m.parts {
		p.serveTaken(i)
	}
	for f := range r.Flights {
		if !p.taken[f] {
			p.serveWhatIsLeft(f)
		}
	}
	return p.plan(r), nil
}

// packer is a packing in the making.
type packer struct {
	*taker
	m     *model
	gives [][]amount // by need
	cost  Cost
}

// serveTaken serves the flights taken in one part at the least cost.
func (p *packer) serveTaken(part int) {
	s := newSearch(p.m, &p.m.parts[part], p.free, func(flight int) bool { return p.taken[flight] })
	if len(s.needs) == 0 {
		return
	}
	s.start(p.stocks[part].item)
	p.cost = p.cost.plus(p.run(s).cost, 1)
}

// serveWhatIsLeft serves a flight that could not be taken as far as it goes.
func (p *packer) serveWhatIsLeft(f int) {
	for _, part := range p.m.partsOf(f) {
		s := newSearch(p.m, &p.m.parts[part], p.free, func(flight int) bool { return flight == f })
		s.mayShort = true
		if len(s.groups) > 0 {
			s.start(p.firstItems(s))
		}
		p.run(s)
	}
}

// firstItems settles each cluster with its first item, so that there is a
// packing, however bad, whatever the effort.
func (p *packer) firstItems(s *search) []int {
	item := slices.Clone(s.item)
	for _, g := range s.groups {
		if items := p.m.groups[g].items; len(items) > 0 {
			item[g] = items[0]
		}
	}
	return item
}

// run runs a search, which always finds something, and takes its pieces out of
// what is free.
func (p *packer) run(s *search) *packing {
	found := s.run(p.share())
	p.effort -= p.share() - s.effort
	p.cut = p.cut || s.cut
	for i, gives := range found.gives {
		p.gives[i] = gives
		for _, a := range gives {
			if a.lot != none {
				p.free[a.lot] -= a.n
			}
		}
	}
	return found
}
