package command

import (
	"errors"
	"sort"
	"strings"

	"github.com/google/uuid"
	"github.com/spf13/cobra"

	"rangebox/cmd/rangebox/answer"
	"rangebox/cmd/rangebox/report"
	"rangebox/compat"
	"rangebox/inventory"
	"rangebox/inventory/boltstore"
	"rangebox/inventory/quantity"
)

type stockListOptions struct {
	kind, place, item string
	empty             bool
}

func newStockList(g *global) *cobra.Command {
	o := &stockListOptions{}
	c := &cobra.Command{
		Use:   "list [ITEM]",
		Short: "the lots there are, first to expire first",
		Args:  atMostOne,
		RunE: func(_ *cobra.Command, given []string) (err error) {
			if len(given) == 1 {
				o.item = given[0]
			}
			if o.kind, err = lotKind(o.kind); err != nil {
				return err
			}
			return runStockList(g, o)
		},
	}
	c.Flags().StringVar(&o.kind, "kind", "", "only lots of this `KIND`")
	c.Flags().StringVar(&o.place, "place", "", "only lots at this `PLACE`")
	c.Flags().BoolVar(&o.empty, "empty", false, "empty lots too")
	return c
}

// lotKind is a kind of lots by its own name; empty for all.
func lotKind(name string) (string, error) {
	if name == "" {
		return "", nil
	}
	info, ok := inventory.KindNamed(name)
	if _, lots := inventory.LotKindOf(info.Kind); !ok || !lots {
		return "", misused("kinds of lots are motor, igniter, battery, supply", "there are no lots of kind %q", inventory.Printable(name))
	}
	return string(info.Kind), nil
}

func atMostOne(c *cobra.Command, given []string) error {
	if len(given) > 1 {
		return misused("see `"+c.CommandPath()+" --help`", "%s does not take %q", called(c), inventory.Printable(given[1]))
	}
	return nil
}

func runStockList(g *global, o *stockListOptions) error {
	box, err := g.allLots(o.item)
	if err != nil {
		return err
	}
	var rows []answer.StockRow
	for _, row := range stockRows(box, g.onDate) {
		kept := (o.kind == "" || row.Kind == o.kind) && (o.place == "" || strings.EqualFold(row.Place, o.place))
		if kept && (o.empty || row.Quantity != "0" || row.Promised != "0") {
			rows = append(rows, row)
		}
	}
	if g.format == asJSON {
		return g.printJSON(append([]answer.StockRow{}, rows...))
	}
	list := report.Stock(rows)
	if g.format != asTable {
		for i := range rows {
			list.Rows[i][0], list.Rows[i][4], list.Rows[i][6] = rows[i].Lot, rows[i].Promised.String(), rows[i].State
		}
	}
	return g.printList(list)
}

// allLots loads the lots of an item, or all lots, with what they are of.
func (g *global) allLots(item string) (*inventory.Box, error) {
	var box *inventory.Box
	err := g.read(func(v *boltstore.View) error {
		want := boltstore.Want{All: []inventory.Kind{inventory.KindLot}}
		if item != "" {
			rec, err := findItem(v, item)
			if err != nil {
				return err
			}
			want = boltstore.Want{IDs: []uuid.UUID{rec.Base().ID}, LotsOfLoaded: true}
		}
		var err error
		box, err = v.Load(want)
		return err
	})
	return box, err
}

// stockRows are the rows of all lots, by kind and item, first to expire first.
func stockRows(box *inventory.Box, on inventory.Date) []answer.StockRow {
	lots := inventory.List[*inventory.Lot](box)
	ids := make([]uuid.UUID, len(lots))
	for i, lot := range lots {
		ids[i] = lot.ID
	}
	short := tails(ids)
	sort.SliceStable(lots, func(i, j int) bool {
		a, b := lots[i], lots[j]
		if a.Of != b.Of {
			return a.Of < b.Of
		}
		if a.Item.Handle != b.Item.Handle {
			return a.Item.Handle < b.Item.Handle
		}
		return inventory.SoonerOut(a, b)
	})
	rows := make([]answer.StockRow, len(lots))
	for i, lot := range lots {
		rows[i] = answer.StockRowOf(lot, box.Stock(lot), on, short[lot.ID])
		rows[i].Certification = certified(box, lot, on)
	}
	return rows
}

// certified is the verdict on a motor's certification, where a body is set.
func certified(box *inventory.Box, lot *inventory.Lot, on inventory.Date) string {
	motor, ok := inventory.Follow[*inventory.Motor](box, lot.Item)
	if !ok {
		return ""
	}
	var f compat.Findings
	compat.CheckLot(&compat.LotUse{Lot: lot, Motor: motor, On: on, Body: box.Settings().CertificationBody}, compat.Defaults(), &f)
	for _, x := range f.List {
		if x.Rule == compat.Certification {
			return x.Verdict.String()
		}
	}
	return ""
}

func newStockLog(g *global) *cobra.Command {
	var limit int
	c := &cobra.Command{
		Use:   "log [ITEM|LOT]",
		Short: "the ledger, latest first",
		Args:  atMostOne,
		RunE: func(_ *cobra.Command, given []string) error {
			if limit < 0 {
				return misused("give 0 for all", "--limit %d cannot be", limit)
			}
			return runStockLog(g, given, limit)
		},
	}
	c.Flags().IntVar(&limit, "limit", 40, "at most `NUMBER` entries; 0 for all")
	return c
}

func runStockLog(g *global, given []string, limit int) error {
	rows := []answer.LogRow{}
	err := g.read(func(v *boltstore.View) error {
		wanted, err := logFilter(v, given)
		if err != nil {
			return err
		}
		items := map[uuid.UUID]string{}
		err = v.EventsBack(0, func(e *inventory.Event) error {
			if !wanted(e) {
				return nil
			}
			item, err := itemName(v, items, e.Lot.ID)
			if err != nil {
				return err
			}
			rows = append(rows, answer.LogRowOf(e, item, v.Voided(e.ID)))
			if limit > 0 && len(rows) == limit {
				return errFound
			}
			return nil
		})
		if errors.Is(err, errFound) {
			return nil
		}
		return err
	})
	if err != nil {
		return err
	}
	if g.format == asJSON {
		return g.printJSON(rows)
	}
	list := report.Log(rows)
	if g.format != asTable {
		for i := range rows {
			list.Rows[i][0], list.Rows[i][1], list.Rows[i][6] = rows[i].ID, rows[i].At, rows[i].Lot
		}
	}
	return g.printList(list)
}

// logFilter tells which entries are asked for: all, a lot's, or those of an
// item's lots.
func logFilter(v *boltstore.View, given []string) (func(*inventory.Event) bool, error) {
	if len(given) == 0 {
		return func(*inventory.Event) bool { return true }, nil
	}
	item, err := findItem(v, given[0])
	if err != nil {
		lot, lotErr := findLot(v, given[0])
		if lotErr != nil {
			return nil, err
		}
		return func(e *inventory.Event) bool { return e.Lot.ID == lot.ID }, nil
	}
	box, err := v.Load(boltstore.Want{IDs: []uuid.UUID{item.Base().ID}, LotsOfLoaded: true})
	if err != nil {
		return nil, err
	}
	lots := map[uuid.UUID]bool{}
	for _, lot := range box.LotsOf(item.Base().ID) {
		lots[lot.ID] = true
	}
	return func(e *inventory.Event) bool { return lots[e.Lot.ID] }, nil
}

// itemName is what a lot is of, looked up once.
func itemName(v *boltstore.View, seen map[uuid.UUID]string, lot uuid.UUID) (string, error) {
	if lot == uuid.Nil {
		return "", nil
	}
	if name, ok := seen[lot]; ok {
		return name, nil
	}
	rec, err := v.Get(lot)
	if err != nil {
		return "", err
	}
	seen[lot] = rec.(*inventory.Lot).Item.Handle
	return seen[lot], nil
}

func newStockDue(g *global) *cobra.Command {
	var calendar string
	c := &cobra.Command{
		Use: "due", Short: "what to use up or be rid of, and what to buy, before the next launch", Args: args(),
		RunE: func(c *cobra.Command, _ []string) error {
			if c.Flags().Changed("calendar") {
				return runDueCalendar(g, calendar)
			}
			return runOutlook(g, true, nil)
		},
	}
	c.Flags().StringVar(&calendar, "calendar", "", "write every lot's last day to `FILE` (.ics) for a calendar")
	return c
}

func newStockNeed(g *global) *cobra.Command {
	return &cobra.Command{
		Use: "need", Short: "what to buy: below its reorder level, or too little for one flight of a rocket", Args: args(),
		RunE: func(*cobra.Command, []string) error { return runOutlook(g, false, nil) },
	}
}

func runOutlook(g *global, due bool, calendar *answer.Calendar) error {
	if err := g.noLists(); err != nil {
		return err
	}
	box, _, err := g.load(boltstore.Want{All: []inventory.Kind{inventory.KindLot, inventory.KindSupply, inventory.KindRocket}, LotsOfLoaded: true})
	if err != nil {
		return err
	}
	out := answer.Outlook{On: g.onDate.String(), Due: []answer.StockRow{}, Need: needs(box, g.onDate), Calendar: calendar}
	for _, row := range stockRows(box, g.onDate) {
		if (row.State == string(inventory.LotExpired) || row.State == string(inventory.LotSoon)) && row.Quantity != "0" {
			out.Due = append(out.Due, row)
		}
	}
	sort.SliceStable(out.Due, func(i, j int) bool { return out.Due[i].Expires < out.Due[j].Expires })
	if !due {
		out.Due = []answer.StockRow{}
	}
	if g.format == asJSON {
		return g.printJSON(out)
	}
	return report.Outlook(g.env.Out, g.look(), out, due)
}

// needs tells of supplies below their level, then of what one flight of each
// rocket takes and the box has too little of.
func needs(box *inventory.Box, on inventory.Date) []answer.Need {
	list := []answer.Need{}
	for _, s := range box.BelowLevel(on) {
		list = append(list, answer.NeedOf(s, "below its reorder level"))
	}
	for _, r := range inventory.List[*inventory.Rocket](box) {
		for _, s := range box.ShortOfFlight(r, on) {
			list = append(list, answer.NeedOf(s, "one flight of "+r.Handle+" takes "+quantity.One.Format(int64(s.Wanted))))
		}
	}
	return list
}
