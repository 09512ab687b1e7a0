package compat

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"rangebox/compat/pack"
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// litType is an igniter type on a family, at points alike in that.
type litType struct {
	igniter *inventory.Igniter // the type, not the lot
	family  string
	aboard  bool
	points  int
	lots    []pack.Candidate // that would do at one of the points at least
	fails   []PackedFail
}

// addSpares says how many spares to take, and takes them from what is left.
func (p *packing) addSpares(packed *pack.Plan) error {
	types := p.litTypes()
	confidence := p.q.Day.Confidence.Or(defaultConfidence).Float()
	want := pack.Flight{ID: SparePoint}
	bench := map[ID]bool{}
	for _, t := range types {
		record, prior := p.experience.Of(t.igniter.ID, t.family)
		spare := PackedSpare{Igniter: t.igniter, Family: t.family, Needed: t.points, Record: record, Prior: prior}
		if t.aboard {
			p.plan.Aboard = append(p.plan.Aboard, PackedAboard{Igniter: t.igniter, Family: t.family, Points: t.points,
				Unlit: 1 - prior.After(record.Fired, record.Misfired).AllFire(t.points), Fails: t.fails})
			if bench[t.igniter.ID] {
				continue
			}
			bench[t.igniter.ID] = true
			spare.Family, spare.Quantity, spare.Needed = "", 1, 0
		} else {
			_, spare.Quantity, spare.Chance = pack.Carry(t.points, prior, record.Fired, record.Misfired, confidence)
		}
		want.Needs = append(want.Needs, pack.Need{Name: fmt.Sprint(len(p.plan.Spares)), Quantity: int64(spare.Quantity), From: t.lots})
		p.plan.Spares = append(p.plan.Spares, spare)
	}
	got, err := pack.Pack(&pack.Request{Lots: packed.Left, Flights: []pack.Flight{want}})
	if err != nil {
		return fmt.Errorf("pack spares for %s: %w", p.q.Day.Date, err)
	}
	p.readSpares(&got.Flights[0])
	return nil
}

func (p *packing) readSpares(got *pack.Packed) {
	at := func(name string) *PackedSpare {
		var i int
		_, _ = fmt.Sscan(name, &i) // it was made from a number
		return &p.plan.Spares[i]
	}
	for _, s := range got.Served {
		spare := at(s.Need)
		share := LotShare{p.lots[s.Lot].Lot, quantity.Number(s.Quantity) * pieceSteps}
		spare.Lots = addShare(spare.Lots, share)
		p.plan.Allotments = append(p.plan.Allotments, Allotment{LotShare: share, Flight: p.q.Day.ID, Point: SparePoint})
	}
	for _, s := range got.Short {
		spare := at(s.Need)
		short := PackShort{Kind: inventory.KindIgniter, Item: spare.Igniter.Handle, Quantity: quantity.Number(s.Quantity) * pieceSteps,
			Why: ShortOfSpares, Flight: -1, Spare: spare}
		if spare.Family == "" {
			short.Why = ShortOfBench
		}
		p.plan.Short = append(p.plan.Short, short)
	}
}

// litTypes gathers the points that got an igniter by type and family, those lit
// on the pad before those on board, then by handle.
func (p *packing) litTypes() []litType {
	var list []litType
	for i := range p.flights {
		for _, s := range p.flights[i].slots {
			if s.igniterLot == nil {
				continue
			}
			t := litAt(&list, p.typeRecord(s.igniterLot), s)
			t.points++
			t.addLots(p, s)
			if b := p.failsAt(i, s); b != nil {
				t.fails = append(t.fails, PackedFail{p.flights[i].of, b})
			}
		}
	}
	slices.SortStableFunc(list, func(a, b litType) int {
		if a.aboard != b.aboard {
			if b.aboard {
				return -1
			}
			return 1
		}
		return cmp.Or(cmp.Compare(a.igniter.Handle, b.igniter.Handle), cmp.Compare(a.family, b.family))
	})
	return list
}

func litAt(list *[]litType, ig *inventory.Igniter, s *packSlot) *litType {
	for i := range *list {
		if t := &(*list)[i]; t.igniter.ID == ig.ID && t.family == s.family && t.aboard == s.aboard {
			return t
		}
	}
	*list = append(*list, litType{igniter: ig, family: s.family, aboard: s.aboard})
	return &(*list)[len(*list)-1]
}

func (p *packing) typeRecord(lot *packLot) *inventory.Igniter {
	ig, _ := inventory.Follow[*inventory.Igniter](p.q.Box, lot.Item)
	return p.typeOf(ig)
}

// addLots adds the lots of the type that would serve the point too.
func (t *litType) addLots(p *packing, s *packSlot) {
	for _, lot := range p.igniters {
		said := s.judge(lot.igniter, p.l)
		if lot.Item.ID != t.igniter.ID || !said.ok {
			continue
		}
		known := slices.ContainsFunc(t.lots, func(c pack.Candidate) bool { return c.Lot == lot.id })
		if !known {
			t.lots = append(t.lots, pack.Candidate{Lot: lot.id, Cautions: said.cautions + lot.cautions})
		}
	}
}

// failsAt is the flight in which the igniter at a slot on board does not fire; nil
// where another one lies in the same charge, or where the flight cannot be told.
func (p *packing) failsAt(i int, s *packSlot) *Branch {
	if !s.aboard {
		return nil
	}
	if s.way != nil {
		return s.c.withoutCharge(s.way)
	}
	list := p.plan.Flights[i].Report.Branches
	for i := range list {
		if f := list[i].Fault; f.Kind == MotorUnlit && f.Subject == s.mount.point {
			return &list[i]
		}
	}
	return nil
}

// withoutCharge is the flight in which one charge does not fire and all else is
// right.
func (c *craft) withoutCharge(w *craftWay) *Branch {
	if w.rec.Count.Or(1) > 1 {
		return nil
	}
	rocket := *c.q.Rocket
	rocket.Stages = slices.Clone(rocket.Stages)
	stage := &rocket.Stages[w.stage]
	stage.Recovery = nil
	for i := range c.stages[w.stage].ways {
		if other := &c.stages[w.stage].ways[i]; other.rec != w.rec {
			left := *other.rec
			left.Name = other.point[strings.LastIndexByte(other.point, '/')+1:] // which may be its number
			stage.Recovery = append(stage.Recovery, left)
		}
	}
	q := *c.q
	q.Rocket = &rocket
	b := newCraft(&q, c.l).branch(&scenario{fault: Fault{Kind: ChargeUnlit, Subject: w.point}})
	return &b
}

// countFirings says how often each battery is asked to fire, and how many igniters:
// a line fires once in a flight, whatever hangs on it.
func (p *packing) countFirings() {
	at := map[ID]int{}
	for i := range p.flights {
		fired := map[*inventory.Line]bool{}
		for _, s := range p.flights[i].slots {
			w := s.wire()
			if w.battery == nil || !s.asks {
				continue
			}
			k, ok := at[w.battery.ID]
			if !ok {
				k = len(p.plan.Batteries)
				at[w.battery.ID] = k
				p.plan.Batteries = append(p.plan.Batteries, PackedBattery{Battery: w.battery, Lot: p.usable(w.battery.ID),
					Kept: len(p.q.Box.LotsOf(w.battery.ID)) > 0})
			}
			b := &p.plan.Batteries[k]
			b.Igniters++
			if !fired[w.line] {
				fired[w.line] = true
				b.Firings++
			}
		}
	}
}

// usable is the first lot of an item of which something can be used that day.
func (p *packing) usable(item ID) *inventory.Lot {
	for _, lot := range p.q.Box.LotsOf(item) {
		if p.stock(lot).Usable(lot, p.q.Day.Date) > 0 {
			return lot
		}
	}
	return nil
}
