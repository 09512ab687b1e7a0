package sheet

import (
	"errors"
	"fmt"
	"strings"

	"rangebox/importers"
	"rangebox/importers/sheet/xlsx"
	"rangebox/inventory"
)

// open turns a file into sheets. Errors are Issues with their place.
func open(data []byte, file string) ([]*grid, error) {
	format, err := importers.Sniff(data[:min(len(data), importers.SniffLen)], file)
	if err != nil {
		return nil, err
	}
	switch format {
	case importers.Workbook:
		return openWorkbook(data, file)
	case importers.Table:
		return openTable(data, file)
	}
	return nil, importers.Issue{File: file, Found: "an archive", Expected: "a sheet",
		Err: fmt.Errorf("%w: this is an archive, not a sheet", inventory.ErrInvalid)}
}

func openTable(data []byte, file string) ([]*grid, error) {
	text, err := importers.Text(data, file)
	if err != nil {
		return nil, err
	}
	g := &grid{delimiter: delimiterOf(text)}
	g.rows, err = newCSV(text, g.delimiter, file).all(maxRows)
	if err != nil {
		return nil, err
	}
	if len(g.rows) > 0 && strings.HasPrefix(g.rows[0].at(0).text, separatorLine) {
		g.rows = g.rows[1:]
	}
	return []*grid{g}, nil
}

func openWorkbook(data []byte, file string) ([]*grid, error) {
	book, err := xlsx.Open(data)
	if err != nil {
		return nil, workbookIssue(err, file, "")
	}
	var grids []*grid
	width := 0
	for _, s := range book.Sheets {
		g := &grid{name: s.Name, hidden: s.Hidden, day: book.Day}
		if g.hidden {
			grids = append(grids, g)
			continue
		}
		err := book.Rows(s, func(number int, cells []xlsx.Cell) error {
			if width += cells[len(cells)-1].Column + 1; width > maxCells {
				return &xlsx.Fault{Row: number, Why: fmt.Sprintf("the sheets together are wider than %d million cells", maxCells/1_000_000)}
			}
			if r := workbookRow(number, cells); !r.empty() {
				g.rows = append(g.rows, r)
			}
			return nil
		})
		if err != nil {
			return nil, workbookIssue(err, file, s.Name)
		}
		g.merged = book.Merged
		grids = append(grids, g)
	}
	return grids, nil
}

func workbookIssue(err error, file, sheet string) error {
	issue := importers.Issue{File: file, Sheet: sheet, Found: err.Error(), Expected: "an .xlsx workbook",
		Err: fmt.Errorf("%w: %w", inventory.ErrInvalid, err)}
	var f *xlsx.Fault
	if errors.As(err, &f) {
		issue.Row = f.Row
		if f.Column > 0 {
			issue.Column = "column " + letter(f.Column-1)
		}
	}
	return issue
}

var formOf = map[xlsx.Form]form{xlsx.Text: literal, xlsx.Number: number, xlsx.Date: day, xlsx.Truth: truth, xlsx.Error: fault, xlsx.NoValue: noValue, xlsx.Disguised: disguised, xlsx.DatePart: datePart}

// workbookRow copies the cells to their places.
func workbookRow(number int, cells []xlsx.Cell) row {
	r := row{number: number, cells: make([]cell, cells[len(cells)-1].Column+1)}
	for _, c := range cells {
		r.cells[c.Column] = cell{c.Text, formOf[c.Form]}
	}
	return r
}
