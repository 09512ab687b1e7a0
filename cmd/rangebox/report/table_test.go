package report

import (
	"bytes"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/olekukonko/tablewriter/pkg/twwidth"
)

func TestWrap(t *testing.T) {
	for _, c := range []struct {
		name, text string
		width      int
		want       []string
	}{
		{"empty", "", 10, []string{""}},
		{"fits", "one two", 7, []string{"one two"}},
		{"breaks", "one two three", 8, []string{"one two", "three"}},
		{"long word alone", "a incomprehensibly b", 5, []string{"a", "incomprehensibly", "b"}},
		{"number keeps its unit", "at most 300 mm of it", 11, []string{"at most", "300 mm of", "it"}},
		{"list of delays", "3 s, 5 s, 7 s", 9, []string{"3 s, 5 s,", "7 s"}},
		{"date keeps its time", "on 2027-04-17 10:30", 10, []string{"on", "2027-04-17 10:30"}},
		{"wide letters", "日本 日本 日本", 9, []string{"日本 日本", "日本"}},
		{"a command in one piece", "then use `rangebox stock count 4f 0` once", 28, []string{"then use", "`rangebox stock count 4f 0`", "once"}},
		{"a command longer than a line", "use `rangebox stock count` now", 10, []string{"use", "`rangebox", "stock", "count` now"}},
		{"a backtick that is never closed", "a ` b c", 3, []string{"a `", "b c"}},
		{"what a flag takes", `say --map "Head len.=-" to it`, 22, []string{"say", `--map "Head len.=-" to`, "it"}},
		{"a quote after a word", `it "a b" c`, 6, []string{`it "a`, `b" c`}},
		{"blanks", "  one   two  ", 20, []string{"one two"}},
	} {
		if diff := cmp.Diff(c.want, Wrap(c.text, c.width)); diff != "" {
			t.Errorf("%s (-want +got):\n%s", c.name, diff)
		}
	}
}

func TestWrapHardKeepsEveryLetter(t *testing.T) {
	for _, text := range []string{"incomprehensibilities", "日本日本日本日本", "a incomprehensibly b", "é́é́é́é́é́é́"} {
		lines := wrapHard(text, 6)
		for _, line := range lines {
			if twwidth.Width(line) > 6 {
				t.Errorf("%q: %q is wider than 6", text, line)
			}
		}
		if got := strings.Join(lines, ""); got != strings.ReplaceAll(text, " ", "") {
			t.Errorf("%q became %q", text, got)
		}
	}
}

// TestFit sees who gives way in a table that is too wide.
func TestFit(t *testing.T) {
	table := func(cells ...string) *Table {
		t := &Table{Header: []string{"handle", "name", "n"}, Right: []int{2}}
		t.Add(cells...)
		return t
	}
	for _, c := range []struct {
		name  string
		table *Table
		width int
		want  []string
	}{
		{"all fit", table("x", "a name", "3"), 40, []string{"x", "a name", "3"}},
		{"the widest gives", table("heron-c5", "a name of several words", "3"), 28, []string{"heron-c5", "a name of\nseveral words", "3"}},
		{"numbers never", table("x", "a b c d", "1234567890123456"), 30, []string{"x", "a b\nc d", "1234567890123456"}},
		{"words last", table("x", "incomprehensibilities", "3"), 22, []string{"x", "incomprehen\nsibilities", "3"}},
	} {
		c.table.fit(c.width)
		if diff := cmp.Diff(c.want, c.table.Rows[0]); diff != "" {
			t.Errorf("%s (-want +got):\n%s", c.name, diff)
		}
	}
}

// TestTableWithColour sees that coloured cells line up with plain ones.
func TestTableWithColour(t *testing.T) {
	var b bytes.Buffer
	table := &Table{Header: []string{"verdict", "n"}, Right: []int{1}}
	l := Look{Colour: true}
	table.Add(l.Word("go"), "3")
	table.Add(l.Word("no-go"), "12")
	table.Add("unheard-of", "7")
	if err := table.Write(&b); err != nil {
		t.Fatal(err)
	}
	for i, line := range strings.Split(strings.TrimSpace(b.String()), "\n") {
		if i != 1 && twwidth.Width(line) != len("unheard-of   n") {
			t.Errorf("line %d is %d wide: %q", i, twwidth.Width(line), line)
		}
	}
}

func TestClean(t *testing.T) {
	for in, want := range map[string]string{
		"plain":              "plain",
		"tab\tline\nend":     "tab line end",
		"\x1b[31m":           "?[31m",
		"\x00\x7f\u0085":     "???",
		"\u202e\u2066\u200f": "???",
		"\u061c\u2028":       "??",
		"é日本":                "é日本",
	} {
		if got := Clean(in); got != want {
			t.Errorf("Clean(%q) is %q, want %q", in, got, want)
		}
	}
}

func TestWordColoursVerdictsOnly(t *testing.T) {
	l := Look{Colour: true}
	if got := l.Word("no-go"); got != "\x1b[1;31mno-go\x1b[0m" {
		t.Errorf("no-go is %q", got)
	}
	if got := l.Word("wick"); got != "wick" {
		t.Errorf("wick is %q", got)
	}
	if got := (Look{}).Word("no-go"); got != "no-go" {
		t.Errorf("no-go without colour is %q", got)
	}
}
