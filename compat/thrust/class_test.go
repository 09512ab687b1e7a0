package thrust

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// The published table: 1/8A to G from the Model Rocket Sporting Code, section
// Classification (read), H to O quoted, O also 14 CFR 101.22 (read). Levels: the
// national body's (read). Beyond O by doubling (quoted).
var table = []struct {
	letter string
	upper  float64
	level  int
}{
	{"1/8A", 0.3125, 0}, {"1/4A", 0.625, 0}, {"1/2A", 1.25, 0}, {"A", 2.5, 0}, {"B", 5, 0}, {"C", 10, 0},
	{"D", 20, 0}, {"E", 40, 0}, {"F", 80, 0}, {"G", 160, 0}, {"H", 320, 1}, {"I", 640, 1},
	{"J", 1280, 2}, {"K", 2560, 2}, {"L", 5120, 2}, {"M", 10240, 3}, {"N", 20480, 3}, {"O", 40960, 3},
	{"P", 81920, -1}, {"Q", 163840, -1},
}

func TestClassEdges(t *testing.T) {
	lower := 0.0
	for i, row := range table {
		for _, at := range []struct {
			impulse float64
			percent float64
		}{{row.upper, 100}, {row.upper * (1 - 1e-9), 100 * (1 - 1e-9)}, {row.upper * 0.75, 75}, {lower * (1 + 1e-9), 50 * (1 + 1e-9)}} {
			if at.impulse == 0 {
				continue
			}
			letter, percent := Class(NewtonSeconds(at.impulse))
			if letter != row.letter || math.Abs(percent-at.percent) > 1e-9 {
				t.Errorf("%.12g N s: %s, %.12g %%, want %s, %.12g", at.impulse, letter, percent, row.letter, at.percent)
			}
		}
		if i+1 < len(table) {
			if letter, _ := Class(NewtonSeconds(row.upper + 0.001)); letter != table[i+1].letter {
				t.Errorf("a mN s above %g N s: %s, want %s", row.upper, letter, table[i+1].letter)
			}
		}
		lo, hi, ok := ClassBounds(row.letter)
		if !ok || float64(lo) != lower || float64(hi) != row.upper {
			t.Errorf("bounds of %s: %g to %g, %v", row.letter, lo, hi, ok)
		}
		level, ok := CertificationLevel(row.letter)
		if ok != (row.level >= 0) || ok && level != row.level {
			t.Errorf("level of %s: %d, %v", row.letter, level, ok)
		}
		lower = row.upper
	}
}

// A sum that is ten but for rounding is ten, and so a C.
func TestClassForgivesRounding(t *testing.T) {
	var c Curve
	for i := range 101 {
		c = append(c, Point{Seconds(float64(i) * 0.01), 10})
	}
	var sum NewtonSeconds
	for range 100 {
		sum += 0.1
	}
	if sum == 10 {
		t.Fatal("this sum was to be off by its rounding")
	}
	for _, impulse := range []NewtonSeconds{sum, c.Delivered(1), NewtonSeconds(math.Nextafter(10, 11))} {
		if letter, _ := Class(impulse); letter != "C" {
			t.Errorf("%.17g N s: %s", impulse, letter)
		}
	}
}

func TestNoClass(t *testing.T) {
	for _, impulse := range []float64{0, -1, math.NaN(), math.Inf(1), 83886080 * 1.001} {
		if letter, percent := Class(NewtonSeconds(impulse)); letter != "" || percent != 0 {
			t.Errorf("%g N s: %q, %g", impulse, letter, percent)
		}
	}
	if letter, _ := Class(83886080); letter != "Z" {
		t.Errorf("the top of Z: %q", letter)
	}
	for _, name := range []string{"", "c", "AB", "1/3A"} {
		if _, _, ok := ClassBounds(name); ok {
			t.Errorf("%q has bounds", name)
		}
		if _, ok := CertificationLevel(name); ok {
			t.Errorf("%q has a level", name)
		}
	}
}

// Class and ClassBounds agree.
func TestClassWithinItsBounds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		impulse := NewtonSeconds(math.Exp(rapid.Float64Range(-8, 18).Draw(t, "log")))
		letter, percent := Class(impulse)
		lower, upper, ok := ClassBounds(letter)
		if !ok || impulse <= lower || impulse > upper || percent > 100 || lower > 0 && percent <= 50 {
			t.Fatalf("%g N s: %s (%g to %g), %g %%", impulse, letter, lower, upper, percent)
		}
	})
}
