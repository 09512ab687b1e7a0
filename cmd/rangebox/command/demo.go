package command

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"rangebox/importers/archive"
	"rangebox/inventory/boltstore"
	"rangebox/seed"
)

func newDemo(g *global) *cobra.Command {
	var keep string
	c := &cobra.Command{
		Use:   "demo",
		Short: "an invented box, worked through; touches no box of yours",
		Args:  args(),
		RunE: func(*cobra.Command, []string) error {
			if g.format != asTable {
				return misused("leave --output away", "the demo is for reading and has no %s form", g.format)
			}
			if keep != "" {
				return keepDemo(g, keep)
			}
			return runDemo(g)
		},
	}
	c.Flags().StringVar(&keep, "keep", "", "leave the demo's box in `FILE`, to explore")
	return c
}

// fillDemo takes the seed into a new box at path.
func fillDemo(g *global, path string) error {
	batch, err := archive.Read(seed.Open(), "the demo's archive")
	if err != nil {
		return err
	}
	return boltstore.CreateOrWrite(path, g.storeOptions(), func(tx *boltstore.Tx) error {
		_, err := tx.Import(batch, boltstore.ImportOptions{})
		return err
	})
}

func keepDemo(g *global, path string) error {
	if _, err := os.Lstat(path); err == nil {
		return advise(conflict("there is a file %s already", path), "name one that is not there yet")
	}
	if err := fillDemo(g, path); err != nil {
		return err
	}
	g.say("The demo's box lies in %s; ask it with --db %s, or set RANGEBOX_DB.", path, path)
	return nil
}

// demoStep is a question of the demo: why it is asked, and the command.
type demoStep struct {
	question string
	args     []string
}

// runDemo works through a temporary copy, by the very commands a user types.
func runDemo(g *global) error {
	folder, err := os.MkdirTemp("", "rangebox-demo-")
	if err != nil {
		return fmt.Errorf("making a temporary folder: %w", err)
	}
	defer os.RemoveAll(folder)
	path := filepath.Join(folder, "demo.box")
	if err := fillDemo(g, path); err != nil {
		return err
	}
	look := g.look()
	look.Para(g.env.Out, demoIntro)
	for _, step := range demoSteps {
		fmt.Fprintln(g.env.Out)
		look.Para(g.env.Out, step.question)
		fmt.Fprintf(g.env.Out, "$ rangebox %s\n", strings.Join(step.args, " "))
		if err := demoRun(g, path, step.args); err != nil {
			return err
		}
	}
	fmt.Fprintln(g.env.Out)
	fmt.Fprintln(g.env.Out, demoNext)
	return nil
}

// demoRun runs one command on the demo's box, with the flags of this run.
func demoRun(g *global, path string, args []string) error {
	args = append([]string{"--db", path, "--units", g.units}, args...)
	if g.noColor {
		args = append(args, "--no-color")
	}
	root := newRoot(&global{env: g.env})
	root.SetArgs(args)
	root.SetOut(g.env.Out)
	root.SetErr(g.env.Err)
	return root.Execute()
}

const demoIntro = "Tove Brackenrill flies sensors through the cold air above a peat moor. Tomorrow the " +
	"two-stage rocket goes up; its upper motor, sundew-e17, has a narrow nozzle and is lit from a timer on board. " +
	"Her box, invented like everything in it, is in a temporary copy; yours is not touched."

var demoSteps = []demoStep{
	{"Which igniter passes the nozzle, lights it, reaches 260 mm down the airframe, and is fired by the timer's battery on a bad day?",
		[]string{"fits", "sundew-e17", "--line", "cuckoo-motor", "--run", "260mm"}},
	{"And what has to be bought before the next launch?",
		[]string{"stock", "need"}},
}

const demoNext = `Next: rangebox demo --keep try.box; then, with --db try.box behind each,
  rangebox fits --all                                      the chart for the lid
  rangebox line check low-rail --igniter sedge --count 3   three at once
  rangebox stock due                                       what expires`
