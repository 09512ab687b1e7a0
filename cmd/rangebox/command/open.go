package command

import (
	"encoding/json"
	"fmt"
	"path/filepath"

	"github.com/adrg/xdg"

	"rangebox/cmd/rangebox/report"
	"rangebox/compat"
	"rangebox/inventory"
	"rangebox/inventory/boltstore"
)

// path is where the box lies: --db, else RANGEBOX_DB, else the user's data
// directory (XDG base directories).
func (g *global) path() string {
	if g.db != "" {
		return g.db
	}
	if db := g.env.Getenv("RANGEBOX_DB"); db != "" {
		return db
	}
	return filepath.Join(xdg.DataHome, "rangebox", "rangebox.box")
}

func (g *global) storeOptions() boltstore.Options {
	return boltstore.Options{Now: g.env.Now}
}

// read runs a question on the box, which it never changes.
func (g *global) read(ask func(*boltstore.View) error) error {
	return boltstore.Read(g.path(), g.storeOptions(), ask)
}

// load takes from the box what a question needs, with the user's limits.
func (g *global) load(want boltstore.Want) (box *inventory.Box, limits *compat.Limits, err error) {
	err = g.read(func(v *boltstore.View) error {
		box, err = v.Load(want)
		return err
	})
	if err != nil {
		return nil, nil, err
	}
	limits, err = compat.LimitsFrom(box.Settings())
	return box, limits, err
}

func (g *global) look() report.Look {
	return report.Look{Width: g.env.Width, Colour: g.colour(), System: g.system}
}

// printJSON writes an answer as the contract has it.
func (g *global) printJSON(answer any) error {
	enc := json.NewEncoder(g.env.Out)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	if err := enc.Encode(answer); err != nil {
		return fmt.Errorf("writing the answer: %w", err)
	}
	return nil
}

// asks tells whether a question can be put: to a person who sees it on standard
// error, where it does not stand amid an answer, and can type.
func (g *global) asks() bool {
	return g.env.InTerminal && g.env.ErrTerminal && !g.quiet && g.format != asJSON
}

// say tells a person what was done; --quiet and JSON keep it back.
func (g *global) say(format string, args ...any) {
	if g.quiet || g.format == asJSON {
		return
	}
	fmt.Fprintf(g.env.Out, format+"\n", args...)
}
