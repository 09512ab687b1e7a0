package compat

import (
	"cmp"
	"fmt"
	"slices"

	"rangebox/inventory"
)

// Outcome is what became of an ignition point of a flight.
type Outcome struct {
	Flight int    // in the question
	Point  string // `stage/mount/n`
	Result inventory.Result
	Cause  inventory.Cause
	// From is the lot that the igniter came from; nil where it was the one promised
	// to the point, or a spare of its type.
	From *inventory.Lot
}

// try is an outcome in the making.
type try struct {
	Outcome
	f *PackFlight
	place
	spot   Spot
	motor  ID
	loaded bool // motor is known
}

// Log books one outcome: what fired is used, with the motor that burnt, the powder
// that went off and, of a flight that flew, its supplies. A motor that did not
// light stays promised, since another igniter may light it; one that the stage
// below should have lit comes back as it is. Errors wrap inventory.ErrConflict
// where nothing is there that could have fired; nothing of the outcome is booked
// then.
func (b *DayBook) Log(o Outcome) error {
	f := &b.q.Flights[o.Flight]
	t := &try{Outcome: o, f: f, spot: Spot{f.ID, PointOf(o.Point, f.N)}}
	var ok bool
	if t.place, ok = placeOf(f.Rocket, o.Point); !ok {
		return fmt.Errorf("%w: %s has no point %q", inventory.ErrNotFound, f.Rocket.Handle, inventory.Printable(o.Point))
	}
	if o.From != nil && (!t.asks || o.Result == inventory.NotFlown) {
		return fmt.Errorf("%w: no igniter is used at %s of %s then", inventory.ErrInvalid, o.Point, f.Rocket.Handle)
	}
	if o.Result == inventory.NotFlown {
		return b.notFlown(t)
	}
	t.motor, t.loaded = b.at(t.spot, inventory.LotOfMotors)
	if !t.loaded && !t.charge && (o.Result != inventory.Misfire || !t.asks) {
		return fmt.Errorf("%w: no motor is promised to %s of %s that could have burnt", inventory.ErrConflict, o.Point, f.Rocket.Handle)
	}
	if t.asks {
		if err := b.useIgniter(t); err != nil {
			return err
		}
	}
	b.burn(t)
	return nil
}

// burn books what the igniter lit.
func (b *DayBook) burn(t *try) {
	e := DayEntry{Promise: Promise{t.motor, t.spot.Flight, t.spot.Point}, What: inventory.Used, Quantity: pieceSteps, Result: t.Result, Cause: t.Cause}
	switch {
	case t.Result == inventory.Misfire && !t.asks:
		e.What = inventory.Returned
		b.put(e)
	case t.Result == inventory.Misfire:
	case t.charge:
		b.useSupplies(t, chargeOf(t.Point))
	default:
		b.put(e)
		b.useSupplies(t, "")
	}
}

// useIgniter books the igniter of a point.
func (b *DayBook) useIgniter(t *try) error {
	igniter, err := b.igniterFor(t)
	if err != nil {
		return err
	}
	b.put(DayEntry{Promise: Promise{igniter, t.spot.Flight, t.spot.Point}, What: inventory.Used, Quantity: pieceSteps, With: t.motor, Result: t.Result, Cause: t.Cause})
	return nil
}

// igniterFor is the lot named, else the one promised to the point, else that of a
// spare of the type that was tried there.
func (b *DayBook) igniterFor(t *try) (ID, error) {
	if t.From != nil {
		return t.From.ID, b.fetch(t)
	}
	if lot, ok := b.at(t.spot, inventory.LotOfIgniters); ok {
		return lot, nil
	}
	spare, ok := b.spareFor(t.spot)
	if !ok {
		return ID{}, fmt.Errorf("%w: no igniter is promised to %s of %s any more, and no spare of its type is left", inventory.ErrConflict, t.Point, t.f.Rocket.Handle)
	}
	b.takeOver(b.spare(spare), t.spot, ReasonSpareTaken)
	return spare, nil
}

// fetch sees that the lot named can give an igniter: the one promised to the
// point, a spare, one that is free, and at last one that another point of the day
// was to have, which goes without then.
func (b *DayBook) fetch(t *try) error {
	lot := t.From
	if lot.Of != inventory.LotOfIgniters {
		return fmt.Errorf("%w: the lot named is of %s, which is no igniter", inventory.ErrInvalid, lot.Item)
	}
	switch spare := b.spare(lot.ID); {
	case b.ledger.Of(Promise{lot.ID, t.spot.Flight, t.spot.Point}).Open >= pieceSteps:
	case b.ledger.Of(spare).Open >= pieceSteps:
		b.takeOver(spare, t.spot, ReasonSpareTaken)
	case b.free(lot) >= pieceSteps:
	default:
		other, ok := b.lastWith(lot)
		if !ok {
			return fmt.Errorf("%w: nothing is left of the lot of %s that is not promised to another day", inventory.ErrConflict, lot.Item)
		}
		b.takeOver(other, t.spot, ReasonTakenOver)
	}
	return nil
}

// spare is the promise of a lot's spares.
func (b *DayBook) spare(lot ID) Promise { return Promise{lot, b.q.Day.ID, SparePoint} }

// takeOver promises a piece to another point.
func (b *DayBook) takeOver(from Promise, to Spot, reason string) {
	b.put(DayEntry{Promise: from, What: inventory.Returned, Quantity: pieceSteps, Reason: reason})
	b.put(DayEntry{Promise: Promise{from.Lot, to.Flight, to.Point}, What: inventory.Promised, Quantity: pieceSteps, Reason: reason})
}

// lastWith is the promise of a lot that matters least: packed last.
func (b *DayBook) lastWith(lot *inventory.Lot) (Promise, bool) {
	open := b.ledger.Open()
	for _, p := range slices.Backward(open) {
		if p.Lot == lot.ID {
			return p, true
		}
	}
	return Promise{}, false
}

// spareFor finds a spare of the type that was tried at a point.
func (b *DayBook) spareFor(s Spot) (ID, bool) {
	for _, tried := range b.ledger.order {
		if tried.Flight != s.Flight || tried.Point != s.Point || b.kindOf(tried.Lot) != inventory.LotOfIgniters {
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

// TryAgain tells whether a spare of the type could be tried at a point.
func (b *DayBook) TryAgain(flight int, point string) bool {
	f := &b.q.Flights[flight]
	_, ok := b.spareFor(Spot{f.ID, PointOf(point, f.N)})
	return ok
}

// Source is a lot from which an igniter could be taken.
type Source struct {
	Lot   *inventory.Lot
	Spare bool
}

// Sources lists the lots from which an igniter could be taken that day: spares
// before what is free, then by item and last day.
func (b *DayBook) Sources() []Source {
	var list []Source
	for _, lot := range inventory.List[*inventory.Lot](b.q.Box) {
		spare := b.ledger.Of(b.spare(lot.ID)).Open >= pieceSteps
		usable := b.q.Box.Stock(lot).Usable(lot, b.q.Day.Date) > 0 && b.free(lot) >= pieceSteps
		if lot.Of == inventory.LotOfIgniters && (spare || usable) {
			list = append(list, Source{lot, spare})
		}
	}
	slices.SortStableFunc(list, func(a, b Source) int {
		switch {
		case a.Spare != b.Spare && a.Spare:
			return -1
		case a.Spare != b.Spare:
			return 1
		case a.Lot.Item.ID != b.Lot.Item.ID:
			return cmp.Compare(a.Lot.Item.Handle, b.Lot.Item.Handle)
		case inventory.SoonerOut(a.Lot, b.Lot):
			return -1
		}
		return 1
	})
	return list
}

// useSupplies books as used what supplies are promised to a point of the flight.
func (b *DayBook) useSupplies(t *try, point string) {
	for _, p := range b.suppliesAt(t, point) {
		b.put(DayEntry{Promise: p, What: inventory.Used, Quantity: b.ledger.Of(p).Open})
	}
}

func (b *DayBook) suppliesAt(t *try, point string) []Promise {
	return slices.DeleteFunc(b.ledger.Open(), func(p Promise) bool {
		return p.Flight != t.f.ID || p.Point != PointOf(point, t.f.N) || b.kindOf(p.Lot) != inventory.LotOfSupplies
	})
}

// notFlown gives back what is promised to a point: the powder of a charge with the
// last of its igniters, the supplies of a flight with the last of its points.
func (b *DayBook) notFlown(t *try) error {
	found := false
	for _, p := range b.ledger.Open() {
		if p.Flight == t.spot.Flight && p.Point == t.spot.Point && b.kindOf(p.Lot) != inventory.LotOfSupplies {
			found = true
			b.unused(p)
		}
	}
	if !found {
		return fmt.Errorf("%w: nothing is promised to %s of %s any more", inventory.ErrConflict, t.Point, t.f.Rocket.Handle)
	}
	waiting := b.Waiting(t.Flight)
	if t.charge && !slices.ContainsFunc(waiting, func(point string) bool { return chargeOf(point) == chargeOf(t.Point) }) {
		for _, p := range b.suppliesAt(t, chargeOf(t.Point)) {
			b.unused(p)
		}
	}
	if len(waiting) == 0 && !b.ledger.Flown(t.f.ID, t.f.N) {
		for _, p := range b.suppliesAt(t, "") {
			b.unused(p)
		}
	}
	return nil
}

func (b *DayBook) unused(p Promise) {
	b.put(DayEntry{Promise: p, What: inventory.Returned, Quantity: b.ledger.Of(p).Open, Result: inventory.NotFlown})
}
