package importers_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"rangebox/importers"
	"rangebox/inventory"
)

func TestIssueSentence(t *testing.T) {
	wrapped := func(text string) error { return fmt.Errorf("%w: %s", inventory.ErrInvalid, text) }
	for _, c := range []struct {
		issue importers.Issue
		want  string
	}{
		{importers.Issue{File: "box.json", Row: 12, Column: "motors[3].throat_mm", Found: `"x"`, Expected: "a number in mm", Err: inventory.ErrInvalid},
			`box.json, row 12, motors[3].throat_mm: found "x", expected a number in mm`},
		{importers.Issue{File: "club.xlsx", Sheet: "Mo\ntors", Row: 2, Column: "Throat (in)", Found: "x", Expected: "a number"},
			"club.xlsx, sheet Mo?tors, row 2, Throat (in): found x, expected a number"},
		{importers.Issue{File: "box.json", Row: 12, Column: "motors[3].mass_g", Err: wrapped("mass_g: it must be above 0")},
			"box.json, row 12, motors[3].mass_g: it must be above 0"},
		{importers.Issue{File: "box.json", Column: "mass_g", Err: wrapped("mass_g is 0; it must be above 0")},
			"box.json, mass_g: mass_g is 0; it must be above 0"},
		{importers.Issue{File: "box.json", Err: fmt.Errorf("%w: read it with a newer program", inventory.ErrNewer)},
			"box.json: read it with a newer program"},
		{importers.Issue{Err: wrapped("nothing to go by")}, "nothing to go by"},
	} {
		if got := c.issue.Error(); got != c.want {
			t.Errorf("got  %s\nwant %s", got, c.want)
		}
	}
}

func TestIssueUnwraps(t *testing.T) {
	issue := importers.Issue{File: "a", Err: fmt.Errorf("%w: x", inventory.ErrNewer)}
	if !errors.Is(issue, inventory.ErrNewer) || errors.Is(issue, inventory.ErrInvalid) {
		t.Error("one issue is of another class than its reason")
	}
}

func TestIssuesText(t *testing.T) {
	for _, c := range []struct{ n, lines int }{{1, 1}, {5, 5}, {6, 6}, {100, 6}} {
		var list importers.Issues
		for i := range c.n {
			list = append(list, importers.Issue{File: "box.json", Row: i + 1, Found: "x", Expected: "y"})
		}
		text := list.Error()
		if got := strings.Count(text, "\n") + 1; got != c.lines {
			t.Errorf("%d issues take %d lines, want %d", c.n, got, c.lines)
		}
		if !strings.HasPrefix(text, "box.json, row 1: found x, expected y") {
			t.Errorf("the text begins %q", text)
		}
		if more := fmt.Sprintf("\nand %d more", c.n-5); c.n > 5 && !strings.HasSuffix(text, more) {
			t.Errorf("%d issues end with %q", c.n, text[len(text)-20:])
		}
	}
}

func TestAsIssues(t *testing.T) {
	one := importers.Issue{File: "a", Row: 1, Err: inventory.ErrNewer}
	many := importers.Issues{{File: "a", Row: 2}, {File: "a", Row: 3, Err: inventory.ErrConflict}}
	for _, c := range []struct {
		name string
		err  error
		want int
	}{
		{"none", nil, 0},
		{"another error", errors.New("x"), 0},
		{"one", one, 1},
		{"one, wrapped", fmt.Errorf("importing: %w", one), 1},
		{"many, wrapped", fmt.Errorf("importing: %w", many), 2},
	} {
		got, ok := importers.AsIssues(c.err)
		if len(got) != c.want || ok != (c.want > 0) {
			t.Errorf("%s: got %d issues, %v", c.name, len(got), ok)
		}
	}
	if err := fmt.Errorf("importing: %w", many); !errors.Is(err, inventory.ErrInvalid) || !errors.Is(err, inventory.ErrConflict) {
		t.Error("issues do not wrap ErrInvalid and their own reasons")
	}
}
