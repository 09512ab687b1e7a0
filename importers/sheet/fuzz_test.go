package sheet

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rangebox/importers"
	"rangebox/importers/archive"
	"rangebox/inventory"
)

// seeds are the files of other programs and those of the table of complaints.
func seeds(f *testing.F) [][]byte {
	f.Helper()
	files, err := filepath.Glob("testdata/*.csv")
	if err != nil || len(files) == 0 {
		f.Fatalf("no seeds in testdata: %v", err)
	}
	var list [][]byte
	for _, name := range files {
		data, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		list = append(list, data)
	}
	for _, c := range complaints {
		if len(c.file) < 1000 {
			list = append(list, []byte(c.file))
		}
	}
	return list
}

func FuzzTable(f *testing.F) {
	for _, data := range seeds(f) {
		f.Add(data, "")
		f.Add(data, "motor")
	}
	f.Add([]byte("Motor;Qty;Price (EUR);Expires\nBirch 38;3;1,50;Apr 2027\n"), "lot")
	f.Fuzz(func(t *testing.T, data []byte, kind string) {
		if _, ok := inventory.KindNamed(kind); !ok {
			kind = ""
		}
		// a row takes a line at least, and a byte that cannot be read is told by its line
		readAndJudge(t, data, kind, bytes.Count(data, []byte("\n"))+bytes.Count(data, []byte("\r"))+1)
	})
}

func FuzzWorkbook(f *testing.F) {
	for _, c := range workbookComplaints {
		f.Add("Motors", rawHeader+`<row r="2">`+c.file+`</row>`, "")
	}
	f.Add("Stock", `<row><c t="inlineStr"><is><t>Motor</t></is></c><c t="inlineStr"><is><t>Qty</t></is></c></row><row><c><v>1</v></c><c><v>2</v></c></row>`, "lots")
	f.Fuzz(func(t *testing.T, name, rows, second string) {
		readAndJudge(t, []byte(rawBookOf(t, "", rawStyles, rawSheet{name, rows}, rawSheet{second, rows})), "", 1_048_576)
	})
}

// readAndJudge reads a file; a complaint has to lie inside of it, and what is
// read has to come back after it was written.
func readAndJudge(t *testing.T, data []byte, kind string, rows int) {
	t.Helper()
	got, err := Read(bytes.NewReader(data), "f", Options{Kind: kind})
	if err == nil {
		for _, r := range got.Rejected {
			if r.Row < 1 || r.Row > rows || len(r.Reasons) == 0 {
				t.Fatalf("rejected without reason or place: %+v", r)
			}
		}
		err = got.Err()
	}
	if err != nil {
		issues, ok := importers.AsIssues(err)
		if !ok {
			t.Fatalf("no issues: %v", err)
		}
		for _, i := range issues {
			if i.Row < 0 || i.Row > rows || i.Error() == "" {
				t.Fatalf("a complaint outside of the file: %+v", i)
			}
		}
		return
	}
	got.Batch.Prepare(inventory.Nothing{}) // may find what is missing; must not fall over
	comesBack(t, got.Batch)
}

// comesBack writes what was read, and reads it again.
func comesBack(t *testing.T, batch *inventory.Batch) {
	t.Helper()
	for _, info := range inventory.Kinds {
		want := recordsOf(batch, info.Kind)
		var out bytes.Buffer
		if err := WriteCSV(&out, info.Kind, archive.FromBatch(batch)); err != nil {
			t.Fatal(err)
		}
		again := readBack(t, out.Bytes(), Options{Kind: string(info.Kind)})
		if diff := cmp.Diff(want, recordsOf(again.Batch, info.Kind), exact); diff != "" {
			t.Fatalf("%s changed: %s", info.Plural, diff)
		}
	}
}

// FuzzHeader: no text at the head of a column is taken for a unit or field it
// does not name.
func FuzzHeader(f *testing.F) {
	for _, header := range []string{"Throat (in)", "All-fire [mA]", "Lead length, ft", "notes_2", "Price (EUR)", "Wire", "delays_s", "(", "[]", ",", "Ø (mm)"} {
		f.Add(header)
	}
	lexes := lexicons()
	f.Fuzz(func(t *testing.T, header string) {
		for _, lex := range lexes {
			b := lex.read(header)
			if b.known() && b.why != "" {
				t.Fatalf("%q is known, and yet %s", header, b.why)
			}
			for _, c := range b.columns {
				if b.unit != nil && b.unit.Dimension != c.f.Scale.Dimension {
					t.Fatalf("%q: %s in %s", header, c.key, b.unit.Name)
				}
			}
			lex.candidates(header)
		}
	})
}

func FuzzDate(f *testing.F) {
	for _, text := range []string{"17 Apr 2027", "3/4/2027", "2027-04", "April 17th, 2027", "17.04.27"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		for order := orderOpen; order <= orderBoth; order++ {
			date, err := readDate(text, order)
			if err != nil {
				continue
			}
			if _, err := inventory.ParseDate(date); err != nil {
				t.Fatalf("%q was read as %q", text, date)
			}
		}
	})
}
