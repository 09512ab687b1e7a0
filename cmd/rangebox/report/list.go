package report

import (
	"encoding/csv"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/olekukonko/tablewriter/pkg/twwidth"
)

// List is a plain list: records in rows, told as a table, CSV or Markdown.
type List struct {
	Columns []Column
	Rows    [][]string
	// Empty is said where there are no rows.
	Empty string
}

// Column is a column of a list: its field's name for machines, its label for
// people.
type Column struct {
	Name, Label string
	Right       bool
	// Word marks verdicts and states, which are coloured.
	Word bool
	// Machine columns are left out of tables for people.
	Machine bool
	// Person columns are left out of CSV and Markdown.
	Person bool
	// Spare columns are left out of tables that would be too wide.
	Spare bool
}

// Table writes the list for a person; columns that are empty throughout are
// left out.
func (list List) Table(w io.Writer, l Look) error {
	if len(list.Rows) == 0 {
		l.Para(w, list.Empty)
		return nil
	}
	t := list.table(l, list.shown(l.Width))
	t.fit(l.Width)
	return t.Write(w)
}

// shown are the columns that a table has: none that is empty throughout, and no
// spare ones where it would be wider than the terminal.
func (list List) shown(width int) []int {
	var all []int
	for i, c := range list.Columns {
		if !c.Machine && list.filled(i) {
			all = append(all, i)
		}
	}
	for list.width(all) > width {
		at := slices.IndexFunc(all, func(i int) bool { return list.Columns[i].Spare })
		if at < 0 {
			break
		}
		all = slices.Delete(all, at, at+1)
	}
	return all
}

// width is how wide a table of some columns is; the last can be broken.
func (list List) width(columns []int) int {
	total := 0
	for n, i := range columns {
		widest := twwidth.Width(list.Columns[i].Label)
		for _, row := range list.Rows {
			widest = max(widest, twwidth.Width(row[i]))
		}
		if n == len(columns)-1 {
			widest = min(widest, 2*leastColumn)
		}
		total += widest + gap
	}
	return total - gap
}

func (list List) table(l Look, shown []int) *Table {
	t := &Table{}
	for j, i := range shown {
		if list.Columns[i].Right {
			t.Right = append(t.Right, j)
		}
		t.Header = append(t.Header, list.Columns[i].Label)
	}
	for _, row := range list.Rows {
		cells := make([]string, len(shown))
		for j, i := range shown {
			cells[j] = Clean(row[i])
			if list.Columns[i].Word {
				cells[j] = l.Word(row[i])
			}
		}
		t.Add(cells...)
	}
	return t
}

func (list List) filled(column int) bool {
	for _, row := range list.Rows {
		if row[column] != "" {
			return true
		}
	}
	return false
}

// CSV writes the list with the fields' own names (RFC 4180). Text that a
// spreadsheet would take for a formula is escaped with an apostrophe (OWASP ASVS
// 5.0, 1.2.10); numbers stay numbers.
func (list List) CSV(w io.Writer) error {
	out := csv.NewWriter(w)
	out.UseCRLF = true
	list = list.forMachines()
	if err := out.Write(list.names()); err != nil {
		return fmt.Errorf("writing the list: %w", err)
	}
	for _, row := range list.Rows {
		cells := make([]string, len(row))
		for i, cell := range row {
			cells[i] = Clean(cell)
			if !list.Columns[i].Right {
				cells[i] = harmless(cells[i])
			}
		}
		if err := out.Write(cells); err != nil {
			return fmt.Errorf("writing the list: %w", err)
		}
	}
	out.Flush()
	return out.Error()
}

// forMachines is the list without the columns that are for people only.
func (list List) forMachines() List {
	kept := List{}
	var shown []int
	for i, c := range list.Columns {
		if !c.Person {
			shown, kept.Columns = append(shown, i), append(kept.Columns, c)
		}
	}
	for _, row := range list.Rows {
		cells := make([]string, len(shown))
		for j, i := range shown {
			cells[j] = row[i]
		}
		kept.Rows = append(kept.Rows, cells)
	}
	return kept
}

func harmless(cell string) string {
	if text := strings.TrimLeft(cell, " "); text != "" && strings.ContainsRune("=+-@", rune(text[0])) {
		return "'" + cell
	}
	return cell
}

func (list List) names() []string {
	names := make([]string, len(list.Columns))
	for i, c := range list.Columns {
		names[i] = c.Name
	}
	return names
}

// markdownText escapes what would end a cell, or be more than text.
var markdownText = strings.NewReplacer("|", `\|`, "\\", `\\`, "<", `\<`, "[", `\[`)

// Markdown writes the list as a table of Markdown.
func (list List) Markdown(w io.Writer) error {
	var b strings.Builder
	list = list.forMachines()
	b.WriteString("| " + strings.Join(list.names(), " | ") + " |\n|")
	for _, c := range list.Columns {
		if c.Right {
			b.WriteString(" ---: |")
			continue
		}
		b.WriteString(" --- |")
	}
	b.WriteString("\n")
	for _, row := range list.Rows {
		b.WriteString("|")
		for _, cell := range row {
			b.WriteString(" " + markdownText.Replace(Clean(cell)) + " |")
		}
		b.WriteString("\n")
	}
	if _, err := io.WriteString(w, b.String()); err != nil {
		return fmt.Errorf("writing the list: %w", err)
	}
	return nil
}
