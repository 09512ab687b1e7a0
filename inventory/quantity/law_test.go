package quantity_test

import (
	"testing"

	"rangebox/inventory/inventorytest"
)

// TestImports: the package is a leaf, so that every other may use it.
func TestImports(t *testing.T) {
	law := inventorytest.Law{Never: []string{"os", "net", "testing"}, NoClock: true}
	broken, err := law.Broken(".")
	if err != nil {
		t.Fatal(err)
	}
	for _, b := range broken {
		t.Error(b)
	}
}
