package compat

import (
	"slices"

	"rangebox/compat/pack"
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// ShortReason says why something is short.
type ShortReason uint8

// The reasons.
const (
	ShortOfRecord ShortReason = iota // nothing is recorded that it could be
	ShortOfStock                     // none is usable that day
	ShortByRules                     // what is recorded does not do; Finding says why
	ShortTaken                       // other flights have what there is
	ShortOfSpares
	ShortOfBench
)

// PackShort is what is short.
type PackShort struct {
	Kind     inventory.Kind
	Item     string // empty where none is recorded
	Quantity quantity.Number
	Why      ShortReason
	// Flight is the one that lacks it, in the question; -1 for spares. Points are
	// those of it that lack it.
	Flight  int
	Points  []string
	Finding *Finding
	// Spare is what it is short of, for spares.
	Spare   *PackedSpare
	Instead []PackInstead
}

// PackInstead is what would do instead.
type PackInstead struct {
	Item     string
	Cautions int
	Left     int64 // usable, and not taken
	Flights  []int // that have what there is of it, in the question
}

func (p *packing) readShort(f *packFlight, s *pack.Short) {
	need := f.needs[s.Need]
	out := PackShort{Kind: need.kind.Item(), Item: need.item.Handle, Quantity: quantity.Number(s.Quantity), Flight: f.of}
	if need.slot != nil {
		out.Quantity *= pieceSteps
		out.Points = []string{need.slot.point}
	} else if need.point != "" {
		out.Points = []string{need.point}
	}
	p.explain(&out, need, s)
	for i := range p.plan.Short {
		if known := &p.plan.Short[i]; known.same(&out) {
			known.Quantity += out.Quantity
			known.Points = append(known.Points, out.Points...)
			return
		}
	}
	p.plan.Short = append(p.plan.Short, out)
}

// same tells whether two shortages are told as one.
func (s *PackShort) same(o *PackShort) bool {
	return s.Kind == o.Kind && s.Item == o.Item && s.Flight == o.Flight && s.Why == o.Why &&
		(s.Finding == nil) == (o.Finding == nil) && (s.Finding == nil || s.Finding.Rule == o.Finding.Rule)
}

func (p *packing) explain(out *PackShort, need *packNeed, s *pack.Short) {
	switch {
	case len(s.Instead) > 0:
		out.Why = ShortTaken
	case need.item.IsZero():
		out.Why = ShortOfRecord
	default:
		out.Why = ShortOfStock
		if f := p.unfit(need); f != nil {
			out.Why, out.Finding = ShortByRules, f
		}
	}
	if need.kind == inventory.LotOfIgniters {
		out.Instead = p.instead(need, s)
	}
	if out.Why == ShortTaken && need.kind != inventory.LotOfIgniters {
		out.Instead = p.holders(s, need.item.Handle)
	}
}

// unfit is the worst finding against what is recorded, nil where only the stock
// is missing.
func (p *packing) unfit(need *packNeed) *Finding {
	var list []Finding
	if ig, ok := inventory.Follow[*inventory.Igniter](p.q.Box, need.item); ok && need.slot != nil {
		list = need.slot.judge(p.typeOf(ig), p.l).List
	} else if p.onHand(need.item) {
		for _, lot := range p.q.Box.LotsOf(need.item.ID) {
			if stock := p.q.Box.Stock(lot); stock.Usable(lot, p.q.Day.Date) > 0 {
				list = p.lotFindings(lot)
			}
		}
	}
	for i := range list {
		if v := list[i].Verdict; v == NoGo || v == Unknown {
			return &list[i]
		}
	}
	return nil
}

func (p *packing) onHand(item inventory.Ref) bool {
	return slices.ContainsFunc(p.q.Box.LotsOf(item.ID), func(lot *inventory.Lot) bool {
		return p.q.Box.Stock(lot).Usable(lot, p.q.Day.Date) > 0
	})
}

// instead lists the igniter types that would do at the point, in the box or not:
// those of which some is left first, then those that other flights have.
func (p *packing) instead(need *packNeed, s *pack.Short) []PackInstead {
	var list []PackInstead
	for _, ig := range inventory.List[*inventory.Igniter](p.q.Box) {
		said := need.slot.judge(p.typeOf(ig), p.l)
		entry := PackInstead{Item: ig.Handle, Cautions: said.cautions}
		for _, in := range s.Instead {
			if in.Item == ig.Handle {
				entry.Cautions, entry.Left, entry.Flights = in.Cautions, in.Left, p.flightsNamed(in.Flights)
				said.ok = true
			}
		}
		if said.ok && (ig.Handle != need.item.Handle || len(entry.Flights) > 0) {
			list = append(list, entry)
		}
	}
	slices.SortStableFunc(list, func(a, b PackInstead) int {
		if x, y := a.Left > 0 || len(a.Flights) > 0, b.Left > 0 || len(b.Flights) > 0; x != y {
			if x {
				return -1
			}
			return 1
		}
		return a.Cautions - b.Cautions
	})
	return list
}

func (p *packing) holders(s *pack.Short, item string) []PackInstead {
	var list []PackInstead
	for _, in := range s.Instead {
		list = append(list, PackInstead{Item: item, Cautions: in.Cautions, Left: in.Left, Flights: p.flightsNamed(in.Flights)})
	}
	return list
}

// flightsNamed finds flights by their name in the request.
func (p *packing) flightsNamed(names []string) []int {
	var list []int
	for _, name := range names {
		for i := range p.request.Flights {
			if p.request.Flights[i].ID == name {
				list = append(list, p.flights[i].of)
			}
		}
	}
	return list
}
