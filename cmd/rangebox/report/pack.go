package report

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"rangebox/cmd/rangebox/answer"
	"rangebox/inventory/quantity"
)

// Pack writes what to put into the range box, place by place, and then what goes
// where.
func Pack(w io.Writer, l Look, p answer.Pack) error {
	text := fmt.Sprintf("Packed for %s: %d of %d ignition points served.", p.Date, p.Served, p.Points)
	if p.DryRun {
		text = fmt.Sprintf("Would pack for %s: %d of %d ignition points served. Nothing was booked.", p.Date, p.Served, p.Points)
	}
	l.Para(w, text)
	if !p.Exact {
		l.Para(w, "The search was cut short: this packing is good, and a better one may exist.")
	}
	for _, part := range []func(io.Writer, Look, answer.Pack) error{packBoxes, packFlights, packSpares, packShort} {
		if err := part(w, l, p); err != nil {
			return err
		}
	}
	return nil
}

func packBoxes(w io.Writer, l Look, p answer.Pack) error {
	if len(p.Boxes) == 0 {
		return nil
	}
	fmt.Fprintln(w, "\nTake along:")
	t := &Table{Header: []string{"place", "item", "quantity", "", "lot"}, Right: []int{2}}
	for _, box := range p.Boxes {
		place := Clean(box.Place)
		if place == "" {
			place = "no place noted"
		}
		for i, item := range box.Items {
			if i > 0 {
				place = ""
			}
			t.Add(place, item.Item, item.Quantity.String(), item.Unit, tail(item.Lot))
		}
	}
	t.fit(l.Width)
	return t.Write(w)
}

func packFlights(w io.Writer, l Look, p answer.Pack) error {
	for _, f := range p.Flights {
		fmt.Fprintln(w)
		head := "Flight " + f.Number + ", " + f.Rocket
		switch {
		case f.Flown:
			l.Para(w, head+": flown.")
			continue
		case !f.Complete:
			head += ": INCOMPLETE"
		}
		l.para(w, "", "  ", head+"; the rocket as packed: "+l.Word(f.Verdict)+reasonWords(f.Reasons)+".")
		t := &Table{Header: []string{"point", "motor", "igniter", "lot", "verdict", "figures"}}
		for _, point := range f.Points {
			t.Add(point.Point, orMissing(point.Motor, point.MotorLot), orMissing(point.Igniter, point.IgniterLot), tail(point.IgniterLot),
				l.Word(point.Verdict), pointFigures(l, point))
		}
		t.fit(l.Width)
		if err := t.Write(w); err != nil {
			return err
		}
		if len(f.Supplies) > 0 {
			l.para(w, "", "  ", "With "+useWords(f.Supplies)+".")
		}
	}
	return nil
}

// reasonWords names the rules behind a verdict, each once.
func reasonWords(list []answer.PackReason) string {
	var rules []string
	for _, r := range list {
		if !slices.Contains(rules, r.Rule) {
			rules = append(rules, r.Rule)
		}
	}
	if len(rules) == 0 {
		return ""
	}
	return " (" + strings.Join(rules, ", ") + ")"
}

func useWords(list []answer.PackUse) string {
	var words []string
	for _, u := range list {
		word := u.Quantity.String() + " " + u.Item
		if u.Unit != "" {
			word = u.Quantity.String() + " " + u.Unit + " " + u.Item
		}
		if u.Point != "" {
			word += " for " + strings.TrimSuffix(Clean(u.Point), "/1")
		}
		words = append(words, word)
	}
	return strings.Join(words, ", ")
}

// orMissing is what a point gets; what it only should have got says so.
func orMissing(item, lot string) string {
	if item != "" && lot == "" {
		return item + " (missing)"
	}
	return item
}

func pointFigures(l Look, p answer.PackPoint) string {
	var words []string
	for _, word := range []string{
		labelled("splice", number(l, p.SpliceMM, quantity.Millimetre, "")),
		labelled("delay", number(l, p.DelayS, quantity.Second, "")),
		labelled("timer", number(l, p.AtS, quantity.Second, "")),
	} {
		if word != "" {
			words = append(words, word)
		}
	}
	if len(p.Reasons) > 0 {
		words = append(words, strings.Trim(reasonWords(p.Reasons), " ()"))
	}
	return strings.Join(words, ", ")
}

func packSpares(w io.Writer, l Look, p answer.Pack) error {
	if len(p.Spares) > 0 {
		fmt.Fprintln(w, "\nSpares:")
		t := &Table{Header: []string{"igniter", "spares", "for", "known to", "enough with"}, Right: []int{1}}
		for _, s := range p.Spares {
			what, known, chance := "the bench", "", ""
			if s.Family != "" {
				what = fmt.Sprintf("%d on %s", s.Needed, Clean(s.Family))
				known = fmt.Sprintf("fire %d, fail %d", s.Fired, s.Misfired)
				chance = percent(s.Chance)
			}
			t.Add(s.Igniter, fmt.Sprint(s.Quantity), what, known, chance)
		}
		t.fit(l.Width)
		if err := t.Write(w); err != nil {
			return err
		}
	}
	packAboard(w, l, p)
	packBatteries(w, l, p)
	packAgain(w, l, p)
	return nil
}

func packAboard(w io.Writer, l Look, p answer.Pack) {
	if len(p.Aboard) > 0 {
		fmt.Fprintln(w, "\nOn board, where no spare helps:")
	}
	for _, a := range p.Aboard {
		text := fmt.Sprintf("%s on %s: does not light with a chance of %s", a.Igniter, Clean(a.Family), percent(a.Unlit))
		if a.Points > 1 {
			text = fmt.Sprintf("%s on %s, %d of them: one or more do not light with a chance of %s", a.Igniter, Clean(a.Family), a.Points, percent(a.Unlit))
		}
		l.para(w, "  ", "    ", text+".")
		for _, then := range a.Then {
			l.para(w, "    ", "      ", Clean(then)+".")
		}
	}
}

func packBatteries(w io.Writer, l Look, p answer.Pack) {
	if len(p.Batteries) > 0 {
		fmt.Fprintln(w, "\nBatteries:")
	}
	for _, b := range p.Batteries {
		text := fmt.Sprintf("%s is asked to fire %s, %s in all", b.Battery, times(b.Firings), counted(b.Igniters, "igniter"))
		switch {
		case b.Lot == "" && b.Kept:
			text += "; NONE CAN BE USED that day"
		case b.Lot == "":
			text += "; no lot of it is on record"
		}
		l.para(w, "  ", "    ", text+".")
	}
}

func times(n int) string {
	switch n {
	case 1:
		return "once"
	case 2:
		return "twice"
	}
	return fmt.Sprintf("%d times", n)
}

// packAgain tells what is used again by one flight after the other.
func packAgain(w io.Writer, l Look, p answer.Pack) {
	for _, s := range p.Supplies {
		if len(s.Again) == 0 {
			continue
		}
		fmt.Fprintln(w)
		l.para(w, "", "  ", fmt.Sprintf("%s: %s taken, used again from flight to flight: %s. Clean and load it in between.", s.Item, s.Quantity, strings.Join(s.Again, ", ")))
	}
}

// percent shows a chance.
func percent(n *numberText) string {
	if n == nil {
		return ""
	}
	x, err := n.Float64()
	if err != nil {
		return n.String()
	}
	return fmt.Sprintf("%.1f %%", 100*x)
}

func packShort(w io.Writer, l Look, p answer.Pack) error {
	if len(p.Short) == 0 {
		return nil
	}
	fmt.Fprintln(w, "\nShort:")
	t := &Table{Header: []string{"item", "kind", "short", "why"}, Right: []int{2}}
	for _, s := range p.Short {
		t.Add(s.Item, s.Kind, s.Quantity.String(), Clean(s.Why))
	}
	t.fit(l.Width)
	return t.Write(w)
}
