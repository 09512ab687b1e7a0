package xlsx

import (
	"encoding/xml"
	"fmt"
	"strings"
)

// The fixed parts of a workbook (ECMA-376 part 1, 12.3 and 18.8; part 2, 10).
const (
	officeNS  = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
	packageNS = "http://schemas.openxmlformats.org/package/2006/"

	rootRelations = `<Relationships xmlns="` + packageNS + `relationships">` +
		`<Relationship Id="rId1" Type="` + officeNS + `/officeDocument" Target="xl/workbook.xml"/></Relationships>`

	// Style 0 is plain, 1 a date, 2 a bold header.
	styles = `<styleSheet xmlns="` + spreadsheetML + `">` +
		`<numFmts count="1"><numFmt numFmtId="164" formatCode="yyyy\-mm\-dd"/></numFmts>` +
		`<fonts count="2"><font><sz val="11"/><name val="Calibri"/></font><font><b/><sz val="11"/><name val="Calibri"/></font></fonts>` +
		`<fills count="2"><fill><patternFill patternType="none"/></fill><fill><patternFill patternType="gray125"/></fill></fills>` +
		`<borders count="1"><border><left/><right/><top/><bottom/><diagonal/></border></borders>` +
		`<cellStyleXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0"/></cellStyleXfs>` +
		`<cellXfs count="3"><xf numFmtId="0" fontId="0" fillId="0" borderId="0" xfId="0"/>` +
		`<xf numFmtId="164" fontId="0" fillId="0" borderId="0" xfId="0" applyNumberFormat="1"/>` +
		`<xf numFmtId="0" fontId="1" fillId="0" borderId="0" xfId="0" applyFont="1"/></cellXfs>` +
		`<cellStyles count="1"><cellStyle name="Normal" xfId="0" builtinId="0"/></cellStyles></styleSheet>`

	contentType = "application/vnd.openxmlformats-officedocument.spreadsheetml."
)

func (w *Writer) workbook() string {
	var b strings.Builder
	b.WriteString(`<workbook xmlns="` + spreadsheetML + `" xmlns:r="` + officeNS + `"><sheets>`)
	for i, name := range w.names {
		fmt.Fprintf(&b, `<sheet name="%s" sheetId="%d" r:id="rId%d"/>`, attribute(name), i+1, i+1)
	}
	b.WriteString(`</sheets></workbook>`)
	return b.String()
}

func attribute(s string) string {
	var b strings.Builder
	_ = xml.EscapeText(&b, []byte(s)) // a Builder takes everything
	return b.String()
}

func (w *Writer) workbookRelations() string {
	var b strings.Builder
	b.WriteString(`<Relationships xmlns="` + packageNS + `relationships">`)
	for i := range w.names {
		fmt.Fprintf(&b, `<Relationship Id="rId%d" Type="%s/worksheet" Target="worksheets/sheet%d.xml"/>`, i+1, officeNS, i+1)
	}
	fmt.Fprintf(&b, `<Relationship Id="rId%d" Type="%s/styles" Target="styles.xml"/></Relationships>`, len(w.names)+1, officeNS)
	return b.String()
}

func (w *Writer) contentTypes() string {
	var b strings.Builder
	b.WriteString(`<Types xmlns="` + packageNS + `content-types">` +
		`<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>` +
		`<Default Extension="xml" ContentType="application/xml"/>` +
		`<Override PartName="/xl/workbook.xml" ContentType="` + contentType + `sheet.main+xml"/>` +
		`<Override PartName="/xl/styles.xml" ContentType="` + contentType + `styles+xml"/>`)
	for i := range w.names {
		fmt.Fprintf(&b, `<Override PartName="/xl/worksheets/sheet%d.xml" ContentType="%sworksheet+xml"/>`, i+1, contentType)
	}
	b.WriteString(`</Types>`)
	return b.String()
}
