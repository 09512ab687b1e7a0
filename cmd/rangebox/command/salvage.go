package command

import (
	"errors"
	"os"
	"sort"

	"rangebox/cmd/rangebox/answer"
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
	if err := notThere(s.file); err != nil {
		return err
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

func (s *salvaged) tell(g *global, done boltstore.ImportReport, o importOptions) error {
	out := answer.ImportOf(done, o.dryRun)
	for _, item := range s.batch.Items {
		out.Warn(item.Record, item.Row, append(inventory.Doubts(item.Record), compat.Doubts(item.Record)...))
	}
	warnOfAlike(&out, s.batch, done.Alike)
	for _, r := range s.rejected {
		out.Reject(answer.RejectedRow{Section: r.Section, Row: r.Row, Reasons: []string{r.Why}})
	}
	if !o.dryRun && len(s.rejected) > 0 {
		out.RejectedFile = s.file
	}
	if err := printImport(g, out); err != nil || out.RejectedFile == "" {
		return err
	}
	g.say("What was not taken stands in %s, each piece with its reason.", s.file)
	return nil
}
