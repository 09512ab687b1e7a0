package command

import (
	"strings"

	"github.com/google/uuid"
	"github.com/spf13/cobra"

	"rangebox/cmd/rangebox/answer"
	"rangebox/inventory"
	"rangebox/inventory/boltstore"
)

// completer suggests the user's own names, each with a description.
type completer = func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective)

// handles completes an argument at a position with the handles of kinds; what
// stands in several kinds is written with its kind.
func (g *global) handles(position int, kinds ...inventory.Kind) completer {
	return func(_ *cobra.Command, given []string, typed string) ([]string, cobra.ShellCompDirective) {
		if position >= 0 && len(given) != position {
			return nil, cobra.ShellCompDirectiveDefault
		}
		return g.suggest(kinds, typed), cobra.ShellCompDirectiveNoFileComp
	}
}

func (g *global) suggest(kinds []inventory.Kind, typed string) []string {
	var list []string
	// Completion has nothing to say where the box cannot be read.
	_ = g.read(func(v *boltstore.View) error {
		for _, kind := range kinds {
			err := v.Each(kind, func(rec inventory.Record) error {
				if handle := rec.Base().Handle; strings.HasPrefix(handle, typed) {
					list = append(list, handle+"\t"+described(rec))
				}
				return nil
			})
			if err != nil {
				return err
			}
		}
		return nil
	})
	return list
}

// described is a record in a few words.
func described(rec inventory.Record) string {
	var words []string
	for _, key := range []string{"maker", "name"} {
		if field, ok := rec.Kind().Info().Table.Field(key); ok {
			if text, known := field.Text(rec); known {
				words = append(words, text)
			}
		}
	}
	if len(words) == 0 {
		return string(rec.Kind())
	}
	return string(rec.Kind()) + ": " + strings.Join(words, " ")
}

// lots completes an argument with the tails of lots.
func (g *global) lots(position int) completer {
	return func(_ *cobra.Command, given []string, typed string) ([]string, cobra.ShellCompDirective) {
		if len(given) != position {
			return nil, cobra.ShellCompDirectiveDefault
		}
		return g.suggestLots(typed), cobra.ShellCompDirectiveNoFileComp
	}
}

func (g *global) suggestLots(typed string) []string {
	var lots []*inventory.Lot
	_ = g.read(func(v *boltstore.View) error {
		return v.Each(inventory.KindLot, func(rec inventory.Record) error {
			lots = append(lots, rec.(*inventory.Lot))
			return nil
		})
	})
	ids := make([]uuid.UUID, len(lots))
	for i, lot := range lots {
		ids[i] = lot.ID
	}
	short := tails(ids)
	var list []string
	for _, lot := range lots {
		if tail := short[lot.ID]; strings.HasPrefix(tail, typed) {
			list = append(list, tail+"\t"+lot.Item.Handle+" "+lot.Place+" "+lot.Expires.String())
		}
	}
	return list
}

// itemsOrLots completes with what is stocked, then with lots.
func (g *global) itemsOrLots(position int) completer {
	return func(_ *cobra.Command, given []string, typed string) ([]string, cobra.ShellCompDirective) {
		if len(given) != position {
			return nil, cobra.ShellCompDirectiveDefault
		}
		return append(g.suggest(stocked, typed), g.suggestLots(typed)...), cobra.ShellCompDirectiveNoFileComp
	}
}

// days completes an argument with launch days, by date or, where two share one, by
// the tail of the id.
func (g *global) days(then completer) completer {
	return func(c *cobra.Command, given []string, typed string) ([]string, cobra.ShellCompDirective) {
		if len(given) > 0 {
			return then(c, given, typed)
		}
		return g.suggestDays(typed), cobra.ShellCompDirectiveNoFileComp
	}
}

func (g *global) suggestDays(typed string) []string {
	var days []answer.Day
	_ = g.read(func(v *boltstore.View) error {
		return v.Each(inventory.KindDay, func(rec inventory.Record) error {
			days = append(days, answer.DayOf(rec.(*inventory.Day)))
			return nil
		})
	})
	answer.SortDays(days)
	on := map[string]int{}
	for i := range days {
		on[days[i].Date]++
	}
	var list []string
	for i := range days {
		name := days[i].Date
		if on[name] > 1 {
			name = answer.TailOf(days[i].ID)
		}
		if strings.HasPrefix(name, typed) {
			list = append(list, name+"\t"+strings.TrimSpace(days[i].Date+" "+days[i].Site))
		}
	}
	return list
}

// nothing completes with nothing.
func nothing(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
	return nil, cobra.ShellCompDirectiveDefault
}

// completions tells which arguments and flags of which commands name what: the
// one place for it.
func (g *global) completions(root *cobra.Command) {
	for _, c := range catalogued {
		for _, verb := range []string{"edit", "show", "remove", "curve", "check"} {
			completeArgs(root, g.handles(0, c.kind), string(c.kind), verb)
		}
	}
	completeArgs(root, g.handles(0, inventory.KindMotor), "fits")
	completeArgs(root, g.handles(0, stocked...), "stock", "in")
	for _, verb := range []string{"out", "list", "log", "labels"} {
		completeArgs(root, g.itemsOrLots(0), "stock", verb)
	}
	for _, verb := range []string{"count", "move", "hold", "release"} {
		completeArgs(root, g.lots(0), "stock", verb)
	}
	for _, verb := range []string{"show", "pack", "sheet", "log", "close", "remove"} {
		completeArgs(root, g.days(nothing), "day", verb)
	}
	completeArgs(root, g.days(g.handles(1, inventory.KindRocket)), "day", "add")
	completeArgs(root, g.itemsOrLots(0), "reading", "add")
	completeArgs(root, g.itemsOrLots(0), "reading", "list")
	completeFlag(root, "igniter", g.handles(-1, inventory.KindIgniter), "fits")
	completeFlag(root, "line", g.handles(-1, inventory.KindLine), "fits")
	completeFlag(root, "igniter", g.handles(-1, inventory.KindIgniter), "line", "check")
}

func completeArgs(root *cobra.Command, complete completer, path ...string) {
	if c, rest, err := root.Find(path); err == nil && len(rest) == 0 {
		c.ValidArgsFunction = complete
	}
}

func completeFlag(root *cobra.Command, flag string, complete completer, path ...string) {
	c, _, err := root.Find(path)
	if err != nil {
		panic("command: no command " + strings.Join(path, " "))
	}
	if err := c.RegisterFlagCompletionFunc(flag, complete); err != nil {
		panic("command: " + err.Error())
	}
}
