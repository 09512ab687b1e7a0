package compat_test

import (
	"testing"

	"rangebox/inventory/inventorytest"
)

// outside is what would bring in files, the clock, chance or a terminal.
var outside = []string{"os", "net", "io", "bufio", "log", "time", "context", "database", "syscall", "path", "embed", "plugin", "testing", "math/rand", "flag", "runtime"}

// TestImports: the engine is values in, values out. It knows no store, no file,
// no clock and no terminal, so that it can be used and tested without any; the
// computations know not even the records, so that each can be used alone.
func TestImports(t *testing.T) {
	for folder, allowed := range map[string][]string{
		".":       {"rangebox/inventory", "rangebox/inventory/quantity", "rangebox/compat/..."},
		"circuit": nil,
		"thrust":  nil,
		"charge":  nil,
		"ascent":  {"rangebox/compat/thrust"},
	} {
		law := inventorytest.Law{Allowed: allowed, Never: outside, NoClock: true}
		broken, err := law.Broken(folder)
		if err != nil {
			t.Fatal(err)
		}
		for _, b := range broken {
			t.Errorf("%s: %s", folder, b)
		}
	}
}
