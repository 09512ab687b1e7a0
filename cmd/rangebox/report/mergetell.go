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

// mergedRecords lists what is new, changed field by field, and removed. A new lot
// stands among the lots, and what both boxes changed among the conflicts.
func mergedRecords(w io.Writer, l Look, m answer.Merge) {
	disputed := map[string]bool{}
	for _, c := range m.Conflicts {
		disputed[c.ID] = true
	}
	told := map[string][]string{}
	for _, rec := range m.Records {
		switch {
		case disputed[rec.ID], rec.Status == "new" && rec.Kind == string(inventory.KindLot):
		case rec.Status == "changed":
			told[rec.Status] = append(told[rec.Status], changesOf(rec)...)
		default:
			told[rec.Status] = append(told[rec.Status], mergedName(rec))
		}
	}
	slices.Sort(told["new"])
	slices.Sort(told["removed"])
	for _, status := range []string{"new", "changed", "removed"} {
		lines(w, l, status+": ", told[status], m.DryRun)
	}
}

// changesOf are the fields of a changed record; where a lot is, its own line says.
func changesOf(rec answer.Merged) []string {
	var list []string
	for _, c := range rec.Changes {
		if rec.Kind == string(inventory.KindLot) && c.Field == "place" {
			continue
		}
		list = append(list, fmt.Sprintf("%s, %s: %s -> %s", mergedName(rec), c.Field, orNothing(c.Old), orNothing(c.New)))
	}
	if len(rec.Changes) == 0 {
		list = append(list, mergedName(rec)+", changed alike in both")
	}
	return list
}

func mergedName(rec answer.Merged) string {
	return importedName(answer.Imported{Kind: rec.Kind, Handle: rec.Handle, Item: cmp.Or(rec.Item, rec.On), ID: rec.ID})
}

// mergedLots writes a lot a line: what came in of it, and where it stands now.
func mergedLots(w io.Writer, l Look, m answer.Merge) {
	var list []string
	for _, lot := range m.Lots {
		list = append(list, lotText(lot))
	}
	lines(w, l, "", list, m.DryRun)
}

func lotText(lot answer.MergedLot) string {
	name := fmt.Sprintf("%s %s, lot %s", lot.Kind, lot.Item, tail(lot.Lot))
	if lot.New {
		return fmt.Sprintf("new: %s: %s on hand%s", name, lot.Now.Quantity, inPlace(lot.Now.Place))
	}
	var booked []string
	for _, b := range lot.Booked {
		booked = append(booked, bookingText(b))
	}
	parts := []string{strings.Join(booked, ", ")}
	if len(booked) == 0 {
		parts = nil
	}
	return name + ": " + strings.Join(append(parts, lotTexts(lot)...), "; ")
}

// lotTexts say what of a lot is otherwise now; of what came in and made no
// difference, that it did not.
func lotTexts(lot answer.MergedLot) []string {
	list := balanceTexts(lot.Before, &lot.Now)
	if lot.Before.Quantity == lot.Now.Quantity && slices.ContainsFunc(lot.Booked, answer.Booking.MovesStock) {
		list = append(list, fmt.Sprintf("%s on hand as before", lot.Now.Quantity))
	}
	if lot.Before.Place == lot.Now.Place && wasMoved(lot) {
		list = append(list, fmt.Sprintf("place still %s, by a later move", orNothing(lot.Now.Place)))
	}
	return list
}

// balanceTexts say in what two balances of a lot differ.
func balanceTexts(was, now *answer.Balance) []string {
	var list []string
	if was.Quantity != now.Quantity {
		list = append(list, fmt.Sprintf("on hand %s -> %s", was.Quantity, now.Quantity))
	}
	if was.Promised != now.Promised {
		list = append(list, fmt.Sprintf("promised %s -> %s", was.Promised, now.Promised))
	}
	if was.Place != now.Place {
		list = append(list, fmt.Sprintf("place %s -> %s", orNothing(was.Place), orNothing(now.Place)))
	}
	if was.Held != now.Held {
		list = append(list, map[bool]string{true: "on hold now", false: "no longer on hold"}[now.Held])
	}
	return list
}

// wasMoved tells whether the other box moved the whole lot to another place than
// the one it is at.
func wasMoved(lot answer.MergedLot) bool {
	for _, b := range lot.Booked {
		if b.What == inventory.Moved.String() && b.Quantity == "" && b.To != lot.Now.Place {
			return true
		}
	}
	return false
}

// bookingText is a sum of entries in words.
func bookingText(b answer.Booking) string {
	switch {
	case b.What == inventory.Void.String():
		return entries(b.Entries) + " taken back"
	case b.What == inventory.Moved.String() && b.Quantity != "":
		return fmt.Sprintf("%s moved into a lot of their own", b.Quantity)
	case b.To != "":
		return fmt.Sprintf("%s to %s", b.What, Clean(b.To))
	case b.Quantity != "":
		return fmt.Sprintf("%s %s", b.What, b.Quantity)
	}
	return b.What
}

func inPlace(place string) string {
	if place == "" {
		return ""
	}
	return " in " + Clean(place)
}

func entries(n int) string {
	if n == 1 {
		return "1 entry"
	}
	return fmt.Sprintf("%d entries", n)
}

// lines lists as many as a person wants to see. After the deed, asking for the
// rest as JSON is too late.
func lines(w io.Writer, l Look, first string, list []string, dryRun bool) {
	for _, line := range list[:min(len(list), mostListed)] {
		l.para(w, "  "+first, "    ", line)
	}
	switch left := len(list) - mostListed; {
	case left <= 0:
	case dryRun:
		fmt.Fprintf(w, "  and %d more; --output json lists them all\n", left)
	default:
		fmt.Fprintf(w, "  and %d more\n", left)
	}
}
