package compat

import (
	"testing"

	"pgregory.net/rapid"

	"rangebox/inventory/quantity"
)

// TestReadFigures: what the ledger keeps of a packing is read as it was written, to
// the thousandth that is written.
func TestReadFigures(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := PackedPoint{Splice: quantity.Length(rapid.Int64Range(0, 300).Draw(t, "splice")) * 10_000_000}
		if rapid.Bool().Draw(t, "has a delay") {
			p.Delay = quantity.Some(quantity.Time(rapid.Int64Range(1, 30_000).Draw(t, "delay")) * 1000)
		}
		if rapid.Bool().Draw(t, "has a timer") {
			p.Timer = quantity.Some(quantity.Time(rapid.Int64Range(0, 90_000).Draw(t, "timer")) * 1000)
		}
		splice, delay, timer := readFigures(p.restsOn())
		if splice != quantity.Some(p.Splice) || delay != p.Delay || timer != p.Timer {
			t.Fatalf("%q is read as %v, %v, %v", p.restsOn(), splice, delay, timer)
		}
	})
}
