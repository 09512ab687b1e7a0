package command

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/google/uuid"
	"github.com/spf13/cobra"

	"rangebox/cmd/rangebox/answer"
	"rangebox/cmd/rangebox/report"
	"rangebox/inventory"
	"rangebox/inventory/boltstore"
	"rangebox/inventory/quantity"
)

func newDay(g *global) *cobra.Command {
	c := &cobra.Command{Use: "day", Short: "launch days: the flights, in the order in which they matter"}
	c.AddCommand(newDayNew(g), newDayAdd(g), newDayRemove(g), newDayList(g), newDayShow(g), newDayPack(g), newDaySheet(g), newDayLog(g), newDayClose(g))
	return c
}

func newDayNew(g *global) *cobra.Command {
	values := map[string]*string{}
	c := &cobra.Command{
		Use:     "new DATE",
		Short:   "plan a launch day; makes the box if there is none",
		Example: "  rangebox day new 2027-04-17 --site \"the moor\" --altitude 40m --wind 3m/s",
		Args:    args("DATE"),
	}
	for _, f := range []struct{ key, flag, help string }{
		{"site", "site", "`WHERE`"}, {"altitude_m", "altitude", "`HEIGHT` of the site above the sea (m)"},
		{"temperature_c", "temperature", "air `TEMPERATURE` (C)"}, {"wind_m_s", "wind", "`WIND` (m/s)"},
		{"confidence", "confidence", "`CHANCE` with which the spares are to suffice (0.95)"}, {"notes", "notes", "`TEXT` to remember"},
	} {
		values[f.key] = c.Flags().String(f.flag, "", f.help)
	}
	c.RunE = func(_ *cobra.Command, given []string) error {
		if err := g.noLists(); err != nil {
			return err
		}
		day, err := dayOf(given[0], values)
		if err != nil {
			return err
		}
		return runDayNew(g, day)
	}
	return c
}

func dayOf(date string, values map[string]*string) (*inventory.Day, error) {
	day := &inventory.Day{}
	table := inventory.KindDay.Info().Table
	field, _ := table.Field("date")
	if err := field.SetText(day, date); err != nil {
		return nil, asMisuse(err)
	}
	for key, value := range values {
		if *value == "" {
			continue
		}
		field, _ := table.Field(key)
		if err := field.SetText(day, *value); err != nil {
			return nil, asMisuse(err)
		}
	}
	id, err := uuid.NewV7()
	if err != nil {
		return nil, fmt.Errorf("making an id: %w", err)
	}
	day.ID = id
	return day, nil
}

func runDayNew(g *global, day *inventory.Day) error {
	err := boltstore.CreateOrWrite(g.path(), g.storeOptions(), func(tx *boltstore.Tx) error {
		_, err := tx.Put(day)
		return err
	})
	if err != nil {
		return err
	}
	return tellDay(g, day)
}

func tellDay(g *global, day *inventory.Day) error {
	out := answer.DayOf(day)
	if g.format == asJSON {
		return g.printJSON(out)
	}
	if g.quiet {
		return nil
	}
	return report.Day(g.env.Out, g.look(), out)
}

// findDay finds a launch day by its date, or by the tail of its id where there
// are several on that date.
func findDay(v *boltstore.View, text string) (*inventory.Day, error) {
	var found []*inventory.Day
	on, _ := inventory.ParseDate(text) // else it may be the tail of an id
	err := v.Each(inventory.KindDay, func(rec inventory.Record) error {
		day := rec.(*inventory.Day)
		if !on.IsZero() && day.Date == on || len(text) >= 4 && strings.HasSuffix(day.ID.String(), text) {
			found = append(found, day)
		}
		return nil
	})
	switch {
	case err != nil:
		return nil, err
	case len(found) == 0:
		return nil, advise(notFound("there is no launch day %q", inventory.Printable(text)), "look at the days with `rangebox day list`, or plan one with `rangebox day new`")
	case len(found) > 1:
		return nil, advise(conflict("%d launch days are called %q", len(found), text), "name one by the tail of its id, as `rangebox day list` shows it")
	}
	return found[0], nil
}

func newDayAdd(g *global) *cobra.Command {
	var count int
	var with []string
	c := &cobra.Command{
		Use:     "add DAY ROCKET",
		Short:   "plan a flight; flights stand in the order in which they matter",
		Example: "  rangebox day add 2027-04-17 whimbrel --with sustainer/main.delay_s=5s",
		Args:    args("DAY", "ROCKET"),
		RunE: func(_ *cobra.Command, given []string) error {
			if err := g.noLists(); err != nil {
				return err
			}
			if count < 1 || count > 99 {
				return misused("give 1 to 99", "--count %d flights cannot be", count)
			}
			pairs, err := withPairs(with)
			if err != nil {
				return err
			}
			return runDayAdd(g, given[0], bare(inventory.KindRocket, given[1]), count, pairs)
		},
	}
	c.Flags().IntVar(&count, "count", 1, "so many such flights")
	c.Flags().StringArrayVar(&with, "with", nil, "another motor, delay or setting for this flight, `PATH=VALUE`")
	return c
}

// withPairs reads PATH=VALUE flags.
func withPairs(list []string) (map[string]string, error) {
	pairs := map[string]string{}
	for _, text := range list {
		path, value, ok := strings.Cut(text, "=")
		if !ok || path == "" {
			return nil, misused("write it as --with sustainer/main.delay_s=5s", "--with %q has no =", inventory.Printable(text))
		}
		pairs[path] = value
	}
	return pairs, nil
}

func runDayAdd(g *global, name, rocket string, count int, with map[string]string) error {
	var day *inventory.Day
	err := boltstore.Write(g.path(), g.storeOptions(), func(tx *boltstore.Tx) (err error) {
		if day, err = findDay(&tx.View, name); err != nil {
			return err
		}
		rec, _, err := tx.Find(inventory.KindRocket, rocket)
		if err != nil {
			return err
		}
		if err := applyWith(rec, with); err != nil {
			return err
		}
		for _, r := range inventory.References(rec) {
			if err := resolve(&tx.View, r, rec.Base().Handle); err != nil {
				return err
			}
		}
		if err := errors.Join(wrongNames(&tx.View, rec)...); err != nil {
			return err
		}
		id, err := uuid.NewV7()
		if err != nil {
			return fmt.Errorf("making an id: %w", err)
		}
		flight := inventory.Flight{ID: id, Rocket: inventory.Ref{ID: rec.Base().ID, Handle: rec.Base().Handle}}
		if count > 1 {
			flight.Count = quantity.Some(quantity.Count(count))
		}
		if len(with) > 0 {
			flight.With = with
		}
		day.Flights = append(day.Flights, flight)
		_, err = tx.Put(day)
		return err
	})
	if err != nil {
		return err
	}
	return tellDay(g, day)
}

// applyWith changes a rocket's record as --with says, in memory only.
func applyWith(rocket inventory.Record, with map[string]string) error {
	for _, path := range slices.Sorted(maps.Keys(with)) {
		if err := inventory.ChangePath(rocket, path, with[path]); err != nil {
			return fmt.Errorf("--with %s: %w", inventory.Printable(path), err)
		}
	}
	return nil
}

func newDayList(g *global) *cobra.Command {
	return &cobra.Command{
		Use: "list", Short: "the launch days there are", Args: args(),
		RunE: func(*cobra.Command, []string) error {
			var days []answer.Day
			err := g.read(func(v *boltstore.View) error {
				return v.Each(inventory.KindDay, func(rec inventory.Record) error {
					days = append(days, answer.DayOf(rec.(*inventory.Day)))
					return nil
				})
			})
			if err != nil {
				return err
			}
			answer.SortDays(days)
			if g.format == asJSON {
				return g.printJSON(append([]answer.Day{}, days...))
			}
			return g.printList(report.Days(days))
		},
	}
}

func newDayShow(g *global) *cobra.Command {
	return &cobra.Command{
		Use: "show DAY", Short: "a launch day and its flights", Args: args("DAY"),
		RunE: func(_ *cobra.Command, given []string) error {
			if err := g.noLists(); err != nil {
				return err
			}
			var day *inventory.Day
			err := g.read(func(v *boltstore.View) (err error) {
				day, err = findDay(v, given[0])
				return err
			})
			if err != nil {
				return err
			}
			return tellDay(g, day)
		},
	}
}
