package pack

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
)

// model is a request in one fixed order, whatever the order it came in: lots in
// the order in which they are used up, needs by flight and name.
type model struct {
	lots   []lot
	needs  []need
	groups []group
	parts  []part
	ofs    [][]int // needs by flight
	items  []string
}

// lot is a lot, or what it is to one flight where it comes back: then each
// flight finds all of it.
type lot struct {
	*Lot
	flight int // -1: for all
	item   int // index into model.items
	each   Cost
}

// need is one need of one flight, its candidates in the order of the lots.
type need struct {
	*Need
	flight int
	from   []choice
	group  int         // -1: none
	part   int         // the part it is in
	class  int         // of its candidates, in its part
	typed  map[int]int // class by item, where in a group
}

// choice is a lot that may serve, and its cautions there.
type choice struct{ lot, cautions int }

// group is the needs of one cluster.
type group struct {
	flight int
	needs  []int
	items  []int // that could serve any of them
	twin   int   // the group before this one that is just alike; -1: none
}

func newModel(r *Request) (*model, error) {
	if err := r.check(); err != nil {
		return nil, err
	}
	m := &model{ofs: make([][]int, len(r.Flights))}
	m.addLots(r)
	at := m.places()
	for i := range r.Flights {
		m.addFlight(i, &r.Flights[i], at)
	}
	m.findItems()
	m.split()
	return m, m.tooMuch()
}

// addLots puts the lots in their order: undated last, earliest expiry, most
// uses, item, id.
func (m *model) addLots(r *Request) {
	for i := range r.Lots {
		l := &r.Lots[i]
		m.items = append(m.items, l.Item)
		if !l.Returns {
			m.lots = append(m.lots, lot{Lot: l, flight: -1})
			continue
		}
		for f := range max(len(r.Flights), 1) {
			m.lots = append(m.lots, lot{Lot: l, flight: f})
		}
	}
	slices.Sort(m.items)
	m.items = slices.Compact(m.items)
	m.price(r.Lots)
	slices.SortFunc(m.lots, func(a, b lot) int {
		return cmp.Or(a.each.compare(b.each), cmp.Compare(a.item, b.item), strings.Compare(a.ID, b.ID), cmp.Compare(a.flight, b.flight))
	})
	for i := range m.lots {
		m.lots[i].each.Order = int64(i)
	}
}

// price sets what a piece of each lot costs, its place in the order aside.
func (m *model) price(lots []Lot) {
	first, most := math.MaxInt, 0
	for i := range lots {
		most = max(most, lots[i].Uses)
		if !lots[i].Undated {
			first = min(first, lots[i].Expires)
		}
	}
	for i := range m.lots {
		l := &m.lots[i]
		l.item, _ = slices.BinarySearch(m.items, l.Item)
		l.each.Rare = int64(most - l.Uses)
		if l.Undated {
			l.each.Undated = 1
			continue
		}
		l.each.Days = int64(l.Expires - first)
	}
}

// place names a lot as a flight sees it.
type place struct {
	id     string
	flight int
}

func (m *model) places() map[place]int {
	at := make(map[place]int, len(m.lots))
	for i := range m.lots {
		at[place{m.lots[i].ID, m.lots[i].flight}] = i
	}
	return at
}

func (m *model) addFlight(f int, flight *Flight, at map[place]int) {
	first := len(m.needs)
	for i := range flight.Needs {
		n := need{Need: &flight.Needs[i], flight: f, group: -1, from: make([]choice, 0, len(flight.Needs[i].From))}
		for _, c := range n.From {
			l, shared := at[place{c.Lot, -1}]
			if !shared {
				l = at[place{c.Lot, f}]
			}
			n.from = append(n.from, choice{l, c.Cautions})
		}
		slices.SortFunc(n.from, func(a, b choice) int { return cmp.Compare(a.lot, b.lot) })
		m.needs = append(m.needs, n)
	}
	slices.SortFunc(m.needs[first:], func(a, b need) int { return strings.Compare(a.Name, b.Name) })
	clusters := map[string]int{}
	for i := first; i < len(m.needs); i++ {
		m.ofs[f] = append(m.ofs[f], i)
		m.join(i, clusters)
	}
}

// join puts a need into its cluster.
func (m *model) join(i int, clusters map[string]int) {
	n := &m.needs[i]
	if n.Cluster == "" || n.Quantity == 0 {
		return
	}
	g, known := clusters[n.Cluster]
	if !known {
		g = len(m.groups)
		clusters[n.Cluster] = g
		m.groups = append(m.groups, group{flight: n.flight, twin: -1})
	}
	n.group = g
	m.groups[g].needs = append(m.groups[g].needs, i)
}

// findItems finds which items could serve needs of each cluster. One that could
// serve some of them only is kept, for the flight left incomplete.
func (m *model) findItems() {
	for g := range m.groups {
		of := &m.groups[g]
		for _, i := range of.needs {
			for _, c := range m.needs[i].from {
				of.items = append(of.items, m.lots[c.lot].item)
			}
		}
		slices.Sort(of.items)
		of.items = slices.Compact(of.items)
	}
}

// tooMuch refuses quantities whose costs could not be added up.
func (m *model) tooMuch() error {
	total, each := 0.0, float64(mostCautions+len(m.lots))
	for i := range m.needs {
		total += float64(m.needs[i].Quantity)
	}
	for i := range m.lots {
		each = max(each, float64(m.lots[i].each.Days), float64(m.lots[i].each.Rare))
	}
	if total*each > math.MaxInt64/2 {
		return fmt.Errorf("%w: quantities or days too great to add up; count in a greater step", ErrInput)
	}
	return nil
}
