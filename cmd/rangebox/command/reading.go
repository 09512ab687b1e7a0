package command

import (
	"encoding/json"
	"fmt"
	"strings"
	"time"

	"github.com/google/uuid"
	"github.com/spf13/cobra"

	"rangebox/cmd/rangebox/answer"
	"rangebox/cmd/rangebox/report"
	"rangebox/importers/archive"
	"rangebox/inventory"
	"rangebox/inventory/boltstore"
	"rangebox/inventory/quantity"
)

func newReading(g *global) *cobra.Command {
	c := &cobra.Command{Use: "reading", Short: "what the meter, the gauge, the scale said, of a type or of a lot"}
	c.AddCommand(newReadingAdd(g), newReadingList(g), newReadingRemove(g))
	return c
}

type readingOptions struct {
	nozzle, load, temperature, by, notes, passes, stops string
	n                                                   int
}

func newReadingAdd(g *global) *cobra.Command {
	o := &readingOptions{}
	c := &cobra.Command{
		Use:   "add ITEM|LOT FIELD [VALUE]",
		Short: "note a reading; the engine takes it before the recorded figure",
		Example: "  rangebox reading add wick bridge_ohm 1.25\n" +
			"  rangebox reading add fir throat_mm --nozzle wide --passes 3.2mm --stops 3.3mm\n" +
			"  rangebox reading add brick open_circuit_v 9.3V\n" +
			"  rangebox reading add brick loaded_v 7.9V --load 10ohm",
		Args: func(c *cobra.Command, given []string) error {
			if len(given) == 2 && o.passes != "" {
				return nil
			}
			return args("ITEM or LOT", "FIELD", "VALUE")(c, given)
		},
		RunE: func(_ *cobra.Command, given []string) error {
			if err := g.noLists(); err != nil {
				return err
			}
			value := o.passes
			if len(given) == 3 {
				value = given[2]
			}
			return runReadingAdd(g, given[0], given[1], value, o)
		},
	}
	f := c.Flags()
	f.StringVar(&o.nozzle, "nozzle", "", "the `NOZZLE` that was measured")
	f.StringVar(&o.passes, "passes", "", "the drill shank that passes (`SIZE`), in place of a value")
	f.StringVar(&o.stops, "stops", "", "the next shank, which does not (`SIZE`)")
	f.StringVar(&o.load, "load", "", "the load under which a battery was read (`OHM`)")
	f.StringVar(&o.temperature, "temperature", "", "how warm it was (`C`)")
	f.IntVar(&o.n, "n", 0, "the mean of so many pieces")
	f.StringVar(&o.by, "by", "", "`WHO` read it")
	f.StringVar(&o.notes, "notes", "", "`TEXT` to remember")
	return c
}

func runReadingAdd(g *global, target, what, value string, o *readingOptions) error {
	at, err := g.moment()
	if err != nil {
		return err
	}
	var r *inventory.Reading
	err = boltstore.Write(g.path(), g.storeOptions(), func(tx *boltstore.Tx) error {
		of, rec, err := readingTarget(tx, target)
		if err != nil {
			return err
		}
		if r, err = o.reading(rec, what, value, at); err != nil {
			return err
		}
		r.Of = of
		return putNamed(tx, r)
	})
	if err != nil {
		return err
	}
	if g.format == asJSON {
		return g.printJSON(archive.Object(r))
	}
	g.say("Noted: %s of %s is %s; it counts before the recorded figure.", what, target, value)
	return nil
}

// readingTarget is what was measured: a type, or a lot of one.
func readingTarget(tx *boltstore.Tx, target string) (*inventory.ReadingOf, inventory.Record, error) {
	rec, err := findAny(&tx.View, target)
	if err == nil {
		return &inventory.ReadingOf{Kind: string(rec.Kind()), Item: inventory.Ref{ID: rec.Base().ID, Handle: rec.Base().Handle}}, rec, nil
	}
	lot, item, lotErr := lotAndItem(tx, target)
	if lotErr != nil {
		return nil, nil, err
	}
	return &inventory.ReadingOf{Lot: inventory.Ref{ID: lot.ID}}, item, nil
}

// findAny finds a record of the catalogue by its handle.
func findAny(v *boltstore.View, text string) (inventory.Record, error) {
	rec, err := findItem(v, text)
	if err == nil || strings.Contains(text, "/") {
		return rec, err
	}
	for _, kind := range []inventory.Kind{inventory.KindController, inventory.KindLine, inventory.KindRocket} {
		if rec, _, err := v.Find(kind, text); err == nil {
			return rec, nil
		}
	}
	return nil, err
}

func (o *readingOptions) reading(rec inventory.Record, what, value string, at time.Time) (*inventory.Reading, error) {
	id, err := uuid.NewV7()
	if err != nil {
		return nil, fmt.Errorf("making an id: %w", err)
	}
	r := &inventory.Reading{Header: inventory.Header{ID: id, Notes: o.notes}, At: at, What: what, Nozzle: o.nozzle, By: o.by}
	scale, err := readingScale(rec, what, o.nozzle)
	if err != nil {
		return nil, err
	}
	if r.Value, err = readingValue(scale, value); err != nil {
		return nil, err
	}
	if o.stops != "" {
		stops, err := readingValue(scale, o.stops)
		if err != nil {
			return nil, err
		}
		if stops.Or(0) <= r.Value.Or(0) {
			return nil, fmt.Errorf("%w: the shank that does not pass must be larger than the one that does", inventory.ErrInvalid)
		}
		r.Notes = strings.TrimSpace(fmt.Sprintf("%s passes, %s does not. %s", value, o.stops, o.notes))
	}
	table := inventory.KindReading.Info().Table
	for key, text := range map[string]string{"load_ohm": o.load, "temperature_c": o.temperature} {
		if field, _ := table.Field(key); text != "" {
			if err := field.SetText(r, text); err != nil {
				return nil, err
			}
		}
	}
	if o.n > 0 {
		r.N = quantity.Some(quantity.Count(o.n))
	}
	return r, nil
}

// readingScale is the unit of the field that is measured.
func readingScale(rec inventory.Record, what, nozzle string) (*quantity.Scale, error) {
	if what == inventory.LoadedVolts {
		if rec.Kind() != inventory.KindBattery {
			return nil, fmt.Errorf("%w: %s is read of batteries", inventory.ErrInvalid, what)
		}
		return quantity.Volt.Scale, nil
	}
	field, _, err := inventory.ReadingField(rec, what, nozzle)
	if err != nil {
		return nil, err
	}
	return field.Scale, nil
}

// readingValue reads a value with its unit into a plain number in the field's unit.
func readingValue(scale *quantity.Scale, text string) (quantity.Opt[quantity.Number], error) {
	steps, err := scale.Parse(text)
	if err != nil {
		return quantity.Opt[quantity.Number]{}, fmt.Errorf("%w: %w", inventory.ErrInvalid, err)
	}
	n, err := quantity.One.Parse(scale.Format(steps))
	return quantity.Some(n), err
}

func newReadingList(g *global) *cobra.Command {
	return &cobra.Command{
		Use:   "list [ITEM|LOT]",
		Short: "the readings there are, earliest first",
		Args:  atMostOne,
		RunE: func(_ *cobra.Command, given []string) error {
			readings, err := g.readings(given)
			if err != nil {
				return err
			}
			if g.format == asJSON {
				objects := make([]json.RawMessage, len(readings))
				for i, r := range readings {
					objects[i] = archive.Object(r)
				}
				return g.printJSON(objects)
			}
			rows := answer.ReadingsOf(readings)
			list := report.Readings(rows)
			if g.format != asTable {
				for i := range rows {
					list.Rows[i][0], list.Rows[i][1] = rows[i].ID, rows[i].At
				}
			}
			return g.printList(list)
		},
	}
}

// readings are all readings, or those of a type or lot.
func (g *global) readings(given []string) ([]*inventory.Reading, error) {
	var list []*inventory.Reading
	err := g.read(func(v *boltstore.View) error {
		target := uuid.Nil
		if len(given) == 1 {
			rec, err := findAny(v, given[0])
			if err != nil {
				lot, lotErr := findLot(v, given[0])
				if lotErr != nil {
					return err
				}
				rec = lot
			}
			target = rec.Base().ID
		}
		return v.Each(inventory.KindReading, func(rec inventory.Record) error {
			r := rec.(*inventory.Reading)
			if target == uuid.Nil || r.Of.Item.ID == target || r.Of.Lot.ID == target {
				list = append(list, r)
			}
			return nil
		})
	})
	inventory.SortReadings(list)
	return list, err
}

func newReadingRemove(g *global) *cobra.Command {
	return &cobra.Command{
		Use: "remove READING", Short: "take a reading back, named by the tail of its id", Args: args("READING"),
		RunE: func(_ *cobra.Command, given []string) error {
			if err := g.noLists(); err != nil {
				return err
			}
			err := boltstore.Write(g.path(), g.storeOptions(), func(tx *boltstore.Tx) error {
				id, err := findReading(&tx.View, given[0])
				if err != nil {
					return err
				}
				return tx.Remove(id)
			})
			if err != nil {
				return err
			}
			return g.done(map[string]string{"removed": given[0]}, "The reading was removed; the recorded figure counts again.")
		},
	}
}

// findReading finds a reading by the tail of its id.
func findReading(v *boltstore.View, tail string) (uuid.UUID, error) {
	var found []uuid.UUID
	err := v.Each(inventory.KindReading, func(rec inventory.Record) error {
		if len(tail) >= 4 && strings.HasSuffix(rec.Base().ID.String(), tail) {
			found = append(found, rec.Base().ID)
		}
		return nil
	})
	switch {
	case err != nil:
		return uuid.Nil, err
	case len(found) == 0:
		return uuid.Nil, advise(notFound("there is no reading %q", inventory.Printable(tail)), "look at the readings with `rangebox reading list`")
	case len(found) > 1:
		return uuid.Nil, advise(conflict("%d readings end in %q", len(found), tail), "give more of the id")
	}
	return found[0], nil
}
