package report

import (
	"fmt"
	"io"

	"rangebox/cmd/rangebox/answer"
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
			l.para(w, "  put aside: ", "    ", asideText(a))
		}
	}
	more(w, len(r.Aside))
	if r.AsideFile != "" {
		fmt.Fprintf(w, "What was put aside can be read in %s.\n", Clean(r.AsideFile))
	}
	fmt.Fprintf(w, "The damaged box is kept in %s.\n", Clean(r.Kept))
	return nil
}

func asideText(a answer.Aside) string {
	if a.Lost > 0 {
		return Clean(fmt.Sprintf("%s: %s.", a.Kind, a.Why))
	}
	name := a.Handle
	if name == "" {
		name = a.Key
	}
	text := a.Kind + " " + name
	if a.Instead != "" {
		text += "; in its place stands " + a.Instead
	}
	return Clean(text) + "."
}
