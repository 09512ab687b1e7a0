package command

import (
	"bytes"
	"strings"
	"testing"
	"time"
)

// lastLine plays a terminal: what stands in the line when all is written.
func lastLine(text string) string {
	line, at := []rune{}, 0
	for _, r := range text {
		if r == '\r' {
			at = 0
			continue
		}
		if at == len(line) {
			line = append(line, ' ')
		}
		line[at] = r
		at++
	}
	return strings.TrimRight(string(line), " ")
}

// TestProgress shows what a person sees of work that lasts, and that nothing of
// it is left.
func TestProgress(t *testing.T) {
	var w bytes.Buffer
	p := &progress{w: &w, width: 40, what: "taking in lots.csv", of: 300, began: time.Now()}
	p.show(p.line())
	if got := lastLine(w.String()); got != "taking in lots.csv, 0 s" {
		t.Errorf("at first it shows %q", got)
	}
	p.count(120)
	p.show(p.line())
	if got := lastLine(w.String()); got != "taking in lots.csv, 120 of 300, 0 s" {
		t.Errorf("then it shows %q", got)
	}
	p.what, p.of = "a", 0
	p.show(p.line())
	if got := lastLine(w.String()); got != "a, 120, 0 s" {
		t.Errorf("a shorter line leaves %q", got)
	}
	p.what = strings.Repeat("ü", 60)
	p.show(p.line())
	if got := lastLine(w.String()); got != strings.Repeat("ü", 39) {
		t.Errorf("a line as wide as the terminal: %q", got)
	}
	p.show("")
	if got := lastLine(w.String()); got != "" || !strings.HasSuffix(w.String(), "\r") {
		t.Errorf("at the end stands %q", got)
	}
}

// TestProgressTakesItsTime: short work says nothing, long work says something
// and takes it away.
func TestProgressTakesItsTime(t *testing.T) {
	var short, long bytes.Buffer
	p := &progress{w: &short, width: 80, what: "short", began: time.Now()}
	p.begin(time.Hour, time.Hour)
	p.end()
	if short.Len() > 0 {
		t.Errorf("short work said %q", short.String())
	}
	seen := &seenWriter{w: &long, saw: make(chan struct{}, 100)}
	p = &progress{w: seen, width: 80, what: "long", began: time.Now()}
	p.begin(time.Microsecond, time.Microsecond)
	<-seen.saw
	<-seen.saw
	p.end()
	if text := long.String(); !strings.Contains(text, "long, 0 s") || lastLine(text) != "" {
		t.Errorf("long work said %q", text)
	}
}

// seenWriter tells of the first writes.
type seenWriter struct {
	w   *bytes.Buffer
	saw chan struct{}
}

func (s *seenWriter) Write(p []byte) (int, error) {
	select {
	case s.saw <- struct{}{}:
	default:
	}
	return s.w.Write(p)
}

// TestProgressOnlyForPeople: none where nobody looks at standard error, where a
// program reads the answer, or where it is not wanted.
func TestProgressOnlyForPeople(t *testing.T) {
	for _, c := range []struct {
		name string
		g    global
		want bool
	}{
		{"a terminal", global{env: &Env{ErrTerminal: true}, format: asTable}, true},
		{"a pipe", global{env: &Env{OutTerminal: true}, format: asTable}, false},
		{"--quiet", global{env: &Env{ErrTerminal: true}, format: asTable, quiet: true}, false},
		{"JSON", global{env: &Env{ErrTerminal: true}, format: asJSON}, false},
	} {
		p := c.g.working(0, "reading")
		if (p != nil) != c.want {
			t.Errorf("%s: shown: %v, want %v", c.name, p != nil, c.want)
		}
		p.count(1)
		p.end()
	}
}
