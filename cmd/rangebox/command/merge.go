package command

import (
	"bufio"
	"cmp"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"

	"github.com/google/uuid"
	"github.com/spf13/cobra"

	"rangebox/cmd/rangebox/answer"
	"rangebox/cmd/rangebox/report"
	"rangebox/importers"
	"rangebox/inventory"
	"rangebox/inventory/boltstore"
)

type mergeOptions struct {
	prefer string
	dryRun bool
}

func newMerge(g *global) *cobra.Command {
	o := mergeOptions{}
	c := &cobra.Command{
		Use:   "merge FILE",
		Short: "take in what another laptop's box holds; nothing is lost",
		Long: "Takes in what the box in FILE holds and this one does not. The ledger becomes\n" +
			"that of both. A record that one of them changed is taken as changed; one that\n" +
			"both changed, or one removed and the other changed, is listed field by field\n" +
			"and asked about, or decided by --prefer; with newer, a change goes before a\n" +
			"removal, whichever was later. The box as it was is kept beside it under a\n" +
			"number. Merge either way: both boxes then hold the same.",
		Args: args("FILE"),
		RunE: func(_ *cobra.Command, given []string) error {
			if err := g.noLists(); err != nil {
				return err
			}
			if o.prefer != "" && !slices.Contains(sides, o.prefer) {
				return misused("write --prefer ours, theirs or newer", "there is no side %q to prefer", inventory.Printable(o.prefer))
			}
			return runMerge(g, given[0], o)
		},
	}
	c.Flags().StringVar(&o.prefer, "prefer", "", "where both changed a record take `SIDE`: ours, theirs or newer")
	c.Flags().BoolVar(&o.dryRun, "dry-run", false, "only say what would be done")
	return c
}

// The sides that --prefer and the questions know.
const (
	ours   = "ours"
	theirs = "theirs"
	newer  = "newer"
)

var sides = []string{ours, theirs, newer}

// dispute is a conflict as it was seen: it is another one where either version
// has changed since.
type dispute struct {
	id, ours, theirs uuid.UUID
}

func disputeOf(c boltstore.MergeConflict) dispute {
	return dispute{c.ID, c.Ours.Revision, c.Theirs.Revision}
}

func runMerge(g *global, file string, o mergeOptions) error {
	if err := mustBeBox(file); err != nil {
		return err
	}
	if err := differentFiles(g.path(), file); err != nil {
		return err
	}
	choose := preferring(o.prefer)
	plan, out, err := merge(g, file, boltstore.MergeOptions{DryRun: true, Decide: choose})
	if err != nil {
		return err
	}
	if o.dryRun {
		return tellMerge(g, answered(out, plan, true, o.prefer != ""))
	}
	if o.prefer == "" && len(plan.Conflicts) > 0 {
		if choose, err = askConflicts(g, file, plan.Conflicts); err != nil {
			return err
		}
	}
	opt := boltstore.MergeOptions{Decide: choose}
	if plan.New+plan.Changed+plan.Removed+plan.EntriesNew+len(plan.Conflicts) > 0 {
		opt.KeepAt = g.path()
	}
	done, out, err := merge(g, file, opt)
	if err != nil {
		return err
	}
	return tellMerge(g, answered(out, done, false, true))
}

// differentFiles refuses to merge a box with itself, which would wait for itself.
func differentFiles(box, file string) error {
	a, errA := os.Stat(box)
	b, errB := os.Stat(file)
	switch {
	case errors.Is(errA, os.ErrNotExist) && errB == nil:
		return advise(fmt.Errorf("%w: there is no box at %s to merge into", inventory.ErrMissing, box), "put the other box in its place with `rangebox restore %s`", file)
	case errA == nil && errB == nil && os.SameFile(a, b):
		return advise(conflict("%s is this very box", file), "name the other laptop's box")
	case errA == nil:
		return mustBeThere(file)
	}
	return nil // what else is wrong shows when they are opened
}

// preferring decides every conflict for one side; nil, which is the later
// version, where none or the newer is preferred.
func preferring(side string) func(boltstore.MergeConflict) (bool, error) {
	if side != ours && side != theirs {
		return nil
	}
	return func(boltstore.MergeConflict) (bool, error) { return side == theirs, nil }
}

// merge merges, and gathers what is to be said of lots while the box is open.
func merge(g *global, file string, opt boltstore.MergeOptions) (done boltstore.MergeReport, out answer.Merge, err error) {
	work := g.working(0, "merging %s", file)
	defer work.end()
	err = boltstore.Read(file, g.storeOptions(), func(other *boltstore.View) error {
		store := g.storeOptionsFor(work)
		store.Bulk = !opt.DryRun && other.Count(inventory.KindEvent) > boltstore.OneTransaction
		return boltstore.Write(g.path(), store, func(tx *boltstore.Tx) (err error) {
			if done, err = tx.MergeWith(other, opt); err != nil {
				return err
			}
			return toCount(tx, done, &out)
		})
	})
	return done, out, err
}

// toCount names the lots that somebody has to count.
func toCount(tx *boltstore.Tx, done boltstore.MergeReport, out *answer.Merge) error {
	for _, id := range done.NeedCount {
		lot, err := lotWith(tx, id)
		if err != nil {
			return err
		}
		stock, err := tx.Stock(id)
		if err != nil {
			return err
		}
		out.AddCount(lot, stock)
	}
	for _, i := range done.Interleaved {
		lot, err := lotWith(tx, i.Lot)
		if err != nil {
			return err
		}
		out.AddInterleaved(lot, i)
	}
	return nil
}

func lotWith(tx *boltstore.Tx, id uuid.UUID) (*inventory.Lot, error) {
	rec, err := tx.Get(id)
	if err != nil {
		return nil, err
	}
	lot, ok := rec.(*inventory.Lot)
	if !ok {
		return nil, fmt.Errorf("%w: %s is no lot", inventory.ErrDamaged, id)
	}
	return lot, nil
}

// answered joins what was said of lots and what the store reports.
func answered(lots answer.Merge, done boltstore.MergeReport, dryRun, decided bool) answer.Merge {
	out := answer.MergeOf(done, dryRun, decided)
	out.Count = append(out.Count, lots.Count...)
	out.Interleaved = append(out.Interleaved, lots.Interleaved...)
	return out
}

func tellMerge(g *global, out answer.Merge) error {
	if g.format == asJSON {
		return g.printJSON(out)
	}
	if g.quiet {
		return nil
	}
	return report.Merge(g.env.Out, g.look(), out)
}

// askConflicts asks about each conflict at a terminal; elsewhere it refuses. No
// file is open meanwhile, and what was asked about holds for that alone.
func askConflicts(g *global, file string, list []boltstore.MergeConflict) (func(boltstore.MergeConflict) (bool, error), error) {
	if !g.asks() || g.yes {
		return nil, undecided(file, list)
	}
	in := bufio.NewReader(g.env.In)
	chosen := map[dispute]bool{}
	for n, c := range list {
		fmt.Fprintf(g.env.Err, "%d of %d\n", n+1, len(list))
		shown := answer.ConflictOf(c)
		shown.Took = ""
		report.Conflict(g.env.Err, g.look(), shown)
		takeTheirs, err := askSide(g.env.Err, in, c)
		if err != nil {
			return nil, err
		}
		chosen[disputeOf(c)] = takeTheirs
	}
	return func(c boltstore.MergeConflict) (bool, error) {
		takeTheirs, asked := chosen[disputeOf(c)]
		if !asked {
			return false, advise(conflict("the boxes have changed since you were asked"), "run the command again")
		}
		return takeTheirs, nil
	}, nil
}

// askSide asks until it is told which version is to be taken.
func askSide(w io.Writer, in *bufio.Reader, c boltstore.MergeConflict) (theirsTaken bool, err error) {
	for {
		fmt.Fprint(w, "Take ours (o), theirs (t) or the newer (n)? ")
		line, err := in.ReadString('\n')
		word := strings.ToLower(strings.TrimSpace(line))
		switch {
		case word == "":
		case strings.HasPrefix(ours, word):
			return false, nil
		case strings.HasPrefix(theirs, word):
			return true, nil
		case strings.HasPrefix(newer, word):
			return c.TookOther, nil // undecided, the plan took the later
		}
		if err != nil {
			return false, advise(conflict("no answer was given, and nothing was merged"), "run the command again, or decide with --prefer ours, theirs or newer")
		}
	}
}

// undecided refuses a merge whose conflicts nobody decides.
func undecided(file string, list []boltstore.MergeConflict) error {
	const most = 5
	var names []string
	for n, c := range list {
		if n == most {
			names = append(names, fmt.Sprintf("%d more", len(list)-n))
			break
		}
		name := c.Handle
		if name == "" {
			name = c.ID.String()
		}
		names = append(names, string(c.Kind)+" "+name)
	}
	refused := &undecidedError{conflict("both boxes changed %s", strings.Join(names, ", ")), nil}
	for _, c := range list {
		refused.fields = append(refused.fields, fieldsOf(file, answer.ConflictOf(c))...)
	}
	return advise(refused,
		"see both with `rangebox merge %s --dry-run`, then decide with --prefer ours, theirs or newer", file)
}

// undecidedError is a refused merge, with what the boxes disagree on field by
// field: as JSON it is all listed, to a person the records are named.
type undecidedError struct {
	error
	fields []importers.Issue
}

func (u *undecidedError) Unwrap() error { return u.error }

// fieldsOf is a conflict as complaints about the other box: found is what it has
// and since when, expected what this one has; a removal is one of the record.
func fieldsOf(file string, c answer.Conflict) []importers.Issue {
	name := c.Kind + "/" + cmp.Or(c.Handle, c.ID)
	issue := func(column, theirs, ours string) importers.Issue {
		return importers.Issue{File: file, Column: column,
			Found:    fmt.Sprintf("%s (theirs, %s)", cmp.Or(theirs, "nothing"), c.TheirsAt),
			Expected: fmt.Sprintf("%s (ours, %s)", cmp.Or(ours, "nothing"), c.OursAt)}
	}
	switch {
	case c.TheirsRemoved:
		return []importers.Issue{issue(name, "removed", "changed")}
	case c.OursRemoved:
		return []importers.Issue{issue(name, "changed", "removed")}
	}
	var list []importers.Issue
	for _, f := range c.Fields {
		list = append(list, issue(name+"."+f.Field, f.Theirs, f.Ours))
	}
	return list
}
