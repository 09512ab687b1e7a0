package sheet

import (
	"bufio"
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"

	"rangebox/importers/archive"
	"rangebox/inventory"
)

// WriteCSV writes the records of a kind as CSV (RFC 4180, UTF-8): every column
// there is, headed by the field's own name, numbers as exact decimals, days as
// 2027-04-17. Texts that a spreadsheet would take for formulas get an apostrophe.
func WriteCSV(w io.Writer, kind inventory.Kind, box archive.Source) error {
	out := newCSVWriter(w)
	columns := columnsOf(kind)
	out.record(keysOf(pointers(columns)))
	err := box(kind, func(rec inventory.Record) error {
		rows, err := rowsOf(rec, columns)
		if err != nil {
			return err
		}
		for _, cells := range rows {
			texts := make([]string, len(cells))
			for i, c := range cells {
				if texts[i] = c.text; c.form == literal {
					texts[i] = escape(c.text)
				}
			}
			out.record(texts)
		}
		return out.err
	})
	if err == nil {
		err = out.close()
	}
	if err != nil {
		return fmt.Errorf("writing the %s as CSV: %w", kind.Info().Plural, err)
	}
	return nil
}

func pointers(columns []column) []*column {
	list := make([]*column, len(columns))
	for i := range columns {
		list[i] = &columns[i]
	}
	return list
}

// csvWriter writes records. (encoding/csv leaves blanks at the end of a cell
// outside of quotes, where they may be a slip of the keyboard.)
type csvWriter struct {
	out       *bufio.Writer
	delimiter rune
	err       error
}

func newCSVWriter(w io.Writer) *csvWriter {
	return &csvWriter{out: bufio.NewWriterSize(w, 64<<10), delimiter: ','}
}

func (w *csvWriter) record(cells []string) {
	for i, c := range cells {
		if i > 0 {
			w.text(string(w.delimiter))
		}
		if needsQuotes(c) || strings.ContainsRune(c, w.delimiter) {
			c = `"` + strings.ReplaceAll(c, `"`, `""`) + `"`
		}
		w.text(c)
	}
	w.text("\r\n")
}

func needsQuotes(c string) bool {
	if c == "" {
		return false
	}
	first, _ := utf8.DecodeRuneInString(c)
	last, _ := utf8.DecodeLastRuneInString(c)
	return unicode.IsSpace(first) || unicode.IsSpace(last) || strings.ContainsAny(c, ",\"\r\n;\t|")
}

func (w *csvWriter) text(s string) {
	if w.err == nil {
		_, w.err = w.out.WriteString(s)
	}
}

func (w *csvWriter) close() error {
	if w.err == nil {
		w.err = w.out.Flush()
	}
	return w.err
}
