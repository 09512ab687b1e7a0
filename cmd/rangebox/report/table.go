package report

import (
	"encoding/json"
	"fmt"
	"io"
	"strings"

	"github.com/olekukonko/tablewriter"
	"github.com/olekukonko/tablewriter/pkg/twwidth"
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
	var text strings.Builder
	out := tablewriter.NewTable(&text,
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
		return fmt.Errorf("laying out a table: %w", err)
	}
	for line := range strings.Lines(text.String()) {
		if _, err := io.WriteString(w, strings.TrimRight(line, " \n")+"\n"); err != nil {
			return fmt.Errorf("writing a table: %w", err)
		}
	}
	return nil
}

// fit breaks the last column into lines where the table is wider than the
// terminal, as long as that leaves it a readable width.
func (t *Table) fit(width int) {
	const least, gap = 16, 2
	last := len(t.Header) - 1
	used := 0
	for i := range last {
		widest := twwidth.Width(t.Header[i])
		for _, row := range t.Rows {
			widest = max(widest, twwidth.Width(row[i]))
		}
		used += widest + gap
	}
	room := max(least, width-used-gap)
	for _, row := range t.Rows {
		if twwidth.Width(row[last]) > room {
			row[last] = strings.Join(Wrap(row[last], room), "\n")
		}
	}
}
