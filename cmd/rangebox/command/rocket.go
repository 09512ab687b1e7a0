package command

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"rangebox/cmd/rangebox/answer"
	"rangebox/cmd/rangebox/report"
	"rangebox/cmd/rangebox/report/plot"
	"rangebox/compat"
	"rangebox/inventory"
	"rangebox/inventory/boltstore"
	"rangebox/inventory/quantity"
)

// What a site can be; the ascent's air holds within (ours).
const (
	lowestSite, highestSite  = -1000.0, 10000.0 // m
	coldestSite, hottestSite = -90.0, 60.0      // C
)

// siteFlags are where a rocket flies.
type siteFlags struct {
	altitude, temperature, wind string
}

func (s *siteFlags) add(c *cobra.Command) {
	c.Flags().StringVar(&s.altitude, "altitude", "", "`HEIGHT` of the site above the sea (m)")
	c.Flags().StringVar(&s.temperature, "temperature", "", "air `TEMPERATURE` (C)")
	c.Flags().StringVar(&s.wind, "wind", "", "`WIND` (m/s)")
}

// read puts the site into a question; what is wrong with it is misuse.
func (s *siteFlags) read(q *compat.RocketQuestion) error {
	altitude, err := figureFlag("altitude", s.altitude, quantity.Metre)
	if err != nil {
		return err
	}
	temperature, err := figureFlag("temperature", s.temperature, quantity.Celsius)
	if err != nil {
		return err
	}
	wind, err := figureFlag("wind", s.wind, quantity.MetrePerSecond)
	if err != nil {
		return err
	}
	if wind.Or(0) < 0 {
		return misused("give 0 or more", "--wind %q cannot be", s.wind)
	}
	if h := altitude.Or(0).Metres(); h < lowestSite || h > highestSite {
		return misused("give -1000 to 10000 m", "--altitude %q is no place to launch from", s.altitude)
	}
	if t, ok := temperature.Get(); ok && (t.Celsius() < coldestSite || t.Celsius() > hottestSite) {
		return misused("give -90 to 60 C", "--temperature %q is no weather to launch in", s.temperature)
	}
	q.Altitude, q.Temperature, q.Wind = altitude, temperature, wind
	return nil
}

// figureFlag reads a quantity of the command line.
func figureFlag[Q quantity.Quantity](name, text string, u quantity.Unit[Q]) (quantity.Opt[Q], error) {
	if text == "" {
		return quantity.Opt[Q]{}, nil
	}
	q, err := u.Parse(text)
	if err != nil {
		return quantity.Opt[Q]{}, misused("see the flag's help", "--%s: %s", name, message(err))
	}
	return quantity.Some(q), nil
}

type rocketCheckOptions struct {
	site    siteFlags
	with    []string
	pairs   map[string]string
	explain bool
	plot    string
}

func newRocketCheck(g *global) *cobra.Command {
	o := &rocketCheckOptions{}
	c := &cobra.Command{
		Use:   "check ROCKET",
		Short: "the evening before: every ignition, the flight, and a way down for each part",
		Example: "  rangebox rocket check whimbrel --altitude 40m --temperature 5C --wind 3m/s\n" +
			"  rangebox rocket check whimbrel --with sustainer/main.delay_s=5s\n" +
			"  rangebox rocket check whimbrel --plot flight.svg",
		Args: args("ROCKET"),
		RunE: func(_ *cobra.Command, given []string) error {
			q := &compat.RocketQuestion{}
			if err := o.understand(g, q); err != nil {
				return err
			}
			return runRocketCheck(g, bare(inventory.KindRocket, given[0]), o, q)
		},
	}
	o.site.add(c)
	c.Flags().StringArrayVar(&o.with, "with", nil, "what if: `PATH=VALUE`, as in sustainer/main.delay_s=5s; nothing is saved")
	c.Flags().BoolVar(&o.explain, "explain", false, "every finding, with its source")
	c.Flags().StringVar(&o.plot, "plot", "", "draw height and speed into `FILE` (.svg or .png)")
	return c
}

func (o *rocketCheckOptions) understand(g *global, q *compat.RocketQuestion) (err error) {
	if err := g.noLists(); err != nil {
		return err
	}
	if err := o.site.read(q); err != nil {
		return err
	}
	if o.plot != "" && !slices.Contains(plot.Formats, plotFormat(o.plot)) {
		return misused("end it in .svg or .png", "--plot %q is no kind of picture that can be drawn", inventory.Printable(o.plot))
	}
	o.pairs, err = withPairs(o.with)
	return err
}

func plotFormat(file string) string {
	return strings.ToLower(strings.TrimPrefix(filepath.Ext(file), "."))
}

func runRocketCheck(g *global, handle string, o *rocketCheckOptions, q *compat.RocketQuestion) error {
	limits, err := loadRocket(g, handle, o.pairs, q)
	if err != nil {
		return err
	}
	r := compat.CheckRocket(q, limits)
	if o.plot != "" {
		if err := plotRocket(g, o.plot, handle, r); err != nil {
			return err
		}
	}
	out := answer.RocketCheckOf(handle, r, g.textSystem())
	out.Cautions = append(out.Cautions, shortOf(q, g.onDate)...)
	if g.format == asJSON {
		err = g.printJSON(out)
	} else {
		err = report.Rocket(g.env.Out, g.look(), out, o.explain)
	}
	if err != nil {
		return err
	}
	return g.strictly(r.Worst)
}

// loadRocket takes a rocket with all it refers to from the box, changed as
// --with says. What --with names is looked up in the box as well.
func loadRocket(g *global, handle string, with map[string]string, q *compat.RocketQuestion) (limits *compat.Limits, err error) {
	err = g.read(func(v *boltstore.View) error {
		rec, _, err := v.Find(inventory.KindRocket, handle)
		if err != nil {
			return err
		}
		if err := applyWith(rec, with); err != nil {
			return err
		}
		want := boltstore.Want{Readings: true, LotsOfLoaded: true}
		var lost []error
		for _, r := range inventory.References(rec) {
			if err := resolve(v, r, handle); err != nil {
				lost = append(lost, err)
			}
			want.IDs = append(want.IDs, r.Ref.ID)
		}
		if len(lost) > 0 {
			return errors.Join(lost...)
		}
		q.Rocket = rec.(*inventory.Rocket)
		q.Box, err = v.Load(want)
		return err
	})
	if err != nil {
		return nil, err
	}
	return compat.LimitsFrom(q.Box.Settings())
}

// resolve points a reference that was given by handle to its record.
func resolve(v *boltstore.View, r inventory.Reference, rocket string) error {
	if r.Ref.Handle == "" {
		return nil
	}
	for _, kind := range r.Kinds {
		if id, ok := v.IDOf(kind, r.Ref.Handle); ok {
			r.Ref.ID = id
			return nil
		}
	}
	return advise(notFound("%s of %s: the box has no %s %q", r.Path, rocket, r.Kinds[0], inventory.Printable(r.Ref.Handle)), "%s", instead(v, r))
}

// instead is what to write where a reference names what is not there.
func instead(v *boltstore.View, r inventory.Reference) string {
	var known []string
	_ = v.Each(r.Kinds[0], func(rec inventory.Record) error { // without names there is the list
		known = append(known, rec.Base().Handle)
		return nil
	})
	list := fmt.Sprintf("look at what there is with `rangebox %s list`", r.Kinds[0])
	if near, ok := inventory.Nearest(r.Ref.Handle, known); ok {
		return fmt.Sprintf("did you mean %s? else %s", near, list)
	}
	return list
}

// plotRocket draws the flight as planned, and the stack coasting on whole.
func plotRocket(g *global, file, handle string, r compat.RocketReport) error {
	if r.Nominal == nil {
		return advise(notFound("there is no flight of %s to draw", handle), "record what the check names as missing")
	}
	drawing := plotOf(handle, r)
	return g.writeWhole(file, func(f *os.File) error {
		if err := plot.Write(f, plotFormat(file), drawing); err != nil {
			return fmt.Errorf("drawing %s: %w", file, err)
		}
		return nil
	})
}

// shortOf tells what one flight takes and the box cannot give on a day.
func shortOf(q *compat.RocketQuestion, on inventory.Date) []string {
	var list []string
	for _, s := range q.Box.ShortOfFlight(q.Rocket, on) {
		list = append(list, fmt.Sprintf("a flight takes %s of %s, and only %s can be used on %s",
			quantity.Amount.Format(int64(s.Wanted)), s.Item.Base().Handle, quantity.Amount.Format(int64(s.Usable)), on))
	}
	return list
}
