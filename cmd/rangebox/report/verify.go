package report

import (
	"fmt"
	"io"
	"strings"

	"rangebox/cmd/rangebox/answer"
	"rangebox/inventory"
)

// Verify writes what was found.
func Verify(w io.Writer, l Look, v answer.Verify) error {
	held(w, l, v)
	if len(v.Problems) == 0 {
		fmt.Fprintln(w, "Nothing is off.")
	}
	for _, p := range v.Problems {
		l.para(w, "  off: ", "    ", Clean(p)+".")
	}
	for n, d := range v.Doubts {
		if n < mostListed {
			l.para(w, "  look again: ", "    ", Clean(d)+".")
		}
	}
	more(w, len(v.Doubts))
	return nil
}

// held writes what the box holds, and says so where that could not be read.
func held(w io.Writer, l Look, v answer.Verify) {
	if v.Entries == nil {
		l.Para(w, "The box is damaged so that what it holds cannot be listed.")
		return
	}
	var parts []string
	for _, info := range inventory.Kinds {
		if n := v.Records[info.Plural]; n > 0 && info.Handled {
			parts = append(parts, fmt.Sprintf("%s %d", info.Plural, n))
		}
	}
	parts = append(parts, fmt.Sprintf("lots %d", v.Records["lots"]), fmt.Sprintf("ledger entries %d", *v.Entries))
	l.Para(w, strings.Join(parts, ", ")+".")
	fmt.Fprintf(w, "Last change: number %d, %s.\n", v.Change, localTime(v.Changed))
}
