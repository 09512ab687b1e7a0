package command

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"rangebox/cmd/rangebox/answer"
	"rangebox/cmd/rangebox/report"
	"rangebox/compat"
	"rangebox/importers"
	"rangebox/importers/archive"
	"rangebox/inventory"
	"rangebox/inventory/boltstore"
)

type importOptions struct {
	dryRun, count bool
}

func newImport(g *global) *cobra.Command {
	o := importOptions{}
	c := &cobra.Command{
		Use:   "import FILE",
		Short: "take in an archive; makes the box if there is none",
		Long: "Takes in an archive, all or nothing, and says what is new, changed and\n" +
			"unchanged. FILE may be - for standard input. A field that the file leaves out\n" +
			"keeps its value. A lot's quantity is booked only for a lot that is new here;\n" +
			"--count books the rest.",
		Args: args("FILE"),
		RunE: func(_ *cobra.Command, given []string) error {
			if err := g.noLists(); err != nil {
				return err
			}
			return runImport(g, given[0], o)
		},
	}
	c.Flags().BoolVar(&o.dryRun, "dry-run", false, "only say what would be done")
	c.Flags().BoolVar(&o.count, "count", false, "book a count where a lot's quantity in the file differs")
	return c
}

func runImport(g *global, file string, o importOptions) error {
	batch, err := readFile(g, file)
	if err != nil {
		return err
	}
	var done boltstore.ImportReport
	take := func(tx *boltstore.Tx) error {
		if done, err = tx.Import(batch, boltstore.ImportOptions{Count: o.count, DryRun: o.dryRun}); err != nil {
			return err
		}
		return checkBatchNames(tx, batch)
	}
	opt := g.storeOptions()
	opt.Bulk = len(batch.Items) > boltstore.OneTransaction
	if err := boltstore.CreateOrWrite(g.path(), opt, take); err != nil {
		return placed(err, file, batch)
	}
	return tellImport(g, batch, done, o)
}

// readFile reads whatever kind of file it is into a batch.
func readFile(g *global, file string) (*inventory.Batch, error) {
	r, name := io.Reader(g.env.In), "standard input"
	if file != "-" {
		f, err := os.Open(file)
		if err != nil {
			return nil, advise(fmt.Errorf("opening %s: %w", file, cause(err)), "check the file's name")
		}
		defer f.Close()
		r, name = f, filepath.Base(file)
	}
	return readBatch(r, name)
}

func readBatch(r io.Reader, name string) (*inventory.Batch, error) {
	head := make([]byte, importers.SniffLen)
	n, err := io.ReadFull(r, head)
	if err != nil && !errors.Is(err, io.EOF) && !errors.Is(err, io.ErrUnexpectedEOF) {
		return nil, fmt.Errorf("reading %s: %w", name, cause(err))
	}
	if _, err := importers.Sniff(head[:n], name); err != nil {
		return nil, err
	}
	return archive.Read(io.MultiReader(bytes.NewReader(head[:n]), r), name)
}

// cause takes the path off a file error, which the sentence has said.
func cause(err error) error {
	var p *os.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	return err
}

// placed gives the store's problems with a batch their places in the file.
func placed(err error, file string, batch *inventory.Batch) error {
	var p *boltstore.ProblemsError
	if !errors.As(err, &p) {
		return err
	}
	var issues importers.Issues
	for _, problem := range p.Problems {
		item := batch.Items[problem.Item]
		info := item.Record.Kind().Info()
		column := info.Plural
		if problem.Path != "" {
			column += " " + problem.Path
		}
		issues = append(issues, importers.Issue{
			File: filepath.Base(file), Sheet: item.Sheet, Row: item.Row, Column: column,
			Found: item.Record.Base().Handle, Expected: "", Err: problem.Err,
		})
	}
	return issues
}

func tellImport(g *global, batch *inventory.Batch, done boltstore.ImportReport, o importOptions) error {
	out := answer.ImportOf(done, o.dryRun)
	for _, item := range batch.Items {
		out.Warn(item.Record, item.Row, append(inventory.Doubts(item.Record), compat.Doubts(item.Record)...))
	}
	if g.format == asJSON {
		return g.printJSON(out)
	}
	if g.quiet {
		return nil
	}
	return report.Import(g.env.Out, g.look(), out)
}
