package sheet

import (
	"strings"
	"time"
	"unicode"

	"rangebox/importers/sheet/xlsx"
)

// cell is a cell of any kind of file.
type cell struct {
	text string
	form form
}

// form is what is known of a cell beside its text.
type form uint8

const (
	bare      form = iota // text without quotes: blanks around it mean nothing
	literal               // text as it is
	number                // a number as a workbook stores it
	day                   // a date, 2027-04-17
	truth                 // true or false
	fault                 // #N/A and the like
	noValue               // a formula whose value is not in the file
	disguised             // a number that the cell shows as another, as a time, or not at all
	datePart              // a date of which the cell shows no year, or nothing but the year
	joined                // a number of the row above, whose cell is joined with this one
)

func (c cell) empty() bool {
	if c.form == literal {
		return c.text == ""
	}
	return c.form != noValue && blank(c.text)
}

func blank(s string) bool { return strings.TrimFunc(s, unicode.IsSpace) == "" }

// trimmed is the text without blanks around it, where they mean nothing.
func (c cell) trimmed() string { return strings.TrimFunc(c.text, unicode.IsSpace) }

// row is a row that holds something.
type row struct {
	number int // the row as a spreadsheet counts it, from 1: a cell with line breaks does not add to it
	cells  []cell
}

func (r *row) at(i int) cell {
	if i < len(r.cells) {
		return r.cells[i]
	}
	return cell{}
}

func (r *row) empty() bool {
	for _, c := range r.cells {
		if !c.empty() && !blank(c.text) || c.form == noValue {
			return false
		}
	}
	return true
}

// grid is one sheet.
type grid struct {
	name string
	// hidden is a sheet that nobody sees: it is passed over.
	hidden bool
	// delimiter is what separates the cells of a text table, 0 in a workbook.
	delimiter rune
	rows      []row
	// day reads a serial number in the workbook's system; nil in a text table.
	day func(serial string) (time.Time, bool)
	// merged lists the joined cells of a workbook's sheet.
	merged []xlsx.Range
}

// header is a row as one of headers: a cell that is joined with one above it has
// its text.
func (g *grid) header(i int) *row {
	r := &g.rows[i]
	for _, m := range g.merged {
		if m.Top >= r.number || m.Bottom < r.number || !r.at(m.Left).empty() {
			continue
		}
		if above := g.cellAt(m.Top, m.Left); !above.empty() {
			r = r.with(m.Left, above)
		}
	}
	return r
}

func (g *grid) cellAt(number, column int) cell {
	for i := range g.rows[:min(headerWithin, len(g.rows))] {
		if g.rows[i].number == number {
			return g.rows[i].at(column)
		}
	}
	return cell{}
}

// with is a copy of the row with a cell in it.
func (r *row) with(column int, c cell) *row {
	cells := make([]cell, max(len(r.cells), column+1))
	copy(cells, r.cells)
	cells[column] = c
	return &row{r.number, cells}
}

// letter names a column, from 0.
func letter(column int) string { return xlsx.Letters(column) }

// headerKey is by what a header that was typed is found again: its letters and
// digits, or all of it where it has none.
func headerKey(s string) string {
	if key := plain(s); key != "" {
		return key
	}
	return strings.TrimSpace(s)
}

// plain is a text in lower case, letters and digits only: how headers are compared.
func plain(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToLower(r)
		}
		return -1
	}, s)
}
