package compat

import "rangebox/inventory"

// Repeated is a lot of which more than one igniter has failed.
type Repeated struct {
	Lot *inventory.Lot
	// Failed are those that misfired or hung, OfHead those of them whose head it was.
	Failed, OfHead int
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
