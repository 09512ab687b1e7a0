package command

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"rangebox/cmd/rangebox/answer"
	"rangebox/cmd/rangebox/report"
	"rangebox/compat"
	"rangebox/inventory"
	"rangebox/inventory/boltstore"
)

func newDayPack(g *global) *cobra.Command {
	var dryRun bool
	c := &cobra.Command{
		Use:     "pack DAY",
		Short:   "what to put into the range box; promises it to the day's flights",
		Long:    "Says which lot serves which ignition point of which flight, what spares and\nsupplies to take, and what is short; and promises it. Packing again gives back\nfirst what was promised, but for flights that have been flown.",
		Example: "  rangebox day pack 2027-04-17 --dry-run\n  rangebox day pack 2027-04-17",
		Args:    args("DAY"),
		RunE: func(_ *cobra.Command, given []string) error {
			if err := g.noLists(); err != nil {
				return err
			}
			return runDayPack(g, given[0], dryRun)
		},
	}
	c.Flags().BoolVar(&dryRun, "dry-run", false, "only show it; promise nothing")
	return c
}

func runDayPack(g *global, name string, dryRun bool) error {
	q, seen, err := g.loadDay(name)
	if err != nil {
		return err
	}
	limits, err := compat.LimitsFrom(q.Box.Settings())
	if err != nil {
		return err
	}
	plan, err := compat.PackDay(q, limits)
	if err != nil {
		return err
	}
	if !dryRun {
		book := compat.NewDayBook(q)
		book.Pack(plan)
		if _, err := g.bookDay(seen, book, nil, nil); err != nil {
			return err
		}
	}
	out := answer.PackOf(q, plan, g.textSystem())
	out.DryRun = dryRun
	if g.format == asJSON {
		err = g.printJSON(out)
	} else {
		err = report.Pack(g.env.Out, g.look(), out)
	}
	if err != nil {
		return err
	}
	for _, f := range out.Flights {
		if !f.Complete {
			return g.strictly(compat.NoGo)
		}
	}
	return nil
}

// loadDay reads a launch day with the whole box, each flight's rocket as it is to
// fly, and the state of the box that this was read from.
func (g *global) loadDay(name string) (q *compat.PackQuestion, seen boltstore.Revision, err error) {
	return g.loadFlights(name, addFlight)
}

// loadDayAsFar is loadDay where a flight that names what there is no more stands with
// its rocket as recorded: what was packed for it can still be told of and given back.
func (g *global) loadDayAsFar(name string) (q *compat.PackQuestion, seen boltstore.Revision, err error) {
	return g.loadFlights(name, func(v *boltstore.View, q *compat.PackQuestion, f *inventory.Flight) error {
		before := len(q.Flights)
		if addFlight(v, q, f) == nil {
			return nil
		}
		plain := *f
		plain.With, q.Flights = nil, q.Flights[:before]
		return addFlight(v, q, &plain)
	})
}

func (g *global) loadFlights(name string, add func(*boltstore.View, *compat.PackQuestion, *inventory.Flight) error) (q *compat.PackQuestion, seen boltstore.Revision, err error) {
	q = &compat.PackQuestion{}
	err = g.read(func(v *boltstore.View) error {
		seen = v.Revision()
		if q.Day, err = findDay(v, name); err != nil {
			return err
		}
		if q.Box, err = v.Load(wholeBox()); err != nil {
			return err
		}
		for i := range q.Day.Flights {
			if err := add(v, q, &q.Day.Flights[i]); err != nil {
				return fmt.Errorf("flight %d of the day: %w; take it back with `rangebox day remove %s %d` and plan it anew", i+1, err, q.Day.Date, i+1)
			}
		}
		return nil
	})
	return q, seen, err
}

// wholeBox is all that packing looks at: everything.
func wholeBox() boltstore.Want {
	want := boltstore.Want{Readings: true, Events: true}
	for _, info := range inventory.Kinds {
		if info.Kind != inventory.KindSettings { // these always come along
			want.All = append(want.All, info.Kind)
		}
	}
	return want
}

// addFlight adds a flight as many times as it is flown.
func addFlight(v *boltstore.View, q *compat.PackQuestion, f *inventory.Flight) error {
	for n := range int(f.Count.Or(1)) {
		rec, err := v.Get(f.Rocket.ID)
		if err != nil {
			return err
		}
		if err := applyWith(rec, f.With); err != nil {
			return err
		}
		for _, r := range inventory.References(rec) {
			if err := resolve(v, r, rec.Base().Handle); err != nil {
				return err
			}
		}
		q.Flights = append(q.Flights, compat.PackFlight{ID: f.ID, N: n + 1, Rocket: rec.(*inventory.Rocket), Named: namedIgniters(f.With)})
	}
	return nil
}

// namedIgniters are the mounts and charges that a flight names an igniter for.
func namedIgniters(with map[string]string) (points []string) {
	for path := range with {
		if point, ok := strings.CutSuffix(path, ".igniter"); ok {
			points = append(points, point)
		}
	}
	return points
}
