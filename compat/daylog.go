package compat

import (
	"fmt"
	"strings"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// Outcome is what became of an ignition point of a flight.
type Outcome struct {
	Flight int    // in the question
	Point  string // `stage/mount/n`
	Result inventory.Result
	Cause  inventory.Cause
}

// DayEntry is what is to be booked.
type DayEntry struct {
	Promise
	What     inventory.What
	Quantity quantity.Number
	With     ID // the motor's lot; zero for none
	Result   inventory.Result
	Cause    inventory.Cause
	Reason   string
}

// Repeated is a lot of which more than one igniter has failed.
type Repeated struct {
	Lot *inventory.Lot
	// Failed are those that misfired or hung, OfHead those of them whose head it was.
	Failed, OfHead int
}

// DayBook works out what a day's outcomes book. Outcomes are told in the order in
// which they happened, so that a second try comes after the first.
type DayBook struct {
	Entries []DayEntry
	q       *PackQuestion
	ledger  *DayLedger
}

// NewDayBook begins with what the ledger says of the day.
func NewDayBook(q *PackQuestion) *DayBook {
	return &DayBook{q: q, ledger: LedgerOf(q.Box, q.Day)}
}

// put books an entry, and applies it to what the day holds.
func (b *DayBook) put(e DayEntry) {
	b.Entries = append(b.Entries, e)
	b.ledger.book(b.q.Box, e.event())
}

// event is the entry as the ledger has it, without id and time.
func (e *DayEntry) event() *inventory.Event {
	out := &inventory.Event{What: e.What, Lot: inventory.Ref{ID: e.Lot}, Quantity: quantity.Some(e.Quantity),
		Flight: e.Flight, Point: e.Point, Result: e.Result, Cause: e.Cause, Reason: e.Reason}
	if e.With != (ID{}) {
		out.With = inventory.Ref{ID: e.With}
	}
	return out
}

// Event is the entry as the ledger has it; the caller gives it id and time.
func (e *DayEntry) Event() *inventory.Event { return e.event() }

// Pack gives back what was promised, but for flights that have been flown, and
// promises what is allotted anew. The figures that an igniter's allotment rests on
// stay in its entry.
func (b *DayBook) Pack(plan *PackPlan) {
	for _, p := range b.ledger.Loose() {
		b.put(DayEntry{Promise: p, What: inventory.Returned, Quantity: b.ledger.Of(p).Open, Reason: ReasonPackedAgain})
	}
	for _, a := range plan.Allotments {
		e := DayEntry{Promise: Promise{a.Lot.ID, a.Flight, a.Point}, What: inventory.Promised, Quantity: a.Quantity}
		if a.What != nil {
			e.Reason = a.What.restsOn()
		}
		b.put(e)
	}
}

// restsOn are the figures that an allotment stands on.
func (p *PackedPoint) restsOn() string {
	var words []string
	if p.Splice > 0 {
		words = append(words, "splice "+quantity.Millimetre.Text(int64(p.Splice), quantity.Metric))
	}
	if t, ok := p.Delay.Get(); ok {
		words = append(words, "delay "+quantity.Second.Text(int64(t), quantity.Metric))
	}
	if t, ok := p.Timer.Get(); ok {
		words = append(words, "timer "+quantity.Second.Text(int64(t), quantity.Metric))
	}
	return strings.Join(words, ", ")
}

// Log books one outcome: what fired is used, with the motor that burnt, the powder
// that went off and, of a flight that flew, its supplies. A motor that did not
// light stays promised: another igniter may light it. Errors wrap
// inventory.ErrConflict where nothing is there that could have fired; nothing of
// the outcome is booked then.
func (b *DayBook) Log(o Outcome) error {
	f := &b.q.Flights[o.Flight]
	at := PointOf(o.Point, f.N)
	place, ok := placeOf(f.Rocket, o.Point)
	if !ok {
		return fmt.Errorf("%w: %s has no point %q", inventory.ErrNotFound, f.Rocket.Handle, inventory.Printable(o.Point))
	}
	if o.Result == inventory.NotFlown {
		return b.notFlown(f, at, o)
	}
	motor, there := b.at(f.ID, at, inventory.LotOfMotors)
	if !there && !place.charge && (o.Result != inventory.Misfire || !place.asks) {
		return fmt.Errorf("%w: no motor is promised to %s of %s that could have burnt", inventory.ErrConflict, o.Point, f.Rocket.Handle)
	}
	if place.asks {
		if err := b.useIgniter(f, at, o, motor); err != nil {
			return err
		}
	}
	switch {
	case o.Result == inventory.Misfire:
	case place.charge:
		b.useAll(f.ID, at, inventory.LotOfSupplies)
	default:
		b.put(DayEntry{Promise: Promise{motor, f.ID, at}, What: inventory.Used, Quantity: pieceSteps, Result: o.Result, Cause: o.Cause})
		b.useAll(f.ID, PointOf("", f.N), inventory.LotOfSupplies)
	}
	return nil
}

// useIgniter books the igniter of a point: the one promised to it, else a spare.
func (b *DayBook) useIgniter(f *PackFlight, at string, o Outcome, motor ID) error {
	igniter, ok := b.at(f.ID, at, inventory.LotOfIgniters)
	if !ok {
		spare, found := b.spareFor(f.ID, at)
		if !found {
			return fmt.Errorf("%w: no igniter is promised to %s of %s any more, and no spare of its type is left", inventory.ErrConflict, o.Point, f.Rocket.Handle)
		}
		igniter = spare
		b.put(DayEntry{Promise: Promise{spare, b.q.Day.ID, SparePoint}, What: inventory.Returned, Quantity: pieceSteps, Reason: ReasonSpareTaken})
		b.put(DayEntry{Promise: Promise{spare, f.ID, at}, What: inventory.Promised, Quantity: pieceSteps, Reason: ReasonSpareTaken})
	}
	b.put(DayEntry{Promise: Promise{igniter, f.ID, at}, What: inventory.Used, Quantity: pieceSteps, With: motor, Result: o.Result, Cause: o.Cause})
	return nil
}

// at finds a lot of a kind that is promised to a point still.
func (b *DayBook) at(flight ID, point string, kind inventory.LotKind) (ID, bool) {
	for _, p := range b.ledger.Open() {
		if p.Flight == flight && p.Point == point && b.kindOf(p.Lot) == kind {
			return p.Lot, true
		}
	}
	return ID{}, false
}

func (b *DayBook) lot(id ID) *inventory.Lot {
	lot, _ := inventory.Follow[*inventory.Lot](b.q.Box, inventory.Ref{ID: id})
	return lot
}

func (b *DayBook) kindOf(id ID) inventory.LotKind {
	if lot := b.lot(id); lot != nil {
		return lot.Of
	}
	return 0
}

// spareFor finds a spare of the type that was tried at a point.
func (b *DayBook) spareFor(flight ID, point string) (ID, bool) {
	for _, tried := range b.ledger.order {
		if tried.Flight != flight || tried.Point != point || b.kindOf(tried.Lot) != inventory.LotOfIgniters {
			continue
		}
		for _, p := range b.ledger.Open() {
			if p.Flight == b.q.Day.ID && p.Point == SparePoint && b.lot(p.Lot).Item.ID == b.lot(tried.Lot).Item.ID {
				return p.Lot, true
			}
		}
	}
	return ID{}, false
}

// useAll books as used what is promised to a point of one kind.
func (b *DayBook) useAll(flight ID, point string, kind inventory.LotKind) {
	for _, p := range b.ledger.Open() {
		if p.Flight == flight && p.Point == point && b.kindOf(p.Lot) == kind {
			b.put(DayEntry{Promise: p, What: inventory.Used, Quantity: b.ledger.Of(p).Open})
		}
	}
}

// notFlown gives back what is promised to a point.
func (b *DayBook) notFlown(f *PackFlight, at string, o Outcome) error {
	found := false
	for _, p := range b.ledger.Open() {
		if p.Flight == f.ID && p.Point == at {
			found = true
			b.put(DayEntry{Promise: p, What: inventory.Returned, Quantity: b.ledger.Of(p).Open, Result: inventory.NotFlown})
		}
	}
	if !found {
		return fmt.Errorf("%w: nothing is promised to %s of %s any more", inventory.ErrConflict, o.Point, f.Rocket.Handle)
	}
	return nil
}

// Close gives back everything that is promised still.
func (b *DayBook) Close() {
	for _, p := range b.ledger.Open() {
		b.put(DayEntry{Promise: p, What: inventory.Returned, Quantity: b.ledger.Of(p).Open, Reason: "day closed"})
	}
}

// Waiting lists the points of a flight that wait for their outcome.
func (b *DayBook) Waiting(flight int) []string {
	f := &b.q.Flights[flight]
	var list []string
	for _, point := range PointsOf(f.Rocket) {
		place, _ := placeOf(f.Rocket, point)
		kind := inventory.LotOfIgniters
		if !place.asks {
			kind = inventory.LotOfMotors
		}
		if _, ok := b.at(f.ID, PointOf(point, f.N), kind); ok {
			list = append(list, point)
		}
	}
	return list
}

// TryAgain tells whether a spare could be tried at a point.
func (b *DayBook) TryAgain(flight int, point string) bool {
	f := &b.q.Flights[flight]
	_, ok := b.spareFor(f.ID, PointOf(point, f.N))
	return ok
}

// Repeated lists the lots that fail more than once with what is booked here.
func (b *DayBook) Repeated() []Repeated {
	failed := map[ID]*Repeated{}
	count := func(e *inventory.Event) {
		if e.Result != inventory.Misfire && e.Result != inventory.HangFire || b.kindOf(e.Lot.ID) != inventory.LotOfIgniters ||
			e.What != inventory.Used && e.What != inventory.Tested {
			return
		}
		if failed[e.Lot.ID] == nil {
			failed[e.Lot.ID] = &Repeated{Lot: b.lot(e.Lot.ID)}
		}
		n := int(e.Quantity.Or(0) / pieceSteps)
		failed[e.Lot.ID].Failed += n
		if e.Cause == inventory.CauseHead {
			failed[e.Lot.ID].OfHead += n
		}
	}
	for _, e := range Standing(b.q.Box) {
		count(e)
	}
	var list []Repeated
	said := map[ID]bool{}
	for i := range b.Entries {
		count(b.Entries[i].event())
	}
	for i := range b.Entries {
		e := &b.Entries[i]
		now := e.Result == inventory.Misfire || e.Result == inventory.HangFire
		if r := failed[e.Lot]; now && r != nil && r.Failed > 1 && !said[e.Lot] && !b.q.Box.Stock(r.Lot).Held {
			said[e.Lot] = true
			list = append(list, *r)
		}
	}
	return list
}

// place is what there is at an ignition point.
type place struct {
	charge, asks bool
}

// PointsOf lists the ignition points of a rocket, lowest stage first.
func PointsOf(r *inventory.Rocket) []string {
	var list []string
	eachPoint(r, func(point string, _ place) { list = append(list, point) })
	return list
}

func placeOf(r *inventory.Rocket, point string) (found place, ok bool) {
	eachPoint(r, func(name string, at place) {
		if name == point {
			found, ok = at, true
		}
	})
	return found, ok
}

func eachPoint(r *inventory.Rocket, visit func(point string, at place)) {
	for i := range r.Stages {
		s := &r.Stages[i]
		for j := range s.Mounts {
			m := &s.Mounts[j]
			for n := range int(m.Count.Or(1)) {
				asks := m.Ignition == nil || m.Ignition.By != inventory.LitByBurnThrough
				visit(fmt.Sprintf("%s/%s/%d", nameOr(s.Name, i), nameOr(m.Name, j), n+1), place{asks: asks})
			}
		}
		for j := range s.Recovery {
			w := &s.Recovery[j]
			if w.By != inventory.RecoverByCharge {
				continue
			}
			for n := range int(w.Count.Or(1)) {
				visit(fmt.Sprintf("%s/%s/%d", nameOr(s.Name, i), nameOr(w.Name, j), n+1), place{charge: true, asks: true})
			}
		}
	}
}
