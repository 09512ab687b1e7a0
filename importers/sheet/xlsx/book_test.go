package xlsx

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
)

const (
	rel  = `http://schemas.openxmlformats.org/officeDocument/2006/relationships/`
	rels = `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">`
)

// parcel is the parts of a workbook with one sheet of the rows given.
func parcel(rows string) map[string]string {
	return map[string]string{
		"_rels/.rels":                `<?xml version="1.0"?>` + rels + `<Relationship Id="a" Type="` + rel + `officeDocument" Target="xl/workbook.xml"/></Relationships>`,
		"xl/workbook.xml":            `<workbook xmlns:r="x"><workbookPr/><sheets><sheet name="One" sheetId="1" r:id="s"/></sheets></workbook>`,
		"xl/_rels/workbook.xml.rels": rels + `<Relationship Id="s" Type="` + rel + `worksheet" Target="worksheets/sheet1.xml"/><Relationship Id="t" Type="` + rel + `sharedStrings" Target="/xl/sharedStrings.xml"/><Relationship Id="u" Type="` + rel + `styles" Target="styles.xml"/></Relationships>`,
		"xl/worksheets/sheet1.xml":   `<worksheet><sheetData>` + rows + `</sheetData></worksheet>`,
		"xl/sharedStrings.xml":       `<sst><si><t>zero</t></si><si><r><t>ri</t></r><r><rPr><b/></rPr><t xml:space="preserve">ch </t></r><rPh><t>no</t></rPh></si><si><t>a_x000D__x0041_b_xD83D__xDE80__x5F__xD83D_</t></si></sst>`,
		"xl/styles.xml":              `<styleSheet><numFmts><numFmt numFmtId="164" formatCode="[$-409]d\-mmm"/><numFmt numFmtId="165" formatCode="0.00&quot;d&quot;"/><numFmt numFmtId="166" formatCode="[h]:mm:ss"/></numFmts><cellStyleXfs><xf numFmtId="14"/></cellStyleXfs><cellXfs><xf numFmtId="0"/><xf numFmtId="14"/><xf numFmtId="164"/><xf numFmtId="165"/><xf numFmtId="166"/><xf numFmtId="22"/></cellXfs></styleSheet>`,
	}
}

func pack(t testing.TB, parts map[string]string) []byte {
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
	return out.Bytes()
}

// read gives the cells of every sheet as "A1 form text".
func read(data []byte) ([]string, error) {
	b, err := Open(data)
	if err != nil {
		return nil, err
	}
	var cells []string
	for _, s := range b.Sheets {
		err := b.Rows(s, func(row int, list []Cell) error {
			for _, c := range list {
				cells = append(cells, fmt.Sprintf("%s%d %d %s", Letters(c.Column), row, c.Form, c.Text))
			}
			return nil
		})
		if err != nil {
			return nil, err
		}
	}
	return cells, nil
}

func TestCells(t *testing.T) {
	for rows, want := range map[string][]string{
		`<row r="2"><c r="B2" t="s"><v>0</v></c><c r="D2" t="s"><v>1</v></c></row>`:                                                                    {"B2 0 zero", "D2 0 rich "},
		`<row><c t="s"><v>2</v></c></row>`:                                                                                                             {"A1 0 a\rAb🚀_x5F__xD83D_"},
		`<row/><row><c/><c><v> 1.50 </v></c><c t="n"><v>1e-3</v></c></row>`:                                                                            {"B2 1 1.50", "C2 1 1e-3"},
		`<row><c t="b"><v>1</v></c><c t="b"><v>0</v></c><c t="b"/></row>`:                                                                              {"A1 3 true", "B1 3 false"},
		`<row><c t="e"><v>#REF!</v></c><c t="d"><v>2027-04-17T10:00:00</v></c></row>`:                                                                  {"A1 4 #REF!", "B1 2 2027-04-17"},
		`<row><c><f>A1+1</f><v>7</v></c><c t="str"><f>X()</f><v>y</v></c><c><f>Z()</f></c><c><f>Z()</f><v/></c><c t="str"><f>Z()</f><v></v></c></row>`: {"A1 1 7", "B1 0 y", "C1 5 ", "D1 5 "},
		`<row><c t="inlineStr"><is><r><t>in</t></r><r><t>line</t></r></is></c></row>`:                                                                  {"A1 0 inline"},
		`<row><c t="s"><v/></c><c t="inlineStr"><is><t></t></is></c></row>`:                                                                            nil,
		// style 1 is a built-in date, 2 a custom one without its year, 3 is none, 4 a time, 5 a date with a time of day
		`<row><c s="1"><v>46494</v></c><c s="2"><v>46494.75</v></c><c s="3"><v>46494</v></c><c s="4"><v>0.5</v></c><c s="5"><v>46494.2</v></c><c s="9"><v>1</v></c></row>`: {
			"A1 2 2027-04-17", "B1 6 2027-04-17", "C1 1 46494.00d", "D1 7 0.5", "E1 2 2027-04-17", "F1 1 1"},
	} {
		got, err := read(pack(t, parcel(rows)))
		if diff := cmp.Diff(want, got); err != nil || diff != "" {
			t.Errorf("%s: %v %s", rows, err, diff)
		}
	}
}

// TestDays: serial numbers as LibreOffice 7.4 shows them (read off its CSV export).
func TestDays(t *testing.T) {
	for serial, want := range map[string]string{"1": "1900-01-01", "59": "1900-02-28", "61": "1900-03-01", "46494": "2027-04-17", "2958465": "9999-12-31", "36526.99999": "2000-01-01"} {
		if got, ok := (&Book{}).Day(serial); !ok || got.Format(time.DateOnly) != want {
			t.Errorf("%s: got %s", serial, got)
		}
	}
	for _, serial := range []string{"0", "60", "-1", "2958466", "NaN", "x", "", "1e300"} {
		if got, ok := (&Book{}).Day(serial); ok {
			t.Errorf("%s is taken for %s", serial, got)
		}
	}
	if got, ok := (&Book{from1904: true}).Day("45032"); !ok || got.Format(time.DateOnly) != "2027-04-17" {
		t.Errorf("1904 system: got %s", got)
	}
}

// TestFaults: every fault of the reader, from the least file that has it.
func TestFaults(t *testing.T) {
	with := func(name, text string) []byte {
		p := parcel("")
		p[name] = text
		return pack(t, p)
	}
	without := func(name string) []byte {
		p := parcel("")
		delete(p, name)
		return pack(t, p)
	}
	rows := func(r string) []byte { return pack(t, parcel(r)) }
	defer func(s, c int) { maxStrings, maxCells = s, c }(maxStrings, maxCells)
	maxStrings, maxCells = 200, 1000
	met := ""
	for _, c := range []struct {
		name string
		data []byte
		why  string
		row  int
	}{
		{"too many texts", with("xl/sharedStrings.xml", "<sst>"+strings.Repeat("<si><t>some text</t></si>", 20)+"</sst>"), "the workbook has more than 200 bytes of texts", 0},
		{"too many cells", rows("<row>" + strings.Repeat("<c/>", 1001) + "</row>"), "the workbook has more than 1000 cells", 1},
		{"packed in another way", otherwise(t), "workbook.xml cannot be unpacked", 0},
		{"no zip file", []byte("PK\x03\x04 but no more"), "the zip file is damaged or cut short", 0},
		{"cut short", rows("")[:300], "the zip file is damaged or cut short", 0},
		{"no sheet", without("xl/worksheets/sheet1.xml"), "the workbook lacks its part sheet1.xml", 0},
		{"no strings", without("xl/sharedStrings.xml"), "the workbook lacks its part sharedStrings.xml", 0},
		{"broken XML", with("xl/workbook.xml", "<workbook><sheets>"), "workbook.xml is damaged or cut short", 0},
		{"broken sheet", rows(`<row r="7"><c><v>1</row>`), "sheet1.xml is damaged or cut short", 7},
		{"rows backwards", rows(`<row r="3"/><row r="2"/>`), "sheet1.xml has its rows out of order", 3},
		{"a row too far", rows(`<row r="1048577"/>`), "sheet1.xml has its rows out of order", 0},
		{"cells backwards", rows(`<row r="4"><c r="B4"/><c r="A4"/></row>`), "sheet1.xml has its cells out of order", 4},
		{"a column too far", rows(`<row><c r="XFE1"/></row>`), "sheet1.xml has its cells out of order", 1},
		{"a column beyond reason", rows(`<row><c r="ZZZZZZZZZZZZZZZZ1"/></row>`), "sheet1.xml has its cells out of order", 1},
		{"a text that is not there", rows(`<row><c t="s"><v>3</v></c></row>`), "a cell refers to a text that the workbook does not have", 1},
		{"a text below the first", rows(`<row><c t="s"><v>-1</v></c></row>`), "a cell refers to a text that the workbook does not have", 1},
		{"a text without end", rows(`<row><c><v>` + strings.Repeat(noise, 4000) + `</v></c></row>`), "sheet1.xml has a text of more than 1 MiB", 1},
		{"too many sheets", with("xl/workbook.xml", `<workbook>`+strings.Repeat(`<sheet name="a" id="s"/>`, maxSheets+1)+`</workbook>`), "the workbook has more than 200 sheets", 0},
		{"too many parts", manyParts(t), "the zip file holds more than 10000 parts", 0},
		{"a bomb", bomb(t, 100<<20), "sheet1.xml would unpack to 1000 times its size: a zip bomb, not a sheet", 0},
		{"a larger bomb", bomb(t, 500<<20), "sheet1.xml would unpack to 500 MiB; at most 384 are taken", 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			began := time.Now()
			cells, err := read(c.data)
			var f *Fault
			if !errors.As(err, &f) || f.Why != c.why && !strings.HasPrefix(c.name, "a bomb") || f.Row != c.row {
				t.Errorf("got %v, %v (%+v)", cells, err, f)
			}
			if strings.HasPrefix(c.name, "a bomb") && !strings.HasSuffix(f.Why, "a zip bomb, not a sheet") {
				t.Errorf("got %v", err)
			}
			if strings.Contains(c.name, "bomb") && time.Since(began) > 100*time.Millisecond {
				t.Errorf("refused only after %v", time.Since(began))
			}
			met += c.name + ": " + f.Why + "\n"
		})
	}
	for _, s := range faultsInCode(t) {
		if !regexp.MustCompile(s).MatchString(met) {
			t.Errorf("no row meets the fault %q", s)
		}
	}
}

// faultsInCode are the sentences of the code, as patterns.
func faultsInCode(t *testing.T) []string {
	t.Helper()
	sentence := regexp.MustCompile("(?:faultf\\(|Why: )\"([^\"]+)\"")
	var found []string
	for _, name := range []string{"limits.go", "book.go", "rows.go", "strings.go", "styles.go"} {
		code, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range sentence.FindAllStringSubmatch(string(code), -1) {
			found = append(found, regexp.MustCompile("%[a-z]").ReplaceAllString(regexp.QuoteMeta(m[1]), ".*"))
		}
	}
	if len(found) < 12 {
		t.Fatalf("the code has more than %d faults", len(found))
	}
	return found
}

// otherwise is a workbook whose main part is packed by a method that nobody has.
func otherwise(t testing.TB) []byte {
	t.Helper()
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	w, err := z.CreateRaw(&zip.FileHeader{Name: "xl/workbook.xml", Method: 99, UncompressedSize64: 1, CompressedSize64: 1})
	if err == nil {
		_, err = w.Write([]byte("x"))
	}
	if err == nil {
		err = z.Close()
	}
	if err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// noise does not shrink so much that it would be taken for a bomb.
const noise = "0123456789abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ.,-+!%*/()=?0123456789abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ.,-+!%*/()=?0123456789abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ.,-+!%*/()=?0123456789abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ.,-+!%*/()=?"

func manyParts(t testing.TB) []byte {
	t.Helper()
	p := map[string]string{}
	for i := range maxParts + 1 {
		p[fmt.Sprint(i)] = ""
	}
	return pack(t, p)
}

// bomb is a workbook whose sheet says that it unpacks to so many bytes, from a
// thousandth of that.
func bomb(t testing.TB, size int) []byte {
	t.Helper()
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	packed := make([]byte, size/1000)
	for name, text := range parcel("") {
		var w io.Writer
		var err error
		if name == "xl/worksheets/sheet1.xml" {
			w, err = z.CreateRaw(&zip.FileHeader{Name: name, Method: zip.Deflate, UncompressedSize64: uint64(size), CompressedSize64: uint64(len(packed))})
			text = string(packed)
		} else {
			w, err = z.Create(name)
		}
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
	return out.Bytes()
}

// TestALyingBomb says that it is small, and is found out while it unpacks.
func TestALyingBomb(t *testing.T) {
	data := pack(t, parcel(strings.Repeat(" ", 20<<20)))
	at := bytes.LastIndex(data, []byte("xl/worksheets/sheet1.xml")) - 46 // its entry in the directory
	copy(data[at+24:], []byte{0x00, 0x10, 0, 0})                         // unpacked size: 4 KiB
	began := time.Now()
	cells, err := read(data)
	var f *Fault
	if !errors.As(err, &f) || time.Since(began) > time.Second {
		t.Errorf("got %v, %v after %v", cells, err, time.Since(began))
	}
}

func TestNotAWorkbook(t *testing.T) {
	for name, parts := range map[string]map[string]string{
		"empty":         {},
		"another thing": {"content.xml": "<office/>"},
		"a text":        {"_rels/.rels": rels + `<Relationship Id="a" Type="` + rel + `officeDocument" Target="word/document.xml"/></Relationships>`, "word/document.xml": "<w/>"},
	} {
		if _, err := Open(pack(t, parts)); !errors.Is(err, ErrNotWorkbook) {
			t.Errorf("%s: got %v", name, err)
		}
	}
}

func TestSheetsThatAreCharts(t *testing.T) {
	p := parcel(`<row><c><v>1</v></c></row>`)
	p["xl/workbook.xml"] = `<workbook><sheets><sheet name="chart" id="c"/><sheet name="list" state="hidden" id="s"/></sheets></workbook>`
	p["xl/_rels/workbook.xml.rels"] = rels + `<Relationship Id="c" Type="` + rel + `chartsheet" Target="c.xml"/><Relationship Id="s" Type="` + rel + `worksheet" Target="worksheets/sheet1.xml"/></Relationships>`
	b, err := Open(pack(t, p))
	if err != nil || len(b.Sheets) != 1 || b.Sheets[0].Name != "list" {
		t.Errorf("got %+v, %v", b, err)
	}
}

func TestWriterAndReaderAgree(t *testing.T) {
	var out bytes.Buffer
	w := NewWriter(&out)
	w.Sheet("A & B")
	w.Header([]string{"x", `"<y>"`})
	w.Row([]Cell{{0, Number, "-1.5"}, {1, Date, "2027-04-17"}, {3, Truth, "true"}, {27, Truth, "false"}})
	w.Row([]Cell{{0, Date, "0001-01-01"}, {1, Date, "1900-02-28"}, {2, Date, "1900-03-01"}, {3, Date, "9999-12-31"}, {4, Text, " \x00\r\n\t_x0000_\ufffe </t>"}})
	w.Sheet("Empty")
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	got, err := read(out.Bytes())
	want := []string{"A1 0 x", `B1 0 "<y>"`, "A2 1 -1.5", "B2 2 2027-04-17", "D2 3 true", "AB2 3 false",
		"A3 0 0001-01-01", "B3 0 1900-02-28", "C3 2 1900-03-01", "D3 2 9999-12-31", "E3 0  \x00\r\n\t_x0000_\ufffe </t>"}
	if diff := cmp.Diff(want, got); err != nil || diff != "" {
		t.Errorf("%v %s", err, diff)
	}
}

func TestPieces(t *testing.T) {
	for _, s := range []string{"", "x", strings.Repeat("x", MaxText-1), strings.Repeat("x", MaxText), strings.Repeat("🚀", MaxText), strings.Repeat("ä", 3*MaxText)} {
		pieces := Pieces(s)
		if strings.Join(pieces, "") != s || s != "" && pieces[len(pieces)-1] == "" {
			t.Errorf("%d bytes: %d pieces do not make the text", len(s), len(pieces))
		}
		for _, p := range pieces {
			if units := len([]rune(p)) + strings.Count(p, "🚀"); units >= MaxText {
				t.Errorf("a piece has %d units", units)
			}
		}
	}
}

func TestWritingFails(t *testing.T) {
	w := NewWriter(full{})
	w.Sheet("x")
	w.Row([]Cell{{0, Text, strings.Repeat(noise, 1000)}})
	if err := w.Close(); !errors.Is(err, errFull) {
		t.Errorf("got %v", err)
	}
}

var errFull = errors.New("full")

type full struct{}

func (full) Write([]byte) (int, error) { return 0, errFull }

func FuzzOpen(f *testing.F) {
	f.Add(pack(f, parcel(`<row r="2"><c r="B2" t="s" s="1"><v>0</v></c></row>`)))
	f.Add(pack(f, map[string]string{"xl/workbook.xml": ""}))
	f.Fuzz(func(t *testing.T, data []byte) {
		_, err := read(data)
		var fault *Fault
		if err != nil && !errors.As(err, &fault) && !errors.Is(err, ErrNotWorkbook) {
			t.Fatalf("neither a fault nor no workbook: %v", err)
		}
	})
}

// FuzzSheet fuzzes what is inside the zip file, which bytes alone seldom reach.
func FuzzSheet(f *testing.F) {
	f.Add(`<row r="2"><c r="B2" t="s" s="1"><v>0</v></c></row>`, `<sst><si><t>x</t></si></sst>`, `<styleSheet><cellXfs><xf numFmtId="14"/></cellXfs></styleSheet>`)
	f.Add(`<row><c t="inlineStr"><is><r><t>in</t></r></is></c><c><f/></c></row>`, ``, ``)
	f.Fuzz(func(t *testing.T, rows, strings, styles string) {
		p := parcel(rows)
		p["xl/sharedStrings.xml"], p["xl/styles.xml"] = strings, styles
		_, err := read(pack(t, p))
		var fault *Fault
		if err != nil && !errors.As(err, &fault) {
			t.Fatalf("no fault: %v", err)
		}
		if fault != nil && (fault.Row < 0 || fault.Row > MaxRows || fault.Column > MaxColumns) {
			t.Fatalf("a fault outside of the sheet: %+v", fault)
		}
	})
}

func FuzzEscape(f *testing.F) {
	f.Add("_x0041_")
	f.Add("\x00_xD83D_\r")
	f.Add("_x0041\x00")
	f.Fuzz(func(t *testing.T, s string) {
		s = strings.ToValidUTF8(s, "")
		if got := unescape(escape(s)); got != s {
			t.Fatalf("%q became %q", s, got)
		}
	})
}

// TestFormats: what a format makes of numbers; formats as people write them, ours. The
// cells are as LibreOffice 7.4 shows them (read off its HTML export), but for decimals that are hidden.
func TestFormats(t *testing.T) {
	const otherwise = "otherwise"
	for code, cells := range map[string]map[string]string{
		``: {"12.5": "12.5"}, `General`: {"12.5": "12.5"}, `0.00`: {"12.5": "12.50"}, `@`: {"12.5": "12.5"}, `[Red]0.0`: {"12.5": "12.5"}, `#,##0`: {"12500": "12500"}, `0.00E+00`: {"12.5": "12.5"}, `##0.0E+0`: {"12.5": "12.5"}, `0"`: {"12.5": "12.5"}, `0\`: {"12.5": "12.5"},
		// units, money and words
		`0.000" in"`: {"12.5": "12.500 in"}, `0"mA"`: {"12": "12mA"}, `#,##0.0\ \m\m`: {"12.5": "12.5 mm"}, `0 "in";-0 "in"`: {"12.5": "12.5 in", "-5": "-5 in", "0": "0 in"}, `General" oz"`: {"12.5": "12.5 oz"},
		`[$€-407] #,##0.00`: {"12.5": "€ 12.50"}, `#,##0.00 [$EUR]`: {"12.5": "12.50 EUR"}, `$#,##0.00`: {"12.5": "$12.50"}, `€#,##0.00`: {"12.5": "€12.50"}, `_-* #,##0.00\ "€"_-`: {"12.5": "12.50 €"}, `#,##0.00 _€;[Red]-#,##0.00 _€`: {"12.5": "12.50", "-5": "-5"},
		`0'`: {"12": "12'"}, `0.0"”"`: {"12.5": "12.5”"}, `0.00 in`: {"12.5": "12.50 in"}, `0.0 V`: {"12.5": "12.5 V"}, `"<"0`: {"12": "<12"}, `0", "`: {"12": "12,"},
		// letters of dates behind digits make no format
		`0.0 mm`: {"12.5": "12.5"}, `0 mA`: {"12": "12"}, `0.00 kg`: {"12.5": "12.5"},
		// codes
		`"M-"000`: {"12": "M-012", "12500": "M-12500"}, `0000`: {"12": "0012", "12.5": "0012.5"}, `00-000`: {"12500": otherwise}, `0+`: {"12": "12"}, `(0)`: {"12": "12"}, `@" mm"`: {"12": otherwise}, `0\.00`: {"125": otherwise}, `0"/"0`: {"12": otherwise}, `0 "lb" 0`: {"12": otherwise}, `0"/2"`: {"24": otherwise}, `"20"00`: {"27": otherwise}, `0" 1/2"`: {"1": otherwise}, `0" mm2"`: {"2": "2 mm2"},
		// digits parted by what is no mark of thousands, another point, an exponent
		`0 0 0`: {"357": otherwise}, `0\ 0`: {"35": otherwise}, `0.0 0`: {"1.25": otherwise}, `0"e3"`: {"1": otherwise}, `"1e"0`: {"3": otherwise}, `0.0.0`: {"1.25": otherwise}, `0..0`: {"1.5": otherwise}, `00 00`: {"1234": otherwise}, `0" each"`: {"2": "2 each"},
		`#\ ##0`: {"357": "357", "1234": "1234"}, `# ### ##0.00`: {"1234567": "1234567.00"}, `# ##0\ [$€-40C]`: {"1234": "1234 €"},
		// signs that are shown otherwise, and digits that are not shown
		`-0;-0`: {"5": otherwise, "-5": "-5"}, `0;0`: {"5": "5", "-5": otherwise, "0": "0"}, `-0`: {"5": otherwise}, `0;[Red]0`: {"-5": otherwise}, `0;(0)`: {"-5": "-5"},
		`#`: {"0.05": otherwise, "0": otherwise, "12": "12", "0.5": "0.5"}, `#.##`: {"0.05": "0.05", "0.004": otherwise}, `#%`: {"0.05": "5%", "0.004": otherwise},
		// percentages and fractions
		`0.0 %`: {"0.05": "5%"}, `0" %"`: {"5": "5 %"}, `0%`: {"0.07": "7%"},
		`# ?/?`: {"1.125": "1 1/8", "0.09375": "3/32", "12": "12", "0.1": "0.1", "0": "0"}, `0 ?/8`: {"1.25": "1 1/4"}, `# ??/??\"`: {"1.5": `1 1/2"`},
		// thousands, and what goes by the size of the number
		`0.0,`: {"12500": otherwise}, `0.0,," t"`: {"12500": otherwise}, `0,.0`: {"12500": otherwise}, `[>=1000]0.0," kg";0" g"`: {"12500": otherwise, "12": "12 g"}, `[<1000]0;0.0,`: {"12500": otherwise, "12": "12"}, `[<1]0.00" A";[>=1]0" A"`: {"0.5": "0.50 A", "2": "2 A"}, `[<1]0;[<5]0`: {"0": "0", "4": "4", "7": otherwise}, `[=0]"none";0`: {"0": otherwise, "1": "1"}, `[<>0]0;"none"`: {"0": otherwise, "1": "1"}, `[<=1]0.0;[>5]0,;0"x"`: {"1": "1.0", "6": otherwise, "3": "3x"}, `[>x]0;0" g"`: {"3": "3 g"},
		// signs of negative numbers, as LibreOffice writes them
		`_-* #,##0.00_-;\-* #,##0.00_-;_-* \-??_-;_-@_-`: {"-5": "-5", "0": "0", "5": "5.00"}, `0.00;[RED]\(0.00" A"\)`: {"-5": "-5 A"},
		// nothing, a dash for nothing, a word for it
		`;;;`: {"12": otherwise, "0": otherwise}, `0;-0;;@`: {"12": "12", "-5": "-5", "0": otherwise}, `0.0;-0.0;"none"`: {"12": "12.0", "0": otherwise}, `"text only"`: {"12": otherwise},
		`_-* #,##0.00_-;-* #,##0.00_-;_-* "-"??_-;_-@_-`: {"12.5": "12.50", "-5": "-5", "0": "0"},
		// times and days
		`h:mm`: {"0.5": otherwise}, `[h]:mm`: {"0.5": otherwise}, `mm:ss.0`: {"0.5": otherwise}, `[ss]`: {"0.5": otherwise}, `h:mm AM/PM`: {"0.5": otherwise}, `0;h:mm`: {"12": "12"}, `yyyy-mm-dd hh:mm`: {"46494": "2027-04-17", "0.5": otherwise}, `[$-409]mmm\ yy`: {"46494": "2027-04-17 in part", "46478": "2027-04", "46507": "2027-04-30"}, `mm/yyyy`: {"46478": "2027-04", "46494": "2027-04-17 in part"}, `d mmm yy`: {"46478": "2027-04-01"}, `mmm yy h:mm`: {"46478": "2027-04-01"}, `mmmm`: {"46494": "2027-04-17 in part"}, `[$-409]d\-mmm`: {"46494": "2027-04-17 in part"}, `d/m h:mm`: {"46494.5": "2027-04-17 in part"}, `yyyy`: {"46494": "2027-04-17 in part"}, `?.???`: {"0.25": "0.25", "0": "0"},
	} {
		book := &Book{formats: []format{parseFormat(code)}}
		for stored, want := range cells {
			cell := book.number(stored, "0")
			got := cell.Text
			switch cell.Form {
			case Disguised:
				got = otherwise
			case DatePart:
				got += " in part"
			}
			if got != want {
				t.Errorf("%s: %s is shown as %q, not %q", code, stored, got, want)
			}
		}
	}
}

// FuzzFormat: what comes out as a plain number is the one that is stored.
func FuzzFormat(f *testing.F) {
	for _, code := range []string{`0.00`, `[>=1000]0.0," kg";[Red]0" g"`, `"M-"000`, `# ?/?\"`, `_-* #,##0.00 [$€-407];-0;"-"??;@`, `0.0%`, `[h]:mm`, `yyyy-mm-dd`} {
		f.Add(code, 12.5)
		f.Add(code, -5e7)
	}
	f.Fuzz(func(t *testing.T, code string, stored float64) {
		book := &Book{formats: []format{parseFormat(code)}}
		cell := book.number(strconv.FormatFloat(stored, 'g', -1, 64), "0")
		got, err := strconv.ParseFloat(cell.Text, 64)
		if cell.Form != Number || err != nil || strings.Trim(cell.Text, "0123456789.") != "" {
			return
		}
		if math.Abs(got-stored) > 1e-12*math.Abs(stored) {
			t.Fatalf("%q: %v became %s", code, stored, cell.Text)
		}
	})
}

// TestBuiltInFormats: those whose text no file has.
func TestBuiltInFormats(t *testing.T) {
	for id, want := range map[int]Cell{0: {Form: Number, Text: "12.5"}, 4: {Form: Number, Text: "12.50"}, 10: {Form: Number, Text: "1250%"}, 13: {Form: Number, Text: "12 1/2"}, 14: {Form: Date, Text: "1900-01-12"}, 16: {Form: DatePart, Text: "1900-01-12"}, 17: {Form: DatePart, Text: "1900-01-12"}, 20: {Form: Disguised, Text: "12.5"}, 44: {Form: Number, Text: "12.5"}, 46: {Form: Disguised, Text: "12.5"}, 57: {Form: Date, Text: "1900-01-12"}} {
		if got := (&Book{formats: []format{builtInFormat(id)}}).number("12.5", "0"); got != want {
			t.Errorf("%d: %+v, not %+v", id, got, want)
		}
	}
}
