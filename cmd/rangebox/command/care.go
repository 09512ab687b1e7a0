package command

import (
	"errors"
	"fmt"
	"io"
	"os"

	"github.com/spf13/cobra"

	"rangebox/cmd/rangebox/answer"
	"rangebox/cmd/rangebox/report"
	"rangebox/compat"
	"rangebox/importers"
	"rangebox/inventory"
	"rangebox/inventory/boltstore"
)

func newVerify(g *global) *cobra.Command {
	repair := false
	c := &cobra.Command{
		Use: "verify", Short: "work everything out again and say what is off; changes nothing", Args: args(),
		RunE: func(*cobra.Command, []string) error {
			if err := g.noLists(); err != nil {
				return err
			}
			if repair {
				return runRepair(g)
			}
			return runVerify(g)
		},
	}
	c.Flags().BoolVar(&repair, "repair", false, "make a sound box of it; what is damaged goes into a readable file beside the box, and the damaged box is kept")
	return c
}

func runVerify(g *global) error {
	work := g.working(0, "verifying")
	found, err := boltstore.Verify(g.path(), g.storeOptionsFor(work))
	work.end()
	if err != nil {
		return afterVerify(err)
	}
	out := answer.VerifyOf(found)
	if len(found.Problems) == 0 {
		err := g.read(func(v *boltstore.View) error {
			names, err := nameDoubts(v)
			if err != nil {
				return err
			}
			astray, err := astrayDoubts(v)
			if err != nil {
				return err
			}
			out.Doubts = append(append(out.Doubts, names...), astray...)
			return v.Each(inventory.KindMotor, func(rec inventory.Record) error {
				for _, d := range compat.Doubts(rec) {
					out.Doubts = append(out.Doubts, fmt.Sprintf("motor %s: %s", rec.Base().Handle, d))
				}
				return nil
			})
		})
		if err != nil {
			return err
		}
	}
	if g.format == asJSON {
		err = g.printJSON(out)
	} else {
		err = report.Verify(g.env.Out, g.look(), out)
	}
	if err != nil || len(found.Problems) == 0 {
		return err
	}
	return afterVerify(fmt.Errorf("%w: %s: %s", inventory.ErrDamaged, g.path(), thingsOff(len(found.Problems))))
}

func thingsOff(n int) string {
	if n == 1 {
		return "1 thing is off"
	}
	return fmt.Sprintf("%d things are off", n)
}

// afterVerify advises the next step about damage: whoever has just verified the
// box need not be told to do so.
func afterVerify(err error) error {
	if hintOf(err) != hints["damaged"] {
		return err
	}
	return advise(err, "`rangebox verify --repair` keeps a copy and rebuilds what it can, `rangebox restore FILE` puts a backup in its place")
}

func newBackup(g *global) *cobra.Command {
	return &cobra.Command{
		Use: "backup FILE", Short: "a copy of the whole box, as of one moment", Args: args("FILE"),
		RunE: func(_ *cobra.Command, given []string) error {
			if err := g.noLists(); err != nil {
				return err
			}
			work := g.working(0, "copying to %s", given[0])
			err := boltstore.Backup(g.path(), given[0], g.storeOptions())
			work.end()
			if err != nil {
				return err
			}
			if err := g.done(map[string]string{"backup": given[0]}, "The box was copied to %s.", given[0]); err != nil {
				return err
			}
			return checkCopy(g, given[0])
		},
	}
}

// checkCopy verifies a backup. One that restore would not take is an error though
// it was made: whoever puts it in the place of an earlier one has none any more.
func checkCopy(g *global, file string) error {
	work := g.working(0, "verifying %s", file)
	found, err := boltstore.Verify(file, g.storeOptionsFor(work))
	work.end()
	if err == nil {
		err = found.Err()
	}
	if err != nil {
		err = fmt.Errorf("%s holds what the box does, and that is damaged, so `rangebox restore` will not take it: %w", file, err)
	}
	return advise(err, "keep your earlier backups, and look at what is off with `rangebox verify`")
}

func newRestore(g *global) *cobra.Command {
	return &cobra.Command{
		Use: "restore FILE", Short: "put a backup in the box's place; what was there is kept beside it", Args: args("FILE"),
		RunE: func(_ *cobra.Command, given []string) error {
			if err := g.noLists(); err != nil {
				return err
			}
			if err := mustBeThere(given[0]); err != nil {
				return err
			}
			if err := mustBeBox(given[0]); err != nil {
				return err
			}
			work := g.working(0, "restoring from %s", given[0])
			kept, err := boltstore.Restore(given[0], g.path(), g.storeOptionsFor(work))
			work.end()
			if err != nil {
				return err
			}
			if kept == "" {
				return g.done(map[string]string{"restored": given[0]}, "The box was restored from %s.", given[0])
			}
			return g.done(map[string]string{"restored": given[0], "kept": kept}, "The box was restored from %s; what was there is kept in %s.", given[0], kept)
		},
	}
}

// mustBeThere refuses a box other than the user's own that is not there: what
// makes a new box is no advice then.
func mustBeThere(file string) error {
	if _, err := os.Stat(file); !errors.Is(err, os.ErrNotExist) {
		return nil // what else is wrong shows when it is opened
	}
	return advise(fmt.Errorf("%w: there is no file %s", inventory.ErrMissing, file), "name a box, as `rangebox backup FILE` writes one")
}

// mustBeBox refuses a file that import takes in: that is no damaged box, and no
// backup helps.
func mustBeBox(file string) error {
	if box, err := boltstore.IsBox(file); box || err != nil {
		return nil // what else is wrong shows when it is opened
	}
	head, err := headOf(file)
	if err != nil {
		return nil
	}
	format, err := importers.Sniff(head, file)
	if err != nil {
		return nil
	}
	return advise(fmt.Errorf("%w: %s is %s, not a box", inventory.ErrInvalid, file, formatNames[format]),
		"`rangebox import %s` takes it in, beside what the box holds", file)
}

// formatNames are the formats as a person calls them.
var formatNames = map[importers.Format]string{
	importers.Archive: "an archive", importers.Table: "a text table", importers.Workbook: "a workbook",
}

// headOf is the beginning of a file, as much as tells what it is.
func headOf(file string) ([]byte, error) {
	f, err := os.Open(file)
	if err != nil {
		return nil, fmt.Errorf("opening %s: %w", file, cause(err))
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, importers.SniffLen))
}

// done tells that something is done, in words or as JSON.
func (g *global) done(fields map[string]string, format string, args ...any) error {
	if g.format == asJSON {
		return g.printJSON(fields)
	}
	g.say(format, args...)
	return nil
}
