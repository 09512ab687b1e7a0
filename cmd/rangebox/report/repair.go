package report

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"

	"rangebox/cmd/rangebox/answer"
	"rangebox/inventory"
)

// Repair writes what a repair did.
func Repair(w io.Writer, l Look, r answer.Repair) error {
	if len(r.Problems) == 0 {
		fmt.Fprintln(w, "Nothing is off, and nothing was done.")
		return nil
	}
	for n, p := range r.Problems {
		if n < mostListed {
			l.para(w, "  was off: ", "    ", Clean(p)+".")
		}
	}
	more(w, len(r.Problems))
	l.Para(w, "Repaired: what is derived was worked out again.")
	for n, a := range r.Aside {
		if n < mostListed {
			l.para(w, "  "+asideWord(a)+": ", "    ", asideText(a))
		}
	}
	more(w, len(r.Aside))
	repairedLots(w, l, r)
	if r.AsideFile != "" {
		fmt.Fprintf(w, "What was put aside can be read in %s.\n", Clean(r.AsideFile))
	}
	fmt.Fprintf(w, "The damaged box is kept in %s.\n", Clean(r.Kept))
	return nil
}

func asideWord(a answer.Aside) string {
	if a.Lost > 0 {
		return "lost"
	}
	return "put aside"
}

func asideText(a answer.Aside) string {
	if a.Kind == string(inventory.KindEvent) {
		return Clean(entryAside(a)) + "."
	}
	info, known := inventory.KindNamed(a.Kind)
	switch {
	case !known: // what the box knows of itself
		return Clean(a.Why) + "."
	case a.Lost == 1:
		return fmt.Sprintf("1 %s, written and not to be found.", a.Kind)
	case a.Lost > 0:
		return fmt.Sprintf("%d %s, written and not to be found.", a.Lost, info.Plural)
	}
	name := a.Kind + " " + cmp.Or(a.Handle, a.Key)
	if len(a.Lots) == 1 && a.Lots[0].Item != "" {
		name = fmt.Sprintf("lot %s of %s %s", tail(a.Lots[0].Lot), a.Lots[0].Kind, a.Lots[0].Item)
	}
	return Clean(name+instead(a)) + "."
}

func instead(a answer.Aside) string {
	if a.Instead == "" {
		return ""
	}
	return "; in its place stands " + a.Instead
}

// entryAside says what of the ledger was lost, of which lots, and what can be read
// of it.
func entryAside(a answer.Aside) string {
	if a.Lost > 0 {
		return fmt.Sprintf("%s of the ledger, written and not to be found, %s", entries(a.Lost), ofLots(a.Lots))
	}
	text := "an entry of the ledger " + ofLots(a.Lots)
	if a.Instead != "" {
		return text + "; it was found again elsewhere in the file"
	}
	if said := entrySaid(a.Entry); said != "" {
		text += "; it may have said: " + said
	}
	return text
}

// ofLots names the lots of lost entries.
func ofLots(lots []answer.LotName) string {
	if len(lots) == 0 {
		return "of a lot that is not known any more"
	}
	var names []string
	for _, lot := range lots[:min(len(lots), mostListed)] {
		names = append(names, lotName(lot))
	}
	if n := len(lots) - mostListed; n > 0 {
		names = append(names, fmt.Sprintf("%d more", n))
	}
	return "of " + strings.Join(names, "; ")
}

func lotName(lot answer.LotName) string {
	if lot.Item == "" {
		return "lot " + tail(lot.Lot)
	}
	return fmt.Sprintf("%s %s, lot %s", lot.Kind, lot.Item, tail(lot.Lot))
}

// entrySaid is what can be read of a damaged entry.
func entrySaid(e *answer.LogRow) string {
	if e == nil || e.What == "" {
		return ""
	}
	said := e.What
	if e.Quantity != nil {
		said += " " + e.Quantity.String()
	}
	return joined(joined(said, joined(e.To, e.Reason)), entryTime(e.At))
}

// repairedLots lists the lots that stand otherwise than before, and has those
// counted of which there is another quantity.
func repairedLots(w io.Writer, l Look, r answer.Repair) {
	var list, count []string
	for _, lot := range r.Lots {
		list = append(list, lotName(lot.LotName)+": "+strings.Join(balanceTexts(&lot.Before, &lot.Now), "; "))
		if lot.Before.Quantity != lot.Now.Quantity {
			count = append(count, tail(lot.Lot))
		}
	}
	if len(list) > 0 {
		l.Para(w, "By what is left, these lots stand otherwise than the box said before:")
	}
	lines(w, l, "", list, false)
	switch {
	case len(count) == 1:
		fmt.Fprintf(w, "Count lot %[1]s, and book it with `rangebox stock count %[1]s N`.\n", count[0])
	case len(count) > 1:
		fmt.Fprintln(w, "Count these lots, and book each with `rangebox stock count LOT N`.")
	}
	if r.NotCompared > 0 && slices.ContainsFunc(r.Aside, lostEntry) {
		l.Para(w, fmt.Sprintf("What the box said before of %s cannot be read any more; hold `rangebox stock list` against what there is.", lots(r.NotCompared)))
	}
}

// lostEntry tells of what was put aside that it is missing from the ledger now.
func lostEntry(a answer.Aside) bool {
	return a.Kind == string(inventory.KindEvent) && a.Instead == ""
}

func lots(n int) string {
	if n == 1 {
		return "1 lot"
	}
	return fmt.Sprintf("%d lots", n)
}
