package pack

import (
	"cmp"
	"slices"
)

// Plan says what serves what.
type Plan struct {
	Flights []Packed // in the order they were given
	Booked  []Booked // what is to be promised, in the order in which lots are used up
	Left    []Lot    // all lots with what is still free, in that order: for spares, pack them as a flight of their own
	Cost    Cost     // of the flights taken
	// Exact: the flights taken and the cost are proven best. Else the effort was
	// spent first, and this is the best that was found.
	Exact bool
}

// Packed is what one flight gets.
type Packed struct {
	ID       string
	Complete bool
	Served   []Served // by the name of the need, then in the order in which lots are used up
	Short    []Short
}

// Served is so much of a lot for a need.
type Served struct {
	Need, Lot, Item string
	Quantity        int64
	Cautions        int
}

// Short is what a need lacks, and what would do if there were more of it.
type Short struct {
	Need     string
	Quantity int64
	Instead  []Instead // fewest cautions first; empty: no lot of the box would do
}

// Instead is an item that would serve a need.
type Instead struct {
	Item     string
	Cautions int      // at least
	Left     int64    // still free; some may be where a cluster must be of one item
	Flights  []string // that have got of its lots and would have to give way, in their order
}

// Booked is so much of a lot that flights are to have. What comes back after a
// flight counts once for all flights that use it.
type Booked struct {
	Lot, Item string
	Quantity  int64
	Flights   int // how many use it
}

func (p *packer) plan(r *Request) *Plan {
	plan := &Plan{Cost: p.cost, Exact: !p.cut}
	users := p.users()
	for f := range r.Flights {
		plan.Flights = append(plan.Flights, p.packed(r, f, users))
	}
	p.book(plan)
	return plan
}

// users lists, by lot, the flights that got of it.
func (p *packer) users() [][]int {
	users := make([][]int, len(p.m.lots))
	for i, gives := range p.gives {
		f := p.m.needs[i].flight
		for _, a := range gives {
			if a.lot != none && !slices.Contains(users[a.lot], f) {
				users[a.lot] = append(users[a.lot], f)
			}
		}
	}
	return users
}

func (p *packer) packed(r *Request, f int, users [][]int) Packed {
	out := Packed{ID: r.Flights[f].ID}
	for _, i := range p.m.ofs[f] {
		name := p.m.needs[i].Name
		for _, a := range p.gives[i] {
			if a.lot == none {
				out.Short = append(out.Short, Short{name, a.n, p.instead(r, i, users)})
				continue
			}
			l := &p.m.lots[a.lot]
			out.Served = append(out.Served, Served{name, l.ID, l.Item, a.n, a.cautions})
		}
	}
	out.Complete = len(out.Short) == 0
	return out
}

// instead lists the items whose lots would serve a need.
func (p *packer) instead(r *Request, i int, users [][]int) []Instead {
	var all []Instead
	var with []map[int]bool
	for _, c := range p.m.needs[i].from {
		l := &p.m.lots[c.lot]
		k := slices.IndexFunc(all, func(x Instead) bool { return x.Item == l.Item })
		if k < 0 {
			k = len(all)
			all = append(all, Instead{Item: l.Item, Cautions: c.cautions})
			with = append(with, map[int]bool{})
		}
		all[k].Cautions = min(all[k].Cautions, c.cautions)
		all[k].Left += p.free[c.lot]
		for _, f := range users[c.lot] {
			with[k][f] = true
		}
	}
	for k := range all {
		for f := range r.Flights {
			if with[k][f] {
				all[k].Flights = append(all[k].Flights, r.Flights[f].ID)
			}
		}
	}
	slices.SortStableFunc(all, func(a, b Instead) int { return cmp.Compare(a.Cautions, b.Cautions) })
	return all
}

// book adds up what is to be promised of each lot and what is left of it.
func (p *packer) book(plan *Plan) {
	gone := p.gone()
	at := map[string]int{}
	for l := range p.m.lots {
		lot := &p.m.lots[l]
		k, known := at[lot.ID]
		if !known {
			k = len(plan.Left)
			at[lot.ID] = k
			plan.Left = append(plan.Left, *lot.Lot)
			plan.Booked = append(plan.Booked, Booked{Lot: lot.ID, Item: lot.Item})
		}
		b := &plan.Booked[k]
		b.Quantity = max(b.Quantity, gone[l].n)
		b.Flights += gone[l].flights
		plan.Left[k].Free = lot.Free - b.Quantity
	}
	plan.Booked = slices.DeleteFunc(plan.Booked, func(b Booked) bool { return b.Quantity == 0 })
}

type used struct {
	n       int64
	flights int
}

// gone is how much of each lot was given, and to how many flights.
func (p *packer) gone() []used {
	gone := make([]used, len(p.m.lots))
	last := make([]int, len(p.m.lots)) // flight + 1
	for i, gives := range p.gives {
		for _, a := range gives {
			if a.lot == none {
				continue
			}
			gone[a.lot].n += a.n
			if f := p.m.needs[i].flight + 1; last[a.lot] != f {
				last[a.lot] = f
				gone[a.lot].flights++
			}
		}
	}
	return gone
}
