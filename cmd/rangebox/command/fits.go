package command

import (
	"strings"

	"github.com/spf13/cobra"

	"rangebox/cmd/rangebox/answer"
	"rangebox/cmd/rangebox/report"
	"rangebox/compat"
	"rangebox/inventory"
	"rangebox/inventory/boltstore"
	"rangebox/inventory/quantity"
)

// fitsOptions is what `fits` was asked.
type fitsOptions struct {
	motor, igniter string
	all            bool
	nozzle, line   string
	run, tube      string
	count          int
	question       compat.FitQuestion
}

func newFits(g *global) *cobra.Command {
	o := &fitsOptions{}
	c := &cobra.Command{
		Use:   "fits MOTOR | --igniter IGNITER | --all",
		Short: "which igniter fits, lights it, reaches, and is fired by the line",
		Example: "  rangebox fits larch-24\n" +
			"  rangebox fits larch-24 --line pad --run 30cm\n" +
			"  rangebox fits --igniter wick\n" +
			"  rangebox fits --all",
		Args: cobra.ArbitraryArgs,
		RunE: func(_ *cobra.Command, args []string) error {
			if err := o.understand(g, args); err != nil {
				return err
			}
			return runFits(g, o)
		},
	}
	f := c.Flags()
	f.StringVar(&o.igniter, "igniter", "", "ask for all motors of one `IGNITER`")
	f.BoolVar(&o.all, "all", false, "the chart of all motors and igniters")
	f.StringVar(&o.nozzle, "nozzle", "", "only the nozzle of this `NAME`")
	f.StringVar(&o.line, "line", "", "ask whether this `LINE` fires it")
	f.StringVar(&o.run, "run", "", "`LENGTH` from nozzle exit to clips or terminals (mm)")
	f.StringVar(&o.tube, "tube", "", "`BORE` of a guide tube (mm)")
	f.IntVar(&o.count, "count", 1, "igniters fired at once")
	return c
}

// understand reads the flags; what is wrong with them is misuse.
func (o *fitsOptions) understand(g *global, given []string) error {
	const hint = "ask `fits MOTOR`, `fits --igniter IGNITER` or `fits --all`"
	if len(given) > 1 {
		return misused(hint, "fits does not take %q", inventory.Printable(given[1]))
	}
	asked := 0
	if len(given) == 1 {
		o.motor = bare(inventory.KindMotor, given[0])
		asked++
	}
	if o.igniter != "" {
		o.igniter = bare(inventory.KindIgniter, o.igniter)
		asked++
	}
	if o.all {
		asked++
	}
	if asked != 1 {
		return misused(hint, "fits answers one question at a time, and one there must be")
	}
	if o.count < 1 || o.count > 99 {
		return misused("give 1 to 99", "--count %d igniters cannot be", o.count)
	}
	o.line = bare(inventory.KindLine, o.line)
	o.question.Count = o.count
	var err error
	if o.question.Run, err = lengthFlag("run", o.run, true); err != nil {
		return err
	}
	if o.question.Tube, err = lengthFlag("tube", o.tube, false); err != nil {
		return err
	}
	return g.noLists()
}

// bare takes the kind off a handle written as motor/larch.
func bare(kind inventory.Kind, handle string) string {
	return strings.TrimPrefix(handle, string(kind)+"/")
}

// lengthFlag reads a length of the command line; bare numbers are millimetres.
func lengthFlag(name, text string, zero bool) (quantity.Opt[quantity.Length], error) {
	if text == "" {
		return quantity.Opt[quantity.Length]{}, nil
	}
	length, err := quantity.Millimetre.Parse(text)
	if err != nil {
		return quantity.Opt[quantity.Length]{}, misused("write it as 300mm, 11in or 30cm", "--%s: %s", name, err)
	}
	if length < 0 || length == 0 && !zero {
		return quantity.Opt[quantity.Length]{}, misused("give a length above 0", "--%s %q cannot be", name, text)
	}
	return quantity.Some(length), nil
}

func runFits(g *global, o *fitsOptions) error {
	box, limits, err := g.load(o.want())
	if err != nil {
		return err
	}
	motors, igniters, err := o.candidates(box)
	if err != nil {
		return err
	}
	if err := o.askLine(box); err != nil {
		return err
	}
	if o.all {
		return chart(g, o, motors, igniters, limits)
	}
	return matches(g, o, box, motors, igniters, limits)
}

// want is what the question needs of the box.
func (o *fitsOptions) want() boltstore.Want {
	want := boltstore.Want{LotsOfLoaded: !o.all, Readings: true}
	if o.motor != "" {
		want.Named = append(want.Named, boltstore.Named{Kind: inventory.KindMotor, Handle: o.motor})
	} else {
		want.All = append(want.All, inventory.KindMotor)
	}
	if o.igniter != "" {
		want.Named = append(want.Named, boltstore.Named{Kind: inventory.KindIgniter, Handle: o.igniter})
	} else {
		want.All = append(want.All, inventory.KindIgniter)
	}
	if o.line != "" {
		want.Named = append(want.Named, boltstore.Named{Kind: inventory.KindLine, Handle: o.line})
	}
	return want
}

// candidates are the motors and igniters asked about, as measured.
func (o *fitsOptions) candidates(box *inventory.Box) ([]*inventory.Motor, []*inventory.Igniter, error) {
	motors := inventory.List[*inventory.Motor](box)
	igniters := inventory.List[*inventory.Igniter](box)
	if o.igniter != "" {
		one, err := inventory.Find[*inventory.Igniter](box, inventory.KindIgniter, o.igniter)
		if err != nil {
			return nil, nil, err
		}
		igniters = []*inventory.Igniter{one}
	}
	if o.motor != "" {
		one, err := inventory.Find[*inventory.Motor](box, inventory.KindMotor, o.motor)
		if err != nil {
			return nil, nil, err
		}
		motors = []*inventory.Motor{one}
	}
	for i, m := range motors {
		motors[i] = inventory.Measured(box, m)
	}
	for i, ig := range igniters {
		igniters[i] = inventory.Measured(box, ig)
	}
	motors = o.withNozzle(motors)
	if len(motors) == 0 && o.nozzle != "" {
		return nil, nil, advise(notFound("there is no motor with a nozzle %q", o.nozzle), "look at its nozzles with `rangebox motor show`")
	}
	return motors, igniters, nil
}

// withNozzle keeps the nozzle that was asked for.
func (o *fitsOptions) withNozzle(motors []*inventory.Motor) []*inventory.Motor {
	if o.nozzle == "" {
		return motors
	}
	var kept []*inventory.Motor
	for _, m := range motors {
		if n, ok := m.Nozzle(o.nozzle); ok {
			one := *m
			one.Nozzles = []inventory.Nozzle{*n}
			kept = append(kept, &one)
		}
	}
	return kept
}

func (o *fitsOptions) askLine(box *inventory.Box) error {
	if o.line == "" {
		return nil
	}
	line, err := inventory.Find[*inventory.Line](box, inventory.KindLine, o.line)
	if err != nil {
		return err
	}
	o.question.Line, o.question.Battery, o.question.Controller = lineParts(box, line)
	return nil
}

// lineParts is a line with its battery and controller, as measured; nil where
// the line names none.
func lineParts(box *inventory.Box, line *inventory.Line) (*inventory.Line, *inventory.Battery, *inventory.Controller) {
	line = inventory.Measured(box, line)
	battery, ok := inventory.Follow[*inventory.Battery](box, line.Battery)
	if ok {
		battery = inventory.Measured(box, battery)
	}
	controller, ok := inventory.Follow[*inventory.Controller](box, line.Controller)
	if ok {
		controller = inventory.Measured(box, controller)
	}
	return line, battery, controller
}

func chart(g *global, o *fitsOptions, motors []*inventory.Motor, igniters []*inventory.Igniter, limits *compat.Limits) error {
	made := compat.MakeChart(&o.question, motors, igniters, limits)
	out := answer.ChartOf(made, g.onDate)
	out.Line = o.line
	if g.format == asJSON {
		if err := g.printJSON(out); err != nil {
			return err
		}
	} else if err := report.Chart(g.env.Out, g.look(), out); err != nil {
		return err
	}
	for _, row := range made.Rows {
		if strings.Contains(row.Verdicts, string(compat.Go.Letter())) {
			return nil
		}
	}
	return g.strictly(compat.NoGo)
}

// strictly is the exit status under --strict for a verdict worse than go.
func (g *global) strictly(v compat.Verdict) error {
	if g.strict && v != compat.Go {
		return errNotGo
	}
	return nil
}

func matches(g *global, o *fitsOptions, box *inventory.Box, motors []*inventory.Motor, igniters []*inventory.Igniter, limits *compat.Limits) error {
	found := []compat.Match{}
	held := map[string]answer.Holding{}
	for _, ig := range igniters {
		held[ig.Handle] = answer.HoldingOf(box, ig.Base(), g.onDate)
		for _, m := range motors {
			for _, n := range compat.NozzlesOf(m) {
				found = append(found, compat.Fit(&o.question, m, n, ig, limits))
			}
		}
	}
	compat.SortMatches(found, func(m *compat.Match) bool { return held[m.Igniter.Handle].Usable > 0 })
	out := answer.Fits{On: g.onDate.String(), Motor: o.motor, Igniter: o.igniter, Line: o.line, Matches: []answer.Match{}}
	for i := range found {
		match := answer.MatchOf(&found[i], held[found[i].Igniter.Handle], g.textSystem())
		lotVerdicts(box, o, &found[i], &match, limits)
		out.Matches = append(out.Matches, match)
	}
	if g.format == asJSON {
		if err := g.printJSON(out); err != nil {
			return err
		}
	} else if err := report.Fits(g.env.Out, g.look(), out); err != nil {
		return err
	}
	if len(found) > 0 && found[0].Worst == compat.Go {
		return nil
	}
	return g.strictly(compat.NoGo)
}

// lotVerdicts gives lots that were measured themselves a verdict of their own.
func lotVerdicts(box *inventory.Box, o *fitsOptions, m *compat.Match, out *answer.Match, limits *compat.Limits) {
	for i, lot := range box.LotsOf(m.Igniter.ID) {
		measured, own := inventory.MeasuredLot(box, lot, m.Igniter)
		if !own || i >= len(out.Lots) {
			continue
		}
		match := compat.Fit(&o.question, m.Motor, m.Nozzle, measured, limits)
		lots := append([]answer.Lot(nil), out.Lots...)
		lots[i].Verdict = match.Worst.String()
		out.Lots = lots
	}
}

// textSystem is the system of sentences: JSON has them in metric.
func (g *global) textSystem() quantity.System {
	if g.format == asJSON {
		return quantity.Metric
	}
	return g.system
}
