package command

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"rangebox/cmd/rangebox/answer"
	"rangebox/cmd/rangebox/report"
	"rangebox/compat"
	"rangebox/inventory"
	"rangebox/inventory/boltstore"
)

func newAdd(g *global, kind inventory.Kind) *cobra.Command {
	c := &cobra.Command{
		Use:   "add HANDLE",
		Short: fmt.Sprintf("add %s; makes the box if there is none", withArticle(kind)),
		Args:  args("HANDLE"),
	}
	flags := newFieldFlags(c, kind)
	c.RunE = func(c *cobra.Command, given []string) error {
		rec := kind.Info().New()
		rec.Base().Handle = bare(kind, given[0])
		if err := readRecord(g, c, flags, rec); err != nil {
			return err
		}
		return runAdd(g, rec)
	}
	return c
}

// readRecord reads the flags into a record and refuses what cannot be; nothing
// has been opened yet.
func readRecord(g *global, c *cobra.Command, flags *fieldFlags, rec inventory.Record) error {
	if err := g.noLists(); err != nil {
		return err
	}
	if err := flags.apply(c, rec); err != nil {
		return asMisuse(err)
	}
	return asMisuse(errors.Join(inventory.Check(rec)...))
}

// asMisuse makes a refused value misuse, since no file was needed to tell.
func asMisuse(err error) error {
	if err == nil {
		return nil
	}
	said, hint := spoken(err)
	return misused(hint, "%s", said)
}

func runAdd(g *global, rec inventory.Record) error {
	handle := rec.Base().Handle
	err := boltstore.CreateOrWrite(g.path(), g.storeOptions(), func(tx *boltstore.Tx) error {
		if old, _, err := tx.Find(rec.Kind(), handle); err == nil {
			return advise(conflict("there is %s %q already", withArticle(rec.Kind()), old.Base().Handle), "change it with `rangebox %s edit %s`", rec.Kind(), handle)
		}
		return putNamed(tx, rec)
	})
	if err != nil {
		return err
	}
	return tellChange(g, rec, "added", nil)
}

func newEdit(g *global, kind inventory.Kind) *cobra.Command {
	var handle string
	var drop []string
	c := &cobra.Command{
		Use:   "edit HANDLE",
		Short: fmt.Sprintf("change %s; an empty value makes a field unknown", withArticle(kind)),
		Args:  args("HANDLE"),
	}
	flags := newFieldFlags(c, kind)
	c.Flags().StringVar(&handle, "handle", "", "call it `NAME` from now on; the old name still finds it")
	c.Flags().StringArrayVar(&drop, "without", nil, "take out the nozzle, output, stage, mount or recovery at `PATH`")
	c.RunE = func(c *cobra.Command, given []string) error {
		if err := g.noLists(); err != nil {
			return err
		}
		// a trial on an empty record finds what no box is needed to refuse
		if err := flags.apply(c, kind.Info().New()); err != nil {
			return asMisuse(err)
		}
		change := func(rec inventory.Record) error { return editRecord(c, flags, rec, drop) }
		return runEdit(g, kind, bare(kind, given[0]), handle, change)
	}
	return c
}

func editRecord(c *cobra.Command, flags *fieldFlags, rec inventory.Record, drop []string) error {
	if err := flags.apply(c, rec); err != nil {
		return err
	}
	for _, path := range drop {
		if !inventory.DropPath(rec, path) {
			return notFound("%s has no part %q to drop", rec.Base().Handle, inventory.Printable(path))
		}
	}
	return errors.Join(inventory.Check(rec)...)
}

// runEdit changes a record and says what changed.
func runEdit(g *global, kind inventory.Kind, handle, renamed string, change func(inventory.Record) error) error {
	out, err := editInBox(g, kind, handle, renamed, change)
	if err != nil {
		return err
	}
	return printChange(g, out, out)
}

// editInBox reads, changes and writes a record within one transaction.
func editInBox(g *global, kind inventory.Kind, handle, renamed string, change func(inventory.Record) error) (answer.Changed, error) {
	var rec inventory.Record
	var changes []inventory.FieldChange
	err := boltstore.Write(g.path(), g.storeOptions(), func(tx *boltstore.Tx) error {
		old, _, err := tx.Find(kind, handle)
		if err != nil {
			return err
		}
		rec, _, err = tx.Find(kind, handle) // a second copy, to be changed
		if err != nil {
			return err
		}
		if err := change(rec); err != nil {
			return err
		}
		changes = inventory.Differences(old, rec)
		if err := putNamed(tx, rec); err != nil {
			return err
		}
		if renamed == "" {
			return nil
		}
		changes = append(changes, inventory.FieldChange{Path: "handle", Old: old.Base().Handle, New: renamed})
		if err := tx.Rename(kind, old.Base().Handle, renamed); err != nil {
			return err
		}
		rec.Base().Handle = renamed
		return nil
	})
	if err != nil {
		return answer.Changed{}, err
	}
	return changedOf(rec, "changed", changes), nil
}

// tellChange says what became of a record, with what is implausible about it.
func tellChange(g *global, rec inventory.Record, status string, changes []inventory.FieldChange) error {
	out := changedOf(rec, status, changes)
	return printChange(g, out, out)
}

func changedOf(rec inventory.Record, status string, changes []inventory.FieldChange) answer.Changed {
	return answer.ChangedOf(rec, status, changes, append(inventory.Doubts(rec), compat.Doubts(rec)...))
}

// printChange prints what changed; whole is the answer as JSON, which may say more.
func printChange(g *global, out answer.Changed, whole any) error {
	if g.format == asJSON {
		return g.printJSON(whole)
	}
	if g.quiet {
		return nil
	}
	return report.Changed(g.env.Out, g.look(), out)
}

func newRemove(g *global, kind inventory.Kind) *cobra.Command {
	return &cobra.Command{
		Use:   "remove HANDLE",
		Short: fmt.Sprintf("remove %s that nothing refers to", withArticle(kind)),
		Args:  args("HANDLE"),
		RunE: func(_ *cobra.Command, given []string) error {
			if err := g.noLists(); err != nil {
				return err
			}
			return runRemove(g, kind, bare(kind, given[0]))
		},
	}
}

func runRemove(g *global, kind inventory.Kind, handle string) error {
	var rec inventory.Record
	err := boltstore.Write(g.path(), g.storeOptions(), func(tx *boltstore.Tx) (err error) {
		if rec, _, err = tx.Find(kind, handle); err != nil {
			return err
		}
		return tx.Remove(rec.Base().ID)
	})
	if err != nil {
		return err
	}
	out := answer.ChangedOf(rec, "removed", nil, nil)
	if g.format == asJSON {
		return g.printJSON(out)
	}
	if g.quiet {
		return nil
	}
	return report.Changed(g.env.Out, g.look(), out)
}
