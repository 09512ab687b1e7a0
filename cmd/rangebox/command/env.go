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
	// InTerminal and OutTerminal tell whether a person sits there.
	InTerminal, OutTerminal bool
	// Width is the columns of the terminal; 80 where there is none.
	Width int
}

// defaultWidth is what text is laid out for where nobody says otherwise.
const defaultWidth = 80

// OSEnv is the real one.
func OSEnv() *Env {
	env := &Env{
		In: os.Stdin, Out: os.Stdout, Err: os.Stderr, Now: time.Now, Getenv: os.Getenv,
		InTerminal:  term.IsTerminal(int(os.Stdin.Fd())),
		OutTerminal: term.IsTerminal(int(os.Stdout.Fd())),
		Width:       defaultWidth,
	}
	if w, _, err := term.GetSize(int(os.Stdout.Fd())); err == nil && w > 0 {
		env.Width = w
	}
	return env
}
