package command

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"rangebox/cmd/rangebox/answer"
	"rangebox/inventory"
)

// catalogued are the kinds that have add, edit, show, list and remove, with what
// their help says.
var catalogued = []struct {
	kind  inventory.Kind
	short string
}{
	{inventory.KindMotor, "types of motor, their nozzles and thrust curves"},
	{inventory.KindIgniter, "types of igniter and electric match"},
	{inventory.KindBattery, "types of battery"},
	{inventory.KindController, "launch controllers and timers"},
	{inventory.KindLine, "firing lines: battery, controller and wire, and what they fire"},
	{inventory.KindRocket, "rockets, stage by stage"},
	{inventory.KindSupply, "powder, wadding, plugs, pins, cases"},
}

// catalogueCommands makes the commands of every kind; some have more of their own.
func catalogueCommands() []entry {
	own := map[inventory.Kind][]func(*global) *cobra.Command{
		inventory.KindLine:   {newLineCheck},
		inventory.KindMotor:  {newMotorCurve},
		inventory.KindRocket: {newRocketCheck, newRocketChoose},
	}
	entries := make([]entry, len(catalogued))
	for i, c := range catalogued {
		entries[i] = entry{groupBox, func(g *global) *cobra.Command { return newCatalogue(g, c.kind, c.short, own[c.kind]) }}
	}
	return entries
}

func newCatalogue(g *global, kind inventory.Kind, short string, own []func(*global) *cobra.Command) *cobra.Command {
	c := &cobra.Command{Use: string(kind), Short: short}
	c.AddCommand(newAdd(g, kind), newEdit(g, kind), newShow(g, kind), newList(g, kind), newRemove(g, kind))
	for _, make := range own {
		c.AddCommand(make(g))
	}
	return c
}

// fieldFlags are the flags of one kind's fields, made from its table: a flag is
// the field's key without its unit, or the whole key where that would be ambiguous.
type fieldFlags struct {
	kind   inventory.Kind
	values []string // by field, as typed
	fields []*inventory.Field
	names  []string
	set    []string
}

// withArticle is a kind as a sentence names one of it.
func withArticle(kind inventory.Kind) string {
	if strings.ContainsAny(string(kind)[:1], "aeiou") {
		return "an " + string(kind)
	}
	return "a " + string(kind)
}

func spaced(key string) string { return strings.ReplaceAll(key, "_", " ") }

func dashed(key string) string { return strings.ReplaceAll(key, "_", "-") }

// taken are flags that every command has, or edit.
var taken = map[string]bool{"db": true, "output": true, "on": true, "at": true, "units": true, "strict": true,
	"yes": true, "quiet": true, "no-color": true, "help": true, "set": true, "handle": true, "without": true}

// renamed are the fields whose key is the name of such a flag.
// or whose short name is the one a flyer means.
var renamed = map[string]string{
	"igniter.output": "heat", "line.output": "controller-output",
	"igniter.lead_mm": "lead", "line.lead_m": "lead", "motor.propellant_g": "propellant-mass",
}

// normal lets a flag be written as the field's whole key, too.
func (f *fieldFlags) normal(_ *pflag.FlagSet, name string) pflag.NormalizedName {
	name = dashed(name)
	if taken[name] {
		return pflag.NormalizedName(name)
	}
	for i, field := range f.fields {
		if name == dashed(field.Key) {
			return pflag.NormalizedName(f.names[i])
		}
	}
	return pflag.NormalizedName(name)
}

func newFieldFlags(c *cobra.Command, kind inventory.Kind) *fieldFlags {
	f := &fieldFlags{kind: kind}
	table := kind.Info().Table
	counts := map[string]int{}
	for _, field := range table.Fields {
		counts[answer.Label(field.Key)]++
	}
	for i := range table.Fields {
		field := &table.Fields[i]
		if field.Type == inventory.TypeNested || field.Key == "id" || field.Key == "handle" {
			continue
		}
		name := dashed(answer.Label(field.Key))
		if counts[answer.Label(field.Key)] > 1 || taken[name] {
			name = dashed(field.Key)
		}
		if other, ok := renamed[string(kind)+"."+field.Key]; ok {
			name = other
		}
		f.fields, f.names = append(f.fields, field), append(f.names, name)
	}
	f.values = make([]string, len(f.fields))
	c.Flags().SetNormalizeFunc(f.normal)
	for i, field := range f.fields {
		c.Flags().StringVar(&f.values[i], f.names[i], "", flagHelp(field))
	}
	c.Flags().StringArrayVar(&f.set, "set", nil, "any field by its `PATH=VALUE`"+setHelp(kind))
	return f
}

func flagHelp(field *inventory.Field) string {
	switch {
	case field.Scale != nil && field.Scale.Name != "":
		return fmt.Sprintf("%s (`%s`)", field.Help, field.Scale.Name)
	case field.Type == inventory.TypeFlag:
		return field.Help + " (`yes|no`)"
	case field.Type == inventory.TypeWord:
		return fmt.Sprintf("%s (`%s`)", field.Help, strings.Join(field.Words, "|"))
	case field.Type == inventory.TypeDate:
		return field.Help + " (`DATE`)"
	}
	return field.Help + " (`TEXT`)"
}

func setHelp(kind inventory.Kind) string {
	switch kind {
	case inventory.KindMotor:
		return ", as in standard.throat_mm=2.4mm for the nozzle named standard"
	case inventory.KindController:
		return ", as in main.role=motor for the output named main"
	case inventory.KindRocket:
		return ", as in booster.dry_mass_g=120g, booster/main.motor=larch, or wadding.quantity=3"
	}
	return ""
}

// apply writes what was typed into a record. Only flags that were given count;
// an empty value makes a field unknown.
func (f *fieldFlags) apply(c *cobra.Command, rec inventory.Record) error {
	for i, field := range f.fields {
		if !c.Flags().Changed(f.names[i]) {
			continue
		}
		if err := setOrClear(field, rec, f.values[i]); err != nil {
			return fmt.Errorf("--%s: %w", f.names[i], err)
		}
	}
	for _, text := range f.set {
		path, value, ok := strings.Cut(text, "=")
		if !ok {
			return misused("write it as --set standard.throat_mm=2.4mm", "--set %q has no =", inventory.Printable(text))
		}
		if err := inventory.SetPath(rec, path, value); err != nil {
			return fmt.Errorf("--set %s: %w", inventory.Printable(path), err)
		}
	}
	return nil
}

func setOrClear(field *inventory.Field, rec inventory.Record, value string) error {
	if value == "" {
		field.Clear(rec)
		return nil
	}
	return field.SetText(rec, value)
}
