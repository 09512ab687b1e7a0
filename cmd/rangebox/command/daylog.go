package command

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

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
			"by its rocket where that flies once; FLIGHT=RESULT is for all its points. A\n" +
			"second try at a point takes a spare of the same type; `,lot=LOT` at the end says\n" +
			"from which lot another igniter came.",
		Example: "  rangebox day log 2027-04-17\n" +
			"  rangebox day log 2027-04-17 --point 1=fired --point 2:body/main/1=misfire,head\n" +
			"  rangebox day log 2027-04-17 --point 2:body/main/1=fired,lot=9e04c1",
		Args: args("DAY"),
		RunE: func(_ *cobra.Command, given []string) error {
			if err := g.noLists(); err != nil {
				return err
			}
			said, err := sayings(points)
			if err != nil {
				return err
			}
			if len(said) == 0 && !g.asks() {
				return misused("say what became of each with --point FLIGHT:POINT=RESULT[,CAUSE]", "day log asks only at a terminal")
			}
			return runDayLog(g, given[0], said)
		},
	}
	c.Flags().StringArrayVar(&points, "point", nil, "what became of it, `FLIGHT:POINT=RESULT[,CAUSE]`")
	return c
}

// saying is a --point flag: a point of a flight, or all of them, and its outcome;
// the lot is where another igniter than planned came from.
type saying struct {
	text, flight, point, lot string
	result                   inventory.Result
	cause                    inventory.Cause
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
		if err := s.understand(outcome); err != nil {
			return nil, err
		}
		said = append(said, s)
	}
	return said, nil
}

// understand reads RESULT[,CAUSE][,lot=LOT].
func (s *saying) understand(outcome string) error {
	result, rest, _ := strings.Cut(outcome, ",")
	if result == "" {
		return misused("results are fired, misfire, hang-fire, burst, not-flown", "--point %q says no result", inventory.Printable(s.text))
	}
	cause := ""
	for _, word := range strings.FieldsFunc(rest, func(r rune) bool { return r == ',' }) {
		if lot, ok := strings.CutPrefix(word, "lot="); ok {
			s.lot = lot
			continue
		}
		if cause != "" {
			return misused("write it as --point 2:body/main/1=misfire,head", "--point %q has two causes", inventory.Printable(s.text))
		}
		cause = word
	}
	o := &stockOutOptions{purpose: "used", result: result, cause: cause}
	if err := o.understand(); err != nil {
		return err
	}
	e := &inventory.Event{}
	if err := o.fill(e); err != nil {
		return err
	}
	s.result, s.cause = e.Result, e.Cause
	if s.cause != 0 && s.result == inventory.NotFlown {
		return misused("leave the cause away", "what was not flown has no cause")
	}
	if s.lot != "" && s.point == "" {
		return misused("name the point, as in --point 2:body/main/1=fired,lot=LOT", "--point %q: a lot is of one point", inventory.Printable(s.text))
	}
	return nil
}

func runDayLog(g *global, name string, said []saying) error {
	q, seen, err := g.loadDayAsFar(name)
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
	done, err := g.bookDay(seen, book, holds, nil)
	if err != nil {
		return err
	}
	out := answer.DayLogOf(q, done.Booked, done.events, repeated, holds)
	if g.format == asJSON {
		return g.printJSON(out)
	}
	if g.quiet {
		return nil
	}
	return report.DayLog(g.env.Out, g.look(), out)
}

// logSaid logs what the flags say, in their order.
func logSaid(q *compat.PackQuestion, book *compat.DayBook, said []saying) error {
	for _, s := range said {
		if err := s.log(q, book); err != nil {
			return fmt.Errorf("--point %s: %w", inventory.Printable(s.text), err)
		}
	}
	return nil
}

func (s *saying) log(q *compat.PackQuestion, book *compat.DayBook) error {
	o := compat.Outcome{Result: s.result, Cause: s.cause}
	var err error
	if o.Flight, err = flightCalled(q, s.flight); err != nil {
		return err
	}
	if s.lot != "" {
		if o.From, err = lotIn(q.Box, s.lot); err != nil {
			return err
		}
	}
	points := []string{s.point}
	if s.point == "" {
		if points = book.Waiting(o.Flight); len(points) == 0 {
			return advise(conflict("no point of that flight waits for its outcome"), "%s", logHint(q))
		}
	}
	for _, point := range points {
		o.Point = point
		if err := book.Log(o); err != nil {
			return advise(err, "%s", s.hint(q, book, &o, err))
		}
	}
	return nil
}

// hint is what to do where an outcome was refused.
func (s *saying) hint(q *compat.PackQuestion, book *compat.DayBook, o *compat.Outcome, err error) string {
	switch sources := book.Sources(); {
	case errors.Is(err, inventory.ErrNotFound):
		return fmt.Sprintf("its points are %s", strings.Join(compat.PointsOf(q.Flights[o.Flight].Rocket), ", "))
	case slices.Contains(book.Waiting(o.Flight), o.Point) && o.From == nil && len(sources) > 0:
		return fmt.Sprintf("say which lot the igniter came from, as in --point %s:%s=%s,lot=%s", s.flight, o.Point, o.Result, answer.Tail(sources[0].Lot))
	}
	return logHint(q)
}

func logHint(q *compat.PackQuestion) string {
	return fmt.Sprintf("see what was booked with `rangebox stock log`; what was never packed, or has come back, is packed with `rangebox day pack %s` first", q.Day.Date)
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
	if !g.asks() {
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
