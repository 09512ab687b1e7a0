package command

import (
	"encoding/json"
	"fmt"
	"os"

	"rangebox/cmd/rangebox/answer"
	"rangebox/cmd/rangebox/report"
	"rangebox/inventory"
	"rangebox/inventory/boltstore"
)

// runRepair makes a sound box of what a damaged one holds. What has no place in
// it is in a readable file beside the box before the new one takes its place.
func runRepair(g *global) error {
	file := ""
	work := g.working(0, "repairing")
	done, err := boltstore.Repair(g.path(), g.storeOptionsFor(work), func(list []boltstore.Aside) (err error) {
		file, err = writeAside(g, answer.AsideOf(list))
		return err
	})
	work.end()
	if err != nil {
		return err
	}
	out := answer.RepairOf(done, file)
	if g.format == asJSON {
		return g.printJSON(out)
	}
	if g.quiet {
		return nil
	}
	return report.Repair(g.env.Out, g.look(), out)
}

// mostAsides is how many names are tried for the file of what is put aside.
const mostAsides = 1000

// writeAside writes what is put aside into a file of its own beside the box.
func writeAside(g *global, list []answer.Aside) (string, error) {
	box := g.path()
	for n := 1; n <= mostAsides; n++ {
		file := fmt.Sprintf("%s.%d.aside.json", box, n)
		if _, err := os.Lstat(file); err == nil {
			continue
		}
		return file, g.writeWhole(file, func(f *os.File) error {
			enc := json.NewEncoder(f)
			enc.SetEscapeHTML(false)
			enc.SetIndent("", "  ")
			if err := enc.Encode(map[string]any{"box": box, "aside": list}); err != nil {
				return fmt.Errorf("writing %s: %w", file, cause(err))
			}
			return nil
		})
	}
	return "", fmt.Errorf("%w: there are %d files beside %s of what was put aside already", inventory.ErrConflict, mostAsides, box)
}
