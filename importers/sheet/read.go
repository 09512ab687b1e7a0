package sheet

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"sort"

	"rangebox/importers"
	"rangebox/inventory"
)

// Read reads a text table or a workbook; file is its name in complaints. An error
// means that the file cannot be read at all: one that cannot be opened, damaged,
// too large. All else is in the Result, whose Err refuses the file as a whole.
func Read(r io.Reader, file string, opt Options) (*Result, error) {
	data, err := importers.ReadAll(r, file)
	if err != nil {
		return nil, err
	}
	grids, err := open(data, file)
	if err != nil {
		return nil, err
	}
	if err := opt.check(grids); err != nil {
		return nil, err
	}
	out := &Result{Batch: &inventory.Batch{}, file: file}
	in := &reader{file: file, out: out, motors: map[string]*pending{}}
	in.sheets(grids, opt)
	in.finish()
	return out, nil
}

// check refuses options that no file could suit.
func (o Options) check(grids []*grid) error {
	if o.Kind != "" {
		if _, ok := inventory.KindNamed(o.Kind); !ok {
			return fmt.Errorf("%w: there is no kind %q; kinds are %s", inventory.ErrInvalid, inventory.Printable(o.Kind), kindNames())
		}
	}
	headers := make([]string, 0, len(o.Map))
	for header := range o.Map {
		headers = append(headers, header)
	}
	sort.Strings(headers)
	for _, header := range headers {
		if key := o.Map[header]; key != "-" && !someField(key, lexicons()) {
			return unknownField(header, key, kindsAtHand(o, grids))
		}
	}
	return nil
}

// kindsAtHand are the kinds that a person may mean: the one that is named, or else those
// whose headers the file has.
func kindsAtHand(opt Options, grids []*grid) []*lexicon {
	f := &finder{opt: opt, kinds: lexicons()}
	if given := f.given(); given != nil {
		return []*lexicon{given}
	}
	var kinds []*lexicon
	for _, g := range grids {
		if _, _, best := f.best(g, f.kinds); len(best) == 1 {
			kinds = append(kinds, best[0])
		}
	}
	if len(kinds) == 0 {
		return f.kinds
	}
	return kinds
}

func kindNames() string {
	names := ""
	for i, info := range inventory.Kinds {
		if i > 0 {
			names += ", "
		}
		names += string(info.Kind)
	}
	return names
}

func someField(word string, kinds []*lexicon) bool {
	return slices.ContainsFunc(kinds, func(lex *lexicon) bool { return lex.named(word) != nil })
}

// unknownField refuses a field in --map that no kind has; what is near it is of the kinds
// at hand.
func unknownField(header, key string, kinds []*lexicon) error {
	var known []string
	for _, lex := range kinds {
		for _, c := range lex.columns {
			known = appendNew(known, c.key)
		}
		for word, found := range lex.words {
			if len(found) == 1 {
				known = appendNew(known, word)
			}
		}
	}
	sort.Strings(known)
	hint := ""
	if near, ok := inventory.Nearest(key, known); ok {
		hint = fmt.Sprintf("; did you mean %q?", fieldOf(near, kinds))
	}
	return fmt.Errorf("%w: --map %q: there is no field %q%s", inventory.ErrInvalid, header+"="+key, inventory.Printable(key), hint)
}

// fieldOf is the key of the field that a word means.
func fieldOf(word string, kinds []*lexicon) string {
	for _, lex := range kinds {
		if c := lex.named(word); c != nil {
			return c.key
		}
	}
	return word
}

// reader turns sheets into records.
type reader struct {
	file    string
	out     *Result
	records []*pending
	motors  map[string]*pending // by what joins their rows
}

func (in *reader) sheets(grids []*grid, opt Options) {
	f := &finder{file: in.file, opt: opt, kinds: lexicons(), mapped: map[string]string{}, used: map[string]bool{}, out: in.out}
	for header, key := range opt.Map {
		f.mapped[headerKey(header)] = key
	}
	filled := 0
	for _, g := range grids {
		if len(g.rows) > 0 {
			filled++
		}
	}
	if filled == 0 {
		in.out.list(nothingIn(in.file, grids))
	}
	tables := 0
	for _, g := range grids {
		if l := f.locate(g, filled == 1); l != nil {
			tables++
			in.rows(l)
		}
	}
	if tables == 0 && filled > 1 && len(in.out.Issues)+len(in.out.Unsure) == 0 {
		in.out.list(importers.Issue{File: in.file, Found: fmt.Sprintf("%d sheets", filled), Expected: "a table of records",
			Err: fmt.Errorf("%w: none of the %d sheets has a row of headers that is known; say what they are with --kind and --map", inventory.ErrInvalid, filled)})
	}
	f.unused()
}

// nothingIn refuses a file without a table, but what is hidden in it.
func nothingIn(file string, grids []*grid) importers.Issue {
	issue := importers.Issue{File: file, Found: "nothing", Expected: "a table of records",
		Err: fmt.Errorf("%w: no sheet of the file holds anything", inventory.ErrInvalid)}
	if slices.ContainsFunc(grids, func(g *grid) bool { return g.hidden }) {
		issue.Err = fmt.Errorf("%w: no sheet that is shown holds anything, and hidden ones are not read; show those that are to be taken in", inventory.ErrInvalid)
	}
	return issue
}

// pending is a record that is being made, and the rows it is made of.
type pending struct {
	rec    inventory.Record
	layout *layout
	rows   []*row
	issues importers.Issues
	of     string   // the kind of item that a lot's header names
	made   bool     // its handle is made of maker and name
	taken  *pending // who has the handle that they give
	// amounts are those whose unit is said.
	amounts []said
}

func (in *reader) rows(l *layout) {
	for i := range l.data {
		p := &pending{layout: l, rows: []*row{&l.data[i]}}
		in.read(p, &l.data[i])
		if l.title(&l.data[i]) {
			in.complain(p, &l.data[i], "", refuse("a text over several columns", "a record", "a text over several columns is no record; take the row out of the sheet"))
		}
		if m, ok := p.rec.(*inventory.Motor); ok && in.join(p, m) {
			continue
		}
		in.records = append(in.records, p)
	}
}

// read fills a record from a row.
func (in *reader) read(p *pending, r *row) {
	l := p.layout
	p.rec = in.nested(p, r)
	var nozzle []*binding
	for i := range l.bindings {
		b := &l.bindings[i]
		c := l.cell(r, b)
		switch {
		case c.empty() || !b.known() || b.part > 0 || b.columns[0].as == asJSON || b.saysNothing(c):
			continue
		case b.columns[0].nozzle:
			nozzle = append(nozzle, b)
			continue
		}
		if b.of != "" {
			p.of = b.of
		}
		in.complain(p, r, b.place(), l.set(p.rec, b, c))
		p.note(r, b, c)
	}
	if m, ok := p.rec.(*inventory.Motor); ok && len(nozzle) > 0 {
		in.nozzles(p, r, m, nozzle)
	}
	in.beyond(p, r)
}

// beyond complains of cells in columns without a header.
func (in *reader) beyond(p *pending, r *row) {
	for i, c := range r.cells {
		if !c.empty() && p.layout.header.at(i).empty() {
			text := quoted(c.text)
			in.complain(p, r, place(letter(i), ""), refuse(text, "nothing", "%s stands in a column without a header; head it, or put cells that hold the delimiter in quotes", text))
			return
		}
	}
}

// complain notes what is wrong with a cell.
func (in *reader) complain(p *pending, r *row, column string, err error) {
	if err == nil {
		return
	}
	issue := importers.Issue{File: in.file, Sheet: p.layout.grid.name, Row: r.number, Column: column, Err: err}
	var cell importers.Issue
	if errors.As(err, &cell) {
		issue.Found, issue.Expected, issue.Err = cell.Found, cell.Expected, cell.Err
	}
	same := func(other importers.Issue) bool { return other.Row == issue.Row && other.Error() == issue.Error() }
	if !slices.ContainsFunc(p.issues, same) { // two throats of a cell may have one fault
		p.issues = append(p.issues, issue)
	}
}

// issue places a complaint about the record as a whole, or about a field of it.
func (p *pending) issue(file, path string, err error) importers.Issue {
	r := p.rows[0]
	issue := importers.Issue{File: file, Sheet: p.layout.grid.name, Row: r.number, Err: err}
	b := p.layout.about(path)
	if b == nil {
		b = p.layout.about(err.Error())
	}
	if b != nil {
		issue.Column, issue.Found = b.place(), quoted(r.at(b.index).text)
		issue.Expected = b.columns[0].f.Expected()
	}
	return issue
}

// about finds the column that a text names first.
func (l *layout) about(text string) *binding {
	var found *binding
	least := len(text)
	for i := range l.bindings {
		b := &l.bindings[i]
		if !b.known() {
			continue
		}
		if at := indexWord(text, b.columns[0].f.Key); at >= 0 && at < least {
			found, least = b, at
		}
	}
	return found
}

// indexWord finds a key that is no part of a longer word.
func indexWord(text, key string) int {
	for from := 0; from+len(key) <= len(text); from++ {
		end := from + len(key)
		if text[from:end] == key && (from == 0 || !wordByte(text[from-1])) && (end == len(text) || !wordByte(text[end])) {
			return from
		}
	}
	return -1
}

func wordByte(c byte) bool {
	return c == '_' || c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9'
}
