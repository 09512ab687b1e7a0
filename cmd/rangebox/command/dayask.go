package command

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"

	"golang.org/x/term"

	"rangebox/cmd/rangebox/answer"
	"rangebox/compat"
	"rangebox/inventory"
)

// The keys of outcomes and causes.
var (
	resultKeys = map[byte]inventory.Result{'f': inventory.Fired, 'm': inventory.Misfire, 'h': inventory.HangFire, 'b': inventory.Burst, 'n': inventory.NotFlown}
	causeKeys  = map[byte]inventory.Cause{'h': inventory.CauseHead, 'm': inventory.CauseMotor, 'c': inventory.CauseContact, 'b': inventory.CauseBattery,
		'f': inventory.CauseFellOut, 's': inventory.CauseShort, 'u': inventory.CauseUnknown}
)

// errStop ends the questions; what was answered is booked.
var errStop = errors.New("stop asking")

// askDay asks for the outcome of every point that waits for it, one key each. The
// box is not open meanwhile.
func askDay(g *global, q *compat.PackQuestion, book *compat.DayBook) error {
	a := &asking{g, q, book}
	asked := false
	for i := range q.Flights {
		for _, point := range book.Waiting(i) {
			if !asked {
				a.say("One key each: f fired, m misfire, h hang-fire, b burst, n not flown,\r\n" +
					"o another igniter than planned, s skip, q stop here (books what was answered),\r\n" +
					"ctrl-C gives up (books nothing).\r\n")
			}
			asked = true
			err := a.point(i, point)
			if errors.Is(err, errStop) {
				return nil
			}
			if err != nil {
				return err
			}
		}
	}
	if !asked {
		return advise(conflict("no point of %s waits for its outcome", q.Day.Date), "%s", logHint(q))
	}
	return nil
}

// asking is a day that is asked about.
type asking struct {
	g    *global
	q    *compat.PackQuestion
	book *compat.DayBook
}

// say speaks at a terminal that may be raw.
func (a *asking) say(format string, args ...any) { fmt.Fprintf(a.g.env.Err, format, args...) }

// point asks until the outcome of a point is known.
func (a *asking) point(flight int, point string) error {
	o := compat.Outcome{Flight: flight, Point: point}
	told := ""
	if !slices.Contains(a.book.Untold(flight), point) {
		told = " (did not light yet)"
	}
	for {
		a.say("%s %s%s: ", answer.FlightName(a.q, flight), point, told)
		key, err := keyOf(a.g, "fmhbnosq")
		switch {
		case err != nil:
			return err
		case key == 's':
			return nil
		case key == 'q':
			return errStop
		case key == 'o':
			if o.From, err = a.source(); err != nil {
				return err
			}
			continue
		}
		again, err := a.outcome(o, key)
		if err != nil || !again {
			return err
		}
		o.From, told = nil, " (another try)"
	}
}

// outcome logs what a key says, and tells whether to ask again.
func (a *asking) outcome(o compat.Outcome, key byte) (again bool, err error) {
	o.Result = resultKeys[key]
	if o.Result == inventory.Misfire || o.Result == inventory.HangFire {
		a.say("  why? h head, m motor, c contact, b battery, f fell out, s short, u unknown: ")
		if key, err = keyOf(a.g, "hmcbfsu"); err != nil {
			return false, err
		}
		o.Cause = causeKeys[key]
	}
	if err := a.book.Log(o); err != nil {
		a.say("  %s\r\n", message(err))
		return true, nil
	}
	if o.Result != inventory.Misfire || !slices.Contains(a.book.Waiting(o.Flight), o.Point) {
		return false, nil
	}
	with := "with a spare"
	if !a.book.TryAgain(o.Flight, o.Point) {
		with = "with another igniter (o)"
	}
	a.say("  tried again %s? (y/n) ", with)
	key, err = keyOf(a.g, "yn")
	return key == 'y', err
}

// source asks from which lot an igniter came; nil where from none of those shown.
func (a *asking) source() (*inventory.Lot, error) {
	sources := a.book.Sources()
	sources = sources[:min(len(sources), mostSources)]
	keys := "0"
	for i, s := range sources {
		keys += fmt.Sprint(i + 1)
		of := a.q.Box.Stock(s.Lot).Place
		if s.Spare {
			of = "a spare"
		}
		a.say("  %d %s, lot %s, %s\r\n", i+1, s.Lot.Item, answer.Tail(s.Lot), of)
	}
	a.say("  which? 0 none of these: ")
	key, err := keyOf(a.g, keys)
	if err != nil || key == '0' {
		return nil, err
	}
	return sources[key-'1'].Lot, nil
}

// mostSources is how many can be told apart by one key.
const mostSources = 9

// Keys that are no letters.
const (
	interrupt  = 3 // ctrl-C
	endOfInput = 4 // ctrl-D
	escape     = 27
)

// keyOf waits for one of some keys, without Enter where the terminal can; ctrl-C
// and the end of the input give up, and nothing is booked.
func keyOf(g *global, keys string) (byte, error) {
	if f, ok := g.env.In.(*os.File); ok && term.IsTerminal(int(f.Fd())) {
		state, err := term.MakeRaw(int(f.Fd()))
		if err == nil {
			defer func() { _ = term.Restore(int(f.Fd()), state) }()
		}
	}
	for {
		key, err := readKey(g.env.In)
		if err != nil || key == interrupt || key == endOfInput {
			fmt.Fprint(g.env.Err, "\r\n")
			return 0, advise(conflict("no answer was given, and nothing was booked"), "run the command again, or use --point")
		}
		if strings.IndexByte(keys, key) >= 0 {
			fmt.Fprintf(g.env.Err, "%c\r\n", key)
			return key, nil
		}
	}
}

// readKey reads one key, in lower case. An arrow or a function key comes as an
// escape, a bracket and letters, which are no answer: the down arrow ends in B, as
// in burst.
func readKey(in io.Reader) (byte, error) {
	one := make([]byte, 1)
	next := func() (byte, error) {
		_, err := io.ReadFull(in, one)
		return one[0], err
	}
	key, err := next()
	if key != escape || err != nil {
		return bytes.ToLower(one)[0], err
	}
	if key, err = next(); err != nil || key != '[' && key != 'O' {
		return escape, err
	}
	for err == nil {
		// What ends a sequence lies between @ and ~ (ECMA-48, 5.4).
		if key, err = next(); key >= '@' && key <= '~' {
			break
		}
	}
	return escape, err
}
