package compat

import (
	"fmt"
	"slices"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// SheetState tells what a day's sheet rests on.
type SheetState uint8

// The states of a sheet.
const (
	// SheetNotPacked: nothing is promised to the day; the sheet shows what packing
	// would give.
	SheetNotPacked SheetState = iota
	// SheetPacked: packing again would promise the very same.
	SheetPacked
	// SheetChanged: packing again would promise something else.
	SheetChanged
)

var sheetStates = [...]string{"not-packed", "packed", "changed"}

// String is the state's word.
func (s SheetState) String() string { return sheetStates[s] }

// DaySheet is what the sheet of a launch day tells: what is promised to each
// flight and what the rules say of it, and whether that still holds.
type DaySheet struct {
	State   SheetState
	Flights []SheetFlight // all of the question's, in order
	// Taken is all that goes into the range box, the day's spares among it.
	Taken, Spares []LotShare
	// Changes are where packing again would promise something else.
	Changes []SheetChange
	// Plan is what packing now would give.
	Plan *PackPlan
}

// SheetFlight is one flight; of one that has been flown nothing more is told.
type SheetFlight struct {
	Flown    bool
	Points   []SheetPoint
	Supplies []LotShare // of the flight as a whole
	// Report is what the rules say of the rocket with the igniters it has.
	Report RocketReport
}

// SheetPoint is an ignition point with what it has; nil where it has none.
type SheetPoint struct {
	Point string
	Stage int
	Mount *inventory.Mount    // of a motor, or
	Way   *inventory.Recovery // of a charge
	// Motor and Igniter are of the lots, else what the rocket's record asks for.
	Motor                *inventory.Motor
	MotorLot, IgniterLot *inventory.Lot
	Asks                 bool // for an igniter
	Igniter              *inventory.Igniter
	// The figures are those that the packing of its igniter rested on, else the
	// record's; no splice is needed where it is known to be zero.
	Splice       quantity.Opt[quantity.Length]
	Delay, Timer quantity.Opt[quantity.Time]
	Powder       []LotShare
}

// Served tells whether it has all it needs.
func (p *SheetPoint) Served() bool {
	return (p.Way != nil || p.MotorLot != nil) && (!p.Asks || p.IgniterLot != nil)
}

// SheetChange is a point where packing again would promise something else.
type SheetChange struct {
	Flight int // in the question, -1 for the day as a whole
	Point  string
	// Packed is what is promised, Now what would be.
	Packed, Now []Held
}

// Held is so much of a lot that is promised to a point, and the figures that this
// rests on, as the ledger keeps them.
type Held struct {
	LotShare
	RestsOn string
}

// SheetOf says what a day's sheet tells. It leaves the question as it was.
func SheetOf(q *PackQuestion, l *Limits) (*DaySheet, error) {
	s := &sheeting{q: q, l: l, ledger: LedgerOf(q.Box, q.Day), out: &DaySheet{}}
	held := s.promised()
	packed := len(held.order) > 0
	if packed {
		s.flights(held)
	}
	putBack := s.recorded()
	plan, err := PackDay(q, l)
	putBack()
	if err != nil {
		return nil, err
	}
	s.out.Plan = plan
	planned := s.planned(plan)
	if !packed {
		s.flights(planned)
		held = planned
	}
	s.take(held)
	s.compare(held, planned, packed)
	return s.out, nil
}

// sheeting is a sheet in the making.
type sheeting struct {
	q      *PackQuestion
	l      *Limits
	ledger *DayLedger
	out    *DaySheet
}

// recorded remembers the igniters that the rockets' records name, for PackDay
// changes them; what it returns puts them back.
func (s *sheeting) recorded() (back func()) {
	var undo []func()
	for i := range s.q.Flights {
		undo = append(undo, keepIgniters(s.q.Flights[i].Rocket))
	}
	return func() {
		for _, f := range undo {
			f()
		}
	}
}

func keepIgniters(r *inventory.Rocket) (back func()) {
	kept := map[*inventory.Ref]inventory.Ref{}
	for i := range r.Stages {
		for j := range r.Stages[i].Mounts {
			ref := &r.Stages[i].Mounts[j].Igniter
			kept[ref] = *ref
		}
		for j := range r.Stages[i].Recovery {
			ref := &r.Stages[i].Recovery[j].Igniter
			kept[ref] = *ref
		}
	}
	return func() {
		for ref, was := range kept {
			*ref = was
		}
	}
}

// flights tells each flight, with what it holds.
func (s *sheeting) flights(held *holdings) {
	s.out.Flights = make([]SheetFlight, len(s.q.Flights))
	for i := range s.q.Flights {
		f, out := &s.q.Flights[i], &s.out.Flights[i]
		if out.Flown = s.ledger.Flown(f.ID, f.N); out.Flown {
			continue
		}
		out.Points = s.points(f, held)
		for _, h := range held.at[heldAt{f.ID, PointOf("", f.N)}] {
			out.Supplies = append(out.Supplies, h.LotShare)
		}
		out.Report = s.check(f, out.Points)
	}
}

// check applies the rules to a rocket with the igniters that lie ready.
func (s *sheeting) check(f *PackFlight, points []SheetPoint) RocketReport {
	defer keepIgniters(f.Rocket)()
	for i := range points {
		p := &points[i]
		switch {
		case p.IgniterLot == nil:
		case p.Mount != nil:
			p.Mount.Igniter = p.IgniterLot.Item
		default:
			p.Way.Igniter = p.IgniterLot.Item
		}
	}
	day := s.q.Day
	return CheckRocket(&RocketQuestion{Rocket: f.Rocket, Box: s.q.Box, Altitude: day.Altitude, Temperature: day.Temperature, Wind: day.Wind}, s.l)
}

// points are the ignition points of a flight. A mount for which neither motor nor
// igniter is recorded flies empty, unless the rocket has no other.
func (s *sheeting) points(f *PackFlight, held *holdings) []SheetPoint {
	var list []SheetPoint
	loaded := slices.ContainsFunc(f.Rocket.Stages, func(s inventory.Stage) bool {
		return slices.ContainsFunc(s.Mounts, func(m inventory.Mount) bool { return !m.Motor.IsZero() })
	})
	for i := range f.Rocket.Stages {
		stage := &f.Rocket.Stages[i]
		for j := range stage.Mounts {
			m := &stage.Mounts[j]
			if loaded && m.Motor.IsZero() && m.Igniter.IsZero() {
				continue
			}
			for n := range int(m.Count.Or(1)) {
				p := SheetPoint{Point: fmt.Sprintf("%s/%s/%d", nameOr(stage.Name, i), nameOr(m.Name, j), n+1), Stage: i, Mount: m,
					Asks: m.Ignition == nil || m.Ignition.By != inventory.LitByBurnThrough, Delay: m.Delay}
				if m.Ignition != nil {
					p.Timer = m.Ignition.At
				}
				list = append(list, s.point(p, f, held))
			}
		}
		for j := range stage.Recovery {
			w := &stage.Recovery[j]
			for n := range int(w.Count.Or(1)) {
				if w.By == inventory.RecoverByCharge {
					p := SheetPoint{Point: fmt.Sprintf("%s/%s/%d", nameOr(stage.Name, i), nameOr(w.Name, j), n+1), Stage: i, Way: w, Asks: true, Timer: w.At}
					list = append(list, s.point(p, f, held))
				}
			}
		}
	}
	return list
}

// point fills in what a point holds.
func (s *sheeting) point(p SheetPoint, f *PackFlight, held *holdings) SheetPoint {
	if p.Mount != nil {
		p.Motor, _ = inventory.Follow[*inventory.Motor](s.q.Box, p.Mount.Motor)
		p.Igniter, _ = inventory.Follow[*inventory.Igniter](s.q.Box, p.Mount.Igniter)
	} else {
		p.Igniter, _ = inventory.Follow[*inventory.Igniter](s.q.Box, p.Way.Igniter)
	}
	if !p.Asks {
		p.Igniter = nil
	}
	for _, h := range held.at[heldAt{f.ID, PointOf(p.Point, f.N)}] {
		switch h.Lot.Of {
		case inventory.LotOfMotors:
			p.MotorLot = h.Lot
			p.Motor, _ = inventory.Follow[*inventory.Motor](s.q.Box, h.Lot.Item)
		case inventory.LotOfIgniters:
			p.IgniterLot = h.Lot
			p.Igniter, _ = inventory.Follow[*inventory.Igniter](s.q.Box, h.Lot.Item)
			p.Splice, p.Delay, p.Timer = readFigures(h.RestsOn)
		default:
			p.Powder = append(p.Powder, h.LotShare)
		}
	}
	return p
}
