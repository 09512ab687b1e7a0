package pack

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"pgregory.net/rapid"
)

// TestReference: testdata/spares, by R 4.2.2 (see its README).
func TestReference(t *testing.T) {
	file, err := os.Open("testdata/spares/expected.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) != 13 {
		t.Fatalf("%d rows, want a header and 12", len(rows))
	}
	for _, row := range rows[1:] {
		var v [7]float64
		for i := range v {
			if v[i], err = strconv.ParseFloat(row[i], 64); err != nil {
				t.Fatal(err)
			}
		}
		carry, spares, chance := Carry(int(v[0]), OnComposite, int(v[1]), int(v[2]), v[3])
		if carry != int(v[4]) || spares != int(v[5]) || math.Abs(chance-v[6]) > 1e-8 {
			t.Errorf("%v: %d, %d, %.9f", row, carry, spares, chance)
		}
	}
}

// TestCarryAt: plain binomial, p 0.90, computed with an independent script.
func TestCarryAt(t *testing.T) {
	for _, c := range []struct {
		needed     int
		confidence float64
		want       int
	}{{5, 0.95, 7}, {5, 0.99, 8}, {10, 0.95, 13}, {10, 0.99, 14}} {
		carry, spares, chance := CarryAt(c.needed, 0.90, c.confidence)
		if carry != c.want || spares != c.want-c.needed || chance < c.confidence {
			t.Errorf("%+v: %d, %d, %v", c, carry, spares, chance)
		}
	}
}

// TestAllFire: uniform prior, 19 of 20 fired: computed with an independent
// script.
func TestAllFire(t *testing.T) {
	p := Uniform.After(19, 1)
	if got := p.AllFire(6); math.Abs(got-0.5982906) > 5e-8 {
		t.Errorf("the next 6 all fire: %.9f", got)
	}
	if got := p.AllFire(0); got != 1 {
		t.Errorf("none needed: %v", got)
	}
	if got := p.Mean(); got != 20.0/22 {
		t.Errorf("mean %v", got)
	}
}

// TestSuccessRun: 95 %, computed with an independent script.
func TestSuccessRun(t *testing.T) {
	for reliability, want := range map[float64]int{0.90: 29, 0.95: 59, 0.99: 299, 0.999: 2995, 0.5: 5} {
		if got := SuccessRun(reliability, 0.95); got != want {
			t.Errorf("%v: %d, want %d", reliability, got, want)
		}
	}
	if got := SuccessRun(0.1, 0.99999); got != 5 { // 0.1^5 is 0.00001: just enough
		t.Errorf("0.1 at 0.99999: %d, want 5", got)
	}
}

func TestInterval(t *testing.T) {
	for _, c := range []struct {
		fired, tried int
		confidence   float64
		low, high    float64
	}{
		{4, 20, 0.90, 0.071354, 0.401029}, // NIST/SEMATECH e-Handbook 7.2.4 (read)
		{0, 0, 0.95, 0, 1},
		{0, 10, 0.90, 0, 1 - math.Pow(0.05, 0.1)}, // closed form
		{10, 10, 0.90, math.Pow(0.05, 0.1), 1},    // closed form
		{1, 1, 0.95, 0.025, 1},
	} {
		low, high := Interval(c.fired, c.tried, c.confidence)
		if math.Abs(low-c.low) > 1e-6 || math.Abs(high-c.high) > 1e-6 {
			t.Errorf("%+v: %.6f, %.6f", c, low, high)
		}
	}
}

func TestCarryEdges(t *testing.T) {
	if carry, spares, chance := Carry(0, OnComposite, 0, 0, 0.95); carry != 0 || spares != 0 || chance != 1 {
		t.Errorf("none needed: %d, %d, %v", carry, spares, chance)
	}
	// The chance is reached exactly, whatever the rounding.
	for prior, confidence := range map[Prior]float64{OnBlackPowder: 0.95, {1, 3}: 0.25, {1, 7}: 0.125} {
		if carry, _, _ := Carry(1, prior, 0, 0, confidence); carry != 1 {
			t.Errorf("one of %v at %v: carry %d", prior, confidence, carry)
		}
	}
	carry, _, chance := Carry(10, Prior{1, 1}, 0, 100_000, 0.95)
	if carry != MostCarried || !(chance < 0.95) {
		t.Errorf("hopeless: %d, %v", carry, chance)
	}
	if carry, _, chance := Carry(5, OnComposite, 0, 0, 1); carry == 5 || chance < 1-nearEnough {
		t.Errorf("certainty, to within rounding: %d, %v", carry, chance)
	}
	if got := [3]Prior{PriorOf("black-powder"), PriorOf("charge"), PriorOf("sparky")}; got != [3]Prior{{19, 1}, {19, 1}, {9, 1}} {
		t.Errorf("priors %v", got)
	}
}

// TestCarrySums: the chance is that of summing the beta-binomial directly.
func TestCarrySums(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		needed, fired, misfired := rapid.IntRange(1, 40).Draw(t, "needed"), rapid.IntRange(0, 400).Draw(t, "fired"), rapid.IntRange(0, 60).Draw(t, "misfired")
		confidence := rapid.Float64Range(0.5, 0.999).Draw(t, "confidence")
		carry, _, chance := Carry(needed, OnComposite, fired, misfired, confidence)
		p := OnComposite.After(fired, misfired)
		if direct := betaBinomial(carry, needed, p); carry < MostCarried && math.Abs(direct-chance) > 1e-9 {
			t.Fatalf("chance %v, summed %v", chance, direct)
		}
		if carry > needed && betaBinomial(carry-1, needed, p) >= confidence+1e-9 {
			t.Fatalf("one fewer than %d would do", carry)
		}
	})
}

// betaBinomial sums the chance of needed or more of n.
func betaBinomial(n, needed int, p Prior) (sum float64) {
	lbeta := func(a, b float64) float64 { return lgamma(a) + lgamma(b) - lgamma(a+b) }
	for k := needed; k <= n; k++ {
		choose := -math.Log(float64(n+1)) - lbeta(float64(n-k+1), float64(k+1))
		sum += math.Exp(choose + lbeta(p.A+float64(k), p.B+float64(n-k)) - lbeta(p.A, p.B))
	}
	return sum
}

// TestCarryIsMonotone: more fired never raises the spares, more misfired never
// lowers them; nor does a higher confidence.
func TestCarryIsMonotone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		needed, fired, misfired := rapid.IntRange(1, 30).Draw(t, "needed"), rapid.IntRange(0, 200).Draw(t, "fired"), rapid.IntRange(0, 30).Draw(t, "misfired")
		more := rapid.IntRange(0, 20).Draw(t, "more")
		confidence := rapid.Float64Range(0.5, 0.99).Draw(t, "confidence")
		_, spares, _ := Carry(needed, OnComposite, fired, misfired, confidence)
		if _, s, _ := Carry(needed, OnComposite, fired+more, misfired, confidence); s > spares {
			t.Fatalf("%d more fired: %d spares, before %d", more, s, spares)
		}
		if _, s, _ := Carry(needed, OnComposite, fired, misfired+more, confidence); s < spares {
			t.Fatalf("%d more misfired: %d spares, before %d", more, s, spares)
		}
		if _, s, _ := Carry(needed, OnComposite, fired, misfired, confidence+0.009); s < spares {
			t.Fatalf("more confidence: %d spares, before %d", s, spares)
		}
	})
}
