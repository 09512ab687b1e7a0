// Package curve reads a thrust curve: two columns of numbers, time and thrust,
// separated by commas, semicolons, tabs or spaces, with decimal points or (but
// for the first) decimal commas, in any encoding that package importers knows,
// with or without a header, with comment lines that begin with # or ;.
//
// Bare numbers are seconds and newtons, or what the header says (`Time (ms)`,
// `thrust_lbf`, `Seconds,Pounds`); a unit in a cell wins over both. The header
// also says which column is which. A word in it that is not known is refused, and
// so is a comment that speaks of other units where no header does.
//
// It fills curve points and knows no store. It imports the standard library, the
// importers' complaints, the records and the quantities.
package curve

import (
	"fmt"
	"io"
	"strings"

	"rangebox/importers"
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// maxPoints bounds what is read; a curve of a test stand at 1 kHz has thousands.
const maxPoints = 100_000

// Result is a curve as read, and what had to be supplied.
type Result struct {
	Points []inventory.CurvePoint
	// FirstSupplied and LastSupplied tell that a zero was put before the first or
	// behind the last point.
	FirstSupplied, LastSupplied bool
}

// Read reads a curve. Errors are an importers.Issue with the line, and wrap
// inventory.ErrInvalid.
func Read(r io.Reader, file string) (Result, error) {
	data, err := importers.ReadAll(r, file)
	if err != nil {
		return Result{}, err
	}
	text, err := importers.Text(data, file)
	if err != nil {
		return Result{}, err
	}
	in := &reading{file: file, time: quantity.Second.Scale, thrust: quantity.Newton.Scale}
	for text != "" {
		var line string
		line, text = cutLine(text)
		in.row++
		if err := in.line(line); err != nil {
			return Result{}, err
		}
	}
	return in.result()
}

// cutLine cuts at LF, CR or both.
func cutLine(text string) (line, rest string) {
	end := strings.IndexAny(text, "\r\n")
	if end < 0 {
		return text, ""
	}
	rest = text[end+1:]
	if text[end] == '\r' {
		rest = strings.TrimPrefix(rest, "\n")
	}
	return text[:end], rest
}

// spot is a text and where it stood; row 0: nowhere.
type spot struct {
	row  int
	text string
}

type reading struct {
	file         string
	row          int
	header       bool // a header line was seen
	delimiter    rune // of the first line of numbers; 0 before it
	time, thrust *quantity.Scale
	swapped      bool    // thrust stands first
	stated       [3]bool // by role: the header says its unit
	hinted       [3]spot // by role: a comment that speaks of another unit
	mark         byte    // the decimal mark, 0 before the first
	settled      bool    // a number shows that the mark is no mark of thousands
	unclear      spot    // the first number that does not
	points       []inventory.CurvePoint
}

func (in *reading) refuse(found, expected string) error {
	return importers.Issue{File: in.file, Row: in.row, Found: found, Expected: expected,
		Err: fmt.Errorf("%w: found %s, expected %s", inventory.ErrInvalid, found, expected)}
}

const twoNumbers = "two numbers, time in s and thrust in N"

func (in *reading) line(text string) error {
	text = strings.TrimSpace(text)
	switch {
	case text == "":
		return nil
	case text[0] == '#' || text[0] == ';':
		in.hints(text)
		return nil
	}
	at, thrust, ok, err := in.numbers(text)
	switch {
	case err != nil:
		return err
	case ok:
		return in.point(quantity.Time(at), quantity.Force(thrust))
	}
	if len(in.points) == 0 && !in.header && in.isHeader(text) {
		in.header = true
		return in.units(text)
	}
	return in.refuse(fmt.Sprintf("%q", inventory.Printable(text)), twoNumbers)
}

// delimiters in the order they are tried: a comma may be decimal beside any
// other.
var delimiters = []rune{';', '\t', ',', ' '}

// numbers reads a line of two numbers. The first such line tells what is between
// them.
func (in *reading) numbers(text string) (at, thrust int64, ok bool, err error) {
	for _, d := range delimiters {
		if in.delimiter != 0 && in.delimiter != d {
			continue
		}
		cells := split(text, d)
		if len(cells) != 2 {
			continue
		}
		first, second := cells[0], cells[1]
		if in.swapped {
			first, second = second, first
		}
		at, err1 := in.time.Parse(point(first, d))
		thrust, err2 := in.thrust.Parse(point(second, d))
		if err1 != nil || err2 != nil {
			continue
		}
		in.delimiter = d
		for _, cell := range cells {
			if err := in.oneMark(cell, d); err != nil {
				return 0, 0, false, err
			}
		}
		return at, thrust, true, nil
	}
	return 0, 0, false, nil
}

// split gives the cells of a line, without quotes and empty ones at its end.
func split(text string, delimiter rune) []string {
	var cells []string
	if delimiter == ' ' {
		cells = strings.Fields(text)
	} else {
		cells = strings.Split(text, string(delimiter))
	}
	for i, c := range cells {
		cells[i] = strings.Trim(c, " \t\"\u00a0")
	}
	for len(cells) > 2 && cells[len(cells)-1] == "" {
		cells = cells[:len(cells)-1]
	}
	return cells
}

// point puts a decimal point for a comma, where commas do not part the columns.
func point(cell string, delimiter rune) string {
	if delimiter == ',' || strings.Count(cell, ",") != 1 || strings.Contains(cell, ".") {
		return cell
	}
	return strings.Replace(cell, ",", ".", 1)
}

// isHeader tells a line of words from a damaged line of numbers.
func (in *reading) isHeader(text string) bool {
	for _, cell := range in.headerCells(text) {
		if strings.IndexAny(cell, "0123456789+-.,") == 0 {
			return false
		}
	}
	return true
}

// headerCells splits a header at the delimiter that gives two cells.
func (in *reading) headerCells(text string) []string {
	for _, d := range delimiters {
		if cells := split(text, d); len(cells) == 2 {
			return cells
		}
	}
	return []string{text}
}

func (in *reading) point(at quantity.Time, thrust quantity.Force) error {
	switch n := len(in.points); {
	case at < 0:
		return in.refuse("a time below 0", "times from 0 on")
	case thrust < 0:
		return in.refuse("a thrust below 0", "thrust of 0 or more")
	case n > 0 && at <= in.points[n-1].At:
		return in.refuse(quantity.Second.Format(int64(at))+" s after "+quantity.Second.Format(int64(in.points[n-1].At))+" s", "times that rise")
	case n == maxPoints:
		return in.refuse("more than 100,000 points", "fewer")
	}
	in.points = append(in.points, inventory.CurvePoint{At: at, Thrust: thrust})
	return nil
}

// step is how far behind a last point above zero the zero is put: the smallest
// step of time, so that the impulse is not changed.
const step = quantity.Time(1)

func (in *reading) result() (Result, error) {
	if len(in.points) < 2 {
		in.row = 0
		return Result{}, in.refuse("fewer than two points", "a curve")
	}
	if err := in.openQuestions(); err != nil {
		return Result{}, err
	}
	out := Result{Points: in.points}
	if first := out.Points[0]; first.At > 0 {
		out.Points = append([]inventory.CurvePoint{{}}, out.Points...)
		out.FirstSupplied = true
	}
	if last := out.Points[len(out.Points)-1]; last.Thrust > 0 {
		out.Points = append(out.Points, inventory.CurvePoint{At: last.At + step})
		out.LastSupplied = true
	}
	return out, nil
}
