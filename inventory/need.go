package inventory

import "rangebox/inventory/quantity"

// Take is how much of an item one flight takes.
type Take struct {
	Item     Ref
	Quantity quantity.Number
}

// Shortage is an item of which a day can give less than is wanted.
type Shortage struct {
	Item           Record
	Usable, Wanted quantity.Number
}

// Usable is how much of an item can be used on a day, over all its lots.
func (b *Box) Usable(item Record, on Date) quantity.Number {
	var sum quantity.Number
	for _, lot := range b.LotsOf(item.Base().ID) {
		sum += b.Stock(lot).Usable(lot, on)
	}
	return sum
}

// ShortOfFlight lists what one flight of a rocket takes and the box cannot give
// on a day: held, expired, promised or not there.
func (b *Box) ShortOfFlight(r *Rocket, on Date) []Shortage {
	var list []Shortage
	for _, take := range FlightNeeds(r) {
		item, ok := Follow[Record](b, take.Item)
		if !ok {
			continue
		}
		if usable := b.Usable(item, on); usable < take.Quantity {
			list = append(list, Shortage{item, usable, take.Quantity})
		}
	}
	return list
}

// BelowLevel lists the supplies of which less can be used than their reorder level.
func (b *Box) BelowLevel(on Date) []Shortage {
	var list []Shortage
	for _, s := range List[*Supply](b) {
		level, ok := s.Level.Get()
		if usable := b.Usable(s, on); ok && usable < level {
			list = append(list, Shortage{s, usable, level})
		}
	}
	return list
}

// FlightNeeds is what one flight of a rocket takes out of the box: motors,
// igniters, powder and supplies, each item once, in the order of the record. What
// is reusable comes back and is told all the same: it must be there.
func FlightNeeds(r *Rocket) []Take {
	n := &needing{at: map[Ref]int{}}
	for _, s := range r.Stages {
		for _, m := range s.Mounts {
			count := pieces(m.Count)
			n.take(m.Motor, count)
			if m.Ignition == nil || m.Ignition.By != LitByBurnThrough {
				n.take(m.Igniter, count)
			}
		}
		for _, way := range s.Recovery {
			n.take(way.Igniter, pieces(way.Count))
			n.take(way.Powder, quantity.Number(way.PowderMass.Or(0))) // a gram is 1e9 steps of either
		}
	}
	for _, use := range r.Supplies {
		n.take(use.Item, use.Quantity.Or(0))
	}
	return n.takes
}

func pieces(count quantity.Opt[quantity.Count]) quantity.Number {
	return quantity.Number(count.Or(1)) * 1e9
}

type needing struct {
	takes []Take
	at    map[Ref]int
}

func (n *needing) take(item Ref, q quantity.Number) {
	if item.IsZero() || q == 0 {
		return
	}
	if i, ok := n.at[item]; ok {
		n.takes[i].Quantity += q
		return
	}
	n.at[item] = len(n.takes)
	n.takes = append(n.takes, Take{item, q})
}
