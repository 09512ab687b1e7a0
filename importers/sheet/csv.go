package sheet

import (
	"fmt"
	"strings"

	"rangebox/importers"
	"rangebox/inventory"
)

// Bounds on a text table (ours, the first two the workbook format's).
const (
	maxRows    = 1_048_576
	maxColumns = 16_384
	maxCells   = 8_000_000
	maxCell    = 16 << 20 // the JSON of a launch day holds many texts
)

// csvReader reads RFC 4180 with any delimiter and any line end. (encoding/csv
// would turn CR LF within quotes into LF, and so change a note.)
type csvReader struct {
	file      string
	text      string
	delimiter rune
	at        int
	row       int // as a spreadsheet counts: line breaks within quotes do not add to it
	cells     int
}

func newCSV(text string, delimiter rune, file string) *csvReader {
	in := &csvReader{file: file, text: text, delimiter: delimiter}
	if strings.HasPrefix(text, separatorLine) {
		in.row-- // a spreadsheet takes this line for itself
	}
	return in
}

// next reads a record; ok is false at the end.
func (in *csvReader) next() (r row, ok bool, err error) {
	if in.at >= len(in.text) {
		return row{}, false, nil
	}
	in.row++
	r.number = in.row
	for {
		c, more, err := in.cell()
		if err != nil {
			return row{}, false, err
		}
		r.cells = append(r.cells, c)
		if in.cells++; len(r.cells) > maxColumns || in.cells > maxCells {
			return row{}, false, in.refuse("more cells than a table has", "%d columns and %d million cells at most", maxColumns, maxCells/1_000_000)
		}
		if !more {
			return r, true, nil
		}
	}
}

// cell reads a cell and what ends it; more tells that another follows.
func (in *csvReader) cell() (c cell, more bool, err error) {
	if strings.HasPrefix(in.text[in.at:], `"`) {
		if c, err = in.quoted(); err != nil {
			return c, false, err
		}
	} else {
		end := strings.IndexFunc(in.text[in.at:], in.ends)
		if end < 0 {
			end = len(in.text) - in.at
		}
		c.text = in.text[in.at : in.at+end]
		in.at += end
	}
	if len(c.text) > maxCell {
		return c, false, in.refuse("a cell of more than 16 MiB", "text of up to 64 KiB")
	}
	return c, in.separator(), nil
}

func (in *csvReader) ends(r rune) bool { return r == in.delimiter || r == '\n' || r == '\r' }

// quoted reads a cell in quotes, in which two of them stand for one.
func (in *csvReader) quoted() (cell, error) {
	var b strings.Builder
	in.at++
	for {
		end := strings.IndexByte(in.text[in.at:], '"')
		if end < 0 {
			return cell{}, in.refuse("a quote that is never closed", "a quote at the end of the cell, and \"\" for one within it")
		}
		b.WriteString(in.text[in.at : in.at+end])
		in.at += end + 1
		if !strings.HasPrefix(in.text[in.at:], `"`) {
			break
		}
		b.WriteByte('"')
		in.at++
	}
	rest := in.text[in.at:]
	if end := strings.IndexFunc(rest, in.ends); end > 0 || end < 0 && rest != "" {
		if end < 0 {
			end = len(rest)
		}
		if !blank(rest[:end]) {
			return cell{}, in.refuse(fmt.Sprintf("%q after a closing quote", inventory.Printable(rest[:end])), "the delimiter, and \"\" for a quote within the cell")
		}
		in.at += end
	}
	return cell{b.String(), literal}, nil
}

// separator takes what ends a cell; true where another cell follows.
func (in *csvReader) separator() bool {
	rest := in.text[in.at:]
	switch {
	case rest == "":
		return false
	case strings.HasPrefix(rest, "\r\n"):
		in.at += 2
	case rest[0] == '\n' || rest[0] == '\r':
		in.at++
	default:
		in.at++ // the delimiter
		return true
	}
	return false
}

func (in *csvReader) refuse(found, expected string, args ...any) error {
	expected = fmt.Sprintf(expected, args...)
	return importers.Issue{File: in.file, Row: in.row, Found: found, Expected: expected,
		Err: fmt.Errorf("%w: found %s, expected %s", inventory.ErrInvalid, found, expected)}
}

// all reads every record that holds something, up to a number of them.
func (in *csvReader) all(most int) ([]row, error) {
	var rows []row
	for {
		r, ok, err := in.next()
		if err != nil || !ok {
			return rows, err
		}
		if r.empty() {
			continue
		}
		if len(rows) == most {
			return rows, nil
		}
		rows = append(rows, r)
	}
}

// separatorLine begins a first line that says what separates the cells, `sep=;`.
const separatorLine = "sep="

var delimiters = []rune{',', ';', '\t', '|'}

// delimiterOf finds what separates the cells: what makes most headers known,
// else what gives most rows the same number of cells. A separatorLine says.
func delimiterOf(text string) rune {
	if after, ok := strings.CutPrefix(text, separatorLine); ok && len(after) > 1 && (after[1] == '\n' || after[1] == '\r') {
		return rune(after[0])
	}
	best, most := ',', -1
	for _, d := range delimiters {
		rows, _ := newCSV(text, d, "").all(headerWithin)
		if score := 1000*bestHeader(rows) + evenness(rows); score > most {
			best, most = d, score
		}
	}
	return best
}

// evenness is how many rows have the commonest number of cells above one.
func evenness(rows []row) int {
	counts, most := map[int]int{}, 0
	for _, r := range rows {
		if n := len(r.cells); n > 1 {
			counts[n]++
			most = max(most, counts[n])
		}
	}
	return most
}
