package command

import (
	"github.com/spf13/cobra"

	"rangebox/cmd/rangebox/answer"
	"rangebox/cmd/rangebox/report"
	"rangebox/compat"
)

func newDayClose(g *global) *cobra.Command {
	return &cobra.Command{
		Use:     "close DAY",
		Short:   "back home: what was not used comes back; the day's account, and what was learnt",
		Example: "  rangebox day close 2027-04-17",
		Args:    args("DAY"),
		RunE: func(_ *cobra.Command, given []string) error {
			if err := g.noLists(); err != nil {
				return err
			}
			return runDayClose(g, given[0])
		},
	}
}

func runDayClose(g *global, name string) error {
	q, seen, err := g.loadDayAsFar(name)
	if err != nil {
		return err
	}
	book := compat.NewDayBook(q)
	untold := untoldOf(q, book)
	book.Close()
	done, err := g.bookDay(seen, book, nil, nil)
	if err != nil {
		return err
	}
	if q, _, err = g.loadDayAsFar(name); err != nil {
		return err
	}
	account, err := compat.AccountOf(q)
	if err != nil {
		return err
	}
	out := answer.DayCloseOf(q, done.Booked, account)
	out.Untold = untold
	if g.format == asJSON {
		return g.printJSON(out)
	}
	if g.quiet {
		return nil
	}
	return report.DayClose(g.env.Out, g.look(), out)
}

// untoldOf names the points of which somebody should have told.
func untoldOf(q *compat.PackQuestion, book *compat.DayBook) []string {
	list := []string{}
	for i := range q.Flights {
		for _, point := range book.Forgotten(i) {
			list = append(list, answer.FlightName(q, i)+" "+point)
		}
	}
	return list
}
