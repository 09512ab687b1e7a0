package compat

import (
	"fmt"

	"rangebox/compat/pack"
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// addFlight adds what a flight needs; one that has been flown needs nothing.
func (p *packing) addFlight(i int) {
	f := &p.q.Flights[i]
	if p.ledger.Flown(f.ID, f.N) {
		p.plan.Flown = append(p.plan.Flown, i)
		return
	}
	day := p.q.Day
	c := newCraft(&RocketQuestion{Rocket: f.Rocket, Box: p.q.Box, Altitude: day.Altitude, Temperature: day.Temperature, Wind: day.Wind}, p.l)
	out := packFlight{of: i, craft: c, needs: map[string]*packNeed{}}
	request := pack.Flight{ID: fmt.Sprintf("%s#%d", inventory.Ref{ID: f.ID}, f.N)}
	n := needing{p: p, f: &out, to: &request, n: f.N}
	for s := range c.stages {
		stage := &c.stages[s]
		for m := range stage.mounts {
			n.mount(&stage.mounts[m])
		}
		for w := range stage.ways {
			n.way(&stage.ways[w])
		}
	}
	for k := range f.Rocket.Supplies {
		use := &f.Rocket.Supplies[k]
		n.supply("", use.Item, use.Quantity.Or(0))
	}
	aloneIsNoCluster(request.Needs)
	p.flights = append(p.flights, out)
	p.request.Flights = append(p.request.Flights, request)
}

// aloneIsNoCluster saves the search for a type that all of one have.
func aloneIsNoCluster(needs []pack.Need) {
	size := map[string]int{}
	for i := range needs {
		size[needs[i].Cluster]++
	}
	for i := range needs {
		if size[needs[i].Cluster] == 1 {
			needs[i].Cluster = ""
		}
	}
}

// needing gathers the needs of one flight.
type needing struct {
	p  *packing
	f  *packFlight
	to *pack.Flight
	n  int
}

// add adds a need; the same thing asked for twice at one point is added up.
func (n *needing) add(need *packNeed, q int64, cluster string, from []pack.Candidate) {
	name := fmt.Sprintf("%s %s %s", need.kind.Item(), need.point, need.item)
	if need.slot != nil {
		name = fmt.Sprintf("%s %s", need.kind.Item(), need.point)
	}
	if n.f.needs[name] != nil {
		for k := range n.to.Needs {
			if n.to.Needs[k].Name == name {
				n.to.Needs[k].Quantity += q
			}
		}
		return
	}
	n.f.needs[name] = need
	n.to.Needs = append(n.to.Needs, pack.Need{Name: name, Quantity: q, Cluster: cluster, From: from})
}

// mount adds motors, igniters and cases. A mount for which neither motor nor
// igniter is recorded flies empty, unless the rocket has no other.
func (n *needing) mount(m *craftMount) {
	if m.rec.Motor.IsZero() && m.rec.Igniter.IsZero() && n.f.craft.loaded() {
		return
	}
	for k := range m.count {
		s := &packSlot{c: n.f.craft, mount: m, point: fmt.Sprintf("%s/%d", m.point, k+1), asks: m.By != inventory.LitByBurnThrough, named: n.p.q.Flights[n.f.of].names(m.point)}
		s.take(m.motor, &m.wire)
		n.f.slots = append(n.f.slots, s)
		n.add(&packNeed{inventory.LotOfMotors, m.rec.Motor, PointOf(s.point, n.n), s}, 1, "", n.p.lotsOf(m.rec.Motor))
		if s.asks {
			n.add(&packNeed{inventory.LotOfIgniters, m.rec.Igniter, PointOf(s.point, n.n), s}, 1, s.cluster(), n.p.ignitersFor(s))
		}
		if m.motor != nil && !m.motor.Case.IsZero() {
			n.supply("", m.motor.Case, pieceSteps)
		}
	}
}

// loaded tells whether any mount has its motor recorded.
func (c *craft) loaded() (found bool) {
	c.each(func(m *craftMount) { found = found || !m.rec.Motor.IsZero() })
	return found
}

// way adds the igniters and the powder of a charge.
func (n *needing) way(w *craftWay) {
	if w.rec.By != inventory.RecoverByCharge {
		return
	}
	for k := range int(w.rec.Count.Or(1)) {
		s := &packSlot{c: n.f.craft, way: w, point: fmt.Sprintf("%s/%d", w.point, k+1), asks: true, named: n.p.q.Flights[n.f.of].names(w.point)}
		s.take(nil, &w.wire)
		n.f.slots = append(n.f.slots, s)
		n.add(&packNeed{inventory.LotOfIgniters, w.rec.Igniter, PointOf(s.point, n.n), s}, 1, s.cluster(), n.p.ignitersFor(s))
	}
	n.supply(w.point+"/1", w.rec.Powder, quantity.Number(w.rec.PowderMass.Or(0))) // a gram is 1e9 steps of either
}

func (n *needing) supply(point string, item inventory.Ref, q quantity.Number) {
	if item.IsZero() || q <= 0 {
		return
	}
	n.add(&packNeed{kind: inventory.LotOfSupplies, item: item, point: PointOf(point, n.n)}, int64(q), "", n.p.lotsOf(item))
}

// lotsOf are the lots of an item as candidates.
func (p *packing) lotsOf(item inventory.Ref) []pack.Candidate {
	var list []pack.Candidate
	for _, lot := range p.q.Box.LotsOf(item.ID) {
		if known := p.lots[lot.ID.String()]; known != nil {
			list = append(list, pack.Candidate{Lot: known.id, Cautions: known.cautions})
		}
	}
	return list
}

// ignitersFor are the lots that may serve a point.
func (p *packing) ignitersFor(s *packSlot) []pack.Candidate {
	s.loads = p.loadsFor(s)
	var list []pack.Candidate
	for _, lot := range p.igniters {
		if s.named && lot.Item.ID != s.wants().ID {
			continue
		}
		if said := s.judge(lot.igniter, p.l); said.ok {
			list = append(list, pack.Candidate{Lot: lot.id, Cautions: said.cautions + lot.cautions})
		}
	}
	return list
}

// loadsFor are the motors that may come to lie in a point: the type, and each
// lot that was measured by itself. The igniter must serve them all, since which
// lot it meets is not settled yet.
func (p *packing) loadsFor(s *packSlot) []*inventory.Motor {
	if s.mount == nil || s.mount.motor == nil {
		return nil
	}
	list := []*inventory.Motor{s.mount.motor}
	plain, _ := inventory.Follow[*inventory.Motor](p.q.Box, s.mount.rec.Motor)
	for _, c := range p.lotsOf(s.mount.rec.Motor) {
		if own, measured := inventory.MeasuredLot(p.q.Box, p.lots[c.Lot].Lot, plain); measured {
			list = append(list, own)
		}
	}
	return list
}
