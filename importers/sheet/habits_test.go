package sheet

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/google/go-cmp/cmp"
	"golang.org/x/text/encoding/charmap"

	"rangebox/importers/archive"
	"rangebox/importers/sheet/xlsx"
	"rangebox/inventory"
)

// plainRecords is what every sheet below says, however it says it.
const plainRecords = `{"format": "rangebox-archive", "version": 1, "motors": [
{"handle": "birch-38", "maker": "Überholz", "name": "Birch 38", "diameter_mm": 38.1, "mass_g": 1234.5, "delays_s": [3, 5.5, 7], "notes": "first line\nsecond, line",
 "nozzles": [{"throat_mm": 2.38125, "measured_on": "new"}], "certified_until": "2028-03-31", "curve": [{"t_s": 0, "thrust_n": 0}, {"t_s": 0.1, "thrust_n": 12.5}, {"t_s": 1.2, "thrust_n": 0}]},
{"handle": "larch-29", "maker": "Überholz", "name": "\"Larch\" 29", "diameter_mm": 28.575, "nozzles": [{"throat_mm": 1.6129, "measured_on": "fired"}], "certified_until": "2027-12-17"}]}`

// habit is one way to do one thing; the first of a list is the plain one.
type habit struct{ what, how string }

var habits = map[string][]string{
	"kind of file": {"text", "workbook"},
	"encoding":     {"UTF-8", "UTF-8 with mark", "UTF-16 LE", "UTF-16 BE", "UTF-16 LE without mark", "Windows-1252"},
	"line ends":    {"LF", "CRLF", "CR"},
	"delimiter":    {",", ";", "\t", "|"},
	"decimals":     {"point", "comma"},
	"headers":      {"keys", "brackets", "square brackets", "comma", "shouting", "synonyms"},
	"units":        {"metric", "inches", "in the cells"},
	"dates":        {"ISO", "words", "slashes", "month", "American", "points"},
	"above":        {"nothing", "titles", "sep"},
	"blanks":       {"none", "columns", "rows", "around cells"},
	"lists":        {"spaces", "slashes", "bars", "commas"},
	"columns":      {"in order", "backwards"},
	"quotes":       {"where needed", "everywhere"},
}

// variant is one sheet: what differs from the plain one.
type variant map[string]string

func (v variant) is(what string) string {
	if how, ok := v[what]; ok {
		return how
	}
	return habits[what][0]
}

// impossible tells what cannot be written, or cannot be read one way only.
func (v variant) impossible() bool {
	text := v.is("kind of file") == "text"
	switch {
	case v.is("decimals") == "comma" && v.is("delimiter") == "," && text && v.is("lists") != "spaces":
		return true // the quotes say nothing of what a comma in a list is
	case v.is("decimals") == "comma" && v.is("lists") == "commas":
		return true
	case v.is("lists") == "commas" && v.is("delimiter") == ";" && text:
		return true // the comma is decimal there
	case v.is("above") == "sep" && !text:
		return true
	}
	return false
}

// TestHabits reads the plain table written in every way, one habit at a time and
// in pairs.
func TestHabits(t *testing.T) {
	want, err := archive.Read(strings.NewReader(plainRecords), "plain")
	if err != nil {
		t.Fatal(err)
	}
	read := 0
	for _, v := range pairs() {
		if v.impossible() {
			continue
		}
		read++
		got, err := Read(bytes.NewReader(v.file(t)), "f", Options{})
		if err == nil {
			err = got.Err()
		}
		if err != nil {
			t.Errorf("%v: %v", v, err)
			continue
		}
		if diff := cmp.Diff(recordsOf(want, inventory.KindMotor), recordsOf(got.Batch, inventory.KindMotor), exact); diff != "" {
			t.Errorf("%v: %s", v, diff)
		}
	}
	if read < 500 {
		t.Errorf("only %d sheets were read", read)
	}
}

func pairs() []variant {
	var all []habit
	for what, hows := range habits {
		for _, how := range hows {
			all = append(all, habit{what, how})
		}
	}
	var list []variant
	for i, a := range all {
		for _, b := range all[i:] {
			if a.what != b.what || a == b {
				list = append(list, variant{a.what: a.how, b.what: b.how})
			}
		}
	}
	return list
}

// field is a column of the plain table: its header and its two cells.
type field struct {
	header string
	cells  [2]string
}

func (v variant) fields() []field {
	list := []field{
		{v.header("handle", "Short name", ""), [2]string{"birch-38", "larch-29"}},
		{v.header("maker", "Manufacturer", ""), [2]string{"Überholz", "Überholz"}},
		{v.header("name", "Designation", ""), [2]string{"Birch 38", `"Larch" 29`}},
		{v.header("diameter_mm", "Motor diameter", v.length()), v.lengths([3]string{"38.1", "1.5", "1.5 in"}, [3]string{"28.575", "1 1/8", "2.8575cm"})},
		{v.header("mass_g", "Loaded weight", v.unit("g")), [2]string{v.withUnit("1234.5", "g"), ""}},
		{v.header("delays_s", "Available delays", v.unit("s")), [2]string{v.delays(), ""}},
		{v.header("throat_mm", "Nozzle throat", v.length()), v.lengths([3]string{"2.38125", "3/32", `3/32"`}, [3]string{"1.6129", "0.0635", "#52 drill"})},
		{v.header("measured_on", "Throat measured on", ""), [2]string{"new", "Fired"}},
		{v.header("certified_until", "Certification expires", ""), v.dates()},
		{v.header("curve", "Thrust curve", ""), [2]string{"0:0 0.1:12.5 1.2:0", ""}},
		{v.header("notes", "Remarks", ""), [2]string{"first line\nsecond, line", ""}},
	}
	if v.is("blanks") == "columns" {
		list = append(list[:3], append([]field{{}, {"Empty", [2]string{}}}, list[3:]...)...)
	}
	if v.is("columns") == "backwards" {
		for i, j := 0, len(list)-1; i < j; i, j = i+1, j-1 {
			list[i], list[j] = list[j], list[i]
		}
	}
	return list
}

func (v variant) unit(unit string) string {
	if v.is("units") == "in the cells" {
		return ""
	}
	return unit
}

func (v variant) length() string {
	if v.is("units") == "inches" {
		return "in"
	}
	return v.unit("mm")
}

// header words a column's name; where the unit is not the key's, the key will
// not do.
func (v variant) header(key, words, unit string) string {
	style := v.is("headers")
	if style == "keys" && (unit == "in" || unit == "" && strings.HasSuffix(key, "_mm")) {
		style = "brackets"
	}
	base := strings.ReplaceAll(strings.TrimSuffix(strings.TrimSuffix(strings.TrimSuffix(key, "_mm"), "_g"), "_s"), "_", " ")
	switch {
	case style == "keys":
		return key
	case style == "synonyms":
		base = words
	}
	if unit != "" {
		switch style {
		case "square brackets":
			base += " [" + unit + "]"
		case "comma":
			base += ", " + unit
		default:
			base += " (" + unit + ")"
		}
	}
	if style == "shouting" {
		base = strings.ToUpper(strings.ReplaceAll(base, " ", "-")) + " "
	}
	return base
}

func (v variant) withUnit(number, unit string) string {
	number = v.number(number)
	if v.is("units") == "in the cells" {
		return number + " " + unit
	}
	return number
}

func (v variant) number(s string) string {
	if v.is("decimals") == "comma" {
		return strings.ReplaceAll(s, ".", ",")
	}
	return s
}

// lengths picks each cell by the habit of units: metric, inches, with its unit.
func (v variant) lengths(a, b [3]string) [2]string {
	n := map[string]int{"metric": 0, "inches": 1, "in the cells": 2}[v.is("units")]
	return [2]string{v.number(a[n]), v.number(b[n])}
}

func (v variant) delays() string {
	between := map[string]string{"spaces": " ", "slashes": " / ", "bars": "|", "commas": ", "}[v.is("lists")]
	list := strings.Join([]string{"3", v.number("5.5"), "7"}, between)
	if v.is("units") == "in the cells" {
		list += " s"
	}
	return list
}

func (v variant) dates() [2]string {
	switch v.is("dates") {
	case "words":
		return [2]string{"31 Mar 2028", "December 17, 2027"}
	case "slashes":
		return [2]string{"31/03/2028", "17/12/2027"}
	case "American":
		return [2]string{"3/31/2028", "12/17/2027"}
	case "points":
		return [2]string{"31.03.2028", "17.12.2027"}
	case "month":
		return [2]string{"2028-03", "2027-12-17"}
	}
	return [2]string{"2028-03-31", "2027-12-17"}
}

// table is the sheet as rows of texts.
func (v variant) table() [][]string {
	var rows [][]string
	switch v.is("above") {
	case "titles":
		rows = append(rows, []string{"My motors, as of spring"}, nil, []string{"", "all measured by myself"})
	}
	fields := v.fields()
	for n := -1; n < 2; n++ {
		row := make([]string, len(fields))
		for i, f := range fields {
			if row[i] = f.header; n >= 0 {
				row[i] = f.cells[n]
			}
		}
		rows = append(rows, row)
		if v.is("blanks") == "rows" {
			rows = append(rows, make([]string, len(fields)), nil)
		}
	}
	return rows
}

func (v variant) file(t *testing.T) []byte {
	t.Helper()
	if v.is("kind of file") == "workbook" {
		return v.workbook(t)
	}
	end := map[string]string{"LF": "\n", "CRLF": "\r\n", "CR": "\r"}[v.is("line ends")]
	var b strings.Builder
	if v.is("above") == "sep" {
		b.WriteString("sep=" + v.is("delimiter") + end)
	}
	for _, row := range v.table() {
		for i, c := range row {
			if i > 0 {
				b.WriteString(v.is("delimiter"))
			}
			b.WriteString(v.cell(c))
		}
		b.WriteString(end)
	}
	return v.encoded(t, b.String())
}

func (v variant) cell(c string) string {
	if v.is("quotes") == "everywhere" || strings.ContainsAny(c, v.is("delimiter")+"\"\n") {
		return `"` + strings.ReplaceAll(c, `"`, `""`) + `"`
	}
	if v.is("blanks") == "around cells" {
		return " " + c + "  "
	}
	return c
}

func (v variant) encoded(t *testing.T, s string) []byte {
	t.Helper()
	units := utf16.Encode([]rune(s))
	var wide []byte
	big := v.is("encoding") == "UTF-16 BE"
	for _, u := range units {
		if big {
			wide = append(wide, byte(u>>8), byte(u))
		} else {
			wide = append(wide, byte(u), byte(u>>8))
		}
	}
	switch v.is("encoding") {
	case "UTF-8 with mark":
		return []byte("\ufeff" + s)
	case "UTF-16 LE":
		return append([]byte("\xff\xfe"), wide...)
	case "UTF-16 BE":
		return append([]byte("\xfe\xff"), wide...)
	case "UTF-16 LE without mark":
		return wide
	case "Windows-1252":
		out, err := charmap.Windows1252.NewEncoder().String(s)
		if err != nil {
			t.Fatal(err)
		}
		return []byte(out)
	}
	return []byte(s)
}

// workbook writes the table with numbers and ISO days typed, as programs do.
func (v variant) workbook(t *testing.T) []byte {
	t.Helper()
	var out bytes.Buffer
	w := xlsx.NewWriter(&out)
	w.Sheet("Sheet1")
	for _, row := range v.table() {
		var cells []xlsx.Cell
		for i, c := range row {
			switch {
			case c == "":
				continue
			case strings.Trim(c, "0123456789.") == "" && strings.Count(c, ".") < 2:
				cells = append(cells, xlsx.Cell{Column: i, Form: xlsx.Number, Text: c})
			case len(c) == len("2028-03-31") && strings.HasPrefix(c, "20"):
				cells = append(cells, xlsx.Cell{Column: i, Form: xlsx.Date, Text: c})
			default:
				cells = append(cells, xlsx.Cell{Column: i, Text: c})
			}
		}
		w.Row(cells)
	}
	if err := w.Close(); err != nil {
		t.Fatal(fmt.Errorf("%v: %w", v, err))
	}
	return out.Bytes()
}

// TestMixedNumbersOfInches: a whole number and a part of an inch are one length,
// where the column or the cell is in inches.
func TestMixedNumbersOfInches(t *testing.T) {
	throats(t, "Throat (in)", map[string][]float64{
		"1 1/4": {31.75}, "1-1/4": {31.75}, "1/8 3/16": {3.175, 4.7625}, "1 2": {25.4, 50.8}, "3/32 1/8": {2.38125, 3.175}, "1 1/4 3/8": {31.75, 9.525}, `3/32" 1/8"`: {2.38125, 3.175},
	})
}

// TestBlanksAroundSlashes: they say nothing of what the slash is.
func TestBlanksAroundSlashes(t *testing.T) {
	throats(t, "Throat (in)", map[string][]float64{
		"1 / 2": {12.7}, "1/ 2": {12.7}, "1 /2": {12.7}, "1\u00a0/\u00a02": {12.7}, "1 / 2 in": {12.7}, `1 / 2"`: {12.7}, "1 1 / 4": {31.75}, "0.5 / 0.75": {12.7, 19.05},
	})
	throats(t, "throat_mm", map[string][]float64{"3 / 8 in": {9.525}, `1 / 2"`: {12.7}, "5 / 4": {5, 4}, "2.4 mm / 3.1 mm": {2.4, 3.1}, "2.4 / 3.1 mm": {2.4, 3.1}})
	for _, cell := range []string{"3 / 32", "3/ 32", "3 /32", "1 / 8"} {
		issues := issuesOf(t, "handle,throat_mm,diameter_mm\na-8,"+cell+",98\n", Options{})
		if len(issues) != 1 || !strings.Contains(issues[0].Error(), "may be a fraction of an inch or two values") {
			t.Errorf("%q: %v", cell, issues)
		}
	}
	issues := issuesOf(t, "handle,Throat (in),diameter_mm\na-8,1 / 2 / 4,98\n", Options{})
	if len(issues) != 1 || !strings.Contains(issues[0].Error(), "may be a fraction or two values") {
		t.Errorf("three: %v", issues)
	}
}

// TestInchMarksBelowMillimetres: a value with its mark is in inches, whatever the header.
func TestInchMarksBelowMillimetres(t *testing.T) {
	throats(t, "throat_mm", map[string][]float64{`3/32" 1/8"`: {2.38125, 3.175}, `1 1/4" 3/8"`: {31.75, 9.525}, `3/32"`: {2.38125}, `1 1/4"`: {31.75}, "5/4": {5, 4}, "2/3": {2, 3}, "2.4/3.1": {2.4, 3.1}})
}

// throats reads cells below a header, each of which has the throats of one motor.
func throats(t *testing.T, header string, cells map[string][]float64) {
	t.Helper()
	for cell, want := range cells {
		got, err := Read(strings.NewReader("handle\t"+header+"\tdiameter_mm\na-8\t"+cell+"\t98\n"), "m.csv", Options{Kind: "motor"})
		if err != nil || got.Err() != nil {
			t.Errorf("%q: %v %v", cell, err, got.Err())
			continue
		}
		var read []float64
		for _, n := range got.Batch.Items[0].Record.(*inventory.Motor).Nozzles {
			read = append(read, n.Throat.Or(0).Millimetres())
		}
		if !slices.Equal(read, want) {
			t.Errorf("%q: %v, not %v", cell, read, want)
		}
	}
}

// TestRealDatesBesideText: where a real date cannot be exchanged, none is thought to
// be; nor where no date was left as text.
func TestRealDatesBesideText(t *testing.T) {
	row := func(n int, name, date string) string {
		return fmt.Sprintf(`<row r="%d"><c r="A%d" t="inlineStr"><is><t>%s</t></is></c>%s</row>`, n, n, name, date)
	}
	real := func(n int, day string) string { return fmt.Sprintf(`<c r="E%d" t="d"><v>%sT00:00:00</v></c>`, n, day) }
	text := func(n int, day string) string {
		return fmt.Sprintf(`<c r="E%d" t="inlineStr"><is><t>%s</t></is></c>`, n, day)
	}
	for _, c := range []struct {
		name, rows string
		wrong      bool
	}{
		{"left as text", row(2, "a-8", real(2, "2027-03-04")) + row(3, "b-9", text(3, "17/04/2027")), true},
		{"one that is none", row(2, "a-8", real(2, "2027-03-04")) + row(3, "b-9", text(3, "17/04/2027")) + row(4, "c-6", real(4, "2027-03-25")), false},
		{"the same either way", row(2, "a-8", real(2, "2027-03-03")) + row(3, "b-9", text(3, "17/04/2027")), false},
		{"none left", row(2, "a-8", real(2, "2027-03-04")) + row(3, "b-9", real(3, "2027-05-06")), false},
		{"with points", row(2, "a-8", real(2, "2027-03-25")) + row(3, "b-9", text(3, "17.04.2027")), false},
	} {
		got, err := Read(strings.NewReader(rawBook(t, rawSheet{"Motors", rawHeader + c.rows})), "m.xlsx", Options{})
		if err != nil || (got.Err() != nil) != c.wrong {
			t.Errorf("%s: %v %v", c.name, err, got.Err())
		}
	}
}

// TestRecordCalledTotal: what a box has under such a name comes back from an export.
func TestRecordCalledTotal(t *testing.T) {
	const file = "handle,id,diameter_mm\ntotal,9b2f1c7e-5d0a-4c55-8f64-0d9a6f0f3a11,18\n"
	got, err := Read(strings.NewReader(file), "m.csv", Options{Kind: "motor"})
	if err != nil || got.Err() != nil || len(got.Batch.Items) != 1 {
		t.Errorf("got %v %v", err, got.Err())
	}
}

// TestPointsThatAreDecimal: one number that shows it, or a column that holds no
// thousands, and a point with three decimals is no question.
func TestPointsThatAreDecimal(t *testing.T) {
	for name, file := range map[string]string{
		"a leading zero":             "handle\tbridge_ohm\tall_fire_a\nwick\t1.200\t\nash\t0.800\t\n",
		"fewer decimals":             "handle\tbridge_ohm\tall_fire_a\nwick\t1.200\t2.4\n",
		"commas between the cells":   "handle,bridge_ohm,all_fire_a\nwick,1.200,\n",
		"too wide in thousands":      "handle\tbridge_ohm\thead_mm\nwick\t1.200\t2.400\n",
		"too wide, with semicolons":  "handle;bridge_ohm;head_mm\nwick;1.200;2.400\n",
		"too wide, a decimal comma":  "handle\tbridge_ohm\thead_mm\nwick\t1,200\t2,400\n",
		"too wide, in the cell's mm": "handle\tbridge_ohm\tHead (in)\nwick\t1.200\t2.400 mm\n",
	} {
		got, err := Read(strings.NewReader(file), "i.tsv", Options{Kind: "igniter"})
		if err != nil || got.Err() != nil {
			t.Errorf("%s: %v %v", name, err, got.Err())
			continue
		}
		if ohm := got.Batch.Items[0].Record.(*inventory.Igniter).Bridge.Or(0); ohm.Ohms() != 1.2 {
			t.Errorf("%s: %v ohm", name, ohm)
		}
	}
}

// TestThroatsHaveNoThousands: nor have delays.
func TestThroatsHaveNoThousands(t *testing.T) {
	got, err := Read(strings.NewReader("handle|mass_g|throat_mm\na-8|1.250|1.200 3.100\n"), "m.txt", Options{Kind: "motor"})
	if err != nil || got.Err() != nil {
		t.Fatal(err, got.Err())
	}
	m := got.Batch.Items[0].Record.(*inventory.Motor)
	if m.Mass.Or(0).Grams() != 1.25 || len(m.Nozzles) != 2 || m.Nozzles[1].Throat.Or(0).Millimetres() != 3.1 {
		t.Errorf("got %+v", m)
	}
}

// TestFractionsAsShown: what a cell with the format of a fraction holds is exact in
// inches, and a code is what the cell shows.
func TestFractionsAsShown(t *testing.T) {
	const head = `<row><c t="inlineStr"><is><t>handle</t></is></c><c t="inlineStr"><is><t>Throat (in)</t></is></c><c t="inlineStr"><is><t>diameter_mm</t></is></c></row>`
	file := rawBookOf(t, "", rawStyles, rawSheet{"Motors", head + `<row><c s="4"><v>12</v></c><c s="3"><v>0.09375</v></c><c><v>18</v></c></row>`})
	got, err := Read(strings.NewReader(file), "m.xlsx", Options{})
	if err != nil || got.Err() != nil {
		t.Fatal(err, got.Err())
	}
	m := got.Batch.Items[0].Record.(*inventory.Motor)
	if m.Handle != "m-012" || len(m.Nozzles) != 1 || m.Nozzles[0].Throat.Or(0).Millimetres() != 2.38125 {
		t.Errorf("got %+v", m)
	}
}

// TestMonthsOfAWorkbook: Apr 2027, typed into a spreadsheet, is the month to its last
// day, as it is in a text.
func TestMonthsOfAWorkbook(t *testing.T) {
	styles := map[string]string{"styles": `<styleSheet ` + rawMain + `><cellXfs><xf numFmtId="0"/><xf numFmtId="17"/></cellXfs></styleSheet>`}
	file := rawBookOf(t, "", styles, rawSheet{"Motors", rawHeader + `<row r="2"><c r="A2" t="inlineStr"><is><t>a-8</t></is></c><c r="E2" s="1"><v>46478</v></c></row>`})
	got := readBack(t, []byte(file), Options{})
	if day := got.Batch.Items[0].Record.(*inventory.Motor).CertifiedUntil; day.String() != "2027-04-30" {
		t.Errorf("got %v", day)
	}
}

// TestCodesAsShown: a code 2.10 is another one than 2.1.
func TestCodesAsShown(t *testing.T) {
	styles := map[string]string{"styles": `<styleSheet ` + rawMain + `><cellXfs><xf numFmtId="0"/><xf numFmtId="2"/></cellXfs></styleSheet>`}
	const lot = `<row><c t="inlineStr"><is><t>a-8</t></is></c><c><v>3</v></c><c s="1"><v>2.1</v></c></row>`
	file := rawBookOf(t, "", styles, rawSheet{"Lots", `<row><c t="inlineStr"><is><t>Motor</t></is></c><c t="inlineStr"><is><t>Qty</t></is></c><c t="inlineStr"><is><t>Lot</t></is></c></row>` + lot})
	got := readBack(t, []byte(file), Options{})
	if code := got.Batch.Items[0].Record.(*inventory.Lot).Code; code != "2.10" {
		t.Errorf("got %q", code)
	}
}
