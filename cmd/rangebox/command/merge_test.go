package command

import (
	"bytes"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// TestMergeAsks answers the questions about conflicts at a terminal.
func TestMergeAsks(t *testing.T) {
	for _, c := range []struct {
		name, typed string
		want        map[string]string // igniter to its notes
		code        int
	}{
		{"one each", "o\ntheirs\n", map[string]string{"sedge": "home", "awn": "field"}, exitDone},
		{"the newer", "n\nNewer\n", map[string]string{"sedge": "field", "awn": "field"}, exitDone},
		{"asked again", "what?\n\nt\no\n", map[string]string{"sedge": "field", "awn": "home"}, exitDone},
		{"no line end", "t\no", map[string]string{"sedge": "field", "awn": "home"}, exitDone},
		{"no answer to the second", "t\n", map[string]string{"sedge": "home", "awn": "home"}, exitFailed},
	} {
		t.Run(c.name, func(t *testing.T) {
			home, field := seedBox(t), filepath.Join(t.TempDir(), "field.box")
			at := func(minute int, in string, args ...string) (int, string, string) {
				var out, said bytes.Buffer
				code := Run(&Env{In: strings.NewReader(in), Out: &out, Err: &said, Width: 80, ErrWidth: 80, InTerminal: true, OutTerminal: true, ErrTerminal: true,
					Now: func() time.Time { return time.Date(2026, 11, 25, 10, minute, 0, 0, time.UTC) }, Getenv: func(string) string { return "" }}, args)
				return code, out.String(), said.String()
			}
			at(0, "", "--db", home, "backup", field)
			for _, igniter := range []string{"awn", "sedge"} {
				at(1, "", "--db", home, "igniter", "edit", igniter, "--notes", "home")
				at(2, "", "--db", field, "igniter", "edit", igniter, "--notes", "field", "--head", "2mm")
			}
			names := order(t, home, field)
			typed := strings.SplitAfter(c.typed, "\n")
			code, out, said := at(3, strings.Join(typed, ""), "--db", home, "merge", field)
			if code != c.code || !strings.Contains(said, "Take ours (o), theirs (t) or the newer (n)? ") {
				t.Fatalf("exit status %d: %s%s", code, out, said)
			}
			fits(t, "merge", strings.ReplaceAll(out, home, "box"))
			// the answers go to the records in the order in which they are asked about
			want := []string{c.want["sedge"], c.want["awn"]}
			for i, name := range names {
				_, shown, _ := at(4, "", "--db", home, "igniter", "show", name, "--output", "json")
				if !strings.Contains(shown, `"notes": "`+want[i]+`"`) {
					t.Errorf("%s does not say %q:\n%s", name, want[i], shown)
				}
			}
		})
	}
}

// order is the order in which a merge lists the two igniters.
func order(t *testing.T, home, field string) []string {
	t.Helper()
	s := &screen{}
	if code := s.run("--db", home, "merge", field, "--dry-run"); code != 0 {
		t.Fatal(s.err.String())
	}
	fits(t, "merge --dry-run", strings.ReplaceAll(s.out.String(), field, "f"))
	if strings.Index(s.out.String(), "igniter sedge") < strings.Index(s.out.String(), "igniter awn") {
		return []string{"sedge", "awn"}
	}
	return []string{"awn", "sedge"}
}
