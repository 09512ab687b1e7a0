package report

import (
	"encoding/json"
	"fmt"
	"io"

	"github.com/olekukonko/tablewriter"
	"github.com/olekukonko/tablewriter/renderer"
	"github.com/olekukonko/tablewriter/tw"
)

type numberText = json.Number

// Table is a plain table: the one look there is. Cells that start with a colour
// are counted by their visible width.
type Table struct {
	Header []string
	// Right lists the columns of numbers.
	Right []int
	Rows  [][]string
}

// Add appends a row.
func (t *Table) Add(cells ...string) { t.Rows = append(t.Rows, cells) }

// Write writes the table: no borders, a thin line below the header.
func (t *Table) Write(w io.Writer) error {
	align := make([]tw.Align, len(t.Header))
	for i := range align {
		align[i] = tw.AlignLeft
	}
	for _, i := range t.Right {
		align[i] = tw.AlignRight
	}
	out := tablewriter.NewTable(w,
		tablewriter.WithRenderer(renderer.NewBlueprint(tw.Rendition{
			Borders: tw.BorderNone,
			Symbols: tw.NewSymbols(tw.StyleLight),
			Settings: tw.Settings{
				Lines:      tw.Lines{ShowHeaderLine: tw.On, ShowTop: tw.Off, ShowBottom: tw.Off, ShowFooterLine: tw.Off},
				Separators: tw.Separators{BetweenColumns: tw.Off, BetweenRows: tw.Off},
			},
		})),
		tablewriter.WithHeaderAutoFormat(tw.Off),
		tablewriter.WithHeaderAutoWrap(tw.WrapNone),
		tablewriter.WithRowAutoWrap(tw.WrapNone),
		tablewriter.WithTrimSpace(tw.Off),
		tablewriter.WithHeaderAlignmentConfig(tw.CellAlignment{Global: tw.AlignLeft, PerColumn: align}),
		tablewriter.WithRowAlignmentConfig(tw.CellAlignment{Global: tw.AlignLeft, PerColumn: align}),
		tablewriter.WithPadding(tw.Padding{Left: "", Right: "  ", Overwrite: true}),
	)
	out.Header(t.Header)
	if err := out.Bulk(t.Rows); err != nil {
		return fmt.Errorf("laying out a table: %w", err)
	}
	if err := out.Render(); err != nil {
		return fmt.Errorf("writing a table: %w", err)
	}
	return nil
}
