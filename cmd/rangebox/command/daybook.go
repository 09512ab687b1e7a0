package command

import (
	"fmt"
	"time"

	"github.com/google/uuid"

	"rangebox/cmd/rangebox/answer"
	"rangebox/compat"
	"rangebox/inventory"
	"rangebox/inventory/boltstore"
	"rangebox/inventory/quantity"
)

// bookDay books what was worked out for a day from a state of the box, as one
// thing, with lots to hold; and refuses where the box has moved since. What else is
// to be done to the box is done in the same transaction.
func (g *global) bookDay(seen boltstore.Revision, book *compat.DayBook, holds []compat.Repeated, also func(*boltstore.Tx) error) (done dayBooked, err error) {
	at, err := g.dayMoment(book.Ledger().Last())
	if err != nil {
		return done, err
	}
	if done.events, err = dayEvents(book.Entries, holds, at); err != nil {
		return done, err
	}
	if len(done.events) == 0 && also == nil {
		done.Booked, err = booked(nil, nil)
		return done, err
	}
	if err := together(done.events); err != nil {
		return done, err
	}
	err = boltstore.Write(g.path(), g.storeOptions(), func(tx *boltstore.Tx) error {
		if err := tx.Expect(seen); err != nil {
			return err
		}
		if err := tx.Book(done.events...); err != nil {
			return fmt.Errorf("booking the day: %w", err)
		}
		if also != nil {
			if err := also(tx); err != nil {
				return err
			}
		}
		done.Booked, err = booked(&tx.View, done.events)
		return err
	})
	return done, err
}

// dayBooked is what was booked for a day.
type dayBooked struct {
	answer.Booked
	events []*inventory.Event
}

// dayMoment is the time of what is booked for a day after its latest entry. The
// ledger is read in the order of time: a clock that is behind the one that packed
// would tell of a firing before its igniter was promised.
func (g *global) dayMoment(last *inventory.Event) (time.Time, error) {
	at, err := g.moment()
	if err != nil || last == nil || !at.Before(last.At) {
		return at, err
	}
	if g.at != "" {
		return at, advise(conflict("--at %s comes before %s, when the day's latest entry was made", inventory.Printable(g.at), last.At.Local().Format("2006-01-02 15:04:05")),
			"give a later time, or leave --at away")
	}
	return last.At.Add(time.Millisecond), nil
}

// dayEvents gives entries their id and time.
func dayEvents(entries []compat.DayEntry, holds []compat.Repeated, at time.Time) ([]*inventory.Event, error) {
	var events []*inventory.Event
	for i := range entries {
		e := entries[i].Event()
		id, err := uuid.NewV7()
		if err != nil {
			return nil, fmt.Errorf("making an id: %w", err)
		}
		e.ID, e.At = id, at
		events = append(events, e)
	}
	for _, r := range holds {
		e, err := newEntry(at, inventory.Held, r.Lot)
		if err != nil {
			return nil, err
		}
		e.Reason = fmt.Sprintf("%d did not fire", r.Failed)
		events = append(events, e)
	}
	return events, nil
}

// astrayDoubts tells what is promised to flights that no launch day has.
func astrayDoubts(v *boltstore.View) ([]string, error) {
	box, err := v.Load(boltstore.Want{All: []inventory.Kind{inventory.KindDay, inventory.KindLot}, Events: true})
	if err != nil {
		return nil, err
	}
	var doubts []string
	ledger := compat.LedgerOf(box, &inventory.Day{})
	for _, p := range ledger.Astray() {
		lot, ok := inventory.Follow[*inventory.Lot](box, inventory.Ref{ID: p.Lot})
		if !ok {
			continue
		}
		doubts = append(doubts, fmt.Sprintf("lot %s of %s: %s promised to a flight that no launch day has; packing or closing any day gives it back",
			answer.Tail(lot), lot.Item, quantity.Amount.Format(int64(ledger.Of(p).Open))))
	}
	return doubts, nil
}
