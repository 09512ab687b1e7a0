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
	at, err := g.moment()
	if err != nil {
		return err
	}
	q, seen, err := g.loadDay(name)
	if err != nil {
		return err
	}
	book := compat.NewDayBook(q)
	book.Close()
	events, err := dayEvents(book.Entries, at)
	if err != nil {
		return err
	}
	done, err := g.bookSeen(seen, events)
	if err != nil {
		return err
	}
	if q, _, err = g.loadDay(name); err != nil {
		return err
	}
	account, err := compat.AccountOf(q)
	if err != nil {
		return err
	}
	out := answer.DayCloseOf(q, done, account)
	if g.format == asJSON {
		return g.printJSON(out)
	}
	if g.quiet {
		return nil
	}
	return report.DayClose(g.env.Out, g.look(), out)
}
