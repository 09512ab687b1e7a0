package report

import (
	"fmt"
	"io"

	"rangebox/cmd/rangebox/answer"
	"rangebox/inventory/quantity"
)

// Storage writes the propellant and powder by place, against the user's limits.
func Storage(w io.Writer, l Look, s answer.Storage) error {
	if len(s.Places) == 0 {
		l.Para(w, "No motors and no powder are in stock.")
		return nil
	}
	t := &Table{Header: []string{"place", "propellant", "powder", "together", "your limit", "over by"}, Right: []int{1, 2, 3, 4, 5}}
	row := func(name string, p answer.StoredAt) {
		grams := func(n *numberText) string { return number(l, n, quantity.Gram, "") }
		t.Add(Clean(name), grams(&p.PropellantG), grams(&p.PowderG), grams(&p.TotalG), grams(p.LimitG), grams(p.OverG))
	}
	limited := s.Total.LimitG != nil
	for _, p := range s.Places {
		limited = limited || p.LimitG != nil
		name := p.Place
		if name == "" {
			name = "no place noted"
		}
		row(name, p)
	}
	row("all together", s.Total)
	t.fit(l.Width)
	if err := t.Write(w); err != nil {
		return err
	}
	for _, u := range s.Total.Unknown {
		l.Para(w, fmt.Sprintf("Not counted: %s of %s, lot %s: no propellant mass is recorded.", u.Quantity, u.Item, tail(u.Lot)))
	}
	if !limited {
		l.Para(w, "No limit is set; what the law says where you live is yours to look up. Set yours with `rangebox settings set storage_limits`.")
	}
	return nil
}
