package report

import (
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

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
	if _, err := io.WriteString(w, tidy(text.String())); err != nil {
		return fmt.Errorf("writing a table: %w", err)
	}
	return nil
}

// tidy takes off trailing blanks, and the colour's end that the library puts
// behind them, and ends the line below the header with the widest of the others.
func tidy(text string) string {
	text = strings.ReplaceAll(text, " "+colourEnd, " ")
	lines := strings.Split(strings.TrimRight(text, "\n"), "\n")
	widest := 0
	for i, line := range lines {
		lines[i] = strings.TrimRight(line, " ")
		if strings.Trim(lines[i], rule) != "" {
			widest = max(widest, twwidth.Width(lines[i]))
		}
	}
	for i, line := range lines {
		if line != "" && strings.Trim(line, rule) == "" {
			lines[i] = strings.Repeat(rule, widest)
		}
	}
	return strings.Join(lines, "\n") + "\n"
}

// gap is the blank between columns, rule what the line below the header is of.
const (
	gap  = 2
	rule = "─"
)

// fit breaks cells into lines where the table is wider than the terminal: the
// widest columns give way first, never a number's, and words are broken only
// where nothing else helps.
func (t *Table) fit(width int) {
	widths, floors := t.widths()
	for _, from := range []int{1, 0} { // the first names the row, and is to be copied: it gives way last
		if shrink(widths, floors, width) {
			break
		}
		for i := from; i < len(floors); i++ {
			if !t.isRight(i) {
				floors[i] = min(floors[i], max(leastColumn, twwidth.Width(t.Header[i])))
			}
		}
	}
	shrink(widths, floors, width)
	for _, row := range t.Rows {
		for i, cell := range row {
			if twwidth.Width(cell) > widths[i] {
				row[i] = strings.Join(wrapHard(cell, widths[i]), "\n")
			}
		}
	}
}

// leastColumn is what a column of text keeps, whatever happens (ours).
const leastColumn = 8

// widths are what the columns would like, and how far they may give way: to
// their longest word, a column of numbers not at all.
func (t *Table) widths() (widths, floors []int) {
	widths, floors = make([]int, len(t.Header)), make([]int, len(t.Header))
	for i, head := range t.Header {
		widths[i], floors[i] = twwidth.Width(head), twwidth.Width(head)
		for _, row := range t.Rows {
			widths[i] = max(widths[i], twwidth.Width(row[i]))
			for _, word := range words(row[i], 0) {
				floors[i] = max(floors[i], twwidth.Width(word))
			}
		}
		if t.isRight(i) {
			floors[i] = widths[i]
		}
	}
	return widths, floors
}

func (t *Table) isRight(column int) bool { return slices.Contains(t.Right, column) }

// shrink takes from the widest column that can give until all fit beside each
// other; it tells whether they do.
func shrink(widths, floors []int, room int) bool {
	total := gap * (len(widths) - 1)
	for _, w := range widths {
		total += w
	}
	for ; total > room; total-- {
		widest := -1
		for i, w := range widths {
			if w > floors[i] && (widest < 0 || w > widths[widest]) {
				widest = i
			}
		}
		if widest < 0 {
			return false
		}
		widths[widest]--
	}
	return true
}

// wrapHard wraps text, and breaks words that are longer than a line.
func wrapHard(s string, width int) []string {
	var lines []string
	for _, line := range Wrap(s, width) {
		for twwidth.Width(line) > width {
			cut := len(line)
			for cut > 0 && twwidth.Width(line[:cut]) > width {
				_, size := utf8.DecodeLastRuneInString(line[:cut])
				cut -= size
			}
			if cut == 0 {
				break
			}
			lines = append(lines, line[:cut])
			line = line[cut:]
		}
		lines = append(lines, line)
	}
	return lines
}
