package xlsx

import (
	"encoding/xml"
	"errors"
	"io"
	"path"
	"strings"
)

// Book is an open workbook.
type Book struct {
	Sheets   []Sheet
	parts    *parts
	strings  []string
	formats  []format // by style
	from1904 bool
	cells    int // read so far
	// Merged lists the cells that are joined in the sheet that Rows went through
	// last.
	Merged []Range
}

// Range is a rectangle of cells: rows from 1, columns from 0, ends included.
type Range struct{ Top, Left, Bottom, Right int }

// Sheet is one sheet of a workbook, not yet read.
type Sheet struct {
	Name string
	// Hidden sheets are seen by nobody who opens the workbook.
	Hidden bool
	part   string
}

// Open reads the workbook's list of sheets, its strings and the styles that are
// dates. Errors are a *Fault or ErrNotWorkbook.
func Open(data []byte) (*Book, error) {
	p, err := openParts(data)
	if err != nil {
		return nil, err
	}
	b := &Book{parts: p}
	main, err := b.mainPart()
	if err != nil {
		return nil, err
	}
	targets, err := b.relations(main)
	if err != nil {
		return nil, err
	}
	if err := b.readWorkbook(main, targets); err != nil {
		return nil, err
	}
	for _, t := range targets {
		switch {
		case strings.HasSuffix(t.kind, "/sharedStrings"):
			err = b.readStrings(t.part)
		case strings.HasSuffix(t.kind, "/styles"):
			err = b.readStyles(t.part)
		}
		if err != nil {
			return nil, err
		}
	}
	return b, nil
}

// target is one relation of a part.
type target struct{ kind, part string }

// mainPart finds the workbook's own part.
func (b *Book) mainPart() (string, error) {
	const usual = "xl/workbook.xml"
	if !b.parts.has("_rels/.rels") {
		if b.parts.has(usual) {
			return usual, nil
		}
		return "", ErrNotWorkbook
	}
	targets, err := b.relations("")
	if err != nil {
		return "", err
	}
	for _, t := range targets {
		if strings.HasSuffix(t.kind, "/officeDocument") && b.parts.has(t.part) && strings.HasPrefix(t.part, "xl") {
			return t.part, nil
		}
	}
	return "", ErrNotWorkbook
}

// relations lists what a part refers to, by id.
func (b *Book) relations(part string) (map[string]target, error) {
	targets := map[string]target{}
	name := path.Join(path.Dir(part), "_rels", path.Base(part)+".rels")
	if part == "" {
		name = "_rels/.rels"
	}
	if !b.parts.has(name) {
		return targets, nil
	}
	err := b.each(name, maxSmall, func(_ *xml.Decoder, e xml.StartElement) error {
		if e.Name.Local != "Relationship" || attr(e, "TargetMode") == "External" {
			return nil
		}
		t := attr(e, "Target")
		if strings.HasPrefix(t, "/") {
			t = path.Clean(t)[1:]
		} else {
			t = path.Join(path.Dir(part), t)
		}
		targets[attr(e, "Id")] = target{attr(e, "Type"), t}
		return nil
	})
	return targets, err
}

func (b *Book) readWorkbook(part string, targets map[string]target) error {
	return b.each(part, maxSmall, func(_ *xml.Decoder, e xml.StartElement) error {
		switch e.Name.Local {
		case "workbookPr":
			b.from1904 = isTrue(attr(e, "date1904"))
		case "sheet":
			t, ok := targets[attr(e, "id")]
			if !ok || !strings.HasSuffix(t.kind, "/worksheet") {
				return nil // a sheet of nothing but a chart
			}
			if len(b.Sheets) == maxSheets {
				return faultf("the workbook has more than %d sheets", maxSheets)
			}
			b.Sheets = append(b.Sheets, Sheet{Name: attr(e, "name"), Hidden: isHidden(attr(e, "state")), part: t.part})
		}
		return nil
	})
}

// each goes through the elements of a part and sees that it is whole.
func (b *Book) each(part string, most uint64, visit func(*xml.Decoder, xml.StartElement) error) error {
	r, err := b.parts.open(part, most)
	if err != nil {
		return err
	}
	defer r.Close()
	d := xml.NewDecoder(r)
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return broken(part, err)
		}
		if e, ok := tok.(xml.StartElement); ok {
			if err := visit(d, e); err != nil {
				return broken(part, err)
			}
		}
	}
}

// broken words an error of unpacking or of the XML; faults stay what they are.
func broken(part string, err error) error {
	var f *Fault
	switch {
	case errors.As(err, &f):
		return err
	case errors.Is(err, errEndless):
		return faultf("%s has a text of more than 1 MiB", path.Base(part))
	}
	return faultf("%s is damaged or cut short", path.Base(part))
}

func attr(e xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

func isHidden(state string) bool { return state == "hidden" || state == "veryHidden" }

func isTrue(s string) bool { return s == "1" || s == "true" }
