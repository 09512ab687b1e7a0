package command

import (
	"io"
	"os"
	"path/filepath"
	"sort"
	"strings"

	"github.com/spf13/cobra"

	"rangebox/importers/archive"
	"rangebox/importers/sheet"
	"rangebox/inventory"
	"rangebox/inventory/boltstore"
	"rangebox/inventory/quantity"
)

func newExport(g *global) *cobra.Command {
	var kind, out string
	var schema bool
	c := &cobra.Command{
		Use:   "export",
		Short: "write the whole box: an archive, a workbook, or one kind as CSV",
		Long: "Writes the whole box as a readable archive; to a FILE that ends in .xlsx as a\n" +
			"workbook with a sheet for each kind; with --kind to one that ends in .csv, or\n" +
			"with --output csv, one kind as a table. The archive alone holds everything.",
		Args: args(),
		RunE: func(*cobra.Command, []string) error {
			if schema {
				return runSchema(g, kind, out)
			}
			kinds, err := exportKinds(kind)
			if err != nil {
				return err
			}
			write, err := exportWriter(g, kinds, kind, out)
			if err != nil {
				return err
			}
			return runExport(g, kinds, out, write)
		},
	}
	c.Flags().StringVar(&kind, "kind", "", "only records of this `KIND`")
	c.Flags().StringVarP(&out, "out", "o", "", "write to `FILE` (standard output if not given)")
	c.Flags().BoolVar(&schema, "schema", false, "write the JSON Schema of archives instead; looks at no box")
	return c
}

func exportKinds(name string) (map[inventory.Kind]bool, error) {
	kinds := map[inventory.Kind]bool{}
	if name != "" {
		info, ok := inventory.KindNamed(name)
		if !ok {
			return nil, misused("kinds are motor, igniter, battery, controller, line, rocket, supply, lot, event, reading, day, settings",
				"there is no kind %q", inventory.Printable(name))
		}
		kinds[info.Kind] = true
		return kinds, nil
	}
	for _, info := range inventory.Kinds {
		kinds[info.Kind] = true
	}
	return kinds, nil
}

// exportWriter is how the box is to be written, by the file's ending or --output.
func exportWriter(g *global, kinds map[inventory.Kind]bool, kind, file string) (func(io.Writer, archive.Source) error, error) {
	ending := strings.ToLower(filepath.Ext(file))
	switch {
	case ending == ".xlsx":
		return sheet.WriteXLSX, nil
	case ending != ".csv" && g.format != asCSV:
		return archive.Write, g.noLists()
	case kind == "":
		return nil, misused("add --kind motor, or export to a file that ends in .xlsx", "a CSV file holds one kind")
	}
	return func(w io.Writer, source archive.Source) error {
		for k := range kinds {
			return sheet.WriteCSV(w, k, source)
		}
		return nil
	}, nil
}

func runExport(g *global, kinds map[inventory.Kind]bool, file string, write func(io.Writer, archive.Source) error) error {
	return g.read(func(v *boltstore.View) error {
		if file == "" {
			return write(g.env.Out, exportSource(v, kinds, nil)) // shown work would stand amid the answer
		}
		work := g.working(0, "writing %s", file)
		defer work.end()
		return g.writeWhole(file, func(f *os.File) error { return write(f, exportSource(v, kinds, work)) })
	})
}

// exportSource hands over the records of the kinds asked for; a lot with what
// the ledger says of it.
func exportSource(v *boltstore.View, kinds map[inventory.Kind]bool, work *progress) archive.Source {
	return func(kind inventory.Kind, write func(inventory.Record) error) error {
		if !kinds[kind] {
			return nil
		}
		yield := func(rec inventory.Record) error {
			work.count(1)
			return write(rec)
		}
		if kind == inventory.KindEvent {
			return inOrder(v, yield)
		}
		return v.Each(kind, func(rec inventory.Record) error {
			if lot, ok := rec.(*inventory.Lot); ok {
				stock, err := v.Stock(lot.ID)
				if err != nil {
					return err
				}
				lot.Quantity = quantity.Some(max(0, stock.OnHand))
			}
			return yield(rec)
		})
	}
}

// inOrder hands over the ledger as it is folded, by time and id: two boxes that
// merged each other booked in different orders and hold the same.
func inOrder(v *boltstore.View, yield func(inventory.Record) error) error {
	var ledger []*inventory.Event
	err := v.Each(inventory.KindEvent, func(rec inventory.Record) error {
		ledger = append(ledger, rec.(*inventory.Event))
		return nil
	})
	if err != nil {
		return err
	}
	sort.Slice(ledger, func(i, j int) bool { return inventory.Earlier(ledger[i], ledger[j]) })
	for _, e := range ledger {
		if err := yield(e); err != nil {
			return err
		}
	}
	return nil
}
