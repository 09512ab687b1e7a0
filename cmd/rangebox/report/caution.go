package report

import (
	"fmt"
	"io"
)

// The cautions, each where it applies. Interlock, distance and where igniters
// may go in: Model Rocket and High Power Rocket Safety Codes (read in part).
const (
	cautionFitting = "An igniter goes into a motor only at the pad or in the prepping area, leads shorted until they are clipped."
	cautionMeter   = "Measure igniters behind a shield, with a meter whose test current is known to be harmless; connect the battery last, from a distance."
	cautionAbove   = "The launch officer's word, local law and the maker's instructions stand above any figure here."
)

// cautions ends an answer with what could hurt somebody.
func (l Look) cautions(w io.Writer, which ...string) {
	fmt.Fprintln(w)
	for _, c := range append(which, cautionAbove) {
		l.para(w, "! ", "  ", c)
	}
}
