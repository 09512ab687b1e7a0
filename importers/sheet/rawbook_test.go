package sheet

import (
	"archive/zip"
	"bytes"
	"fmt"
	"strings"
	"testing"
)

// rawSheet is a sheet as the XML of its rows, for workbooks that no program of
// ours would write.
type rawSheet struct{ name, rows string }

// rawHeader is a first row with the columns of motorHead.
var rawHeader = func() string {
	var b strings.Builder
	b.WriteString(`<row r="1">`)
	for _, key := range strings.Split(strings.TrimSpace(motorHead), ",") {
		fmt.Fprintf(&b, `<c t="inlineStr"><is><t>%s</t></is></c>`, key)
	}
	b.WriteString(`</row>`)
	return b.String()
}()

const (
	rawMain = `xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"`
	rawRels = `xmlns="http://schemas.openxmlformats.org/package/2006/relationships"`
	rawType = `http://schemas.openxmlformats.org/officeDocument/2006/relationships/`
)

// rawStyles has a time of day, thousands, a fraction, a code with its letter, and a day
// without its year.
var rawStyles = map[string]string{"styles": `<styleSheet ` + rawMain + `><numFmts><numFmt numFmtId="164" formatCode="0.0,"/><numFmt numFmtId="165" formatCode="&quot;M-&quot;000"/></numFmts>` +
	`<cellXfs><xf numFmtId="0"/><xf numFmtId="20"/><xf numFmtId="164"/><xf numFmtId="12"/><xf numFmtId="165"/><xf numFmtId="16"/></cellXfs></styleSheet>`}

func rawBook(t testing.TB, sheets ...rawSheet) string {
	t.Helper()
	return rawBookOf(t, "", nil, sheets...)
}

// rawBookOf has properties of the workbook and further parts as well.
func rawBookOf(t testing.TB, properties string, parts map[string]string, sheets ...rawSheet) string {
	t.Helper()
	var book, rels strings.Builder
	all := map[string]string{"_rels/.rels": `<Relationships ` + rawRels + `><Relationship Id="r" Type="` + rawType + `officeDocument" Target="/xl/workbook.xml"/></Relationships>`}
	for i, s := range sheets {
		fmt.Fprintf(&book, `<sheet name="%s" sheetId="%d" r:id="s%d"/>`, s.name, i+1, i)
		fmt.Fprintf(&rels, `<Relationship Id="s%d" Type="%sworksheet" Target="worksheets/s%d.xml"/>`, i, rawType, i)
		all[fmt.Sprintf("xl/worksheets/s%d.xml", i)] = `<worksheet ` + rawMain + `><sheetData>` + s.rows + `</sheetData></worksheet>`
	}
	for name, text := range parts {
		fmt.Fprintf(&rels, `<Relationship Id="%s" Type="%s%s" Target="%s.xml"/>`, name, rawType, name, name)
		all["xl/"+name+".xml"] = text
	}
	all["xl/workbook.xml"] = `<workbook ` + rawMain + `>` + properties + `<sheets>` + book.String() + `</sheets></workbook>`
	all["xl/_rels/workbook.xml.rels"] = `<Relationships ` + rawRels + `>` + rels.String() + `</Relationships>`
	return zipOf(t, all)
}

func zipOf(t testing.TB, parts map[string]string) string {
	t.Helper()
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for name, text := range parts {
		w, err := z.Create(name)
		if err == nil {
			_, err = w.Write([]byte(text))
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

// unresolved is a workbook that is cut short.
func unresolved(t testing.TB) []byte {
	t.Helper()
	return []byte(rawBook(t, rawSheet{"One", ""}))[:200]
}
