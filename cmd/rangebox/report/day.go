package report

import (
	"fmt"
	"io"
	"sort"
	"strings"

	"rangebox/cmd/rangebox/answer"
	"rangebox/inventory/quantity"
)

// Day writes a launch day and its flights.
func Day(w io.Writer, l Look, d answer.Day) error {
	head := []string{d.Date}
	if d.Site != "" {
		head = append(head, Clean(d.Site))
	}
	for _, part := range []string{
		number(l, d.AltitudeM, quantity.Metre, ""), number(l, d.TemperatureC, quantity.Celsius, ""), labelled("wind", number(l, d.WindMS, quantity.MetrePerSecond, "")),
	} {
		if part != "" {
			head = append(head, part)
		}
	}
	l.Para(w, strings.Join(head, ", ")+".")
	if d.Notes != "" {
		l.para(w, "  ", "  ", Clean(d.Notes))
	}
	if len(d.Flights) == 0 {
		l.Para(w, "No flight is planned yet; add one with `rangebox day add "+d.Date+" ROCKET`.")
		return nil
	}
	fmt.Fprintln(w)
	t := &Table{Header: []string{"", "rocket", "flights", "with", "result"}, Right: []int{0, 2}}
	for i, f := range d.Flights {
		t.Add(fmt.Sprint(i+1), f.Rocket, fmt.Sprint(f.Count), Clean(pairsText(f.With)), Clean(joined(f.Result, f.Notes)))
	}
	t.fit(l.Width)
	return t.Write(w)
}

func labelled(label, value string) string {
	if value == "" {
		return ""
	}
	return label + " " + value
}

func pairsText(m map[string]string) string {
	var list []string
	for k, v := range m {
		list = append(list, k+"="+v)
	}
	sort.Strings(list)
	return strings.Join(list, " ")
}

// Days writes launch days.
func Days(days []answer.Day) List {
	list := List{
		Empty: "There is no launch day yet; plan one with `rangebox day new DATE`.",
		Columns: []Column{{Name: "date", Label: "date"}, {Name: "site", Label: "site"}, {Name: "flights", Label: "flights", Right: true},
			{Name: "id", Label: "id"}},
	}
	for _, d := range days {
		n := 0
		for _, f := range d.Flights {
			n += f.Count
		}
		list.Rows = append(list.Rows, []string{d.Date, d.Site, fmt.Sprint(n), tail(d.ID)})
	}
	return list
}
