package compat

import (
	"fmt"
	"maps"
	"slices"
	"sort"
	"strconv"
	"strings"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// Why a day gives something back that is not to count as having been packed:
// written into the entry's reason, and read by the day's account.
const (
	ReasonPackedAgain = "packed again"
	ReasonSpareTaken  = "taken as a spare"
	ReasonTakenOver   = "taken for another point"
)

// SparePoint is the point to which a day's spares are promised: the flight is the
// day itself then.
const SparePoint = "spare"

// PointOf is the point of the n-th of several flights alike: bare for the first,
// `stage/mount/1#2` for the second, so that each has its own promise.
func PointOf(point string, n int) string {
	if n <= 1 {
		return point
	}
	return fmt.Sprintf("%s#%d", point, n)
}

// PointName takes a point of an entry apart again.
func PointName(text string) (point string, n int) {
	at := strings.LastIndexByte(text, '#')
	if at < 0 {
		return text, 1
	}
	n, err := strconv.Atoi(text[at+1:])
	if err != nil || n < 2 {
		return text, 1
	}
	return text[:at], n
}

// ID is the id of a record, uuid.UUID or its bytes.
type ID = [16]byte

// Promise is so much of a lot for a point of a flight.
type Promise struct {
	Lot, Flight ID
	Point       string
}

// Tally is what became of what was packed. Packed is always the sum of what was
// used, scrapped (given and tested among it) and returned, and what is open.
type Tally struct {
	Packed, Used, Scrapped, Returned quantity.Number
	// Open is promised still.
	Open quantity.Number
	// Beside was used for the point without having been promised to it.
	Beside quantity.Number
}

func (t *Tally) plus(o Tally) {
	t.Packed += o.Packed
	t.Used += o.Used
	t.Scrapped += o.Scrapped
	t.Returned += o.Returned
	t.Open += o.Open
	t.Beside += o.Beside
}

// DayLedger is what the ledger says of a launch day; and of what was promised to
// a flight that no day of the box has any more, which whoever packs or closes a day
// gives back, since nobody else will.
type DayLedger struct {
	tallies map[Promise]*Tally
	order   []Promise // as first booked
	mine    map[ID]bool
	flown   map[flying]bool
	burnt   map[Spot]bool
	told    map[Spot]bool
	last    *inventory.Event
}

// flying is the n-th of a flight.
type flying struct {
	id ID
	n  int
}

// Spot is a point of a flight, as entries name it.
type Spot struct {
	Flight ID
	Point  string
}

// LedgerOf reads what the box's entries say of a day, voided ones left out.
func LedgerOf(box *inventory.Box, day *inventory.Day) *DayLedger {
	l := &DayLedger{tallies: map[Promise]*Tally{}, mine: idsOfDay(day),
		flown: map[flying]bool{}, burnt: map[Spot]bool{}, told: map[Spot]bool{}}
	planned := map[ID]bool{{}: true} // what names no flight is nobody's
	for _, d := range inventory.List[*inventory.Day](box) {
		maps.Copy(planned, idsOfDay(d))
	}
	for _, e := range Standing(box) {
		if l.mine[e.Flight] || !planned[e.Flight] {
			l.book(box, e)
		}
	}
	return l
}

// idsOfDay are those to which a day's entries are booked: its own and its flights'.
func idsOfDay(day *inventory.Day) map[ID]bool {
	ids := map[ID]bool{day.ID: true}
	for i := range day.Flights {
		ids[day.Flights[i].ID] = true
	}
	return ids
}

// Last is the day's latest entry, nil where there is none. What is booked next is
// to come after it, or the ledger would tell it in another order.
func (l *DayLedger) Last() *inventory.Event { return l.last }

// Told tells whether an outcome was booked at a point.
func (l *DayLedger) Told(s Spot) bool { return l.told[s] }

// Astray is what is promised still to flights that no day has any more.
func (l *DayLedger) Astray() []Promise {
	return slices.DeleteFunc(l.Open(), func(p Promise) bool { return l.mine[p.Flight] })
}

// Standing are the box's entries in the order of the ledger, without voids and
// what they take back.
func Standing(box *inventory.Box) []*inventory.Event {
	all := inventory.List[*inventory.Event](box)
	voided := map[ID]bool{}
	for _, e := range all {
		if e.What == inventory.Void {
			voided[e.Voids] = true
		}
	}
	var list []*inventory.Event
	for _, e := range all {
		if e.What != inventory.Void && !voided[e.ID] {
			list = append(list, e)
		}
	}
	sort.Slice(list, func(i, j int) bool { return inventory.Earlier(list[i], list[j]) })
	return list
}

// Since finds an entry that was booked for a point after one of those that are to be
// taken back, of the same lot; nil where there is none. A close that is taken back
// after the day was packed again would promise the same piece twice.
func Since(standing, back []*inventory.Event) *inventory.Event {
	of := func(e *inventory.Event) Promise { return Promise{e.Lot.ID, e.Flight, e.Point} }
	ids, first := map[ID]bool{}, map[Promise]*inventory.Event{}
	for _, e := range back {
		ids[e.ID] = true
		if known := first[of(e)]; e.Flight != (ID{}) && (known == nil || inventory.Earlier(e, known)) {
			first[of(e)] = e
		}
	}
	for _, e := range standing {
		if known := first[of(e)]; known != nil && !ids[e.ID] && inventory.Earlier(known, e) {
			return e
		}
	}
	return nil
}

// book applies one entry, as inventory.Fold does.
func (l *DayLedger) book(box *inventory.Box, e *inventory.Event) {
	switch e.What {
	case inventory.Promised, inventory.Returned, inventory.Used, inventory.Tested, inventory.Given, inventory.Scrapped:
	default:
		return
	}
	key := Promise{e.Lot.ID, e.Flight, e.Point}
	t := l.tallies[key]
	if t == nil {
		t = &Tally{}
		l.tallies[key] = t
		l.order = append(l.order, key)
	}
	t.book(e)
	if e.Result != 0 {
		l.told[Spot{e.Flight, e.Point}] = true
	}
	if l.last == nil || inventory.Earlier(l.last, e) {
		l.last = e
	}
	if e.What == inventory.Used && lightsMotor(box, e) {
		_, n := PointName(e.Point)
		l.flown[flying{e.Flight, n}] = true
		l.burnt[Spot{e.Flight, e.Point}] = true
	}
}

func (t *Tally) book(e *inventory.Event) {
	q := e.Quantity.Or(0)
	switch e.What {
	case inventory.Promised:
		t.Open += q
		t.Packed += q
	case inventory.Returned:
		t.Open -= q
		switch e.Reason {
		case ReasonPackedAgain, ReasonSpareTaken, ReasonTakenOver:
			t.Packed -= q
		default:
			t.Returned += q
		}
	default:
		kept := min(q, max(0, t.Open))
		t.Open -= kept
		t.Beside += q - kept
		if e.What == inventory.Used {
			t.Used += kept
			return
		}
		t.Scrapped += kept
	}
}

// lightsMotor tells whether an entry says that a motor burnt.
func lightsMotor(box *inventory.Box, e *inventory.Event) bool {
	lot, ok := inventory.Follow[*inventory.Lot](box, e.Lot)
	if !ok || e.Cause == inventory.CauseMotor && e.Result == inventory.Fired {
		return false
	}
	switch e.Result {
	case inventory.Fired, inventory.HangFire, inventory.Burst:
		return lot.Of == inventory.LotOfMotors || !e.With.IsZero()
	}
	return false
}

// Flown tells whether a motor of the n-th such flight burnt: it has been flown,
// and what it took is no longer to be packed.
func (l *DayLedger) Flown(flight ID, n int) bool { return l.flown[flying{flight, n}] }

// Overdrawn lists what was given back more often than it was promised: two boxes
// that each closed the day, merged.
func (l *DayLedger) Overdrawn() []Promise {
	var list []Promise
	for _, p := range l.order {
		if l.tallies[p].Open < 0 {
			list = append(list, p)
		}
	}
	return list
}

// Open lists what is promised still, in the order in which it was packed.
func (l *DayLedger) Open() []Promise {
	var list []Promise
	for _, p := range l.order {
		if l.tallies[p].Open > 0 {
			list = append(list, p)
		}
	}
	return list
}

// Of is what became of one promise.
func (l *DayLedger) Of(p Promise) Tally {
	if t := l.tallies[p]; t != nil {
		return *t
	}
	return Tally{}
}

// ByLot adds up the day's account, lot by lot.
func (l *DayLedger) ByLot() map[ID]Tally {
	sums := map[ID]Tally{}
	for p, t := range l.tallies {
		if !l.mine[p.Flight] {
			continue
		}
		sum := sums[p.Lot]
		sum.plus(*t)
		sums[p.Lot] = sum
	}
	return sums
}

// Loose is what packing again may give out anew: what is promised to the day or
// astray, less what flights hold that have been flown.
func (l *DayLedger) Loose() []Promise {
	var list []Promise
	for _, p := range l.Open() {
		if _, n := PointName(p.Point); !l.Flown(p.Flight, n) {
			list = append(list, p)
		}
	}
	return list
}
