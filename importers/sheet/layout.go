package sheet

import (
	"fmt"
	"slices"
	"sort"
	"strings"

	"rangebox/importers"
	"rangebox/importers/sheet/xlsx"
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// headerWithin is how many rows that hold something are looked at for headers:
// titles and remarks may stand above them (ours).
const headerWithin = 30

// layout is what a sheet was taken for.
type layout struct {
	grid     *grid
	lex      *lexicon
	header   *row
	data     []row
	bindings []binding
	marks    marks
	across   map[int]xlsx.Range // cells that are joined within a row, by its number
}

// bestHeader is the most headers that any kind knows in any of the rows.
func bestHeader(rows []row) int {
	best := 0
	for _, lex := range lexicons() {
		for i := range rows {
			best = max(best, lex.score(&rows[i], nil))
		}
	}
	return best
}

// score counts the cells of a row that head columns. One alone is no header row,
// unless it is all there is.
func (lex *lexicon) score(r *row, mapped map[string]string) int {
	known, filled := 0, 0
	for _, c := range r.cells {
		if c.empty() || blank(c.text) {
			continue
		}
		filled++
		if _, ok := mapped[headerKey(c.text)]; ok || c.heads(lex) {
			known++
		}
	}
	if known == 1 && filled > 1 {
		return 0
	}
	return known
}

const longestHeader = 200

func (c cell) heads(lex *lexicon) bool {
	if c.form == number || c.form == day || c.form == datePart || c.form == disguised || len(c.text) > longestHeader {
		return false
	}
	b := lex.read(c.trimmed())
	return b.known() || b.why != ""
}

// finder finds the layout of each sheet of a file.
type finder struct {
	file  string
	opt   Options
	kinds []*lexicon
	// mapped is Options.Map by plain header; used notes which were met.
	mapped map[string]string
	used   map[string]bool
	out    *Result
}

// locate finds a sheet's headers and kind. It gives nil where there are none,
// and says so where somebody has to be asked.
func (f *finder) locate(g *grid, alone bool) *layout {
	if g.hidden {
		return f.passOver(g)
	}
	if len(g.rows) == 0 {
		return nil
	}
	kinds, given, named := f.kinds, f.given(), f.named(g)
	switch {
	case given != nil && named != nil && given != named:
		return f.passOver(g) // the book's sheet of another kind
	case given != nil:
		kinds = []*lexicon{given}
	case named != nil:
		kinds = []*lexicon{named}
	}
	score, at, best := f.best(g, kinds)
	if given != nil && !alone {
		if other, _, _ := f.best(g, f.kinds); other > score {
			return f.passOver(g)
		}
	}
	switch {
	case score == 0 && alone:
		return f.nothing(g)
	case score == 0, score == 1 && !alone && given == nil && named == nil:
		return f.passOver(g)
	case len(best) > 1:
		return f.undecided(g, at, best, alone)
	}
	return f.bind(&layout{grid: g, lex: best[0], header: g.header(at), data: g.rows[at+1:]})
}

// best finds the first row in which most headers are known, and the kinds that
// know so many.
func (f *finder) best(g *grid, kinds []*lexicon) (score, at int, best []*lexicon) {
	for i := range g.rows[:min(headerWithin, len(g.rows))] {
		r := g.header(i)
		for _, lex := range kinds {
			switch n := lex.score(r, f.mapped); {
			case n > score:
				score, at, best = n, i, []*lexicon{lex}
			case n == score && n > 0 && at == i:
				best = append(best, lex)
			}
		}
	}
	return score, at, best
}

// given is the kind that the person named.
func (f *finder) given() *lexicon {
	info, ok := inventory.KindNamed(f.opt.Kind)
	for _, lex := range f.kinds {
		if ok && info.Kind == lex.kind {
			return lex
		}
	}
	return nil
}

// named is the kind that the sheet's name says.
func (f *finder) named(g *grid) *lexicon {
	for _, lex := range f.kinds {
		words := append(inventory.SheetNames(lex.kind), string(lex.kind), lex.kind.Info().Plural)
		for _, w := range words {
			if plain(w) == plain(g.name) {
				return lex
			}
		}
	}
	return nil
}

// passOver leaves out a sheet beside others.
func (f *finder) passOver(g *grid) *layout {
	name := g.name
	if g.hidden {
		name += " (hidden)"
	}
	f.out.Sheets = append(f.out.Sheets, Sheet{Name: name})
	return nil
}

// nothing refuses a file of one sheet without a table.
func (f *finder) nothing(g *grid) *layout {
	found := shownRow(&g.rows[0])
	f.out.list(importers.Issue{File: f.file, Sheet: g.name, Row: g.rows[0].number, Found: found, Expected: "a row of headers",
		Err: fmt.Errorf("%w: no row of headers is known among the first rows, which begin with %s; head the columns with names of fields, or say what they are with --kind and --map", inventory.ErrInvalid, found)})
	return nil
}

// undecided asks which of several kinds the sheet holds.
func (f *finder) undecided(g *grid, at int, kinds []*lexicon, alone bool) *layout {
	names := make([]string, len(kinds))
	for i, lex := range kinds {
		names[i] = string(lex.kind)
	}
	why := "these headers may be of " + strings.Join(withArticles(names), ", ")
	if !alone {
		why += fmt.Sprintf("; name the sheet after one of them, as in %q", kinds[0].kind.Info().Plural)
	}
	f.out.Unsure = append(f.out.Unsure, Doubt{Sheet: g.name, Row: g.rows[at].number, Header: shownRow(&g.rows[at]), Candidates: names, Why: why})
	f.meet(&g.rows[at])
	return nil
}

func withArticle(kind string) string {
	if strings.IndexByte("aeiou", kind[0]) >= 0 {
		return "an " + kind
	}
	return "a " + kind
}

func withArticles(kinds []string) []string {
	out := make([]string, len(kinds))
	for i, k := range kinds {
		out[i] = withArticle(k)
	}
	return out
}

// meet notes which mapped headers were there.
func (f *finder) meet(r *row) {
	for _, c := range r.cells {
		f.used[headerKey(c.text)] = true
	}
}

func shownRow(r *row) string {
	var words []string
	for _, c := range r.cells {
		if !c.empty() && len(words) < 3 {
			words = append(words, fmt.Sprintf("%q", inventory.Printable(c.trimmed())))
		}
	}
	return strings.Join(words, ", ")
}

// bind takes each header for a column.
func (f *finder) bind(l *layout) *layout {
	f.meet(l.header)
	for i, c := range l.header.cells {
		if c.empty() || blank(c.text) {
			continue
		}
		b := f.binding(l.lex, c.trimmed())
		b.index = i
		if b.asks != "" && l.bare(i) {
			b.columns, b.why = nil, b.asks
		}
		if !b.known() && !b.ignore && l.filled(i) {
			f.doubt(l, b)
		}
		l.bindings = append(l.bindings, b)
	}
	f.twice(l)
	f.tell(l)
	f.out.Sheets = append(f.out.Sheets, Sheet{Name: l.grid.name, Kind: l.lex.kind, Header: l.header.number, Rows: len(l.data)})
	l.across = acrossColumns(l.grid.merged)
	l.spread()
	l.marks = l.readMarks()
	return l
}

// tell notes what the mapped headers were taken for.
func (f *finder) tell(l *layout) {
	for i := range l.bindings {
		if b := &l.bindings[i]; b.mapped && b.known() {
			f.out.Mapped = append(f.out.Mapped, b.told(l.grid.name))
		}
	}
}

// notes of our own in a file of rejected rows.
var rejectedHeaders = []string{"rejected because", "rejected sheet", "rejected row"}

func (f *finder) binding(lex *lexicon, header string) binding {
	for _, ours := range rejectedHeaders {
		if plain(header) == plain(ours) {
			return binding{header: header, ignore: true}
		}
	}
	key, ok := f.mapped[headerKey(header)]
	if !ok {
		return lex.read(header)
	}
	if key == "-" {
		return binding{header: header, ignore: true}
	}
	c := lex.named(key)
	if c == nil {
		return binding{header: header, why: fmt.Sprintf("is mapped to %q, which %s does not have", inventory.Printable(key), withArticle(string(lex.kind)))}
	}
	return lex.mappedTo(c, header)
}

// bare tells whether a column has numbers without a unit.
func (l *layout) bare(column int) bool {
	for i := range l.data {
		c := l.data[i].at(column)
		if !c.empty() && (c.form == number || quantity.Bare(strings.ReplaceAll(c.trimmed(), ",", "."))) {
			return true
		}
	}
	return false
}

// filled tells whether a column holds anything below its header: one that does
// not loses nothing.
func (l *layout) filled(column int) bool {
	for i := range l.data {
		if c := l.data[i].at(column); !c.empty() {
			return true
		}
	}
	return false
}

func (f *finder) doubt(l *layout, b binding) {
	why, likely := l.lex.why(b)
	f.out.Unsure = append(f.out.Unsure, Doubt{lex: l.lex, Sheet: l.grid.name, Row: l.header.number, Column: letter(b.index), Header: b.header,
		Why: why, Candidates: likely, Mend: b.mend})
}

// why says what is unclear of a header, and which fields it may mean: those that the
// words name, unless all of the header is nearer to another.
func (lex *lexicon) why(b binding) (why string, likely []string) {
	header := inventory.Printable(b.header)
	named := keysOf(b.likely)
	if len(named) == 0 || b.loose {
		likely = lex.candidates(b.header)
	}
	switch {
	case b.loose && len(likely) > 0 && !slices.Contains(named, likely[0]):
		return fmt.Sprintf("%q looks like %s", header, likely[0]), likely
	case len(named) > 0:
		return fmt.Sprintf("%q %s", header, b.why), named
	case b.why != "":
		return fmt.Sprintf("%q %s", header, b.why), likely
	}
	return fmt.Sprintf("%q is not known as a header of %s", header, withArticle(string(lex.kind))), likely
}

// twice asks where two columns mean the same.
func (f *finder) twice(l *layout) {
	seen := map[string]*binding{}
	for i := range l.bindings {
		b := &l.bindings[i]
		if !b.known() || b.part > 0 {
			continue
		}
		for _, c := range b.columns {
			other, again := seen[c.key]
			if !again {
				seen[c.key] = b
				continue
			}
			f.out.Unsure = append(f.out.Unsure, Doubt{lex: l.lex, Sheet: l.grid.name, Row: l.header.number, Column: letter(b.index), Header: b.header,
				Why: fmt.Sprintf("%q is %s, and so is %s; map one of them to another field", inventory.Printable(b.header), c.key, other.place())})
			b.columns, b.ignore = nil, true
			break
		}
	}
}

// unused refuses mapped headers that no sheet has.
func (f *finder) unused() {
	var names []string
	for header := range f.opt.Map {
		if !f.used[headerKey(header)] {
			names = append(names, header)
		}
	}
	sort.Strings(names)
	for _, name := range names {
		f.out.list(importers.Issue{File: f.file, Found: "no such header", Expected: "one of the file's headers",
			Err: fmt.Errorf("%w: --map names the header %q, which the file does not have", inventory.ErrInvalid, inventory.Printable(name))})
	}
}
