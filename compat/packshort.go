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
	ShortOfRecord  ShortReason = iota // nothing is recorded that it could be
	ShortOfStock                      // none is usable that day
	ShortByRules                      // what is recorded does not do; Finding says why
	ShortTaken                        // other flights have what there is
	ShortTooFew                       // there is some, and not enough
	ShortOfOneKind                    // there are enough, and not of one type, as a cluster needs
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
	// Unusable is what there is of it all the same, where none is usable.
	Unusable Unusable
}

// Unusable is what cannot be used on a day: on hold, past its last day, promised to
// another.
type Unusable struct {
	Held, Expired, Promised quantity.Number
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
	} else if point, _ := PointName(need.point); point != "" {
		out.Points = []string{point}
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
	switch taken, left := p.holding(out.Flight, s); {
	case taken:
		out.Why = ShortTaken
	case left && need.slot != nil:
		out.Why = ShortOfOneKind
	case len(s.Instead) > 0:
		out.Why = ShortTooFew
	case need.item.IsZero():
		out.Why = ShortOfRecord
	default:
		out.Why, out.Unusable = ShortOfStock, p.unusable(need.item)
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

// holding tells whether other flights have of what would do, and whether some is
// left. What the flight has itself is not taken from it.
func (p *packing) holding(flight int, s *pack.Short) (taken, left bool) {
	for i := range s.Instead {
		in := &s.Instead[i]
		in.Flights = slices.DeleteFunc(in.Flights, func(name string) bool { return p.flightsNamed([]string{name})[0] == flight })
		taken = taken || len(in.Flights) > 0
		left = left || in.Left > 0
	}
	return taken, left
}

// unfit is the worst finding against what is recorded, nil where only the stock
// is missing.
func (p *packing) unfit(need *packNeed) *Finding {
	var list []Finding
	if ig, ok := inventory.Follow[*inventory.Igniter](p.q.Box, need.item); ok && need.slot != nil {
		list = need.slot.judge(p.typeOf(ig), p.l).List
	} else if p.onHand(need.item) {
		for _, lot := range p.q.Box.LotsOf(need.item.ID) {
			if stock := p.stock(lot); stock.Usable(lot, p.q.Day.Date) > 0 {
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

func (p *packing) unusable(item inventory.Ref) (u Unusable) {
	for _, lot := range p.q.Box.LotsOf(item.ID) {
		switch stock := p.q.Box.Stock(lot); {
		case stock.Held:
			u.Held += max(0, stock.OnHand)
		case lot.Expired(p.q.Day.Date):
			u.Expired += max(0, stock.OnHand)
		default:
			u.Promised += max(0, stock.Promised-p.ours[lot.ID])
		}
	}
	return u
}

func (p *packing) onHand(item inventory.Ref) bool {
	return slices.ContainsFunc(p.q.Box.LotsOf(item.ID), func(lot *inventory.Lot) bool {
		return p.stock(lot).Usable(lot, p.q.Day.Date) > 0
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
