package command

import (
	"fmt"
	"os"

	"rangebox/importers/archive"
)

// runSchema writes the JSON Schema of archives, for editors and other programs.
func runSchema(g *global, kind, file string) error {
	if kind != "" {
		return misused("leave one of them out", "--schema is of whole archives and does not go with --kind")
	}
	if err := g.noLists(); err != nil {
		return err
	}
	if file == "" {
		_, err := g.env.Out.Write(archive.Schema())
		return err
	}
	return g.writeWhole(file, func(f *os.File) error {
		if _, err := f.Write(archive.Schema()); err != nil {
			return fmt.Errorf("writing %s: %w", file, cause(err))
		}
		return nil
	})
}
