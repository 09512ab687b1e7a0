package report

import (
	"fmt"
	"io"
	"strings"

	"rangebox/cmd/rangebox/answer"
)

// mostListed is how many records, lots or warnings are listed one by one.
const mostListed = 20

// Import writes what an import did, in one line and what needs a look.
func Import(w io.Writer, l Look, i answer.Import) error {
	verb := "Imported"
	if i.DryRun {
		verb = "Would import"
	}
	text := fmt.Sprintf("%s: %d new, %d changed, %d unchanged", verb, i.New, i.Changed, i.Unchanged)
	if i.EntriesNew > 0 {
		text += fmt.Sprintf("; new in the ledger: %d", i.EntriesNew)
	}
	l.Para(w, text+".")
	for _, name := range i.PassedOver {
		l.para(w, "  passed over: ", "    ", passedOver(Clean(name)))
	}
	for _, m := range i.Mapped {
		l.para(w, "  ", "    ", mapped(m))
	}
	made(w, l, i.Made)
	changed := 0
	for _, rec := range i.Records {
		if rec.Status != "changed" {
			continue
		}
		if changed++; changed > mostListed {
			continue
		}
		for _, c := range rec.Changes {
			l.para(w, "  ", "    ", fmt.Sprintf("%s, %s: %s -> %s", importedName(rec), c.Field, orNothing(c.Old), orNothing(c.New)))
		}
	}
	more(w, changed)
	for n, q := range i.Quantities {
		if n < mostListed {
			l.para(w, "  ", "    ", difference(q, i.DryRun))
		}
	}
	more(w, len(i.Quantities))
	for n, e := range i.TakenBack {
		if n < mostListed {
			l.para(w, "  ", "    ", fmt.Sprintf("lot %s: its entries have come, and the count of %s that an import had booked for them is taken back", tail(e.Lot), e.Quantity))
		}
	}
	more(w, len(i.TakenBack))
	for n, warning := range i.Warnings {
		if n < mostListed {
			l.para(w, "  look again: ", "    ", fmt.Sprintf("%s %s (row %d): %s.", warning.Kind, warning.Record, warning.Row, warning.Doubt))
		}
	}
	more(w, len(i.Warnings))
	for n, row := range i.RejectedRows {
		if n < mostListed {
			l.para(w, "  not taken: ", "    ", Clean(rejectedText(row))+".")
		}
	}
	more(w, len(i.RejectedRows))
	return nil
}

// passedOver says why a sheet was.
func passedOver(name string) string {
	if shown, hidden := strings.CutSuffix(name, " (hidden)"); hidden {
		return fmt.Sprintf("the sheet %q, which is hidden; show it in a spreadsheet program to have it read.", shown)
	}
	return fmt.Sprintf("the sheet %q has no row of headers that is known; a sheet of records can be named after their kind, as in \"motors\".", name)
}

// difference tells of a lot whose quantity in the file is not the ledger's.
func difference(q answer.Difference, dryRun bool) string {
	lot := fmt.Sprintf("lot %s of %s: ", tail(q.Lot), q.Item)
	switch {
	case !q.Counted:
		return lot + fmt.Sprintf("the file has %s, the ledger %s; --count books it", q.File, q.Ledger)
	case dryRun:
		return lot + fmt.Sprintf("would be counted, %s -> %s", q.Ledger, q.File)
	}
	return lot + fmt.Sprintf("counted, %s -> %s", q.Ledger, q.File)
}

func rejectedText(r answer.RejectedRow) string {
	place := fmt.Sprintf("row %d", r.Row)
	if r.Sheet != "" {
		place += fmt.Sprintf(" of the sheet %q", r.Sheet)
	}
	if r.Section != "" {
		place += ", " + r.Section
	}
	return place + ": " + strings.TrimSuffix(strings.Join(r.Reasons, "; "), ".")
}

// mapped tells what a mapped column was taken for.
func mapped(m answer.Mapped) string {
	text := fmt.Sprintf("%q -> %s", Clean(m.Header), m.Field)
	switch {
	case m.PerCell:
		return text + ", each cell in its own unit"
	case m.Unit == "in":
		return text + ", in inches"
	case m.Unit != "":
		return text + ", in " + m.Unit
	}
	return text
}

// made lists the handles that records got.
func made(w io.Writer, l Look, list []answer.Made) {
	if len(list) == 0 {
		return
	}
	var names []string
	for _, m := range list[:min(len(list), mostListed)] {
		names = append(names, fmt.Sprintf("%s (row %d)", m.Handle, m.Row))
	}
	l.para(w, "  handles made: ", "    ", strings.Join(names, ", "))
	more(w, len(list))
}

// importedName names a record for a person; what has no handle by the tail of its
// id, and a lot by what it is of besides.
func importedName(rec answer.Imported) string {
	switch {
	case rec.Handle != "":
		return rec.Kind + " " + rec.Handle
	case rec.Item != "":
		return fmt.Sprintf("%s %s of %s", rec.Kind, tail(rec.ID), rec.Item)
	}
	return rec.Kind + " " + tail(rec.ID)
}

func more(w io.Writer, n int) {
	if n > mostListed {
		fmt.Fprintf(w, "  and %d more\n", n-mostListed)
	}
}

func orNothing(s string) string {
	if s == "" {
		return "nothing"
	}
	return Clean(s)
}
