package command

import (
	"errors"
	"fmt"
	"os"
	"sort"

	"rangebox/cmd/rangebox/answer"
	"rangebox/cmd/rangebox/report"
	"rangebox/compat"
	"rangebox/importers/archive"
	"rangebox/inventory"
	"rangebox/inventory/boltstore"
)

// salvaged is what is taken of a damaged archive, and what is not.
type salvaged struct {
	file     string
	batch    *inventory.Batch
	rejected []archive.Rejected
}

// runSalvage takes in what can be read of a damaged archive. The rest is in a
// file beside the archive, each piece with its reason, before the box is changed.
func runSalvage(g *global, file string, o importOptions) error {
	if file == "-" || o.kind != "" || o.keepGood != "" || len(o.maps) > 0 {
		return misused("give the archive's file alone", "--salvage is for an archive in a file and does not go with --kind, --map or --keep-good")
	}
	s := &salvaged{file: file + ".rejected"}
	if err := s.read(g, file); err != nil {
		return err
	}
	var done boltstore.ImportReport
	work := g.working(len(s.batch.Items), "taking in %s", file)
	opt := g.storeOptionsFor(work)
	opt.Bulk = len(s.batch.Items) > boltstore.OneTransaction
	err := boltstore.CreateOrWrite(g.path(), opt, func(tx *boltstore.Tx) (err error) {
		if done, err = s.take(tx, o); err != nil {
			return err
		}
		return s.keep(g, o)
	})
	work.end()
	if err != nil {
		return err
	}
	return s.tell(g, done, o)
}

func (s *salvaged) read(g *global, file string) error {
	if _, err := os.Lstat(s.file); err == nil {
		return advise(conflict("there is a file at %s already", s.file), "move it away, then try again")
	}
	data, name, err := readBytes(g, file)
	if err != nil {
		return err
	}
	work := g.working(0, "reading %s", name)
	defer work.end()
	s.batch, s.rejected, err = archive.Salvage(data, name)
	return err
}

// take imports, and rejects what the box refuses until it refuses nothing: a
// record that points to one that was lost cannot be had without it. A nozzle or
// an output that is only named and is not there stays, and verify warns of it.
func (s *salvaged) take(tx *boltstore.Tx, o importOptions) (boltstore.ImportReport, error) {
	for {
		done, err := tx.Import(s.batch, boltstore.ImportOptions{Count: o.count, DryRun: o.dryRun})
		var refused *boltstore.ProblemsError
		if !errors.As(err, &refused) || len(refused.Problems) == 0 {
			return done, err
		}
		s.reject(refused.Problems)
	}
}

// reject takes the records that have problems out of the batch.
func (s *salvaged) reject(problems []inventory.Problem) {
	why := map[int]string{}
	for _, p := range problems {
		if why[p.Item] == "" {
			why[p.Item] = message(p.Err)
		}
	}
	kept := &inventory.Batch{}
	for i, item := range s.batch.Items {
		if why[i] == "" {
			kept.Items = append(kept.Items, item)
			continue
		}
		s.rejected = append(s.rejected, archive.Rejected{Section: item.Record.Kind().Info().Plural, Row: item.Row,
			Text: string(archive.Object(item.Record)), Why: why[i]})
	}
	s.batch = kept
	sort.SliceStable(s.rejected, func(i, j int) bool { return s.rejected[i].Row < s.rejected[j].Row })
}

// keep writes what is not taken into its file.
func (s *salvaged) keep(g *global, o importOptions) error {
	if o.dryRun || len(s.rejected) == 0 {
		return nil
	}
	return g.writeWhole(s.file, func(f *os.File) error { return archive.WriteRejected(f, s.rejected) })
}

// salvageAnswer is the answer of an import, and what was not taken.
type salvageAnswer struct {
	answer.Import
	Rejected     int    `json:"rejected"`
	RejectedFile string `json:"rejected_file,omitempty"`
}

func (s *salvaged) tell(g *global, done boltstore.ImportReport, o importOptions) error {
	out := salvageAnswer{Import: answer.ImportOf(done, o.dryRun), Rejected: len(s.rejected)}
	for _, item := range s.batch.Items {
		out.Warn(item.Record, item.Row, append(inventory.Doubts(item.Record), compat.Doubts(item.Record)...))
	}
	if !o.dryRun && len(s.rejected) > 0 {
		out.RejectedFile = s.file
	}
	if g.format == asJSON {
		return g.printJSON(out)
	}
	if g.quiet {
		return nil
	}
	if err := report.Import(g.env.Out, g.look(), out.Import); err != nil {
		return err
	}
	return s.tellRejected(g, o)
}

func (s *salvaged) tellRejected(g *global, o importOptions) error {
	const most = 20
	for n, r := range s.rejected {
		if n == most {
			fmt.Fprintf(g.env.Out, "  and %d more\n", len(s.rejected)-n)
			break
		}
		g.look().Para(g.env.Out, report.Clean(fmt.Sprintf("not taken: row %d, %s: %s.", r.Row, r.Section, r.Why)))
	}
	if len(s.rejected) > 0 && !o.dryRun {
		g.say("What was not taken stands in %s, each piece with its reason.", s.file)
	}
	return nil
}
