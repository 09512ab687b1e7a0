package command

import (
	"github.com/google/uuid"
	"github.com/spf13/cobra"

	"rangebox/cmd/rangebox/answer"
	"rangebox/cmd/rangebox/report"
	"rangebox/compat"
	"rangebox/inventory"
	"rangebox/inventory/boltstore"
)

type chooseOptions struct {
	site  siteFlags
	mount string
	all   bool
}

func newRocketChoose(g *global) *cobra.Command {
	o := &chooseOptions{}
	c := &cobra.Command{
		Use:     "choose ROCKET",
		Short:   "what of the box would fly this rocket, best first; why the rest drops out",
		Example: "  rangebox rocket choose dunlin --on 2027-04-17\n  rangebox rocket choose whimbrel --mount sustainer/main",
		Args:    args("ROCKET"),
		RunE: func(_ *cobra.Command, given []string) error {
			if err := g.noLists(); err != nil {
				return err
			}
			q := &compat.RocketQuestion{}
			if err := o.site.read(q); err != nil {
				return err
			}
			return runRocketChoose(g, bare(inventory.KindRocket, given[0]), o, q)
		},
	}
	o.site.add(c)
	c.Flags().StringVar(&o.mount, "mount", "", "the mount to choose for, `STAGE/MOUNT` (the lowest if not given)")
	c.Flags().BoolVar(&o.all, "all", false, "types that are not in stock too")
	return c
}

func runRocketChoose(g *global, handle string, o *chooseOptions, q *compat.RocketQuestion) error {
	limits, err := loadRocket(g, handle, nil, q)
	if err != nil {
		return err
	}
	box, _, err := g.load(boltstore.Want{All: []inventory.Kind{inventory.KindMotor}, IDs: []uuid.UUID{q.Rocket.ID}, LotsOfLoaded: true, Readings: true})
	if err != nil {
		return err
	}
	q.Box = box
	held := map[string]answer.Holding{}
	var motors, absent []*inventory.Motor
	for _, m := range inventory.List[*inventory.Motor](box) {
		held[m.Handle] = answer.HoldingOf(box, m.Base(), g.onDate)
		if o.all || held[m.Handle].Usable > 0 {
			motors = append(motors, m)
			continue
		}
		absent = append(absent, m)
	}
	choices, err := compat.ChooseRocket(q, o.mount, motors, limits)
	if err != nil {
		return err
	}
	out := answer.ChoosingOf(handle, o.mount, g.onDate, choices, held, absent, g.textSystem())
	if g.format == asJSON {
		err = g.printJSON(out)
	} else {
		err = report.Choosing(g.env.Out, g.look(), out)
	}
	if err != nil {
		return err
	}
	if len(choices) == 0 {
		return g.strictly(compat.NoGo)
	}
	return g.strictly(choices[0].Worst)
}
