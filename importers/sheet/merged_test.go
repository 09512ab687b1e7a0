package sheet

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rangebox/importers/archive"
	"rangebox/inventory"
)

// TestJoinedHeadersAndPercent reads workbooks whose headers are joined with the
// cells above them, and cells that are shown in percent; see testdata/README.md.
func TestJoinedHeadersAndPercent(t *testing.T) {
	const text = `{"format": "rangebox-archive", "version": 1, "igniters": [
{"handle": "wick", "maker": "Tindervale", "name": "Wick", "all_fire_a": 0.5, "no_fire_a": 0.2, "bridge_ohm": 1.2, "bridge_tol_pct": 5},
{"handle": "reed", "maker": "Tindervale", "name": "Reed", "all_fire_a": 0.7, "bridge_ohm": 1.6, "bridge_tol_pct": 7.5}]}`
	want, err := archive.Read(strings.NewReader(text), "want")
	if err != nil {
		t.Fatal(err)
	}
	files, err := filepath.Glob("testdata/joined/*.xlsx")
	if err != nil || len(files) < 2 {
		t.Fatalf("found %v, %v", files, err)
	}
	for _, name := range files {
		t.Run(filepath.Base(name), func(t *testing.T) {
			data, err := os.ReadFile(name)
			if err != nil {
				t.Fatal(err)
			}
			got := readBack(t, data, Options{})
			if diff := cmp.Diff(listOf(want), listOf(got.Batch), exact); diff != "" {
				t.Error(diff)
			}
			if s := got.Sheets; len(s) != 2 || s[0].Name != "Remarks" || s[0].Kind != "" || s[1].Header != 3 {
				t.Errorf("sheets %+v", s)
			}
		})
	}
}

// joinedLots is a sheet of two lots with some cells joined.
func joinedLots(t *testing.T, ref string) string {
	t.Helper()
	text := func(s string) string { return `<c t="inlineStr"><is><t>` + s + `</t></is></c>` }
	row := func(cells ...string) string { return "<row>" + strings.Join(cells, "") + "</row>" }
	return rawBook(t, rawSheet{"Lots", row(text("Motor"), text("Qty"), text("Place"), text("Expires")) +
		row(text("a-8"), "<c><v>6</v></c>", text("tin"), text("2027-04-17")) + row(text("b-4")) + row(text("c-6"), "<c><v>3</v></c>") +
		`</sheetData><mergeCells><mergeCell ref="` + ref + `"/></mergeCells><sheetData>`})
}

// TestJoinedData: what stands over several rows is of each, but for a number.
func TestJoinedData(t *testing.T) {
	places := func(ref string) (list []string) {
		for _, item := range readBack(t, []byte(joinedLots(t, ref)), Options{}).Batch.Items {
			list = append(list, item.Record.(*inventory.Lot).Place)
		}
		return list
	}
	for ref, want := range map[string][]string{"C2:C3": {"tin", "tin", ""}, "C2:C9": {"tin", "tin", "tin"}, "C3:C4": {"tin", "", ""}, "C1:C2": {"tin", "", ""}, "E2:E3": {"tin", "", ""}, "A2:B2": {"tin", "", ""}} {
		if got := places(ref); !slices.Equal(got, want) {
			t.Errorf("%s: %q, not %q", ref, got, want)
		}
	}
	got, err := Read(strings.NewReader(joinedLots(t, "B2:B3")), "lots.xlsx", Options{})
	if err != nil || len(got.Issues) != 1 || got.Issues[0].Row != 3 || len(got.Rejected) != 1 {
		t.Errorf("got %v %v", err, got.Err())
	}
}

// joinedMotors is a sheet of motors, below whose headers stand rows of texts and numbers.
func joinedMotors(t *testing.T, refs string, rows ...[]string) string {
	t.Helper()
	xml := ""
	for _, row := range rows {
		xml += "<row>"
		for _, c := range row {
			if strings.Trim(c, "0123456789.") == "" && c != "" {
				xml += "<c><v>" + c + "</v></c>"
				continue
			}
			xml += `<c t="inlineStr"><is><t>` + c + `</t></is></c>`
		}
		xml += "</row>"
	}
	for _, ref := range strings.Fields(refs) {
		xml += `</sheetData><mergeCells><mergeCell ref="` + ref + `"/></mergeCells><sheetData>`
	}
	return rawBook(t, rawSheet{"Motors", xml})
}

// TestJoinedNumbersOfMotors: a number over the rows of several motors is asked about,
// as is one of a nozzle; one over the rows of one motor is that motor's.
func TestJoinedNumbersOfMotors(t *testing.T) {
	three := [][]string{{"Name", "Diameter (mm)", "Throat (mm)", "Delays (s)"}, {"D12", "24", "3", "3/5/7"}, {"E9"}, {"C6", "18", "2"}}
	nozzles := [][]string{{"Name", "Diameter (mm)", "Throat (mm)", "Nozzle"}, {"D12", "24", "3", "a"}, {"D12", "", "", "b"}}
	for _, c := range []struct {
		refs string
		rows [][]string
		want string // of the one complaint
	}{
		{"B2:B3", three, `row 3, column B "Diameter (mm)": the cell is joined with one above that holds 24`},
		{"C2:C3", three, `row 3, column C "Throat (mm)": the cell is joined with one above that holds 3`},
		{"D2:D3", three, `row 3, column D "Delays (s)": the cell is joined with one above that holds 3/5/7`},
		{"B2:B3", nozzles, ""},
		{"C2:C3", nozzles, `row 3, column C "Throat (mm)": the cell is joined`},
		{"B2:B3 A2:A3", [][]string{nozzles[0], nozzles[1], {"", "", "2", "b"}}, ""},
		{"B2:B3 A2:A3", [][]string{{"Handle", "Diameter (mm)", "Throat (mm)"}, {"d12", "24", "3"}, {"", "", "2"}}, ""},
	} {
		got, err := Read(strings.NewReader(joinedMotors(t, c.refs, c.rows...)), "m.xlsx", Options{})
		if err != nil {
			t.Fatal(err)
		}
		switch {
		case c.want == "" && got.Err() != nil:
			t.Errorf("%s: %v", c.refs, got.Err())
		case c.want != "" && (len(got.Issues) != 1 || !strings.Contains(got.Issues[0].Error(), c.want)):
			t.Errorf("%s: got %v, not %s", c.refs, got.Err(), c.want)
		}
	}
}

// TestJoinedRowsOfAMotor: they are one motor, which has its numbers once.
func TestJoinedRowsOfAMotor(t *testing.T) {
	file := rawBook(t, rawSheet{"Motors", rawHeader + `<row r="2"><c r="A2" t="inlineStr"><is><t>a-8</t></is></c><c r="B2"><v>18</v></c><c r="C2"><v>2</v></c></row><row r="3"><c r="C3"><v>3</v></c></row>` +
		`</sheetData><mergeCells><mergeCell ref="A2:A3"/><mergeCell ref="B2:B3"/></mergeCells><sheetData>`})
	items := readBack(t, []byte(file), Options{}).Batch.Items
	if len(items) != 1 || len(items[0].Record.(*inventory.Motor).Nozzles) != 2 {
		t.Errorf("got %+v", items)
	}
}
