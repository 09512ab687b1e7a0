package xlsx

import (
	"archive/zip"
	"bufio"
	"encoding/xml"
	"fmt"
	"io"
	"strconv"
	"time"
	"unicode/utf16"
)

// MaxText is how many UTF-16 units a cell can hold.
const MaxText = 32_767

// Writer writes a workbook, sheet after sheet, row after row.
type Writer struct {
	zip   *zip.Writer
	names []string
	out   *bufio.Writer
	row   int
	err   error
}

// NewWriter begins a workbook.
func NewWriter(w io.Writer) *Writer { return &Writer{zip: zip.NewWriter(w)} }

const declaration = `<?xml version="1.0" encoding="UTF-8" standalone="yes"?>` + "\n"

const spreadsheetML = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"

// Sheet ends the sheet before and begins one; its first row stays in view, and
// is written in bold by Header.
func (w *Writer) Sheet(name string) {
	w.endSheet()
	w.names = append(w.names, name)
	w.part(fmt.Sprintf("xl/worksheets/sheet%d.xml", len(w.names)))
	w.row = 0
	w.text(`<worksheet xmlns="` + spreadsheetML + `"><sheetViews><sheetView workbookViewId="0">` +
		`<pane ySplit="1" topLeftCell="A2" activePane="bottomLeft" state="frozen"/></sheetView></sheetViews>` +
		`<sheetFormatPr defaultRowHeight="15"/><sheetData>`)
}

// The styles of the part styles.xml.
const (
	styleDate   = 1
	styleHeader = 2
)

// Header writes a row of bold texts.
func (w *Writer) Header(names []string) {
	w.beginRow()
	for i, name := range names {
		w.inline(i, styleHeader, name)
	}
	w.text("</row>")
}

// Row writes a row of cells, in the order of their columns. The text of a number
// is a plain decimal, that of a date a day; a date before March 1900 is written
// as text, since the format cannot count to it.
func (w *Writer) Row(cells []Cell) {
	w.beginRow()
	for _, c := range cells {
		w.cell(c)
	}
	w.text("</row>")
}

func (w *Writer) beginRow() {
	w.row++
	w.text(`<row r="` + strconv.Itoa(w.row) + `">`)
}

func (w *Writer) cell(c Cell) {
	ref := Letters(c.Column) + strconv.Itoa(w.row)
	switch c.Form {
	case Number:
		w.text(`<c r="` + ref + `"><v>` + c.Text + `</v></c>`)
		return
	case Truth:
		bit := "0"
		if c.Text == "true" {
			bit = "1"
		}
		w.text(`<c r="` + ref + `" t="b"><v>` + bit + `</v></c>`)
		return
	case Date:
		if serial, ok := serialOf(c.Text); ok {
			w.text(`<c r="` + ref + `" s="` + strconv.Itoa(styleDate) + `"><v>` + strconv.Itoa(serial) + `</v></c>`)
			return
		}
	}
	w.inline(c.Column, 0, c.Text)
}

func serialOf(day string) (int, bool) {
	t, err := time.Parse(time.DateOnly, day)
	const epoch = -2_209_161_600 // 1899-12-30 in Unix seconds
	serial := int((t.Unix() - epoch) / 86_400)
	return serial, err == nil && t.Year() >= 1900 && serial > 60
}

func (w *Writer) inline(column, style int, s string) {
	w.text(`<c r="` + Letters(column) + strconv.Itoa(w.row) + `"`)
	if style > 0 {
		w.text(` s="` + strconv.Itoa(style) + `"`)
	}
	w.text(` t="inlineStr"><is><t xml:space="preserve">`)
	if w.err == nil {
		w.err = xml.EscapeText(w.out, []byte(escape(s)))
	}
	w.text(`</t></is></c>`)
}

// Close writes what holds the sheets together. A workbook has one at least.
func (w *Writer) Close() error {
	w.endSheet()
	w.fixed("xl/styles.xml", styles)
	w.fixed("_rels/.rels", rootRelations)
	w.fixed("xl/workbook.xml", w.workbook())
	w.fixed("xl/_rels/workbook.xml.rels", w.workbookRelations())
	w.fixed("[Content_Types].xml", w.contentTypes())
	if w.err == nil {
		w.err = w.zip.Close()
	}
	if w.err != nil {
		return fmt.Errorf("writing the workbook: %w", w.err)
	}
	return nil
}

func (w *Writer) endSheet() {
	if len(w.names) == 0 {
		return
	}
	w.text("</sheetData></worksheet>")
	w.flush()
}

func (w *Writer) part(name string) {
	if w.err != nil {
		return
	}
	in, err := w.zip.Create(name)
	w.out, w.err = bufio.NewWriterSize(in, 64<<10), err
	w.text(declaration)
}

func (w *Writer) fixed(name, text string) {
	w.part(name)
	w.text(text)
	w.flush()
}

func (w *Writer) text(s string) {
	if w.err == nil {
		_, w.err = w.out.WriteString(s)
	}
}

func (w *Writer) flush() {
	if w.err == nil {
		w.err = w.out.Flush()
	}
}

// Pieces cuts a text into pieces that a cell can hold, between characters, each
// with room for an apostrophe.
func Pieces(s string) []string {
	if len(s) < MaxText {
		return []string{s}
	}
	var pieces []string
	from, units := 0, 0
	for i, r := range s {
		n := utf16.RuneLen(r)
		if units+n >= MaxText {
			pieces = append(pieces, s[from:i])
			from, units = i, 0
		}
		units += n
	}
	return append(pieces, s[from:])
}
