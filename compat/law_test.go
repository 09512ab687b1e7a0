package compat_test

import (
	"testing"

	"rangebox/inventory/inventorytest"
)

// TestImports: the engine is values in, values out. It knows no store, no file,
// no clock and no terminal, so that it can be used and tested without any.
func TestImports(t *testing.T) {
	law := inventorytest.Law{
		Allowed: []string{"rangebox/inventory", "rangebox/inventory/quantity", "rangebox/compat/..."},
		Never:   []string{"os", "net", "io", "bufio", "log", "time", "context", "database", "syscall", "path", "embed", "plugin", "testing", "math/rand", "flag", "runtime"},
		NoClock: true,
	}
	broken, err := law.Broken(".")
	if err != nil {
		t.Fatal(err)
	}
	for _, b := range broken {
		t.Error(b)
	}
}
