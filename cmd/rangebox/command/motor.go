package command

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"rangebox/cmd/rangebox/answer"
	"rangebox/importers/curve"
	"rangebox/inventory"
)

func newMotorCurve(g *global) *cobra.Command {
	var nozzle string
	c := &cobra.Command{
		Use:   "curve HANDLE FILE",
		Short: "attach a thrust curve: two columns, seconds and newtons",
		Args:  args("HANDLE", "FILE"),
		RunE: func(_ *cobra.Command, given []string) error {
			if err := g.noLists(); err != nil {
				return err
			}
			read, err := readCurve(given[1])
			if err != nil {
				return err
			}
			out, err := editInBox(g, inventory.KindMotor, bare(inventory.KindMotor, given[0]), "", func(rec inventory.Record) error {
				return setCurve(rec.(*inventory.Motor), nozzle, read.Points)
			})
			if err != nil {
				return err
			}
			tellSupplied(g, read)
			return printChange(g, out, answer.CurveChanged{Changed: out, FirstSupplied: read.FirstSupplied, LastSupplied: read.LastSupplied})
		},
	}
	c.Flags().StringVar(&nozzle, "nozzle", "", "the curve with the nozzle of this `NAME`")
	return c
}

func readCurve(file string) (curve.Result, error) {
	f, err := os.Open(file)
	if err != nil {
		return curve.Result{}, advise(fmt.Errorf("opening %s: %w", file, cause(err)), "check the file's name")
	}
	defer f.Close()
	return curve.Read(f, filepath.Base(file))
}

func tellSupplied(g *global, read curve.Result) {
	if read.FirstSupplied {
		g.say("The file does not begin at time 0; a point of 0 N was put there.")
	}
	if read.LastSupplied {
		g.say("The file ends above 0 N; a point of 0 N was put behind it.")
	}
}

func setCurve(m *inventory.Motor, nozzle string, points []inventory.CurvePoint) error {
	if nozzle == "" {
		m.Curve = points
		return errors.Join(inventory.Check(m)...)
	}
	n, ok := m.Nozzle(nozzle)
	if !ok {
		return notFound("%s has no nozzle %q", m.Handle, inventory.Printable(nozzle))
	}
	n.Curve = points
	return errors.Join(inventory.Check(m)...)
}
