package boltstore_test

import (
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"rangebox/inventory/boltstore"
)

// TestLeftBehind sees that a new unfinished file sweeps away what killed commands
// left long ago, and nothing else that lies there.
func TestLeftBehind(t *testing.T) {
	path := newPath(t)
	create(t, path, small())
	for name, age := range map[string]time.Duration{
		path + ".unfinished-123":        2 * time.Hour,
		path + ".unfinished-456":        time.Minute, // another command may be at it
		path + ".unfinished-notes":      2 * time.Hour,
		path + ".new":                   2 * time.Hour,
		path + "2.unfinished-123":       2 * time.Hour, // of another box
		path + ".1.bak":                 2 * time.Hour,
		path + ".unfinished-789/inside": 2 * time.Hour,
	} {
		must(t, os.MkdirAll(filepath.Dir(name), 0o700))
		must(t, os.WriteFile(name, []byte("x"), 0o600))
		must(t, os.Chtimes(name, time.Time{}, time.Now().Add(-age)))
	}
	bulk := opt()
	bulk.Bulk = true
	must(t, boltstore.Write(path, bulk, func(tx *boltstore.Tx) error { _, err := tx.Put(igniter("new")); return err }))
	var left []string
	entries, err := os.ReadDir(filepath.Dir(path))
	must(t, err)
	for _, entry := range entries {
		left = append(left, entry.Name())
	}
	base := filepath.Base(path)
	want := []string{base, base + ".1.bak", base + ".new", base + ".unfinished-456", base + ".unfinished-789", base + ".unfinished-notes", base + "2.unfinished-123"}
	slices.Sort(want)
	if !slices.Equal(left, want) {
		t.Errorf("there are %q, not %q", left, want)
	}
}
