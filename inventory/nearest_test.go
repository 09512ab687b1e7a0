package inventory_test

import (
	"strings"
	"testing"

	"rangebox/inventory"
)

func TestNearest(t *testing.T) {
	motor := []string{"handle", "diameter_mm", "length_mm", "mass_g", "propellant", "propellant_g", "delays_s", "throat_mm", "curve"}
	for _, c := range []struct{ word, want string }{
		{"diametre_mm", "diameter_mm"}, // a swap
		{"lenght_mm", "length_mm"},     // a swap
		{"mass", "mass_g"},             // letters left out
		{"throat", "throat_mm"},        // a unit left out
		{"Delays-S", "delays_s"},       // case and dashes
		{" length mm", "length_mm"},    // spaces
		{"curves", "curve"},            // a letter too many
		{"propelant", "propellant"},    // nearer than propellant_g
		{"handel", "handle"},           // a swap
		{"handle", "handle"},           // itself
		{"colour", ""},                 // nothing near
		{"x", ""},                      // nothing near
		{"", ""},
		{strings.Repeat("length_mm", 1000), ""}, // no slip of the keyboard
	} {
		got, ok := inventory.Nearest(c.word, motor)
		if got != c.want || ok != (c.want != "") {
			t.Errorf("%.20q: got %q, %v, want %q", c.word, got, ok, c.want)
		}
	}
	if _, ok := inventory.Nearest("handle", nil); ok {
		t.Error("a word is near where none is known")
	}
}
