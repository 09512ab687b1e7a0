package command

import (
	"cmp"
	"fmt"
	"os"
	"runtime/debug"
	"strings"

	"github.com/spf13/cobra"

	"rangebox/cmd/rangebox/answer"
	"rangebox/cmd/rangebox/report"
	"rangebox/compat"
	"rangebox/inventory"
	"rangebox/inventory/boltstore"
)

type importOptions struct {
	dryRun, count  bool
	salvage        bool
	kind, keepGood string
	maps           map[string]string
}

func newImport(g *global) *cobra.Command {
	o := importOptions{}
	var maps []string
	c := &cobra.Command{
		Use:   "import FILE",
		Short: "take in an archive or a sheet; makes the box if there is none",
		Long: "Takes in an archive, a .xlsx workbook or a text table (CSV and its kin), all or\n" +
			"nothing, and says what is new, changed and unchanged. FILE may be - for standard\n" +
			"input. Headers are field names or plain words with a unit; what is unsure is\n" +
			"asked at a terminal, or refused with the --map to type. A field that the file\n" +
			"leaves out keeps its value. A lot's quantity is booked only for a lot that is\n" +
			"new here; --count books the rest.",
		Example: "  rangebox import box.json\n" +
			"  rangebox import igniters.csv --map \"Bridge res=bridge_ohm\"\n" +
			"  rangebox import all.xlsx --keep-good rejected.csv",
		Args: args("FILE"),
		RunE: func(_ *cobra.Command, given []string) error {
			if err := g.noLists(); err != nil {
				return err
			}
			var err error
			if o.maps, err = mapFlags(maps); err != nil {
				return err
			}
			if _, ok := inventory.KindNamed(o.kind); o.kind != "" && !ok {
				return misused("see `rangebox import --help`", "there is no kind %q", inventory.Printable(o.kind))
			}
			if o.salvage {
				return runSalvage(g, given[0], o)
			}
			return runImport(g, given[0], o)
		},
	}
	c.Flags().BoolVar(&o.dryRun, "dry-run", false, "only say what would be done")
	c.Flags().StringVar(&o.kind, "kind", "", "the `KIND` of record in a sheet, where it is not recognised")
	c.Flags().StringArrayVar(&maps, "map", nil, "our field for a header of theirs, `THEIRS=OURS`; - leaves a column out")
	c.Flags().StringVar(&o.keepGood, "keep-good", "", "take in what is right of a sheet, and write the rest to `FILE`")
	c.Flags().BoolVar(&o.salvage, "salvage", false, "take what can be read of a damaged archive, and write the rest to FILE.rejected")
	c.Flags().BoolVar(&o.count, "count", false, "book a count where a lot's quantity in the file differs")
	return c
}

func runImport(g *global, file string, o importOptions) error {
	defer sparing()()
	if o.keepGood != "" {
		if err := notThere(o.keepGood); err != nil {
			return err
		}
	}
	in, err := readIncoming(g, file, o)
	if err != nil {
		return err
	}
	var done boltstore.ImportReport
	kept := false
	take := func(tx *boltstore.Tx) error {
		in.settle(tx, o)
		if done, err = tx.Import(in.batch, boltstore.ImportOptions{Count: o.count, DryRun: o.dryRun || in.allRejected()}); err != nil {
			return err
		}
		if err := checkThresholds(in.batch); err != nil {
			return err
		}
		if err := checkBatchNames(tx, in.batch); err != nil {
			return err
		}
		kept, err = in.keepRejected(g, o) // before anything is booked for good
		return err
	}
	work := g.working(len(in.batch.Items), "taking in %s", in.name)
	opt := g.storeOptionsFor(work)
	opt.Bulk = len(in.batch.Items) > boltstore.OneTransaction
	err = boltstore.CreateOrWrite(g.path(), opt, take)
	work.end()
	if err != nil {
		if kept { // nothing was taken in, so it would tell a lie, and be in the way
			_ = os.Remove(o.keepGood)
		}
		return in.placed(err)
	}
	return tellImport(g, in, done, o)
}

// mapFlags reads THEIRS=OURS; their header may hold a = itself.
func mapFlags(list []string) (map[string]string, error) {
	maps := map[string]string{}
	for _, text := range list {
		at := strings.LastIndexByte(text, '=')
		if at <= 0 || at == len(text)-1 {
			return nil, misused("write it as --map \"Their header=our_field\"", "--map %q names no field", inventory.Printable(text))
		}
		maps[text[:at]] = text[at+1:]
	}
	return maps, nil
}

// checkThresholds refuses settings that no question could be asked with.
func checkThresholds(batch *inventory.Batch) error {
	for _, item := range batch.Items {
		settings, ok := item.Record.(*inventory.Settings)
		if !ok {
			continue
		}
		if _, err := compat.LimitsFrom(settings); err != nil {
			return err
		}
	}
	return nil
}

func tellImport(g *global, in *incoming, done boltstore.ImportReport, o importOptions) error {
	out := answer.ImportOf(done, o.dryRun)
	out.PassedOver = in.passedOver(o)
	in.tellSheet(&out)
	for _, item := range in.batch.Items {
		out.Warn(item.Record, item.Row, append(inventory.Doubts(item.Record), compat.Doubts(item.Record)...))
	}
	warnOfAlike(&out, in.batch, done.Alike)
	in.tellRejected(&out, o)
	if err := printImport(g, out); err != nil {
		return err
	}
	switch {
	case in.allRejected():
		return advise(fmt.Errorf("%w: nothing of %s could be taken in", inventory.ErrInvalid, in.name), "mend its rows and import %s again", cmp.Or(out.RejectedFile, in.name))
	case out.RejectedFile == "":
	case out.Rejected == 1:
		g.say("1 row was not taken in; it stands in %s with its reason.", o.keepGood)
	default:
		g.say("%d rows were not taken in; they stand in %s, each with its reason.", out.Rejected, o.keepGood)
	}
	return nil
}

// warnOfAlike warns of lots that may be the same pieces as others.
func warnOfAlike(out *answer.Import, batch *inventory.Batch, alike []boltstore.AlikeReport) {
	for _, a := range alike {
		item := batch.Items[a.Item]
		out.Warn(item.Record, item.Row, []string{answer.AlikeText(a)})
	}
}

func printImport(g *global, out answer.Import) error {
	if g.format == asJSON {
		return g.printJSON(out)
	}
	if g.quiet {
		return nil
	}
	return report.Import(g.env.Out, g.look(), out)
}

// sparing has the garbage collector run more often until what it returns is called:
// 100,000 rows of lots then take 250 MB instead of 330, and 7 s instead of 6.
func sparing() (done func()) {
	before := debug.SetGCPercent(30)
	return func() { debug.SetGCPercent(before) }
}
