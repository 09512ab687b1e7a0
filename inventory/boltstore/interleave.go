package boltstore

import (
	"time"

	"github.com/google/uuid"

	"rangebox/inventory"
)

// ClockSkew is how far the clocks of two laptops are taken to differ at most
// (ours): what lies closer together than this may have happened in either order.
const ClockSkew = 15 * time.Minute

// Interleaving is a count in one box and what the other box booked of the same
// lot at about that time: whether the count saw it, nobody can tell.
type Interleaving struct {
	Lot          uuid.UUID
	Count, Other *inventory.Event
}

// bothSides is what only one of the boxes has booked of a lot.
type bothSides struct {
	ours, theirs []*inventory.Event
}

// apart gathers the entries that only one of the boxes has: all of the other's,
// and of ours those of lots to which both have booked something.
func (m *merging) apart() error {
	m.sides = map[uuid.UUID]*bothSides{}
	err := m.other.eachEvent(func(e *inventory.Event) error {
		known, err := m.t.payload(bucketEventIDs, e.ID[:])
		if err != nil || known != nil {
			return err
		}
		if err := m.arrives(e); err != nil || !movesStock(e) {
			return err
		}
		if m.sides[e.Lot.ID] == nil {
			m.sides[e.Lot.ID] = &bothSides{}
		}
		m.sides[e.Lot.ID].theirs = append(m.sides[e.Lot.ID].theirs, e)
		return nil
	})
	if err != nil || len(m.sides) == 0 {
		return err
	}
	return m.t.eachEvent(func(e *inventory.Event) error {
		side := m.sides[e.Lot.ID]
		if side == nil || !movesStock(e) {
			return nil
		}
		known, err := m.other.payload(bucketEventIDs, e.ID[:])
		if err == nil && known == nil {
			side.ours = append(side.ours, e)
		}
		return err
	})
}

// movesStock tells whether an entry changes what is on hand.
func movesStock(e *inventory.Event) bool {
	switch e.What {
	case inventory.In, inventory.Used, inventory.Tested, inventory.Given, inventory.Scrapped, inventory.Counted, inventory.Prepared:
		return true
	}
	return e.What == inventory.Moved && e.Quantity.Known()
}

// interleavings lists the counts that lie too close to what the other box booked,
// once it is known what is voided.
func (m *merging) interleavings() error {
	return m.t.walk(bucketLotStock, func(key, _ []byte) error {
		lot := groupOf(key)
		side := m.sides[lot]
		if side == nil {
			return nil
		}
		m.interleave(lot, side.ours, side.theirs)
		m.interleave(lot, side.theirs, side.ours)
		return nil
	})
}

// interleave holds the counts of one side against the entries of the other; two
// counts against each other once.
func (m *merging) interleave(lot uuid.UUID, counts, others []*inventory.Event) {
	for _, c := range counts {
		if c.What != inventory.Counted || m.t.Voided(c.ID) {
			continue
		}
		for _, o := range others {
			twice := o.What == inventory.Counted && inventory.Earlier(o, c)
			if !twice && c.At.Sub(o.At).Abs() <= ClockSkew && !m.t.Voided(o.ID) {
				m.report.Interleaved = append(m.report.Interleaved, Interleaving{lot, c, o})
			}
		}
	}
}
