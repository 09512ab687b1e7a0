package command

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"testing"

	"rangebox/importers"
	"rangebox/inventory"
)

// TestErrorsAtATerminal: a long sentence is broken into lines of the terminal's
// width and is one line elsewhere; a command in it stays whole.
func TestErrorsAtATerminal(t *testing.T) {
	one := advise(conflict("both boxes changed igniter sedge, igniter awn and the motor sundew-e17"), "see both with `rangebox merge field.box --dry-run`, then decide with --prefer ours, theirs or newer")
	two := importers.Issues{
		{File: "lots.csv", Row: 2, Column: `column C "Wire"`, Err: fmt.Errorf("%w: %s", inventory.ErrInvalid, strings.Repeat("word ", 30)+"end")},
		{File: "lots.csv", Row: 3, Err: errors.New("short")}}
	for name, err := range map[string]error{"one": one, "several": two} {
		var piped, typed bytes.Buffer
		tell(&Env{Err: &piped, ErrWidth: 80}, err, false)
		tell(&Env{Err: &typed, ErrWidth: 80, ErrTerminal: true}, err, false)
		fits(t, name, typed.String())
		if lines := strings.Count(piped.String(), "\n"); lines != max(1, len(issuesOf(err))) {
			t.Errorf("%s: %d lines where nobody looks", name, lines)
		}
		if typed.String() == piped.String() {
			t.Errorf("%s: nothing was broken into lines", name)
		}
		if a, b := strings.Fields(typed.String()), strings.Fields(piped.String()); strings.Join(a, " ") != strings.Join(b, " ") {
			t.Errorf("%s: at a terminal it says %q, elsewhere %q", name, a, b)
		}
		if name == "one" && !strings.Contains(typed.String(), "`rangebox merge field.box --dry-run`") {
			t.Errorf("the command is broken:\n%s", typed.String())
		}
	}
}
