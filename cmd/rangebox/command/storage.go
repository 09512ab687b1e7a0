package command

import (
	"github.com/spf13/cobra"

	"rangebox/cmd/rangebox/answer"
	"rangebox/cmd/rangebox/report"
	"rangebox/compat"
	"rangebox/inventory"
	"rangebox/inventory/boltstore"
)

func newStockStorage(g *global) *cobra.Command {
	return &cobra.Command{
		Use:   "storage",
		Short: "propellant and powder by place, against limits of your own",
		Long: "Adds up the propellant of the motors and the powder for charges, place by place,\n" +
			"and holds it against your own limits: grams by place (a dash for a blank), or by\n" +
			"total for all places together. No legal limit is built in.",
		Example: "  rangebox stock storage\n  rangebox settings set storage_limits \"steel-cabinet=2000 total=3000\"",
		Args:    args(),
		RunE: func(*cobra.Command, []string) error {
			if err := g.noLists(); err != nil {
				return err
			}
			box, _, err := g.load(boltstore.Want{All: []inventory.Kind{inventory.KindLot, inventory.KindRocket}, LotsOfLoaded: true, Readings: true})
			if err != nil {
				return err
			}
			places, total, err := compat.Storage(box)
			if err != nil {
				return err
			}
			out := answer.StorageOf(places, total)
			if g.format == asJSON {
				return g.printJSON(out)
			}
			return report.Storage(g.env.Out, g.look(), out)
		},
	}
}
