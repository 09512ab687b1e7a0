package ascent

import "testing"

// BenchmarkTwoStages is one ascent of the first reference rocket, to apogee.
// The project asks for less than 1 ms.
func BenchmarkTwoStages(b *testing.B) {
	rockets, _ := references(b)
	r := rockets["r-1"]
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Run(r, Site{}, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkOneStage is what choosing a motor does a few thousand times.
func BenchmarkOneStage(b *testing.B) {
	rockets, _ := references(b)
	r := rockets["r-4"]
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Run(r, Site{}, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
