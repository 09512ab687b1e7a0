// Package command is the command line: a file for each command, which reads its
// flags, asks the box for what it needs, hands that to the engine and prints the
// answer. It holds no rules.
package command

import (
	"io"
	"os"
	"time"

	"golang.org/x/term"
)

// Env is everything of the outside world that commands use.
type Env struct {
	In       io.Reader
	Out, Err io.Writer
	Now      func() time.Time
	Getenv   func(string) string
	// InTerminal, OutTerminal and ErrTerminal tell whether a person sits there.
	InTerminal, OutTerminal, ErrTerminal bool
	// Width is the columns of the terminal that shows the answer, ErrWidth of the
	// one that shows errors; 80 where there is none.
	Width, ErrWidth int
}

// defaultWidth is what text is laid out for where nobody says otherwise.
const defaultWidth = 80

// OSEnv is the real one.
func OSEnv() *Env {
	return &Env{
		In: os.Stdin, Out: os.Stdout, Err: os.Stderr, Now: time.Now, Getenv: os.Getenv,
		InTerminal:  term.IsTerminal(int(os.Stdin.Fd())),
		OutTerminal: term.IsTerminal(int(os.Stdout.Fd())),
		ErrTerminal: term.IsTerminal(int(os.Stderr.Fd())),
		Width:       widthOf(os.Stdout),
		ErrWidth:    widthOf(os.Stderr),
	}
}

func widthOf(f *os.File) int {
	if w, _, err := term.GetSize(int(f.Fd())); err == nil && w > 0 {
		return w
	}
	return defaultWidth
}
