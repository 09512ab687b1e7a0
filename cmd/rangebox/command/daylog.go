package command

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"time"

	"github.com/google/uuid"
	"github.com/spf13/cobra"
	"golang.org/x/term"

	"rangebox/cmd/rangebox/answer"
	"rangebox/cmd/rangebox/report"
	"rangebox/compat"
	"rangebox/inventory"
)

func newDayLog(g *global) *cobra.Command {
	var points []string
	c := &cobra.Command{
		Use:   "log DAY",
		Short: "what fired and what did not, point by point; one key each at a terminal",
		Long: "Books what became of each ignition point: fired, misfire, hang-fire, burst or\n" +
			"not-flown; of what did not fire also the cause: head, motor, contact, battery,\n" +
			"fell-out, short or unknown. A flight is called by its number in `day pack`, or\n" +
			"by its rocket where that flies once. A second try at a point takes a spare.",
		Example: "  rangebox day log 2027-04-17\n" +
			"  rangebox day log 2027-04-17 --point 1=fired --point 2:body/main/1=misfire,head",
		Args: args("DAY"),
		RunE: func(_ *cobra.Command, given []string) error {
			if err := g.noLists(); err != nil {
				return err
			}
			said, err := sayings(points)
			if err != nil {
				return err
			}
			if len(said) == 0 && (!g.env.InTerminal || g.format == asJSON) {
				return misused("say what became of each with --point FLIGHT:POINT=RESULT[,CAUSE]", "day log asks only at a terminal")
			}
			return runDayLog(g, given[0], said)
		},
	}
	c.Flags().StringArrayVar(&points, "point", nil, "what became of it, `FLIGHT:POINT=RESULT[,CAUSE]`; FLIGHT=RESULT for all points of a flight")
	return c
}

// saying is a --point flag: a point of a flight, or all of them, and its outcome.
type saying struct {
	text, flight, point string
	result              inventory.Result
	cause               inventory.Cause
}

func sayings(list []string) ([]saying, error) {
	var said []saying
	for _, text := range list {
		target, outcome, ok := strings.Cut(text, "=")
		if !ok || target == "" {
			return nil, misused("write it as --point 2:body/main/1=misfire,head", "--point %q has no =", inventory.Printable(text))
		}
		s := saying{text: text}
		s.flight, s.point, _ = strings.Cut(target, ":")
		result, cause, _ := strings.Cut(outcome, ",")
		o := &stockOutOptions{purpose: "used", result: result, cause: cause}
		if result == "" {
			return nil, misused("results are fired, misfire, hang-fire, burst, not-flown", "--point %q says no result", inventory.Printable(text))
		}
		if err := o.understand(); err != nil {
			return nil, err
		}
		e := &inventory.Event{}
		if err := o.fill(e); err != nil {
			return nil, err
		}
		s.result, s.cause = e.Result, e.Cause
		if s.cause != 0 && s.result == inventory.NotFlown {
			return nil, misused("leave the cause away", "what was not flown has no cause")
		}
		said = append(said, s)
	}
	return said, nil
}

func runDayLog(g *global, name string, said []saying) error {
	at, err := g.moment()
	if err != nil {
		return err
	}
	q, seen, err := g.loadDay(name)
	if err != nil {
		return err
	}
	book := compat.NewDayBook(q)
	if len(said) > 0 {
		err = logSaid(q, book, said)
	} else {
		err = askDay(g, q, book)
	}
	if err != nil {
		return err
	}
	repeated := book.Repeated()
	holds, err := offerHolds(g, repeated)
	if err != nil {
		return err
	}
	events, err := logEvents(book, holds, at)
	if err != nil {
		return err
	}
	done, err := g.bookSeen(seen, events)
	if err != nil {
		return err
	}
	out := answer.DayLogOf(q, done, events, repeated, holds)
	if g.format == asJSON {
		return g.printJSON(out)
	}
	if g.quiet {
		return nil
	}
	return report.DayLog(g.env.Out, g.look(), out)
}

// logEvents are the entries of a log, with the holds that were taken.
func logEvents(book *compat.DayBook, holds []compat.Repeated, at time.Time) ([]*inventory.Event, error) {
	events, err := dayEvents(book.Entries, at)
	if err != nil {
		return nil, err
	}
	for _, r := range holds {
		e, err := newEntry(at, inventory.Held, r.Lot)
		if err != nil {
			return nil, err
		}
		e.Reason = fmt.Sprintf("%d did not fire", r.Failed)
		events = append(events, e)
	}
	return events, nil
}

// dayEvents gives entries their id and time.
func dayEvents(entries []compat.DayEntry, at time.Time) ([]*inventory.Event, error) {
	var events []*inventory.Event
	for i := range entries {
		e := entries[i].Event()
		id, err := uuid.NewV7()
		if err != nil {
			return nil, fmt.Errorf("making an id: %w", err)
		}
		e.ID, e.At = id, at
		events = append(events, e)
	}
	return events, nil
}

// logSaid logs what the flags say, in their order.
func logSaid(q *compat.PackQuestion, book *compat.DayBook, said []saying) error {
	for _, s := range said {
		flight, err := flightCalled(q, s.flight)
		if err != nil {
			return err
		}
		points := []string{s.point}
		if s.point == "" {
			if points = book.Waiting(flight); len(points) == 0 {
				return fmt.Errorf("--point %s: %w", inventory.Printable(s.text), conflict("no point of that flight waits for its outcome"))
			}
		}
		for _, point := range points {
			if err := book.Log(compat.Outcome{Flight: flight, Point: point, Result: s.result, Cause: s.cause}); err != nil {
				return advise(fmt.Errorf("--point %s: %w", inventory.Printable(s.text), err),
					"see the day's points with `rangebox day pack %s --dry-run`, and what was booked with `rangebox stock log`", q.Day.Date)
			}
		}
	}
	return nil
}

// flightCalled finds a flight by its number, by its rocket or by the tail of its
// id, each with .N for the N-th of several alike.
func flightCalled(q *compat.PackQuestion, text string) (int, error) {
	var found []int
	for i, f := range q.Flights {
		id := inventory.Ref{ID: f.ID}.String()
		nth := fmt.Sprintf(".%d", f.N)
		bare := f.N == 1 && (f.Rocket.Handle == text || len(text) >= 6 && strings.HasSuffix(id, text))
		full := f.Rocket.Handle+nth == text || len(text) >= 8 && strings.HasSuffix(id+nth, text)
		if answer.FlightNumber(q, i) == text {
			return i, nil
		}
		if bare || full {
			found = append(found, i)
		}
	}
	switch len(found) {
	case 1:
		return found[0], nil
	case 0:
		return 0, advise(notFound("the day has no flight %q", inventory.Printable(text)), "see their numbers with `rangebox day pack %s --dry-run`", q.Day.Date)
	}
	return 0, advise(conflict("%q is more than one flight", inventory.Printable(text)), "call it by its number, as `rangebox day pack %s --dry-run` shows it", q.Day.Date)
}

// offerHolds takes the holds where --yes says so, else asks at a terminal; with
// nobody to ask it takes none, and the answer says how to.
func offerHolds(g *global, repeated []compat.Repeated) ([]compat.Repeated, error) {
	if g.yes {
		return repeated, nil
	}
	if !g.env.InTerminal || g.format == asJSON {
		return nil, nil
	}
	var holds []compat.Repeated
	for _, r := range repeated {
		fmt.Fprintf(g.env.Err, "%d of lot %s of %s did not fire. Hold the lot? (y/n) ", r.Failed, answer.Tail(r.Lot), r.Lot.Item)
		key, err := keyOf(g, "yn")
		if err != nil {
			return nil, err
		}
		if key == 'y' {
			holds = append(holds, r)
		}
	}
	return holds, nil
}

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
	fmt.Fprintln(g.env.Err, "f fired, m misfire, h hang-fire, b burst, n not flown, s skip, q stop here")
	asked := false
	for i := range q.Flights {
		for _, point := range book.Waiting(i) {
			asked = true
			err := askPoint(g, q, book, i, point)
			if errors.Is(err, errStop) {
				return nil
			}
			if err != nil {
				return err
			}
		}
	}
	if !asked {
		return conflict("no point of %s waits for its outcome", q.Day.Date)
	}
	return nil
}

func askPoint(g *global, q *compat.PackQuestion, book *compat.DayBook, flight int, point string) error {
	for {
		fmt.Fprintf(g.env.Err, "%s %s %s: ", answer.FlightNumber(q, flight), q.Flights[flight].Rocket.Handle, point)
		key, err := keyOf(g, "fmhbnsq")
		switch {
		case err != nil:
			return err
		case key == 's':
			return nil
		case key == 'q':
			return errStop
		}
		o := compat.Outcome{Flight: flight, Point: point, Result: resultKeys[key]}
		if o.Result == inventory.Misfire || o.Result == inventory.HangFire {
			fmt.Fprint(g.env.Err, "  why? h head, m motor, c contact, b battery, f fell out, s short, u unknown: ")
			if key, err = keyOf(g, "hmcbfsu"); err != nil {
				return err
			}
			o.Cause = causeKeys[key]
		}
		if err := book.Log(o); err != nil {
			fmt.Fprintf(g.env.Err, "  %s\r\n", message(err))
			continue
		}
		if o.Result != inventory.Misfire || !book.TryAgain(flight, point) {
			return nil
		}
		fmt.Fprint(g.env.Err, "  a second try with a spare? (y/n) ")
		if key, err = keyOf(g, "yn"); err != nil || key == 'n' {
			return err
		}
	}
}

// keyOf waits for one of some keys, without Enter where the terminal can; ctrl-C
// and the end of the input give up, and nothing is booked.
func keyOf(g *global, keys string) (byte, error) {
	if f, ok := g.env.In.(*os.File); ok && term.IsTerminal(int(f.Fd())) {
		state, err := term.MakeRaw(int(f.Fd()))
		if err == nil {
			defer func() { _ = term.Restore(int(f.Fd()), state) }()
		}
	}
	const interrupt = 3
	one := make([]byte, 1)
	for {
		if _, err := io.ReadFull(g.env.In, one); err != nil || one[0] == interrupt {
			return 0, advise(conflict("no answer was given, and nothing was booked"), "run the command again, or use --point")
		}
		key := bytes.ToLower(one)[0]
		if strings.IndexByte(keys, key) >= 0 {
			fmt.Fprintf(g.env.Err, "%c\r\n", key)
			return key, nil
		}
	}
}
