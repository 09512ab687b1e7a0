package sheet

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"rangebox/importers"
	"rangebox/importers/sheet/xlsx"
	"rangebox/inventory/quantity"
)

func (l *layout) rejected(r *row, reasons []string) Rejected {
	out := Rejected{Sheet: l.grid.name, Row: r.number, Reasons: reasons, delimiter: l.again()}
	for i := range max(len(r.cells), len(l.header.cells)) {
		out.Header = append(out.Header, l.header.at(i).trimmed())
		out.Cells = append(out.Cells, l.cellAgain(i, r.at(i)))
	}
	return out
}

// reasonsOf says why a row is not taken: its own faults, then those of the other rows of
// its record, each with its row.
func reasonsOf(row int, issues importers.Issues) []string {
	var own, others []string
	for _, issue := range issues {
		mine := issue.Row == row
		issue.File, issue.Sheet = "", ""
		if mine {
			issue.Row = 0
			own = appendNew(own, issue.Error())
			continue
		}
		others = appendNew(others, issue.Error())
	}
	return append(own, others...)
}

// again is the delimiter of the file in which rejected rows of this sheet are read as
// they would be here, without the other rows, which may have shown what a comma is: as
// in the source, but semicolons say that commas are decimal, and nothing else does.
func (l *layout) again() rune {
	switch {
	case l.grid.delimiter == 0:
		return ','
	case l.commaIsDecimal():
		return ';'
	case l.grid.delimiter == ';', !slices.Contains(delimiters, l.grid.delimiter):
		return ','
	}
	return l.grid.delimiter
}

// cellAgain is a cell for that file. A workbook's rows are separated by commas, since
// rows of several sheets may stand together: its decimal commas become points. A number
// that can be read two ways here might be read one way there, where the other rows are
// missing, and so is marked.
func (l *layout) cellAgain(column int, c cell) string {
	b := l.bound(column)
	texts := c.form == bare || c.form == literal
	if b == nil || !b.columns[0].numeric() || !texts || !strings.ContainsAny(c.text, ",.") {
		return c.again()
	}
	text, err := l.point(c)
	if b.columns[0].many() {
		text = l.spreadCommas(c.text)
		_, err = l.several(b, c.trimmed())
	}
	switch {
	case err != nil:
		c.text += "?"
	case l.grid.delimiter == 0 && l.commaIsDecimal():
		c.text = text
	}
	return c.again()
}

// again is a cell as a file of rejected rows has it: what reading it gives is the
// same, and no spreadsheet takes it for a formula.
func (c cell) again() string {
	switch c.form {
	case bare, literal:
	case disguised, joined:
		return c.text + "?" // not the plain number, which nobody saw in the cell, or not of this row
	default:
		return c.text
	}
	text := unescape(c.text)
	if _, err := quantity.One.Parse(text); err == nil {
		return text
	}
	return escape(text)
}

// WriteRejected writes rejected rows as a text table that can be mended and read
// again: the reasons and the places first, then the cells as they stood.
func WriteRejected(w io.Writer, rows []Rejected) error {
	out := newCSVWriter(w)
	if len(rows) > 0 && rows[0].delimiter != 0 { // rows of one file have one
		out.delimiter = rows[0].delimiter
	}
	var header []string
	at := map[string]int{}
	for _, r := range rows {
		for _, h := range r.Header {
			if _, there := at[h]; !there && h != "" {
				at[h] = len(header)
				header = append(header, h)
			}
		}
	}
	out.record(append(append([]string(nil), rejectedHeaders...), header...))
	for _, r := range rows {
		cells := make([]string, len(rejectedHeaders)+len(header))
		cells[0], cells[1], cells[2] = strings.Join(r.Reasons, "; "), r.Sheet, fmt.Sprint(r.Row)
		for i, c := range r.Cells {
			if i < len(r.Header) && r.Header[i] != "" {
				cells[len(rejectedHeaders)+at[r.Header[i]]] = c
			} else if c != "" {
				cells[0] += fmt.Sprintf(" [column %s: %s]", xlsx.Letters(i), c)
			}
		}
		out.record(cells)
	}
	return out.close()
}
