package compat

import (
	"slices"
	"strings"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// heldAt is a point of a flight of the day, or of the day itself.
type heldAt struct {
	flight ID
	point  string
}

// holdings are what is promised, point by point.
type holdings struct {
	at    map[heldAt][]Held
	order []heldAt
}

func (h *holdings) add(at heldAt, held Held) {
	if h.at == nil {
		h.at = map[heldAt][]Held{}
	}
	if _, known := h.at[at]; !known {
		h.order = append(h.order, at)
	}
	h.at[at] = append(h.at[at], held)
}

// promised is what the ledger says is promised to the day still.
func (s *sheeting) promised() *holdings {
	figures := s.figures()
	out := &holdings{}
	for _, p := range s.ledger.Open() {
		lot, ok := inventory.Follow[*inventory.Lot](s.q.Box, inventory.Ref{ID: p.Lot})
		if !ok {
			continue
		}
		held := Held{LotShare: LotShare{lot, s.ledger.Of(p).Open}}
		if lot.Of == inventory.LotOfIgniters {
			held.RestsOn = figures[heldAt{p.Flight, p.Point}]
		}
		out.add(heldAt{p.Flight, p.Point}, held)
	}
	return out
}

// figures are what the latest packing of each point rested on. A spare that was
// taken since is of the same type, and brings no figures of its own.
func (s *sheeting) figures() map[heldAt]string {
	list := map[heldAt]string{}
	for _, e := range Standing(s.q.Box) {
		lot, ok := inventory.Follow[*inventory.Lot](s.q.Box, e.Lot)
		if e.What == inventory.Promised && ok && lot.Of == inventory.LotOfIgniters && e.Reason != ReasonSpareTaken {
			list[heldAt{e.Flight, e.Point}] = e.Reason
		}
	}
	return list
}

// planned is what a packing would promise.
func (s *sheeting) planned(plan *PackPlan) *holdings {
	out := &holdings{}
	for _, a := range plan.Allotments {
		held := Held{LotShare: a.LotShare}
		if a.What != nil {
			held.RestsOn = a.What.restsOn()
		}
		at := heldAt{a.Flight, a.Point}
		if i := slices.IndexFunc(out.at[at], func(h Held) bool { return h.Lot == a.Lot }); i >= 0 {
			out.at[at][i].Quantity += a.Quantity
			continue
		}
		out.add(at, held)
	}
	return out
}

// readFigures reads what PackedPoint.restsOn wrote.
func readFigures(text string) (splice quantity.Opt[quantity.Length], delay, timer quantity.Opt[quantity.Time]) {
	splice = quantity.Some(quantity.Length(0))
	for _, part := range strings.Split(text, ", ") {
		name, figure, _ := strings.Cut(part, " ")
		if name == "splice" {
			if q, err := quantity.Millimetre.Parse(figure); err == nil {
				splice = quantity.Some(q)
			}
			continue
		}
		q, err := quantity.Second.Parse(figure)
		switch {
		case err != nil:
		case name == "delay":
			delay = quantity.Some(q)
		case name == "timer":
			timer = quantity.Some(q)
		}
	}
	return splice, delay, timer
}

// take adds up, lot by lot, what goes into the range box.
func (s *sheeting) take(held *holdings) {
	for _, at := range held.order {
		for _, h := range held.at[at] {
			s.out.Taken = addShare(s.out.Taken, h.LotShare)
			if at == (heldAt{s.q.Day.ID, SparePoint}) {
				s.out.Spares = addShare(s.out.Spares, h.LotShare)
			}
		}
	}
}

// compare finds where packing again would promise something else.
func (s *sheeting) compare(held, planned *holdings, packed bool) {
	if !packed {
		return
	}
	for _, at := range append(slices.Clone(held.order), planned.order...) {
		flight, gone := s.flightAt(at)
		told := slices.ContainsFunc(s.out.Changes, func(c SheetChange) bool { return c.Flight == flight && c.Point == at.point })
		if gone || told || sameHeld(held.at[at], planned.at[at]) {
			continue
		}
		s.out.Changes = append(s.out.Changes, SheetChange{flight, at.point, held.at[at], planned.at[at]})
	}
	s.out.State = SheetPacked
	if len(s.out.Changes) > 0 {
		s.out.State = SheetChanged
	}
}

// flightAt is the flight that a point belongs to; gone where it has been flown.
func (s *sheeting) flightAt(at heldAt) (flight int, gone bool) {
	_, n := PointName(at.point)
	for i := range s.q.Flights {
		if f := &s.q.Flights[i]; f.ID == at.flight && f.N == n {
			return i, s.ledger.Flown(f.ID, f.N)
		}
	}
	return -1, false
}

func sameHeld(a, b []Held) bool {
	if len(a) != len(b) {
		return false
	}
	for _, h := range a {
		if !slices.Contains(b, h) {
			return false
		}
	}
	return true
}
