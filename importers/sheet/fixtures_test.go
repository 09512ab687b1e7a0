package sheet

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rangebox/importers/archive"
	"rangebox/inventory"
)

func readFile(t *testing.T, name string) *Result {
	t.Helper()
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return readBack(t, data, Options{})
}

// TestOtherProgramsFiles reads what LibreOffice, openpyxl and exceljs wrote; see
// testdata/README.md.
func TestOtherProgramsFiles(t *testing.T) {
	want, err := archive.Read(strings.NewReader(plainRecords), "plain")
	if err != nil {
		t.Fatal(err)
	}
	files, err := filepath.Glob("testdata/*.[cx][sl]*")
	if err != nil || len(files) < 7 {
		t.Fatalf("found %v, %v", files, err)
	}
	for _, name := range files {
		t.Run(filepath.Base(name), func(t *testing.T) {
			got := recordsOf(readFile(t, name).Batch, inventory.KindMotor)
			plain := recordsOf(want, inventory.KindMotor)
			if strings.HasPrefix(filepath.Base(name), "libreoffice") {
				short := *plain[0].(*inventory.Motor)
				short.Delays, short.Curve = nil, nil // these tables do not have them
				plain = []inventory.Record{&short, plain[1]}
			}
			if diff := cmp.Diff(plain, got, exact); diff != "" {
				t.Error(diff)
			}
		})
	}
}

func plainBook(t *testing.T) (batch *inventory.Batch, file string) {
	t.Helper()
	batch, err := archive.Read(strings.NewReader(plainRecords), "plain")
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := WriteXLSX(&out, archive.FromBatch(batch)); err != nil {
		t.Fatal(err)
	}
	file = filepath.Join(t.TempDir(), "box.xlsx")
	if err := os.WriteFile(file, out.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	return batch, file
}

// TestLibreOfficeOpensOurWorkbook lets it save the workbook again, as .xlsx and
// as CSV, and reads that.
func TestLibreOfficeOpensOurWorkbook(t *testing.T) {
	soffice, err := exec.LookPath("soffice")
	if err != nil {
		t.Skip("LibreOffice is not installed (Debian: libreoffice-calc-nogui)")
	}
	batch, file := plainBook(t)
	out := t.TempDir()
	for _, format := range []string{"xlsx", "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,true"} {
		cmd := exec.Command(soffice, "-env:UserInstallation=file://"+t.TempDir(), "--headless", "--convert-to", format, "--outdir", out, file)
		if said, err := cmd.CombinedOutput(); err != nil {
			t.Fatalf("%v: %s", err, said)
		}
		ending, _, _ := strings.Cut(format, ":")
		got := readFile(t, filepath.Join(out, "box."+ending))
		if diff := cmp.Diff(recordsOf(batch, inventory.KindMotor), recordsOf(got.Batch, inventory.KindMotor), exact); diff != "" {
			t.Errorf("%s: %s", ending, diff)
		}
	}
}

// TestOpenpyxlReadsOurWorkbook: an independent reader sees the types we meant.
func TestOpenpyxlReadsOurWorkbook(t *testing.T) {
	const python = "/usr/bin/python3"
	if err := exec.Command(python, "-c", "import openpyxl").Run(); err != nil {
		t.Skip("openpyxl is not installed (Debian: python3-openpyxl)")
	}
	_, file := plainBook(t)
	const script = `
import sys, openpyxl
for sheet in openpyxl.load_workbook(sys.argv[1]):
    print(sheet.title, sheet.freeze_panes)
    for row in sheet.iter_rows(values_only=True):
        print([v.isoformat() if hasattr(v, "isoformat") else v for v in row])
`
	got, err := exec.Command(python, "-c", script, file).Output()
	if err != nil {
		t.Fatal(err)
	}
	const want = `motors A2
['Handle', 'Maker', 'Name', 'Diameter (mm)', 'Mass (g)', 'Delays (s)', 'Throat (mm)', 'Measured on', 'Curve', 'Certified until', 'Notes']
['birch-38', 'Überholz', 'Birch 38', 38.1, 1234.5, '3 5.5 7', 2.38125, 'new', '0:0 0.1:12.5 1.2:0', '2028-03-31T00:00:00', 'first line\nsecond, line']
['larch-29', 'Überholz', '"Larch" 29', 28.575, None, None, 1.6129, 'fired', None, '2027-12-17T00:00:00', None]
`
	if diff := cmp.Diff(want, string(got)); diff != "" {
		t.Error(diff)
	}
}
