package command

import (
	"os"
	"strings"

	"github.com/google/uuid"
	"github.com/spf13/cobra"

	"rangebox/cmd/rangebox/answer"
	"rangebox/cmd/rangebox/report"
	"rangebox/inventory"
	"rangebox/inventory/boltstore"
)

type labelOptions struct {
	kind, place, file string
}

func newStockLabels(g *global) *cobra.Command {
	o := &labelOptions{}
	c := &cobra.Command{
		Use:   "labels [ITEM|LOT]... -o FILE",
		Short: "a page of labels to print: item, lot, last day, place, and a QR code",
		Long: "Writes a page (HTML) of labels, three in a row on A4 or Letter: for all lots\n" +
			"that hold something, or for those of the items and lots named. The QR code\n" +
			"holds the lot's id. A hazard is shown as it was typed, nothing is added to it.",
		Example: "  rangebox stock labels -o labels.html --place \"top tray\"\n  rangebox stock labels wick 12ea3a -o labels.html",
		RunE: func(_ *cobra.Command, given []string) (err error) {
			if err := g.noLists(); err != nil {
				return err
			}
			if err := isPage(o.file); err != nil {
				return err
			}
			if o.kind, err = lotKind(o.kind); err != nil {
				return err
			}
			return runLabels(g, given, o)
		},
	}
	c.Flags().StringVarP(&o.file, "out", "o", "", "write to `FILE` (.html)")
	c.Flags().StringVar(&o.kind, "kind", "", "only lots of this `KIND`")
	c.Flags().StringVar(&o.place, "place", "", "only lots at this `PLACE`")
	return c
}

func runLabels(g *global, given []string, o *labelOptions) error {
	box, named, err := g.lotsNamed(given)
	if err != nil {
		return err
	}
	out := answer.Labels{File: o.file, Labels: []answer.LotLabel{}, Tails: labelTails(box)}
	for _, row := range stockRows(box, g.onDate) {
		id := uuid.MustParse(row.Lot)
		asked := len(given) == 0 && row.Quantity != "0" || named[id]
		if !asked || o.kind != "" && row.Kind != o.kind || o.place != "" && !strings.EqualFold(row.Place, o.place) {
			continue
		}
		lot, _ := inventory.Follow[*inventory.Lot](box, inventory.Ref{ID: id})
		out.Labels = append(out.Labels, answer.LotLabelOf(lot, box.Stock(lot)))
	}
	if len(out.Labels) == 0 {
		return advise(notFound("there is no such lot to label"), "look at the lots with `rangebox stock list`")
	}
	if err := g.writeWhole(o.file, func(f *os.File) error { return report.Labels(f, g.look(), out) }); err != nil {
		return err
	}
	if g.format == asJSON {
		return g.printJSON(out)
	}
	if g.quiet {
		return nil
	}
	return report.LabelsWritten(g.env.Out, g.look(), out)
}

// lotsNamed loads all lots, and tells which of them are named: a lot by the tail
// of its id, all lots of an item that hold something by the item's name.
func (g *global) lotsNamed(given []string) (box *inventory.Box, named map[uuid.UUID]bool, err error) {
	named = map[uuid.UUID]bool{}
	err = g.read(func(v *boltstore.View) error {
		if box, err = v.Load(boltstore.Want{All: []inventory.Kind{inventory.KindLot}}); err != nil {
			return err
		}
		for _, name := range given {
			item, err := findItem(v, name)
			if err == nil {
				for _, lot := range box.LotsOf(item.Base().ID) {
					named[lot.ID] = named[lot.ID] || box.Stock(lot).OnHand > 0
				}
				continue
			}
			lot, lotErr := findLot(v, name)
			if lotErr != nil {
				return err
			}
			named[lot.ID] = true
		}
		return nil
	})
	return box, named, err
}
