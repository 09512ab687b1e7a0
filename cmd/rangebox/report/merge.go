package report

import (
	"fmt"
	"io"
	"time"

	"rangebox/cmd/rangebox/answer"
)

// Merge writes what a merge did, and what needs a look.
func Merge(w io.Writer, l Look, m answer.Merge) error {
	verb := "Merged"
	if m.DryRun {
		verb = "Would merge"
	}
	if m.New+m.Changed+m.Removed+m.Entries+len(m.Conflicts) == 0 {
		l.Para(w, "Nothing to merge: this box holds all that the other does.")
	} else {
		l.Para(w, fmt.Sprintf("%s: %d new, %d changed, %d removed; %s of the ledger.", verb, m.New, m.Changed, m.Removed, entries(m.Entries)))
	}
	mergedRecords(w, l, m)
	for n, c := range m.Conflicts {
		if n < mostListed {
			Conflict(w, l, c)
		}
	}
	more(w, len(m.Conflicts))
	if len(m.Conflicts) > 0 && m.Conflicts[0].Took == "" {
		l.para(w, "  ", "    ", "Not decided yet, and counted as the newer: --prefer ours, theirs or newer decides, or answer at the terminal.")
	}
	mergedLots(w, l, m)
	for _, c := range m.Count {
		l.para(w, "  count it: ", "    ", fmt.Sprintf("lot %s of %s has %s on hand and %s promised: the two boxes together took out more than there was.",
			tail(c.Lot), c.Item, c.Quantity, c.Promised))
	}
	for _, i := range m.Interleaved {
		l.para(w, "  count it: ", "    ", fmt.Sprintf("lot %s of %s was counted (%s, %s) in one box and had %s %s in the other at %s; whether the count saw that is not sure.",
			tail(i.Lot), i.Item, i.Count.Quantity, localTime(i.CountAt), i.Other.Quantity, i.Other.What, localTime(i.OtherAt)))
	}
	if m.Kept != "" {
		fmt.Fprintf(w, "The box as it was is kept in %s.\n", Clean(m.Kept))
	}
	return nil
}

// Conflict writes a record that both boxes changed, field by field.
func Conflict(w io.Writer, l Look, c answer.Conflict) {
	took := ""
	if c.Took != "" {
		took = "; took " + c.Took
	}
	l.para(w, "  both changed ", "    ", fmt.Sprintf("%s %s: ours %s %s, theirs %s %s%s", c.Kind, nameOf(c),
		changedOrRemoved(c.OursRemoved), localSecond(c.OursAt), changedOrRemoved(c.TheirsRemoved), localSecond(c.TheirsAt), took))
	for _, f := range c.Fields {
		l.para(w, "    ", "      ", fmt.Sprintf("%s: ours %s, theirs %s", f.Field, orNothing(f.Ours), orNothing(f.Theirs)))
	}
}

// localSecond is a time to the second: of two changes, which was later matters.
func localSecond(at string) string {
	t, err := time.Parse(time.RFC3339, at)
	if err != nil {
		return at
	}
	return t.Local().Format(time.DateTime)
}

func changedOrRemoved(removed bool) string {
	if removed {
		return "removed"
	}
	return "changed"
}

func nameOf(c answer.Conflict) string {
	if c.Handle != "" {
		return c.Handle
	}
	return tail(c.ID)
}
