// Package curve reads a thrust curve: two columns of numbers, time in seconds and
// thrust in newtons, separated by commas, semicolons, tabs or spaces, with or
// without a header, with comment lines that begin with # or ;.
//
// It fills curve points and knows no store. It imports the standard library, the
// importers' complaints, the records and the quantities.
package curve

import (
	"bufio"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

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
	in := &reading{file: file}
	lines := bufio.NewScanner(r)
	lines.Buffer(nil, 64<<10)
	for lines.Scan() {
		in.row++
		if err := in.line(lines.Text()); err != nil {
			return Result{}, err
		}
	}
	if err := lines.Err(); err != nil {
		in.row++
		return Result{}, in.refuse("a line that cannot be read", "two numbers, time in s and thrust in N")
	}
	return in.result()
}

type reading struct {
	file   string
	row    int
	header bool // a header line was seen
	points []inventory.CurvePoint
}

func (in *reading) refuse(found, expected string) error {
	return importers.Issue{File: in.file, Row: in.row, Found: found, Expected: expected,
		Err: fmt.Errorf("%w: found %s, expected %s", inventory.ErrInvalid, found, expected)}
}

func (in *reading) line(text string) error {
	text = strings.TrimSpace(strings.TrimPrefix(text, "\ufeff"))
	if text == "" || text[0] == '#' || text[0] == ';' {
		return nil
	}
	if !utf8.ValidString(text) {
		return in.refuse("a line that is not UTF-8 text", "two numbers, time in s and thrust in N")
	}
	cells := strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ';' || r == '\t' || r == ' ' })
	at, err1 := number(cells, 0, quantity.Second.Scale)
	thrust, err2 := number(cells, 1, quantity.Newton.Scale)
	if err1 != nil && err2 != nil && len(in.points) == 0 && !in.header {
		in.header = true
		return nil
	}
	if err1 != nil || err2 != nil || len(cells) != 2 {
		return in.refuse(fmt.Sprintf("%q", inventory.Printable(text)), "two numbers, time in s and thrust in N")
	}
	return in.point(quantity.Time(at), quantity.Force(thrust))
}

func number(cells []string, i int, scale *quantity.Scale) (int64, error) {
	if i >= len(cells) {
		return 0, inventory.ErrInvalid
	}
	return scale.Parse(cells[i])
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
