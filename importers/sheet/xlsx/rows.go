package xlsx

import (
	"encoding/xml"
	"errors"
	"io"
	"path"
	"strconv"
	"strings"
	"time"
)

// Form is what a cell holds.
type Form uint8

// The forms of cells.
const (
	Text      Form = iota
	Number         // Text is the number as it is stored, but with what its format puts to it: 5%, 12 in, M-012, 1 1/8
	Date           // Text is the day, 2027-04-17, or the month where only that is shown, 2027-04
	Truth          // Text is true or false
	Error          // Text is what the cell shows, #N/A
	NoValue        // a formula whose value is not in the file
	DatePart       // Text is the day, of which the cell shows a part: no year, or no more than that
	Disguised      // Text is the number as it is stored; its format shows another, a time of day, or none
)

// Cell is a cell that is not empty.
type Cell struct {
	Column int // from 0
	Form   Form
	Text   string
}

// The most columns and rows that the format knows.
const (
	MaxColumns = 16_384
	MaxRows    = 1_048_576
)

// Rows goes through the rows of a sheet that hold cells. The cells are only
// valid until the next row. Errors are a *Fault with its place, or yield's.
func (b *Book) Rows(s Sheet, yield func(row int, cells []Cell) error) error {
	in, err := b.parts.open(s.part, maxPart)
	if err != nil {
		return err
	}
	defer in.Close()
	r := &rowReader{book: b, xml: xml.NewDecoder(in), part: s.part}
	b.Merged = nil
	for {
		tok, err := r.xml.Token()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return r.placed(broken(s.part, err))
		}
		e, ok := tok.(xml.StartElement)
		if ok && e.Name.Local == "mergeCell" {
			b.merge(attr(e, "ref"))
		}
		if !ok || e.Name.Local != "row" {
			continue
		}
		if err := r.readRow(e); err != nil {
			return r.placed(broken(s.part, err))
		}
		if len(r.cells) == 0 {
			continue
		}
		if err := yield(r.row, r.cells); err != nil {
			return err
		}
	}
}

type rowReader struct {
	book   *Book
	xml    *xml.Decoder
	part   string
	row    int // from 1
	column int // from 0, the next
	cells  []Cell
	value  strings.Builder
}

func (r *rowReader) placed(err error) error {
	var f *Fault
	if errors.As(err, &f) && f.Row == 0 {
		f.Row = r.row
	}
	return err
}

func (r *rowReader) readRow(e xml.StartElement) error {
	row := r.row + 1
	if s := attr(e, "r"); s != "" {
		row, _ = strconv.Atoi(s)
	}
	if row <= r.row || row > MaxRows {
		return faultf("%s has its rows out of order", path.Base(r.part))
	}
	r.row, r.column, r.cells = row, 0, r.cells[:0]
	return r.children("c", func(e xml.StartElement) error { return r.readCell(e) })
}

// children visits the elements of a name up to the end of the one that has
// begun; others are passed over.
func (r *rowReader) children(name string, visit func(xml.StartElement) error) error {
	for {
		tok, err := r.xml.Token()
		if err != nil {
			return err
		}
		switch t := tok.(type) {
		case xml.EndElement:
			return nil
		case xml.StartElement:
			if t.Name.Local == name {
				err = visit(t)
			} else {
				err = r.xml.Skip()
			}
			if err != nil {
				return err
			}
		}
	}
}

func (r *rowReader) readCell(e xml.StartElement) error {
	column := r.column
	if ref := attr(e, "r"); ref != "" {
		column = columnOf(ref)
	}
	if column < r.column || column >= MaxColumns {
		return faultf("%s has its cells out of order", path.Base(r.part))
	}
	r.column = column + 1
	if r.book.cells++; r.book.cells > maxCells {
		return faultf("the workbook has more than %d cells", maxCells)
	}
	cell, err := r.content(attr(e, "t"), attr(e, "s"))
	if err != nil {
		return err
	}
	cell.Column = column
	if cell.Text != "" || cell.Form == NoValue {
		r.cells = append(r.cells, cell)
	}
	return nil
}

// content reads what is inside a cell's element, up to its end.
func (r *rowReader) content(kind, style string) (Cell, error) {
	value, inline := "", ""
	formula := false
	for {
		tok, err := r.xml.Token()
		if err != nil {
			return Cell{}, err
		}
		switch t := tok.(type) {
		case xml.EndElement:
			if formula && value == "" && kind != "str" { // some programs write <v/> for want of one
				return Cell{Form: NoValue}, nil
			}
			return r.cell(kind, style, value, inline)
		case xml.StartElement:
			switch t.Name.Local {
			case "v":
				value, err = r.plain()
			case "is":
				inline, err = richText(r.xml)
			default:
				formula = formula || t.Name.Local == "f"
				err = r.xml.Skip()
			}
			if err != nil {
				return Cell{}, err
			}
		}
	}
}

// plain is the text inside the element that has begun.
func (r *rowReader) plain() (string, error) {
	r.value.Reset()
	for {
		tok, err := r.xml.Token()
		if err != nil {
			return "", err
		}
		switch t := tok.(type) {
		case xml.EndElement:
			return r.value.String(), nil
		case xml.StartElement:
			if err := r.xml.Skip(); err != nil {
				return "", err
			}
		case xml.CharData:
			r.value.Write(t)
		}
	}
}

func (r *rowReader) cell(kind, style, value, inline string) (Cell, error) {
	switch kind {
	case "s":
		return r.shared(value)
	case "inlineStr":
		return Cell{Form: Text, Text: inline}, nil
	case "str":
		return Cell{Form: Text, Text: unescape(value)}, nil
	case "b":
		if value == "" {
			return Cell{}, nil
		}
		return Cell{Form: Truth, Text: strconv.FormatBool(isTrue(value))}, nil
	case "e":
		return Cell{Form: Error, Text: value}, nil
	case "d":
		day, _, _ := strings.Cut(value, "T")
		return Cell{Form: Date, Text: day}, nil
	}
	return r.book.number(strings.TrimSpace(value), style), nil
}

// number is a cell that holds a number, as its style shows it.
func (b *Book) number(value, style string) Cell {
	n, _ := strconv.Atoi(style)
	f, err := strconv.ParseFloat(value, 64)
	if err != nil || n < 0 || n >= len(b.formats) {
		return Cell{Form: Number, Text: value}
	}
	s := b.formats[n].of(f)
	switch s.kind {
	case asDate, asMonth, asPartly:
		day, ok := b.Day(value)
		switch {
		case ok && s.kind == asMonth && day.Day() == 1: // what such programs make of Apr 2027
			return Cell{Form: Date, Text: day.Format("2006-01")}
		case ok && s.kind == asPartly, ok && s.kind == asMonth && day.AddDate(0, 0, 1).Day() != 1:
			return Cell{Form: DatePart, Text: day.Format(time.DateOnly)}
		case ok:
			return Cell{Form: Date, Text: day.Format(time.DateOnly)}
		}
		fallthrough
	case asOtherwise:
		return Cell{Form: Disguised, Text: value}
	}
	return Cell{Form: Number, Text: s.show(value)}
}

func (r *rowReader) shared(value string) (Cell, error) {
	if value == "" {
		return Cell{}, nil
	}
	n, err := strconv.Atoi(strings.TrimSpace(value))
	if err != nil || n < 0 || n >= len(r.book.strings) {
		return Cell{}, &Fault{Row: r.row, Column: r.column, Why: "a cell refers to a text that the workbook does not have"}
	}
	return Cell{Form: Text, Text: r.book.strings[n]}, nil
}

// mostMerged is how many joined cells of a sheet are noted (ours); others are
// taken for empty ones.
const mostMerged = 10_000

// merge notes joined cells, A1:B2.
func (b *Book) merge(ref string) {
	from, to, ok := strings.Cut(ref, ":")
	if !ok || len(b.Merged) == mostMerged {
		return
	}
	r := Range{rowOf(from), columnOf(from), rowOf(to), columnOf(to)}
	if r.Top > 0 && r.Left >= 0 && r.Bottom >= r.Top && r.Right >= r.Left {
		b.Merged = append(b.Merged, r)
	}
}

// rowOf is the row of a reference like AB12, from 1; 0 where it is none.
func rowOf(ref string) int {
	n, _ := strconv.Atoi(strings.TrimLeft(strings.ToUpper(ref), "ABCDEFGHIJKLMNOPQRSTUVWXYZ"))
	return n
}

// columnOf is the column of a reference like AB12, from 0; -1 where it is none.
func columnOf(ref string) int {
	n := 0
	for i := 0; i < len(ref); i++ {
		c := ref[i] &^ 0x20
		if c < 'A' || c > 'Z' {
			break
		}
		if n = n*26 + int(c-'A') + 1; n > MaxColumns {
			return -1
		}
	}
	return n - 1
}

// Letters is the name of a column, from 0: A, B, ... Z, AA.
func Letters(column int) string {
	if column < 26 {
		return string(rune('A' + column))
	}
	return Letters(column/26-1) + string(rune('A'+column%26))
}
