package compat

import (
	"rangebox/compat/pack"
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// PackPlan is what goes into the range box.
type PackPlan struct {
	// Flights are those to be packed for, in their order; Flown those of the
	// question that have been flown and are left as they are.
	Flights []PackedFlight
	Flown   []int
	// Points are all ignition points, Served those that have all they need.
	Points, Served int
	Spares         []PackedSpare
	Aboard         []PackedAboard
	Supplies       []PackedSupply
	Batteries      []PackedBattery
	Short          []PackShort
	// Allotments are to be promised, in order.
	Allotments []Allotment
	// Exact tells that no better packing exists; else the search was cut short.
	Exact bool
}

// PackedFlight is what one flight gets.
type PackedFlight struct {
	Of       int // in the question
	Complete bool
	Points   []PackedPoint
	// Supplies are what it gets beside its points; what comes back is among them.
	Supplies []PackedUse
	// Report is what the rules say of the rocket with what it gets: it stands
	// beside and takes nothing out of the box.
	Report RocketReport
}

// PackedPoint is an ignition point with what it gets; nil where it gets none.
type PackedPoint struct {
	Point    string
	Motor    *inventory.Motor // none for a charge
	MotorLot *inventory.Lot
	// Igniter is what it gets, else what is recorded. Asks tells whether it needs
	// one: a burn-through does not.
	Asks       bool
	Igniter    *inventory.Igniter
	IgniterLot *inventory.Lot
	// Verdict is of the pair, the circuit and the lots. Splice, Delay and Timer are
	// the figures it rests on.
	Verdict Verdict
	// Findings are those of them that are not go.
	Findings     []Finding
	Splice       quantity.Length
	Delay, Timer quantity.Opt[quantity.Time]
	Family       string
	Aboard       bool
}

// Served tells whether it has all it needs.
func (p *PackedPoint) Served(charge bool) bool {
	return (charge || p.MotorLot != nil) && (!p.Asks || p.IgniterLot != nil)
}

// PackedSpare is how many spares of an igniter type to take for a family.
type PackedSpare struct {
	Igniter *inventory.Igniter
	// Family is empty for the one that is taken for the bench.
	Family   string
	Needed   int // how many must fire
	Quantity int
	Chance   float64 // that these suffice
	Record   pack.Record
	Prior    pack.Prior
	Lots     []LotShare
}

// PackedAboard is an igniter type at points on board, which no spare serves.
type PackedAboard struct {
	Igniter *inventory.Igniter
	Family  string
	Points  int
	Unlit   float64 // the chance that one or more do not light
	// Fails are the flights in which one does not light.
	Fails []PackedFail
}

// PackedFail is a flight, in the question, in which an igniter does not light.
type PackedFail struct {
	Of int
	*Branch
}

// PackedUse is how much of a supply a flight gets, for a charge or as a whole.
type PackedUse struct {
	Item     *inventory.Supply
	Quantity quantity.Number
	Point    string // `stage/recovery/1`, empty for the flight
}

// PackedSupply is how much of a supply to take.
type PackedSupply struct {
	Item     *inventory.Supply
	Quantity quantity.Number
	Lots     []LotShare
}

// PackedBattery is a battery, how often it is asked to fire, and how many igniters
// in all.
type PackedBattery struct {
	Battery           *inventory.Battery
	Firings, Igniters int
	Lot               *inventory.Lot // nil where none can be used
	Kept              bool           // whether any lot of it is on record
}

// LotShare is so much of a lot.
type LotShare struct {
	Lot      *inventory.Lot
	Quantity quantity.Number
}

// Allotment is so much of a lot for a point of a flight; the flight is the day
// for what is the day's as a whole.
type Allotment struct {
	LotShare
	Flight ID
	Point  string
	// What is the point it serves, nil for what is no igniter of one.
	What *PackedPoint
}

// read takes over what was packed.
func (p *packing) read(packed *pack.Plan) {
	p.plan.Exact = packed.Exact
	supplies := map[ID]int{}
	for i := range packed.Flights {
		f := &p.flights[i]
		out := PackedFlight{Of: f.of, Complete: packed.Flights[i].Complete}
		for _, served := range packed.Flights[i].Served {
			p.readServed(f, &out, &served, supplies)
		}
		for k := range packed.Flights[i].Short {
			p.readShort(f, &packed.Flights[i].Short[k])
		}
		p.plan.Flights = append(p.plan.Flights, out)
		p.readPoints(i)
	}
	for _, b := range packed.Booked {
		lot := p.lots[b.Lot]
		if s, ok := inventory.Follow[*inventory.Supply](p.q.Box, lot.Item); ok && s.Reusable.Or(false) {
			share := LotShare{lot.Lot, quantity.Number(b.Quantity)}
			p.plan.Allotments = append(p.plan.Allotments, Allotment{LotShare: share, Flight: p.q.Day.ID})
			p.addSupply(s, share, supplies)
		}
	}
}

func (p *packing) readServed(f *packFlight, out *PackedFlight, served *pack.Served, supplies map[ID]int) {
	need, lot := f.needs[served.Need], p.lots[served.Lot]
	switch need.kind {
	case inventory.LotOfMotors:
		need.slot.motorLot = lot
		return
	case inventory.LotOfIgniters:
		need.slot.igniterLot = lot
		return
	}
	s, ok := inventory.Follow[*inventory.Supply](p.q.Box, lot.Item)
	if !ok {
		return
	}
	out.use(s, need.point, quantity.Number(served.Quantity))
	if s.Reusable.Or(false) {
		return // what comes back is promised to the day, once for all flights
	}
	share := LotShare{lot.Lot, quantity.Number(served.Quantity)}
	p.plan.Allotments = append(p.plan.Allotments, Allotment{LotShare: share, Flight: p.q.Flights[f.of].ID, Point: need.point})
	p.addSupply(s, share, supplies)
}

// use adds up what a flight gets of a supply from several lots.
func (f *PackedFlight) use(s *inventory.Supply, promise string, q quantity.Number) {
	point, _ := PointName(promise)
	for i := range f.Supplies {
		if u := &f.Supplies[i]; u.Item.ID == s.ID && u.Point == point {
			u.Quantity += q
			return
		}
	}
	f.Supplies = append(f.Supplies, PackedUse{s, q, point})
}

func (p *packing) addSupply(s *inventory.Supply, share LotShare, at map[ID]int) {
	i, ok := at[s.ID]
	if !ok {
		i = len(p.plan.Supplies)
		at[s.ID] = i
		p.plan.Supplies = append(p.plan.Supplies, PackedSupply{Item: s})
	}
	out := &p.plan.Supplies[i]
	out.Quantity += share.Quantity
	out.Lots = addShare(out.Lots, share)
}

// addShare adds up what comes from one lot.
func addShare(list []LotShare, share LotShare) []LotShare {
	for i := range list {
		if list[i].Lot == share.Lot {
			list[i].Quantity += share.Quantity
			return list
		}
	}
	return append(list, share)
}

// readPoints makes the points of a flight and what is to be promised to them.
func (p *packing) readPoints(i int) {
	f, out := &p.flights[i], &p.plan.Flights[i]
	out.Points = make([]PackedPoint, len(f.slots))
	flight := p.q.Flights[f.of]
	for k, s := range f.slots {
		point := &out.Points[k]
		*point = p.pointOf(s)
		p.plan.Points++
		if point.Served(s.way != nil) {
			p.plan.Served++
		}
		promise := PointOf(s.point, flight.N)
		for _, lot := range []*inventory.Lot{point.MotorLot, point.IgniterLot} {
			if lot == nil {
				continue
			}
			a := Allotment{LotShare: LotShare{lot, pieceSteps}, Flight: flight.ID, Point: promise}
			if lot == point.IgniterLot {
				a.What = point
			}
			p.plan.Allotments = append(p.plan.Allotments, a)
		}
	}
}

// checkFlights says what the rules say of each rocket with the igniters it gets.
func (p *packing) checkFlights() {
	for i := range p.flights {
		f := &p.flights[i]
		for _, s := range f.slots {
			switch {
			case s.igniterLot == nil:
			case s.mount != nil:
				s.mount.rec.Igniter = s.igniterLot.Item
			default:
				s.way.rec.Igniter = s.igniterLot.Item
			}
		}
		p.plan.Flights[i].Report = CheckRocket(f.craft.q, p.l)
	}
}

func (p *packing) pointOf(s *packSlot) PackedPoint {
	out := PackedPoint{Point: s.point, Asks: s.asks, Family: s.family, Aboard: s.aboard, Verdict: Unknown}
	if s.mount != nil {
		out.Motor, out.Delay, out.Timer = s.mount.motor, s.mount.rec.Delay, s.mount.At
		out.Igniter = s.mount.igniter
	} else {
		out.Timer, out.Igniter = s.way.rec.At, s.way.igniter
	}
	var found []Finding
	worst := Go
	if s.motorLot != nil {
		out.MotorLot = s.motorLot.Lot
		found = append(found, p.lotFindings(s.motorLot.Lot)...)
	}
	switch {
	case !s.asks:
		out.Igniter = nil
	case s.igniterLot != nil:
		out.IgniterLot = s.igniterLot.Lot
		out.Igniter = s.igniterLot.igniter
		found = append(found, p.lotFindings(s.igniterLot.Lot)...)
		fallthrough
	case out.Igniter != nil:
		said := s.judge(out.Igniter, p.l)
		out.Splice = said.splice
		found = append(found, said.List...)
	default:
		worst = Unknown
	}
	out.Verdict = worstOr(worst, found)
	for _, f := range found {
		if f.Verdict != Go {
			out.Findings = append(out.Findings, f)
		}
	}
	if !out.Served(s.way != nil) {
		out.Verdict = Unknown // of what is not there nothing can be said
	}
	return out
}
