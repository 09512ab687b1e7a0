package report

import (
	"fmt"
	"io"

	"rangebox/cmd/rangebox/answer"
)

// DayLog writes what a log booked.
func DayLog(w io.Writer, l Look, d answer.DayLog) error {
	t := &Table{Header: []string{"flight", "point", "booked", "", "item", "lot", "result"}, Right: []int{3}}
	for i, r := range d.Log {
		q := ""
		if r.Quantity != nil {
			q = r.Quantity.String()
		}
		t.Add(d.Flights[i], r.Point, r.What, q, r.Item, tail(r.Lot), joined(joined(r.Result, r.Cause), Clean(r.Reason)))
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
	l.Para(w, fmt.Sprintf("Closed %s. What was packed was used, came back or was scrapped:", d.Date))
	t := &Table{Header: []string{"item", "lot", "packed", "used", "returned", "scrapped", "beside", ""}, Right: []int{2, 3, 4, 5, 6}}
	for _, a := range d.Account {
		t.Add(a.Item, tail(a.Lot), a.Packed.String(), blankZero(a.Used.String()), blankZero(a.Returned.String()),
			blankZero(a.Scrapped.String()), blankZero(a.Beside.String()), a.Unit)
	}
	t.fit(l.Width)
	if err := t.Write(w); err != nil || len(d.Reliability) == 0 {
		return err
	}
	fmt.Fprintln(w, "\nWhat is known of the igniters (95 % interval, exact):")
	t = &Table{Header: []string{"igniter", "on", "fired", "failed", "fires with"}, Right: []int{2, 3}}
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
