package command

import (
	"errors"
	"fmt"
	"slices"
	"strconv"

	"github.com/spf13/cobra"

	"rangebox/cmd/rangebox/report"
	"rangebox/compat"
	"rangebox/inventory"
	"rangebox/inventory/boltstore"
)

func newDayRemove(g *global) *cobra.Command {
	return &cobra.Command{
		Use:   "remove DAY [FLIGHT]",
		Short: "take back a planned flight, or a whole day; gives back what it was promised",
		Long: "Takes one flight off a launch day, by its number in `day show`, or the whole\n" +
			"day; what was packed for it comes back. What has been flown or tried stays: it\n" +
			"is in the day's account and in what is known of the igniters.",
		Example: "  rangebox day remove 2027-04-17 3\n  rangebox day remove 2027-04-17",
		Args: func(_ *cobra.Command, given []string) error {
			if len(given) < 1 || len(given) > 2 {
				return misused("see `rangebox day remove --help`", "day remove takes DAY and perhaps FLIGHT")
			}
			return nil
		},
		RunE: func(_ *cobra.Command, given []string) error {
			if err := g.noLists(); err != nil {
				return err
			}
			if len(given) == 1 {
				return runDayRemove(g, given[0], 0)
			}
			n, err := strconv.Atoi(given[1])
			if err != nil || n < 1 {
				return misused("give its number, as `rangebox day show DAY` counts them", "%q is no number of a flight", inventory.Printable(given[1]))
			}
			return runDayRemove(g, given[0], n)
		},
	}
}

// runDayRemove removes the n-th flight of a day, or for 0 the day.
func runDayRemove(g *global, name string, n int) error {
	q, seen, err := g.loadDayAsFar(name)
	if err != nil {
		return err
	}
	if n > len(q.Day.Flights) {
		return advise(notFound("%s has no flight %d", q.Day.Date, n), "see its flights with `rangebox day show %s`", name)
	}
	book := compat.NewDayBook(q)
	if err := dropFlights(q, book, n); err != nil {
		return err
	}
	done, err := g.bookDay(seen, book, nil, func(tx *boltstore.Tx) error {
		if n == 0 {
			return tx.Remove(q.Day.ID)
		}
		q.Day.Flights = slices.Delete(q.Day.Flights, n-1, n)
		_, err := tx.Put(q.Day)
		return err
	})
	if err != nil {
		return err
	}
	if g.format == asJSON {
		return g.printJSON(done.Booked)
	}
	g.say("%s", removedWords(q.Day, n))
	if len(done.Entries) == 0 || g.quiet {
		return nil
	}
	return report.Booked(g.env.Out, g.look(), done.Booked)
}

func removedWords(day *inventory.Day, n int) string {
	if n == 0 {
		return fmt.Sprintf("Removed the launch day %s.", day.Date)
	}
	return fmt.Sprintf("Removed flight %d of %s; those after it have moved up.", n, day.Date)
}

// dropFlights gives back what is promised to the n-th flight, or for 0 to all of
// them and to the day.
func dropFlights(q *compat.PackQuestion, book *compat.DayBook, n int) error {
	var ids []compat.ID
	if n == 0 {
		ids = append(ids, q.Day.ID)
	}
	for i := range q.Day.Flights {
		if n == 0 || n == i+1 {
			ids = append(ids, q.Day.Flights[i].ID)
		}
	}
	for _, id := range ids {
		err := book.Drop(id)
		switch {
		case err == nil:
		case errors.Is(err, inventory.ErrConflict) && n == 0:
			return advise(fmt.Errorf("%s: %w", q.Day.Date, err), "a day on which something was flown stays; take single flights back with `rangebox day remove %s FLIGHT`", q.Day.Date)
		default:
			return advise(fmt.Errorf("flight %d of %s: %w", n, q.Day.Date, err), "what was flown or tried stays; see `rangebox stock log`")
		}
	}
	return nil
}
