package command

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"rangebox/cmd/rangebox/report"
	"rangebox/compat"
	"rangebox/importers/archive"
	"rangebox/inventory"
	"rangebox/inventory/boltstore"
)

func newSettings(g *global) *cobra.Command {
	c := &cobra.Command{Use: "settings", Short: "thresholds of the rules, the certification body and the like"}
	c.AddCommand(newSettingsShow(g), newSettingsSet(g))
	return c
}

func newSettingsShow(g *global) *cobra.Command {
	return &cobra.Command{
		Use: "show", Short: "every setting and threshold, with its default", Args: args(),
		RunE: func(*cobra.Command, []string) error {
			box, limits, err := g.load(boltstore.Want{})
			if err != nil {
				return err
			}
			settings := box.Settings()
			if g.format == asJSON {
				return g.printJSON(archive.Object(settings))
			}
			return g.printList(settingsList(g, settings, limits))
		},
	}
}

func settingsList(g *global, settings *inventory.Settings, limits *compat.Limits) report.List {
	list := report.List{Columns: []report.Column{{Name: "setting", Label: "setting"}, {Name: "value", Label: "value"},
		{Name: "default", Label: "default"}, {Name: "what", Label: "what it is"}}}
	for _, field := range inventory.KindSettings.Info().Table.Fields {
		if field.Key == "id" || field.Type == inventory.TypeMap && field.Key == "thresholds" {
			continue
		}
		value, _ := field.Text(settings)
		list.Rows = append(list.Rows, []string{field.Key, value, "", field.Help})
	}
	defaults := compat.Defaults()
	for _, t := range compat.Thresholds {
		list.Rows = append(list.Rows, []string{t.Name, t.Show(limits, g.system), t.Show(defaults, g.system), t.Help})
	}
	return list
}

func newSettingsSet(g *global) *cobra.Command {
	return &cobra.Command{
		Use:     "set SETTING VALUE",
		Short:   "change a setting; an empty value takes it back to its default",
		Example: "  rangebox settings set certification_body \"the body's name\"\n  rangebox settings set firing-current.margin 1.6\n  rangebox settings set firing-current.margin \"\"",
		Args:    args("SETTING", "VALUE"),
		RunE: func(_ *cobra.Command, given []string) error {
			if err := g.noLists(); err != nil {
				return err
			}
			if given[1] != "" { // what is cleared may be of a name that only the box has
				if err := changeSetting(&inventory.Settings{}, given[0], given[1]); err != nil {
					return asMisuse(err)
				}
			}
			return runSettingsSet(g, given[0], given[1])
		},
	}
}

func runSettingsSet(g *global, name, value string) error {
	var old, settings *inventory.Settings
	err := boltstore.CreateOrWrite(g.path(), g.storeOptions(), func(tx *boltstore.Tx) error {
		for _, s := range []**inventory.Settings{&old, &settings} {
			box, err := tx.Load(boltstore.Want{})
			if err != nil {
				return err
			}
			*s = box.Settings()
		}
		settings.ID = inventory.SettingsID
		if err := changeSetting(settings, name, value); err != nil {
			return err
		}
		_, err := tx.Put(settings)
		return err
	})
	if err != nil {
		return err
	}
	if g.format == asJSON {
		return g.printJSON(archive.Object(settings))
	}
	g.say("%s: %s -> %s", name, orDefault(settingOf(old, name)), orDefault(settingOf(settings, name)))
	return nil
}

// settingOf is the text of a setting or threshold, empty where it has its default.
func settingOf(s *inventory.Settings, name string) string {
	if field, ok := inventory.KindSettings.Info().Table.Field(name); ok {
		text, _ := field.Text(s)
		return text
	}
	return s.Thresholds[name]
}

func orDefault(s string) string {
	if s == "" {
		return "default"
	}
	return s
}

// changeSetting sets a field of the settings, or a threshold by its name.
func changeSetting(s *inventory.Settings, name, value string) error {
	field, ok := inventory.KindSettings.Info().Table.Field(name)
	if ok && name != "id" && name != "thresholds" {
		if err := checkDistanceTable(name, value); err != nil {
			return err
		}
		return setOrClear(field, s, value)
	}
	if _, there := s.Thresholds[name]; there && value == "" {
		return changeThreshold(s, name, "")
	}
	for _, t := range compat.Thresholds {
		if t.Name != name {
			continue
		}
		return changeThreshold(s, name, value)
	}
	return fmt.Errorf("%w: there is no setting %q; `rangebox settings show` lists them", inventory.ErrInvalid, inventory.Printable(name))
}

// checkDistanceTable refuses the name of a table that there is none of.
func checkDistanceTable(setting, value string) error {
	if setting != "distance_table" || value == "" {
		return nil
	}
	var names []string
	for _, t := range compat.DistanceTables {
		names = append(names, t.Name)
	}
	if slices.Contains(names, value) {
		return nil
	}
	return fmt.Errorf("%w: there is no distance table %q; there are %s", inventory.ErrInvalid, inventory.Printable(value), strings.Join(names, ", "))
}

func changeThreshold(s *inventory.Settings, name, value string) error {
	changed := map[string]string{}
	for k, v := range s.Thresholds {
		changed[k] = v
	}
	changed[name] = strings.TrimSpace(value)
	if changed[name] == "" {
		delete(changed, name)
		s.Thresholds = changed
		return nil // whatever else is wrong with the settings, this takes something away
	}
	s.Thresholds = changed
	_, err := compat.LimitsFrom(s)
	return err
}
