package command

import (
	"path/filepath"
	"strings"
	"testing"
)

// TestImportTellsWhatItPassedOver: a sheet without a table is no loss that goes
// unsaid, unless one kind was asked for.
func TestImportTellsWhatItPassedOver(t *testing.T) {
	book := filepath.Join("..", "..", "..", "importers", "sheet", "testdata", "joined", "openpyxl.xlsx")
	box := filepath.Join(t.TempDir(), "a.box")
	s := &screen{}
	if code := s.run("--db", box, "import", book, "--dry-run"); code != 0 || !strings.Contains(s.out.String(), `passed over: the sheet "Remarks" has no row of headers`) {
		t.Errorf("exit status %d: %s%s", code, s.out.String(), s.err.String())
	}
	fits(t, "import", s.out.String())
	if code := s.run("--db", box, "import", book, "--output", "json"); code != 0 || !strings.Contains(s.out.String(), "\"passed_over\": [\n    \"Remarks\"\n  ]") {
		t.Errorf("exit status %d: %s", code, s.out.String())
	}
	if code := s.run("--db", box, "import", book, "--kind", "igniter"); code != 0 || strings.Contains(s.out.String(), "passed over") {
		t.Errorf("exit status %d: %s", code, s.out.String())
	}
}
