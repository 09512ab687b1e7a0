package report

import (
	"fmt"
	"io"
	"slices"

	"rangebox/cmd/rangebox/answer"
	"rangebox/compat"
)

// DayLog writes what a log booked.
func DayLog(w io.Writer, l Look, d answer.DayLog) error {
	t := &Table{Header: []string{"flight", "point", "booked", "", "item", "lot", "result"}, Right: []int{3}}
	moved := ""
	for i, r := range d.Log {
		if r.Reason == compat.ReasonSpareTaken || r.Reason == compat.ReasonTakenOver {
			moved = r.Reason // promised anew, to be used in the next entry: told with it
			continue
		}
		q := ""
		if r.Quantity != nil {
			q = r.Quantity.String()
		}
		point, _ := compat.PointName(r.Point) // the flight's number has the rest
		t.Add(d.Flights[i], point, r.What, q, r.Item, tail(r.Lot), joined(joined(joined(r.Result, r.Cause), Clean(r.Reason)), moved))
		moved = ""
	}
	t.fit(l.Width)
	if err := t.Write(w); err != nil {
		return err
	}
	for _, r := range d.Repeated {
		text := fmt.Sprintf("%d of lot %s of %s did not fire, %d of them by the head.", r.Failed, tail(r.Lot), r.Item, r.OfHead)
		if r.Held {
			text += " The lot is on hold."
		} else {
			text += fmt.Sprintf(" Hold it with `rangebox stock hold %s`.", tail(r.Lot))
		}
		l.Para(w, text)
	}
	return nil
}

// DayClose writes a day's account and what was learnt.
func DayClose(w io.Writer, l Look, d answer.DayClose) error {
	if len(d.Account) == 0 {
		l.Para(w, "Nothing was packed for "+d.Date+".")
		return nil
	}
	l.Para(w, fmt.Sprintf("Closed %s. What was packed was used or came back:", d.Date))
	if err := dayAccount(d).write(w, l); err != nil {
		return err
	}
	dayUntold(w, l, d.Untold)
	if len(d.Reliability) == 0 {
		return nil
	}
	fmt.Fprintln(w, "\nWhat is known of the igniters (95 % interval, exact):")
	t := &Table{Header: []string{"igniter", "on", "fired", "failed", "fires with"}, Right: []int{2, 3}}
	for _, r := range d.Reliability {
		family := Clean(r.Family)
		if family == "" {
			family = "the bench"
		}
		t.Add(r.Igniter, family, fmt.Sprint(r.Fired), fmt.Sprint(r.Misfired), percent(r.Low)+" to "+percent(r.High))
	}
	t.fit(l.Width)
	return t.Write(w)
}

// dayAccount is the table of what became of each lot; what nothing was scrapped of,
// or used beside what was packed, has no column for it.
func dayAccount(d answer.DayClose) *accountTable {
	t := &accountTable{columns: []accountColumn{
		{"packed", true, func(a *answer.AccountRow) string { return a.Packed.String() }},
		{"used", true, func(a *answer.AccountRow) string { return a.Used.String() }},
		{"came back", true, func(a *answer.AccountRow) string { return a.Returned.String() }},
		{"scrapped", false, func(a *answer.AccountRow) string { return a.Scrapped.String() }},
		{"not packed, used", false, func(a *answer.AccountRow) string { return a.Beside.String() }},
	}, rows: d.Account}
	return t
}

type accountTable struct {
	columns []accountColumn
	rows    []answer.AccountRow
}

type accountColumn struct {
	name   string
	always bool
	of     func(*answer.AccountRow) string
}

func (a *accountTable) write(w io.Writer, l Look) error {
	columns := slices.DeleteFunc(slices.Clone(a.columns), func(c accountColumn) bool {
		used := slices.ContainsFunc(a.rows, func(r answer.AccountRow) bool { return c.of(&r) != "0" })
		return !c.always && !used
	})
	t := &Table{Header: []string{"item", "lot"}}
	for i, c := range columns {
		t.Header, t.Right = append(t.Header, c.name), append(t.Right, i+2)
	}
	for i := range a.rows {
		row := []string{a.rows[i].Item, tail(a.rows[i].Lot)}
		for _, c := range columns {
			row = append(row, withUnit(blankZero(c.of(&a.rows[i])), a.rows[i].Unit))
		}
		t.Add(row...)
	}
	t.fit(l.Width)
	return t.Write(w)
}

func withUnit(text, unit string) string {
	if text == "" || unit == "" {
		return text
	}
	return text + " " + unit
}

// dayUntold names the points of which nothing was told, flight by flight.
func dayUntold(w io.Writer, l Look, list []string) {
	if len(list) == 0 {
		return
	}
	fmt.Fprintln(w)
	l.para(w, "", "  ", "Nothing was noted of these, and they were taken as not flown; if one was, take the close back with `rangebox stock undo` and log it:")
	for _, point := range list {
		l.para(w, "  ", "    ", Clean(point))
	}
}
