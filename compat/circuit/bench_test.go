package circuit_test

import (
	"testing"

	"rangebox/compat/circuit"
)

func BenchmarkNominalAndWorst(b *testing.B) {
	for name, igniters := range map[string]int{"1": 1, "3": 3} {
		b.Run(name, func(b *testing.B) {
			n := pad(igniters)
			b.ReportAllocs()
			for b.Loop() {
				n.Nominal()
				n.WorstEach()
			}
		})
	}
}

func BenchmarkHolds(b *testing.B) {
	n, need := pad(3), circuit.Need{1, 1, 1}
	b.ReportAllocs()
	for b.Loop() {
		n.Holds(need)
	}
}

func BenchmarkInverse(b *testing.B) {
	n, need := pad(3), circuit.Need{1, 1, 1}
	b.ReportAllocs()
	for b.Loop() {
		n.MostIgniters(need)
		n.LongestLead(need)
		n.SmallestWire(need)
		n.LowestVoltage(need)
	}
}
