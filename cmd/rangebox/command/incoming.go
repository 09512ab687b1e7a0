package command

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"rangebox/cmd/rangebox/answer"
	"rangebox/importers"
	"rangebox/importers/archive"
	"rangebox/importers/sheet"
	"rangebox/inventory"
	"rangebox/inventory/boltstore"
)

// incoming is a file as read: a batch, and for a sheet what was read of it, with
// the places of its rows and what was rejected.
type incoming struct {
	name  string
	batch *inventory.Batch
	sheet *sheet.Result // nil for an archive
}

// readIncoming reads whatever kind of file it is.
func readIncoming(g *global, file string, o importOptions) (*incoming, error) {
	data, name, err := readBytes(g, file)
	if err != nil {
		return nil, err
	}
	format, err := importers.Sniff(data[:min(len(data), importers.SniffLen)], name)
	if err != nil {
		return nil, err
	}
	if format != importers.Archive {
		return readSheet(g, data, name, o)
	}
	if o.keepGood != "" || o.kind != "" || len(o.maps) > 0 {
		return nil, misused("leave them away", "--kind, --map and --keep-good are for sheets, and this is an archive")
	}
	work := g.working(0, "reading %s", name)
	defer work.end()
	batch, err := archive.Read(bytes.NewReader(data), name)
	return &incoming{name: name, batch: batch}, err
}

// readBytes reads a file, or standard input for -.
func readBytes(g *global, file string) ([]byte, string, error) {
	r, name := g.env.In, "standard input"
	if file != "-" {
		f, err := os.Open(file)
		if err != nil {
			return nil, "", advise(fmt.Errorf("opening %s: %w", file, cause(err)), "check the file's name")
		}
		defer f.Close()
		r, name = f, filepath.Base(file)
	}
	data, err := io.ReadAll(r)
	if err != nil {
		return nil, "", fmt.Errorf("reading %s: %w", name, cause(err))
	}
	return data, name, nil
}

// cause takes the path off a file error, which the sentence has said.
func cause(err error) error {
	var p *os.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	return err
}

// readSheet reads a sheet; what is unsure is asked at a terminal, else refused
// with the flag to type.
func readSheet(g *global, data []byte, name string, o importOptions) (*incoming, error) {
	opt := sheet.Options{Kind: o.kind, Map: o.maps}
	read, err := readOnce(g, data, name, opt)
	if err != nil {
		return nil, err
	}
	if len(read.Unsure) > 0 && g.asks() && !slices.ContainsFunc(read.Unsure, mended) {
		if err := ask(g, read.Unsure, &opt); err != nil {
			return nil, err
		}
		if read, err = readOnce(g, data, name, opt); err != nil {
			return nil, err
		}
	}
	if len(read.Unsure) > 0 || o.keepGood == "" {
		if err := read.Err(); err != nil {
			return nil, err
		}
	}
	return &incoming{name: name, batch: read.Batch, sheet: read}, nil
}

// readOnce reads a sheet; nothing is shown of that any more when it is asked about.
func readOnce(g *global, data []byte, name string, opt sheet.Options) (*sheet.Result, error) {
	work := g.working(0, "reading %s", name)
	defer work.end()
	return sheet.Read(bytes.NewReader(data), name, opt)
}

// mended tells of a doubt that only the file itself can settle.
func mended(d sheet.Doubt) bool { return d.Mend != "" }

// ask settles what is unsure about a sheet with the person at the terminal. No
// box is open meanwhile.
func ask(g *global, doubts []sheet.Doubt, opt *sheet.Options) error {
	in := bufio.NewScanner(g.env.In)
	if opt.Map == nil {
		opt.Map = map[string]string{}
	}
	for _, d := range doubts {
		answer, err := askOne(g, in, d)
		if err != nil {
			return err
		}
		if d.Column == "" {
			opt.Kind = answer
			continue
		}
		opt.Map[d.Header] = answer
	}
	return nil
}

// askOne asks until the answer can be one.
func askOne(g *global, in *bufio.Scanner, d sheet.Doubt) (string, error) {
	utter(g.env, "", inventory.Printable(d.Why))
	for i, c := range d.Candidates {
		fmt.Fprintf(g.env.Err, "  %d  %s\n", i+1, c)
	}
	prompt, what := "Number or name, - to leave it out: ", "field"
	if d.Column == "" {
		prompt, what = "Number or name: ", "kind"
	}
	for {
		fmt.Fprint(g.env.Err, prompt)
		if !in.Scan() {
			return "", misused("say "+d.Flag(), "nothing was answered")
		}
		text := strings.TrimSpace(in.Text())
		if n, err := strconv.Atoi(text); err == nil && n >= 1 && n <= len(d.Candidates) {
			return d.Candidates[n-1], nil
		}
		if d.Takes(text) {
			return text, nil
		}
		utter(g.env, "", fmt.Sprintf("%q is none of these, and the name of no %s.", inventory.Printable(text), what))
	}
}

// passedOver are the sheets of a workbook that were left out, unless one kind was
// asked for.
func (in *incoming) passedOver(o importOptions) (names []string) {
	if in.sheet == nil || o.kind != "" {
		return nil
	}
	for _, s := range in.sheet.Sheets {
		if s.Kind == "" {
			names = append(names, s.Name)
		}
	}
	return names
}

// tellSheet tells what mapped columns were taken for, which handles were made,
// and where two records would have had one.
func (in *incoming) tellSheet(out *answer.Import) {
	if in.sheet == nil {
		return
	}
	for _, m := range in.sheet.Mapped {
		out.Mapped = append(out.Mapped, answer.Mapped{Sheet: m.Sheet, Header: m.Header, Field: m.Field, Unit: m.Unit, PerCell: m.PerCell})
	}
	for _, m := range in.sheet.Made() {
		out.Made = append(out.Made, answer.Made{Kind: string(m.Kind), Handle: m.Handle, Sheet: m.Sheet, Row: m.Row})
		if m.TakenBy != 0 {
			out.Warnings = append(out.Warnings, answer.Warning{Kind: string(m.Kind), Record: m.Handle, Row: m.Row,
				Doubt: fmt.Sprintf("maker and name give the handle %s, which row %d has; take one of the rows out if they are the same, else give each its own handle", m.Of, m.TakenBy)})
		}
	}
}

// allRejected tells of a sheet of which nothing can be taken in: it makes no box.
func (in *incoming) allRejected() bool {
	return in.sheet != nil && len(in.batch.Items) == 0 && len(in.sheet.Rejected) > 0
}

// settle drops, with --keep-good, what a box refuses of a sheet.
func (in *incoming) settle(tx *boltstore.Tx, o importOptions) {
	if in.sheet != nil && o.keepGood != "" {
		in.sheet.Settle(tx)
	}
}

// placed gives the store's problems with a batch their places in the file.
func (in *incoming) placed(err error) error {
	var p *boltstore.ProblemsError
	if !errors.As(err, &p) {
		return err
	}
	var issues importers.Issues
	for _, problem := range p.Problems {
		if in.sheet != nil {
			issues = append(issues, in.sheet.IssueOf(problem))
			continue
		}
		item := in.batch.Items[problem.Item]
		column := item.Record.Kind().Info().Plural
		if problem.Path != "" {
			column += " " + problem.Path
		}
		issues = append(issues, importers.Issue{File: in.name, Row: item.Row, Column: column, Found: item.Record.Base().Handle, Err: problem.Err})
	}
	return issues
}

// keepRejected writes the rows that are not taken in, each with its reason, and
// tells whether there is a file of them now.
func (in *incoming) keepRejected(g *global, o importOptions) (bool, error) {
	if in.sheet == nil || o.keepGood == "" || o.dryRun || len(in.sheet.Rejected) == 0 {
		return false, nil
	}
	err := g.writeWhole(o.keepGood, func(f *os.File) error { return sheet.WriteRejected(f, in.sheet.Rejected) })
	return err == nil, err
}

// tellRejected adds to the answer what was not taken in with --keep-good.
func (in *incoming) tellRejected(out *answer.Import, o importOptions) {
	if in.sheet == nil || o.keepGood == "" {
		return
	}
	for _, r := range in.sheet.Rejected {
		out.Reject(answer.RejectedRow{Sheet: r.Sheet, Row: r.Row, Reasons: r.Reasons})
	}
	if out.Rejected > 0 && !o.dryRun {
		out.RejectedFile = o.keepGood
	}
}
