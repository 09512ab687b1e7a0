package command

import (
	"bytes"
	"encoding/json"
	"fmt"

	"github.com/google/uuid"
	"github.com/spf13/cobra"

	"rangebox/cmd/rangebox/answer"
	"rangebox/cmd/rangebox/report"
	"rangebox/importers/archive"
	"rangebox/inventory"
	"rangebox/inventory/boltstore"
)

func newShow(g *global, kind inventory.Kind) *cobra.Command {
	return &cobra.Command{
		Use:   "show HANDLE",
		Short: fmt.Sprintf("all that is recorded of %s", withArticle(kind)),
		Args:  args("HANDLE"),
		RunE: func(_ *cobra.Command, given []string) error {
			if err := g.noLists(); err != nil {
				return err
			}
			return runShow(g, kind, bare(kind, given[0]))
		},
	}
}

func runShow(g *global, kind inventory.Kind, handle string) error {
	var rec inventory.Record
	var former bool
	var box *inventory.Box
	err := g.read(func(v *boltstore.View) (err error) {
		if rec, former, err = v.Find(kind, handle); err != nil {
			return err
		}
		box, err = v.Load(boltstore.Want{IDs: []uuid.UUID{rec.Base().ID}, LotsOfLoaded: true, Readings: true})
		return err
	})
	if err != nil {
		return err
	}
	if former && g.format != asJSON {
		g.say("%s is called %s now.", handle, rec.Base().Handle)
	}
	motor, isMotor := rec.(*inventory.Motor)
	if g.format == asJSON {
		return showJSON(g, rec)
	}
	if err := report.Record(g.env.Out, g.look(), rec); err != nil {
		return err
	}
	changes := inventory.Differences(rec, inventory.Measured(box, rec))
	if err := report.Beside(g.env.Out, g.look(), answer.ChangesOf(changes), answer.HoldingOf(box, rec.Base(), g.onDate)); err != nil {
		return err
	}
	if isMotor {
		return report.Curves(g.env.Out, g.look(), answer.CurvesOf(motor))
	}
	return nil
}

// showJSON prints the record as archives hold it; a motor's with its analysis.
func showJSON(g *global, rec inventory.Record) error {
	object := archive.Object(rec)
	if motor, ok := rec.(*inventory.Motor); ok {
		if a := answer.AnalysisOf(motor.Curve, motor); a != nil {
			text, err := json.Marshal(a)
			if err != nil {
				return fmt.Errorf("writing the analysis: %w", err)
			}
			object = append(bytes.TrimSuffix(object, []byte("}")), fmt.Sprintf(`, "analysis": %s}`, text)...)
		}
	}
	return g.printJSON(object)
}

// listed are the fields a list shows, by kind.
var listed = map[inventory.Kind][]string{
	inventory.KindMotor:      {"handle", "maker", "name", "propellant", "diameter_mm", "delays_s", "certified_until"},
	inventory.KindIgniter:    {"handle", "maker", "name", "head_mm", "output", "all_fire_a", "bridge_ohm", "lead_mm"},
	inventory.KindBattery:    {"handle", "name", "chemistry", "open_circuit_v", "low_v", "internal_ohm"},
	inventory.KindController: {"handle", "name", "place", "on_ohm", "continuity_a", "arming"},
	inventory.KindLine:       {"handle", "name", "battery", "controller", "output", "lead_m", "wiring"},
	inventory.KindRocket:     {"handle", "name", "rail_m"},
	inventory.KindSupply:     {"handle", "name", "unit", "reusable", "level"},
}

func newList(g *global, kind inventory.Kind) *cobra.Command {
	return &cobra.Command{
		Use:   "list",
		Short: "all there are",
		Args:  args(),
		RunE: func(*cobra.Command, []string) error {
			var records []inventory.Record
			err := g.read(func(v *boltstore.View) error {
				return v.Each(kind, func(rec inventory.Record) error {
					records = append(records, rec)
					return nil
				})
			})
			if err != nil {
				return err
			}
			return printList(g, kind, records)
		},
	}
}

func printList(g *global, kind inventory.Kind, records []inventory.Record) error {
	if g.format == asJSON {
		objects := make([]json.RawMessage, len(records))
		for i, rec := range records {
			objects[i] = archive.Object(rec)
		}
		return g.printJSON(objects)
	}
	list := report.List{Empty: fmt.Sprintf("There is no %s yet; add one with `rangebox %s add`, or import an archive.", kind, kind)}
	table := kind.Info().Table
	for _, key := range listed[kind] {
		field, ok := table.Field(key)
		if !ok {
			panic("command: no field " + key + " to list")
		}
		list.Columns = append(list.Columns, report.Column{Name: key, Label: spaced(answer.Label(key)), Right: field.Scale != nil && field.Type == inventory.TypeNumber,
			Spare: key == "maker"})
	}
	for _, rec := range records {
		list.Rows = append(list.Rows, listRow(g, table, rec, listed[kind]))
	}
	return g.printList(list)
}

func listRow(g *global, table *inventory.Table, rec inventory.Record, keys []string) []string {
	row := make([]string, len(keys))
	for i, key := range keys {
		field, _ := table.Field(key)
		if g.format == asTable {
			row[i], _ = field.Show(rec, g.system)
		} else {
			row[i], _ = field.Text(rec)
		}
	}
	return row
}

// printList writes a plain list as table, CSV or Markdown.
func (g *global) printList(list report.List) error {
	switch g.format {
	case asCSV:
		return list.CSV(g.env.Out)
	case asMarkdown:
		return list.Markdown(g.env.Out)
	}
	return list.Table(g.env.Out, g.look())
}
