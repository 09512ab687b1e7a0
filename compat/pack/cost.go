package pack

import "cmp"

// Cost is what a packing costs, the first figure before the second and so on;
// each is summed over what is used.
type Cost struct {
	Short    int64 // not served at all
	Cautions int64
	Undated  int64 // of lots without a last day
	Days     int64 // last days, from the earliest of the box on: earliest expiry first
	Rare     int64 // motor types that cannot use the item, of the most that one of the box has
	Order    int64 // places of the lots in the order by handle and id
}

// Less tells whether c is the better packing.
func (c Cost) Less(d Cost) bool { return c.compare(d) < 0 }

func (c Cost) compare(d Cost) int {
	return cmp.Or(cmp.Compare(c.Short, d.Short), cmp.Compare(c.Cautions, d.Cautions), cmp.Compare(c.Undated, d.Undated),
		cmp.Compare(c.Days, d.Days), cmp.Compare(c.Rare, d.Rare), cmp.Compare(c.Order, d.Order))
}

func (c Cost) plus(d Cost, times int64) Cost {
	return Cost{
		c.Short + times*d.Short, c.Cautions + times*d.Cautions, c.Undated + times*d.Undated,
		c.Days + times*d.Days, c.Rare + times*d.Rare, c.Order + times*d.Order,
	}
}
