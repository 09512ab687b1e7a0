package sheet

import (
	"fmt"
	"io"

	"rangebox/importers/archive"
	"rangebox/importers/sheet/xlsx"
	"rangebox/inventory"
)

// WriteXLSX writes a workbook with a sheet for each kind that there are records
// of: plain words and units as headers, columns that hold something, numbers as
// numbers, days as dates, texts that a spreadsheet would take for formulas with
// an apostrophe. A cell holds 32,767 characters and our texts up to 64 KiB: a
// longer one goes on in further columns, `Notes (2)`. Numbers of more digits than
// spreadsheet programs keep are written as text.
//
// The source is asked twice for each kind: for the columns, then for the rows.
func WriteXLSX(w io.Writer, box archive.Source) error {
	out := xlsx.NewWriter(w)
	sheets := 0
	for _, kind := range archive.Order {
		n, err := writeSheet(out, kind, box)
		if err != nil {
			return fmt.Errorf("writing the %s of the workbook: %w", kind.Info().Plural, err)
		}
		sheets += n
	}
	if sheets == 0 {
		out.Sheet("empty box") // a workbook has one sheet at least
	}
	return out.Close()
}

// writeSheet writes a sheet and counts it, nothing where there are no records.
func writeSheet(out *xlsx.Writer, kind inventory.Kind, box archive.Source) (int, error) {
	columns := columnsOf(kind)
	width := make([]int, len(columns)) // in cells
	err := box(kind, func(rec inventory.Record) error {
		return linesOf(rec, columns, func(_, i int, c cell) {
			width[i] = max(width[i], len(xlsx.Pieces(c.text)))
		})
	})
	from, header := places(columns, width)
	if err != nil || len(header) == 0 {
		return 0, err
	}
	out.Sheet(kind.Info().Plural)
	out.Header(header)
	return 1, box(kind, func(rec inventory.Record) error {
		rows, err := rowsOf(rec, columns)
		if err != nil {
			return err
		}
		for _, cells := range rows {
			out.Row(workbookCells(cells, from))
		}
		return nil
	})
}

// places gives each column that holds something its place and its header.
func places(columns []column, width []int) (from []int, header []string) {
	from = make([]int, len(columns))
	for i := range columns {
		from[i] = len(header)
		for part := 1; part <= width[i]; part++ {
			title := columns[i].title()
			if part > 1 {
				title += fmt.Sprintf(" (%d)", part)
			}
			header = append(header, title)
		}
	}
	return from, header
}

// mostDigits is what spreadsheet programs keep of a number.
const mostDigits = 15

func workbookCells(cells []cell, from []int) []xlsx.Cell {
	var out []xlsx.Cell
	for i, c := range cells {
		switch {
		case c == cell{}:
			continue
		case c.form == literal:
			for n, piece := range xlsx.Pieces(c.text) {
				out = append(out, xlsx.Cell{Column: from[i] + n, Form: xlsx.Text, Text: escape(piece)})
			}
			continue
		}
		x := xlsx.Cell{Column: from[i], Text: c.text}
		switch {
		case c.form == number && digits(c.text) <= mostDigits:
			x.Form = xlsx.Number
		case c.form == day:
			x.Form = xlsx.Date
		case c.form == truth:
			x.Form = xlsx.Truth
		}
		out = append(out, x)
	}
	return out
}

func digits(text string) int {
	n := 0
	for _, c := range text {
		if c >= '0' && c <= '9' {
			n++
		}
	}
	return n
}
