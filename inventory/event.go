package inventory

import (
	"time"

	"github.com/google/uuid"

	"rangebox/inventory/quantity"
)

// What is what an entry of the ledger records.
type What uint8

// The words of the ledger, in the order of the contract; append only.
const (
	In What = iota + 1
	Used
	Tested
	Given
	Scrapped
	Counted
	Moved
	Promised
	Returned
	Held
	Released
	Prepared
	Void
)

var whatWords = []string{"in", "used", "tested", "given", "scrapped", "counted", "moved",
	"promised", "returned", "held", "released", "prepared", "void"}

// String is the ledger's word.
func (w What) String() string { return wordOf(whatWords, w) }

// Result is what became of a piece that was used or tested.
type Result uint8

// The results of firings.
const (
	Fired Result = iota + 1
	Misfire
	HangFire
	Burst
	NotFlown
)

var resultWords = []string{"fired", "misfire", "hang-fire", "burst", "not-flown"}

// String is the result in words.
func (r Result) String() string { return wordOf(resultWords, r) }

// Cause is why something did not fire.
type Cause uint8

// The causes of misfires.
const (
	CauseHead Cause = iota + 1
	CauseMotor
	CauseContact
	CauseBattery
	CauseFellOut
	CauseShort
	CauseUnknown
)

var causeWords = []string{"head", "motor", "contact", "battery", "fell-out", "short", "unknown"}

// String is the cause in words.
func (c Cause) String() string { return wordOf(causeWords, c) }

// Event is one entry of the ledger. Entries are never changed: a void takes one out.
type Event struct {
	Header
	At       time.Time
	What     What
	Lot      Ref
	Quantity quantity.Opt[quantity.Number]
	To       string
	Voids    uuid.UUID
	Flight   uuid.UUID
	Point    string
	With     Ref
	Result   Result
	Cause    Cause
	Reason   string
	By       string
	// Together is shared by the entries that one command booked, which are
	// taken back together; nil where it booked one.
	Together uuid.UUID
}

// Kind is KindEvent.
func (*Event) Kind() Kind { return KindEvent }

var eventTable = refusing(table("event", func(e *Event) *Header { return &e.Header }, false,
	moment(10, "at", "when it happened", func(e *Event) *time.Time { return &e.At }),
	word(11, "what", "what happened", whatWords, func(e *Event) *What { return &e.What }),
	ref(12, "lot", "the lot it happened to", []Kind{KindLot}, func(e *Event) *Ref { return &e.Lot }),
	number(13, "quantity", quantity.One, NotNegative, "how much", func(e *Event) *quantity.Opt[quantity.Number] { return &e.Quantity }),
	text(14, "to", "the place it went to", func(e *Event) *string { return &e.To }),
	ident(15, "voids", "the entry that is taken back", func(e *Event) *uuid.UUID { return &e.Voids }),
	ident(16, "flight", "the flight it was for", func(e *Event) *uuid.UUID { return &e.Flight }),
	text(17, "point", "the ignition point it was for", func(e *Event) *string { return &e.Point }),
	ref(18, "with", "the lot of the motor it was used with", []Kind{KindLot}, func(e *Event) *Ref { return &e.With }),
	word(19, "result", "what became of it", resultWords, func(e *Event) *Result { return &e.Result }),
	word(20, "cause", "why it did not fire", causeWords, func(e *Event) *Cause { return &e.Cause }),
	text(21, "reason", "why the entry was made", func(e *Event) *string { return &e.Reason }),
	text(22, "by", "who made it", func(e *Event) *string { return &e.By }),
	ident(23, "together", "shared by entries that were booked as one", func(e *Event) *uuid.UUID { return &e.Together }),
), checkEvent)

// needsQuantity tells which words say how much.
func (w What) needsQuantity() bool {
	switch w {
	case In, Used, Tested, Given, Scrapped, Counted, Promised, Returned, Prepared:
		return true
	}
	return false
}

func checkEvent(e *Event) []error {
	var errs []error
	refuse := func(format string, args ...any) {
		errs = append(errs, invalidf(format, args...))
	}
	q, known := e.Quantity.Get()
	switch {
	case e.What == 0:
		refuse("an entry needs what")
	case e.At.IsZero():
		refuse("an entry needs at")
	case e.What == Void && e.Voids == uuid.Nil:
		refuse("a void needs voids, the id of the entry it takes back")
	case e.What != Void && e.Voids != uuid.Nil:
		refuse("only a void takes voids")
	case e.What != Void && e.Lot.IsZero():
		refuse("an entry needs its lot")
	case e.What.needsQuantity() && !known:
		refuse("%q needs a quantity", e.What)
	case e.What.needsQuantity() && e.What != Counted && q <= 0:
		refuse("%q needs a quantity above 0", e.What)
	}
	return errs
}
