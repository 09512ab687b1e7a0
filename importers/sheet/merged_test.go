package sheet

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rangebox/importers/archive"
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
