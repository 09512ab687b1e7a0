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
	limited := s.Total.LimitG != nil
	for _, p := range s.Places {
		limited = limited || p.LimitG != nil
	}
	header := []string{"place", "propellant", "powder", "together"}
	if limited {
		header = append(header, "your limit", "over by")
	}
	t := &Table{Header: header, Right: []int{1, 2, 3, 4, 5}[:len(header)-1]}
	row := func(name string, p answer.StoredAt) {
		grams := func(n *numberText) string { return number(l, n, quantity.Gram, "") }
		cells := []string{Clean(name), grams(&p.PropellantG), grams(&p.PowderG), grams(&p.TotalG)}
		if limited {
			cells = append(cells, grams(p.LimitG), grams(p.OverG))
		}
		t.Add(cells...)
	}
	for _, p := range s.Places {
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
	for _, u := range s.Total.Uncounted {
		l.Para(w, fmt.Sprintf("Not counted: %s g of %s, lot %s: no rocket's charge names it as its powder; add it yourself if it burns.", u.Quantity, u.Item, tail(u.Lot)))
	}
	for _, p := range s.Places {
		if p.OverG != nil {
			l.Para(w, fmt.Sprintf("! %s holds %s more than the limit you set.", Clean(p.Place), number(l, p.OverG, quantity.Gram, "")))
		}
	}
	if s.Total.OverG != nil {
		l.Para(w, fmt.Sprintf("! All together is %s more than the limit you set.", number(l, s.Total.OverG, quantity.Gram, "")))
	}
	if !limited {
		l.Para(w, "No limit is set; what the law says where you live is yours to look up. Set yours with `rangebox settings set storage_limits`.")
	}
	return nil
}
