package command

import (
	"fmt"
	"io"
	"strings"
	"sync/atomic"
	"time"
	"unicode/utf8"

	"github.com/olekukonko/tablewriter/pkg/twwidth"

	"rangebox/cmd/rangebox/report"
	"rangebox/inventory/boltstore"
)

// progress tells a person at the terminal that a long piece of work goes on, in
// one line that is written anew in place and is gone at the end. A nil one, where
// nobody looks, does nothing.
type progress struct {
	w     io.Writer
	width int
	what  string
	of    int // 0 where nobody knows how many there are
	done  atomic.Int64
	began time.Time
	stop  chan struct{}
	ended chan struct{}
	shown int // columns
}

// How long work goes on before a word is said of it, and how often the line is
// written then (ours).
const (
	silentFor  = time.Second
	shownEvery = 200 * time.Millisecond
)

// working begins a piece of work of so many steps, 0 where that is not known. It
// is shown on standard error, and only where nothing reads that but a person.
func (g *global) working(of int, format string, args ...any) *progress {
	if !g.env.ErrTerminal || g.quiet || g.format == asJSON {
		return nil
	}
	p := &progress{w: g.env.Err, width: g.env.ErrWidth, what: report.Clean(fmt.Sprintf(format, args...)), of: of, began: time.Now()}
	p.begin(silentFor, shownEvery)
	return p
}

func (p *progress) begin(after, every time.Duration) {
	p.stop, p.ended = make(chan struct{}), make(chan struct{})
	go p.run(after, every)
}

func (p *progress) run(after, every time.Duration) {
	defer close(p.ended)
	timer := time.NewTimer(after)
	defer timer.Stop()
	for {
		select {
		case <-p.stop:
			p.show("")
			return
		case <-timer.C:
			p.show(p.line())
			timer.Reset(every)
		}
	}
}

// count notes that n more steps are done.
func (p *progress) count(n int) {
	if p != nil {
		p.done.Add(int64(n))
	}
}

// end takes the line away; what comes after it stands where it stood.
func (p *progress) end() {
	if p == nil {
		return
	}
	close(p.stop)
	<-p.ended
}

func (p *progress) line() string {
	text := p.what
	switch done := p.done.Load(); {
	case done > 0 && p.of > 0:
		text += fmt.Sprintf(", %d of %d", min(done, int64(p.of)), p.of)
	case done > 0:
		text += fmt.Sprintf(", %d", done)
	}
	return text + fmt.Sprintf(", %d s", int(time.Since(p.began).Seconds()))
}

// show writes the line over the one before, cut to the terminal's width: a line
// that the terminal breaks cannot be written over.
func (p *progress) show(line string) {
	for line != "" && twwidth.Width(line) >= p.width {
		_, last := utf8.DecodeLastRuneInString(line)
		line = line[:len(line)-last]
	}
	columns := twwidth.Width(line)
	if columns+p.shown == 0 {
		return
	}
	fmt.Fprint(p.w, "\r"+line+strings.Repeat(" ", max(0, p.shown-columns)))
	if line == "" {
		fmt.Fprint(p.w, "\r")
	}
	p.shown = columns
}

// storeOptionsFor are the store's options for work that is shown.
func (g *global) storeOptionsFor(p *progress) boltstore.Options {
	opt := g.storeOptions()
	if p != nil {
		opt.Progress = p.count
	}
	return opt
}
