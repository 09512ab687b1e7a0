package inventory

import (
	"bytes"
	"sort"

	"github.com/google/uuid"

	"rangebox/inventory/quantity"
)

// Stock is what the ledger says of a lot.
type Stock struct {
	OnHand   quantity.Number
	Promised quantity.Number
	Held     bool
	Place    string
}

// NeedsCount tells that entries of two boxes together took out more than there
// was: somebody has to count.
func (s Stock) NeedsCount() bool { return s.OnHand < 0 || s.Promised < 0 }

// Free is what is on hand and not promised; never below zero.
func (s Stock) Free() quantity.Number { return max(0, s.OnHand-max(0, s.Promised)) }

// Usable is what can be used on a day: free, not held, not past the last day.
func (s Stock) Usable(lot *Lot, on Date) quantity.Number {
	if s.Held || lot.Expired(on) {
		return 0
	}
	return s.Free()
}

// Expired tells whether the lot is past its last day.
func (l *Lot) Expired(on Date) bool { return !l.Expires.IsZero() && l.Expires.Before(on) }

// Fold is the state of a lot: its entries in the order (at, id), those that are
// voided left out. It does not depend on the order in which they are given.
func Fold(lot *Lot, entries []*Event, voided func(uuid.UUID) bool) Stock {
	sorted := append([]*Event(nil), entries...)
	sort.Slice(sorted, func(i, j int) bool { return Earlier(sorted[i], sorted[j]) })
	stock := Stock{Place: lot.Place}
	promises := map[promise]quantity.Number{}
	for _, e := range sorted {
		if e.What == Void || voided(e.ID) {
			continue
		}
		stock.book(e, promises)
	}
	return stock
}

// Earlier is the order of the ledger: by time, then by id.
func Earlier(a, b *Event) bool {
	if !a.At.Equal(b.At) {
		return a.At.Before(b.At)
	}
	return bytes.Compare(a.ID[:], b.ID[:]) < 0
}

// promise is whom pieces are promised to.
type promise struct {
	flight uuid.UUID
	point  string
}

// book applies one entry, as the contract's table says.
func (s *Stock) book(e *Event, promises map[promise]quantity.Number) {
	q := e.Quantity.Or(0)
	to := promise{e.Flight, e.Point}
	switch e.What {
	case In:
		s.OnHand += q
	case Used, Tested, Given, Scrapped:
		s.OnHand -= q
		kept := min(q, max(0, promises[to]))
		promises[to] -= kept
		s.Promised -= kept
	case Prepared:
		s.OnHand -= q
	case Counted:
		s.OnHand = q
	case Moved:
		if e.Quantity.Known() { // part of the lot, which became a lot of its own
			s.OnHand -= q
			return
		}
		s.Place = e.To
	case Promised:
		promises[to] += q
		s.Promised += q
	case Returned:
		promises[to] -= q
		s.Promised -= q
	case Held:
		s.Held = true
	case Released:
		s.Held = false
	}
}

// Portion is how much is taken from a lot.
type Portion struct {
	Lot      *Lot
	Quantity quantity.Number
}

// FirstOut takes a quantity from the lots of an item, first to expire first: only
// what is free counts, and but for scrapping only what is usable on the day. The
// portions are less than asked for where there is too little.
func (b *Box) FirstOut(item uuid.UUID, q quantity.Number, what What, on Date) []Portion {
	var portions []Portion
	for _, lot := range b.LotsOf(item) {
		there := b.Stock(lot).Usable(lot, on)
		if what == Scrapped {
			there = b.Stock(lot).Free()
		}
		if take := min(q, there); take > 0 {
			portions = append(portions, Portion{lot, take})
			q -= take
		}
	}
	return portions
}

// LotState is a lot's standing on a day.
type LotState string

// The standings of a lot.
const (
	LotOK      LotState = "ok"
	LotSoon    LotState = "soon"
	LotExpired LotState = "expired"
	LotHeld    LotState = "held"
)

// soonDays is how long before its last day a lot is "soon" (60 days: ours).
const soonDays = 60

// State is the lot's standing on a day; on hold goes before all else.
func (l *Lot) State(stock Stock, on Date) LotState {
	switch {
	case stock.Held:
		return LotHeld
	case l.Expired(on):
		return LotExpired
	case !l.Expires.IsZero() && on.DaysUntil(l.Expires) <= soonDays:
		return LotSoon
	}
	return LotOK
}
