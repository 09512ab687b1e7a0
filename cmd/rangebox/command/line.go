package command

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"rangebox/cmd/rangebox/answer"
	"rangebox/cmd/rangebox/report"
	"rangebox/compat"
	"rangebox/inventory"
	"rangebox/inventory/boltstore"
)

// lineCheckOptions is what `line check` was asked.
type lineCheckOptions struct {
	line     string
	igniters []string
	count    int
	groups   []namedGroup
}

type namedGroup struct {
	handle string
	count  int
}

func newLineCheck(g *global) *cobra.Command {
	o := &lineCheckOptions{}
	c := &cobra.Command{
		Use:   "check LINE --igniter IGNITER",
		Short: "will this line fire these igniters, with margin, on a bad day",
		Example: "  rangebox line check pad --igniter wick\n" +
			"  rangebox line check pad --igniter wick --count 3\n" +
			"  rangebox line check pad --igniter wick=2 --igniter fuse=1",
		Args: args("LINE"),
		RunE: func(_ *cobra.Command, given []string) error {
			o.line = bare(inventory.KindLine, given[0])
			if err := o.understand(g); err != nil {
				return err
			}
			return runLineCheck(g, o)
		},
	}
	c.Flags().StringArrayVar(&o.igniters, "igniter", nil, "the `IGNITER` on the line, or NAME=N; repeat it for a mixed branch")
	c.Flags().IntVar(&o.count, "count", 1, "igniters fired at once")
	return c
}

func (o *lineCheckOptions) understand(g *global) error {
	if len(o.igniters) == 0 {
		return misused("add --igniter IGNITER", "line check needs an igniter to ask about")
	}
	total := 0
	for _, text := range o.igniters {
		group, err := o.group(text)
		if err != nil {
			return err
		}
		total += group.count
		o.groups = append(o.groups, group)
	}
	if total > 99 {
		return misused("give 99 igniters at most", "%d igniters cannot be", total)
	}
	return g.noLists()
}

// group reads NAME or NAME=N.
func (o *lineCheckOptions) group(text string) (namedGroup, error) {
	name, number, counted := strings.Cut(text, "=")
	n := o.count
	if counted {
		var err error
		if n, err = strconv.Atoi(number); err != nil {
			return namedGroup{}, misused("write it as --igniter wick=3", "--igniter %q has no count", inventory.Printable(text))
		}
	}
	if n < 1 {
		return namedGroup{}, misused("give 1 to 99", "%d igniters cannot be", n)
	}
	return namedGroup{bare(inventory.KindIgniter, name), n}, nil
}

func runLineCheck(g *global, o *lineCheckOptions) error {
	want := boltstore.Want{Readings: true, Named: []boltstore.Named{{Kind: inventory.KindLine, Handle: o.line}}}
	for _, group := range o.groups {
		want.Named = append(want.Named, boltstore.Named{Kind: inventory.KindIgniter, Handle: group.handle})
	}
	box, limits, err := g.load(want)
	if err != nil {
		return err
	}
	circuit, err := o.circuit(box)
	if err != nil {
		return err
	}
	r := compat.CheckLine(circuit, limits)
	out := answer.LineCheckOf(o.line, r, g.textSystem())
	if g.format == asJSON {
		err = g.printJSON(out)
	} else {
		err = report.LineCheck(g.env.Out, g.look(), out)
	}
	if err != nil {
		return err
	}
	return g.strictly(r.Worst)
}

func (o *lineCheckOptions) circuit(box *inventory.Box) (*compat.Circuit, error) {
	line, err := inventory.Find[*inventory.Line](box, inventory.KindLine, o.line)
	if err != nil {
		return nil, err
	}
	c := &compat.Circuit{}
	c.Line, c.Battery, c.Controller = lineParts(box, line)
	for _, group := range o.groups {
		ig, err := inventory.Find[*inventory.Igniter](box, inventory.KindIgniter, group.handle)
		if err != nil {
			return nil, err
		}
		c.Groups = append(c.Groups, compat.Group{Igniter: inventory.Measured(box, ig), Count: group.count})
	}
	return c, nil
}

// notFound is a sentence that wraps inventory.ErrNotFound.
func notFound(format string, args ...any) error {
	return fmt.Errorf("%w: "+format, append([]any{inventory.ErrNotFound}, args...)...)
}

// conflict is a sentence that wraps inventory.ErrConflict.
func conflict(format string, args ...any) error {
	return fmt.Errorf("%w: "+format, append([]any{inventory.ErrConflict}, args...)...)
}
