package inventory_test

import (
	"testing"

	"rangebox/inventory/inventorytest"
)

// TestImports: the nouns know neither store, nor engine, nor files, nor clock,
// so that whatever uses them can be tested without.
func TestImports(t *testing.T) {
	law := inventorytest.Law{
		Allowed: []string{"github.com/google/uuid", "rangebox/inventory/quantity"},
		Never:   []string{"os", "net", "io/ioutil", "database", "syscall", "testing"},
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
