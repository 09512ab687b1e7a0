package sheet

import (
	"fmt"
	"strings"
	"testing"
)

// TestAmounts: pieces with a word for them, and masses in grams. An ounce is 28.349523125
// g, a pound 453.59237 g (the agreement of 1959).
func TestAmounts(t *testing.T) {
	for _, c := range []struct{ header, item, cell, want string }{
		{"Qty", "Motor", "6", "6"},
		{"Qty", "Motor", "6 pcs", "6"},
		{"Qty", "Igniter", "6 ea", "6"},
		{"Qty", "Igniter", "6 pieces", "6"},
		{"Qty (pcs)", "Battery", "6", "6"},
		{"Qty (g)", "Motor", "6 pcs", "6"},
		{"Qty", "Supply", "6 g", "6"},
		{"Qty (oz)", "Supply", "1", "28.349523125"},
		{"Qty (g)", "Supply", "1 oz", "28.349523125"},
		{"Qty", "Supply", "0.5 kg", "500"},
		{"Qty", "Supply", "1 lb", "453.59237"},
		{"Qty", "Supply", "1 grain", "0.06479891"},
	} {
		file := fmt.Sprintf("%s,%s\nx-1,%s\n", c.item, c.header, c.cell)
		got, err := Read(strings.NewReader(file), "lots.csv", Options{Kind: "lot"})
		if err == nil {
			err = got.Err()
		}
		if err != nil {
			t.Errorf("%s: %v", file, err)
			continue
		}
		if q := textOf(got.Batch.Items[0].Record, "quantity"); q != c.want {
			t.Errorf("%s: got %s, want %s", file, q, c.want)
		}
	}
}
