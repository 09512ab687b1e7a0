package compat

import (
	"fmt"
	"strings"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

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

// DayBook works out what a day's outcomes book. Outcomes are told in the order in
// which they happened, so that a second try comes after the first.
type DayBook struct {
	Entries []DayEntry
	q       *PackQuestion
	ledger  *DayLedger
	taken   map[ID]quantity.Number // of what was free, by lot
}

// NewDayBook begins with what the ledger says of the day.
func NewDayBook(q *PackQuestion) *DayBook {
	return &DayBook{q: q, ledger: LedgerOf(q.Box, q.Day), taken: map[ID]quantity.Number{}}
}

// put books an entry, and applies it to what the day holds.
func (b *DayBook) put(e DayEntry) {
	before := b.ledger.Of(e.Promise)
	b.Entries = append(b.Entries, e)
	b.ledger.book(b.q.Box, e.event())
	after := b.ledger.Of(e.Promise)
	b.taken[e.Lot] += after.Beside - before.Beside
	if e.What == inventory.Promised || e.What == inventory.Returned {
		b.taken[e.Lot] += after.Open - before.Open
	}
}

// free is how much of a lot is neither promised nor taken here.
func (b *DayBook) free(lot *inventory.Lot) quantity.Number {
	return b.q.Box.Stock(lot).Free() - b.taken[lot.ID]
}

// Ledger is what the ledger says of the day, with what is booked here.
func (b *DayBook) Ledger() *DayLedger { return b.ledger }

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
	b.level()
	for _, p := range b.ledger.Loose() {
		b.giveBack(p, ReasonPackedAgain)
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

// Close gives back everything that is promised still.
func (b *DayBook) Close() {
	b.level()
	for _, p := range b.ledger.Open() {
		b.giveBack(p, "day closed")
	}
}

// Drop gives back what is promised to a flight that is to be planned no more, or
// for the day as a whole. Errors wrap inventory.ErrConflict where something was
// used for it: that stays in the day's account, and so does the flight.
func (b *DayBook) Drop(id ID) error {
	for p, t := range b.ledger.tallies {
		if p.Flight == id && t.Used+t.Scrapped+t.Beside > 0 {
			return fmt.Errorf("%w: something was used for it", inventory.ErrConflict)
		}
	}
	for _, p := range b.ledger.Open() {
		if p.Flight == id {
			b.giveBack(p, "planned no more")
		}
	}
	return nil
}

// level promises what was given back twice, so that what is promised next is.
func (b *DayBook) level() {
	for _, p := range b.ledger.Overdrawn() {
		b.put(DayEntry{Promise: p, What: inventory.Promised, Quantity: -b.ledger.Of(p).Open, Reason: "was given back twice"})
	}
}

func (b *DayBook) giveBack(p Promise, reason string) {
	b.put(DayEntry{Promise: p, What: inventory.Returned, Quantity: b.ledger.Of(p).Open, Reason: reason})
}

// at finds a lot of a kind that is promised to a point still.
func (b *DayBook) at(s Spot, kind inventory.LotKind) (ID, bool) {
	for _, p := range b.ledger.Open() {
		if p.Flight == s.Flight && p.Point == s.Point && b.kindOf(p.Lot) == kind {
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
