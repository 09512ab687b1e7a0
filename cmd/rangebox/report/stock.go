package report

import (
	"fmt"
	"io"
	"time"

	"rangebox/cmd/rangebox/answer"
)

// Booked says what was booked, an entry a line, and where the lots stand.
func Booked(w io.Writer, l Look, b answer.Booked) error {
	for _, e := range b.Entries {
		text := "Booked " + e.What
		if e.Quantity != "" {
			text += " " + e.Quantity.String()
		}
		for _, lot := range b.Lots {
			if lot.Lot == e.Lot {
				text += fmt.Sprintf(": %s, lot %s, has %s now", lot.Item, tail(lot.Lot), lot.Quantity)
				if lot.Place != "" {
					text += " in " + Clean(lot.Place)
				}
			}
		}
		l.Para(w, text+".")
	}
	return nil
}

func tail(id string) string { return answer.TailOf(id) }

// Stock writes the lots.
func Stock(rows []answer.StockRow) List {
	list := List{
		Empty: "There is nothing in stock; `rangebox stock in ITEM QUANTITY` books what comes in.",
		Columns: []Column{{Name: "lot", Label: "lot"}, {Name: "kind", Label: "kind", Machine: true}, {Name: "item", Label: "item"},
			{Name: "quantity", Label: "on hand", Right: true}, {Name: "promised", Label: "promised", Right: true},
			{Name: "expires", Label: "last day"}, {Name: "state", Label: "state", Word: true},
			{Name: "certification", Label: "certified", Word: true}, {Name: "place", Label: "place"}},
	}
	for _, r := range rows {
		state := r.State
		if r.Count {
			state = "count it"
		}
		list.Rows = append(list.Rows, []string{r.Short, r.Kind, r.Item, r.Quantity.String(), blankZero(r.Promised.String()), r.Expires, state, r.Certification, r.Place})
	}
	return list
}

func blankZero(s string) string {
	if s == "0" {
		return ""
	}
	return s
}

// Log writes entries of the ledger, latest first.
func Log(rows []answer.LogRow) List {
	list := List{
		Empty: "The ledger is empty.",
		Columns: []Column{{Name: "id", Label: "entry"}, {Name: "at", Label: "at"}, {Name: "what", Machine: true}, {Label: "what", Person: true},
			{Name: "quantity", Label: "", Right: true}, {Name: "item", Label: "item"}, {Name: "lot", Label: "lot"},
			{Name: "result", Machine: true}, {Name: "cause", Machine: true}, {Name: "to", Machine: true}, {Name: "point", Machine: true},
			{Name: "reason", Machine: true}, {Name: "voided", Machine: true}, {Label: "why", Person: true}},
	}
	for _, r := range rows {
		q := ""
		if r.Quantity != nil {
			q = r.Quantity.String()
		}
		what, voided := r.What, "no"
		if r.Voided {
			what, voided = what+" (void)", "yes"
		}
		why := joined(joined(r.Result, r.Cause), joined(r.To, joined(r.Point, r.Reason)))
		list.Rows = append(list.Rows, []string{tail(r.ID), entryTime(r.At), r.What, what, q, r.Item, tail(r.Lot),
			r.Result, r.Cause, r.To, r.Point, r.Reason, voided, why})
	}
	return list
}

// entryTime is when an entry counts; what came in without a date counts from ever.
func entryTime(at string) string {
	if t, err := time.Parse(time.RFC3339, at); err == nil && t.Unix() == 0 {
		return "undated"
	}
	return localTime(at)
}

func localTime(at string) string {
	t, err := time.Parse(time.RFC3339, at)
	if err != nil {
		return at
	}
	return t.Local().Format("2006-01-02 15:04")
}

func joined(a, b string) string {
	if a != "" && b != "" {
		return a + ", " + b
	}
	return a + b
}

// Outlook writes what to use up or be rid of, and what to buy.
func Outlook(w io.Writer, l Look, o answer.Outlook, due bool) error {
	if o.Calendar != nil {
		l.Para(w, fmt.Sprintf("Wrote %s: %s.", Clean(o.Calendar.File), counted(o.Calendar.Count, "last day")))
		fmt.Fprintln(w)
	}
	if due {
		if err := dueTable(w, l, o); err != nil {
			return err
		}
	}
	if len(o.Need) == 0 {
		fmt.Fprintln(w, "Nothing is short.")
		return nil
	}
	fmt.Fprintln(w, "To buy:")
	t := &Table{Header: []string{"item", "kind", "usable", "short", "why"}, Right: []int{2, 3}}
	for _, n := range o.Need {
		t.Add(n.Item, n.Kind, n.Usable.String(), n.Short.String(), Clean(n.Why))
	}
	t.fit(l.Width)
	return t.Write(w)
}

func dueTable(w io.Writer, l Look, o answer.Outlook) error {
	if len(o.Due) == 0 {
		fmt.Fprintln(w, "Nothing is due.")
		fmt.Fprintln(w)
		return nil
	}
	fmt.Fprintln(w, "Past or near the last day:")
	t := &Table{Header: []string{"state", "last day", "item", "on hand", "lot", "place"}, Right: []int{3}}
	for _, r := range o.Due {
		t.Add(l.Word(r.State), r.Expires, r.Item, r.Quantity.String(), r.Short, Clean(r.Place))
	}
	t.fit(l.Width)
	if err := t.Write(w); err != nil {
		return err
	}
	fmt.Fprintln(w)
	return nil
}
