package command

import (
	"os"
	"path/filepath"
	"sort"
	"strings"

	"rangebox/cmd/rangebox/answer"
	"rangebox/cmd/rangebox/report"
	"rangebox/inventory"
	"rangebox/inventory/boltstore"
)

// runDueCalendar writes the last days into a calendar file, then answers as ever.
func runDueCalendar(g *global, file string) error {
	if err := g.noLists(); err != nil {
		return err
	}
	if strings.ToLower(filepath.Ext(file)) != ".ics" {
		return misused("end it in .ics", "%q is no name for a calendar", inventory.Printable(file))
	}
	days, err := g.lastDays()
	if err != nil {
		return err
	}
	if len(days) == 0 { // RFC 5545, 3.6: a calendar without an event is none
		return advise(notFound("no lot that holds something has a last day, and no calendar was written"), "note last days with `rangebox stock in ITEM QUANTITY --expires DATE`")
	}
	err = g.writeWhole(file, func(f *os.File) error { return report.Calendar(f, days, g.env.Now()) })
	if err != nil {
		return err
	}
	return runOutlook(g, true, &answer.Calendar{File: file, Count: len(days)})
}

// lastDays are the last days of all lots that hold something, the first first.
func (g *global) lastDays() ([]answer.LastDay, error) {
	box, _, err := g.load(boltstore.Want{All: []inventory.Kind{inventory.KindLot, inventory.KindSupply}})
	if err != nil {
		return nil, err
	}
	tails := labelTails(box)
	var days []answer.LastDay
	for _, lot := range inventory.List[*inventory.Lot](box) {
		stock := box.Stock(lot)
		if lot.Expires.IsZero() || stock.OnHand <= 0 {
			continue
		}
		item, _ := inventory.Follow[inventory.Record](box, lot.Item)
		days = append(days, answer.LastDayOf(lot, item, stock, tails[lot.ID.String()]))
	}
	sort.SliceStable(days, func(i, j int) bool { return days[i].Day.Before(days[j].Day) })
	return days, nil
}
