package importers_test

import (
	"io/fs"
	"path/filepath"
	"testing"

	"rangebox/inventory/inventorytest"
)

// TestImports: files in and out know the records and nothing else of the
// project, so that a box can be read without a store or an engine. The law holds
// for every folder below, those to come as well.
func TestImports(t *testing.T) {
	law := inventorytest.Law{
		Allowed: []string{"github.com/google/uuid", "rangebox/inventory", "rangebox/inventory/quantity", "rangebox/importers/...",
			"golang.org/x/text/encoding/charmap"},
		Never:   []string{"net", "database", "testing"},
		NoClock: true,
	}
	folders := 0
	err := filepath.WalkDir(".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || !d.IsDir() {
			return err
		}
		if d.Name() == "testdata" {
			return filepath.SkipDir
		}
		folders++
		broken, err := law.Broken(path)
		for _, b := range broken {
			t.Error(b)
		}
		return err
	})
	if err != nil || folders < 2 {
		t.Errorf("looked at %d folders: %v", folders, err)
	}
}
