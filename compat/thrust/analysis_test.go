package thrust

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"os"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// near reports agreement within a relative tolerance.
func near(got, want, relative float64) bool {
	return math.Abs(got-want) <= relative*math.Abs(want)
}

func readJSON(t *testing.T, file string, into any) {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(data, into); err != nil {
		t.Fatalf("%s: %v", file, err)
	}
}

// TestReferenceMotors compares with an independent program; where the files are
// from, testdata/reference/README.md says. The project asks for 0.5 %.
func TestReferenceMotors(t *testing.T) {
	const relative = 1e-12
	var box struct {
		Motors []struct {
			Handle     string  `json:"handle"`
			Propellant float64 `json:"propellant_g"`
			Curve      []struct {
				T float64 `json:"t_s"`
				F float64 `json:"thrust_n"`
			} `json:"curve"`
		} `json:"motors"`
	}
	var flights []struct {
		Motors map[string]struct {
			Impulse float64 `json:"impulse_ns"`
			Burn    float64 `json:"burn_s"`
			Average float64 `json:"average_n"`
			Peak    float64 `json:"peak_n"`
			Isp     float64 `json:"isp_s"`
		} `json:"motors"`
	}
	readJSON(t, "testdata/reference/archive.json", &box)
	readJSON(t, "testdata/reference/expected.json", &flights)
	curves, propellants := map[string]Curve{}, map[string]Kilograms{}
	for _, m := range box.Motors {
		for _, p := range m.Curve {
			curves[m.Handle] = append(curves[m.Handle], Point{Seconds(p.T), Newtons(p.F)})
		}
		propellants[m.Handle] = Kilograms(m.Propellant / 1e3)
	}
	seen := 0
	for _, f := range flights {
		for handle, want := range f.Motors {
			seen++
			a, err := Analyse(curves[handle], propellants[handle])
			if err != nil {
				t.Fatalf("%s: %v", handle, err)
			}
			for _, c := range []struct {
				name      string
				got, want float64
			}{
				{"impulse", float64(a.Impulse), want.Impulse},
				{"burn", float64(a.Burn), want.Burn},
				{"average", float64(a.Average), want.Average},
				{"peak", float64(a.Peak), want.Peak},
				{"isp", float64(a.Isp), want.Isp},
			} {
				if !near(c.got, c.want, relative) {
					t.Errorf("%s %s: %.12g, want %.12g", handle, c.name, c.got, c.want)
				}
			}
		}
	}
	if seen != 10 {
		t.Errorf("%d motors compared, want all 10", seen)
	}
}

// By hand. The peak is 10 N, so that the threshold is 0.5 N.
func TestAnalyseByHand(t *testing.T) {
	for name, c := range map[string]struct {
		curve Curve
		want  Analysis
	}{
		"triangle": { // rises through 0.5 N at 0.05 s, falls through it at 1.95 s
			Curve{{0, 0}, {1, 10}, {2, 0}},
			Analysis{Impulse: 10, Burn: 1.9, Average: 10 / 1.9, Peak: 10, IgnitionAt: 0.05, BurnoutAt: 1.95},
		},
		"starts high": {
			Curve{{0, 10}, {1, 10}, {2, 0}},
			Analysis{Impulse: 15, Burn: 1.95, Average: 15 / 1.95, Peak: 10, IgnitionAt: 0, BurnoutAt: 1.95},
		},
		"dies down and comes back": { // the first rise and the last fall count
			Curve{{0, 0}, {1, 10}, {2, 0}, {3, 0}, {4, 1}, {5, 0}},
			Analysis{Impulse: 11, Burn: 4.45, Average: 11 / 4.45, Peak: 10, IgnitionAt: 0.05, BurnoutAt: 4.5},
		},
		"first point left out": { // as if 0 N at 0 s
			Curve{{1, 10}, {2, 0}},
			Analysis{Impulse: 10, Burn: 1.9, Average: 10 / 1.9, Peak: 10, IgnitionAt: 0.05, BurnoutAt: 1.95},
		},
		"touches the threshold": { // falls through it at 1.95 s; 0.5 N at 3 s reaches it again
			Curve{{0, 0}, {1, 10}, {2, 0}, {3, 0.5}, {4, 0}},
			Analysis{Impulse: 10.5, Burn: 2.95, Average: 10.5 / 2.95, Peak: 10, IgnitionAt: 0.05, BurnoutAt: 3},
		},
	} {
		got, err := Analyse(c.curve, 0)
		if err != nil {
			t.Errorf("%s: %v", name, err)
		}
		approx := cmp.Comparer(func(x, y float64) bool { return math.Abs(x-y) <= 1e-12 })
		if diff := cmp.Diff(c.want, got, approx); diff != "" {
			t.Errorf("%s (-want +got):\n%s", name, diff)
		}
	}
}

func TestIsp(t *testing.T) {
	curve := Curve{{0, 0}, {1, 10}, {2, 0}}
	a, err := Analyse(curve, 0.01) // 10 N s / (10 g x 9.80665) = 101.97162 s
	if err != nil || !a.IspKnown || !near(float64(a.Isp), 101.97162, 1e-7) {
		t.Errorf("%+v, %v", a, err)
	}
	if a, _ := Analyse(curve, 0); a.IspKnown || a.Isp != 0 {
		t.Errorf("without a propellant mass: %+v", a)
	}
	for _, m := range []Kilograms{-1, Kilograms(math.NaN()), Kilograms(math.Inf(1))} {
		if _, err := Analyse(curve, m); !errors.Is(err, ErrPropellant) {
			t.Errorf("propellant %g: %v", m, err)
		}
	}
}

func TestAnalyseRefuses(t *testing.T) {
	for name, c := range map[string]struct {
		curve Curve
		want  error
	}{
		"no points":   {nil, ErrEmpty},
		"no thrust":   {Curve{{0, 0}, {1, 0}}, ErrNoThrust},
		"time falls":  {Curve{{0, 0}, {1, 5}, {0.5, 0}}, ErrTime},
		"overflows":   {Curve{{0, 1e308}, {1e308, 1e308}}, ErrNotFinite},
		"denormal":    {Curve{{0, 0}, {1, 5e-324}, {2, 0}}, ErrNotFinite},
		"not a value": {Curve{{0, Newtons(math.NaN())}}, ErrNotFinite},
	} {
		if _, err := Analyse(c.curve, 0); !errors.Is(err, c.want) {
			t.Errorf("%s: %v, want %v", name, err, c.want)
		}
	}
}

func TestAnalyseDoesNotAllocate(t *testing.T) {
	open := Curve{{0.1, 5}, {1, 10}, {2, 3}}
	if n := testing.AllocsPerRun(100, func() {
		if _, err := Analyse(open, 0.01); err != nil {
			t.Fatal(err)
		}
	}); n != 0 {
		t.Errorf("%g allocations", n)
	}
}

// drawCurve draws a curve that passes Check and has thrust.
func drawCurve(t *rapid.T) Curve {
	n := rapid.IntRange(1, 30).Draw(t, "points")
	at := Seconds(rapid.SampledFrom([]float64{0, 0, 0.02}).Draw(t, "first"))
	var c Curve
	for range n {
		c = append(c, Point{at, Newtons(rapid.Float64Range(0, 500).Draw(t, "F"))})
		at += Seconds(rapid.Float64Range(0.001, 1).Draw(t, "dt"))
	}
	c[rapid.IntRange(0, n-1).Draw(t, "sure")].F = Newtons(rapid.Float64Range(1, 500).Draw(t, "peak"))
	return c
}

// A curve and its completion are analysed alike; cumulative impulse ends at the
// total, never falls, and the burn lies within the curve with the average not
// above the peak by more than the ends that burn time leaves out.
func TestAnalysisLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCurve(t)
		whole, _ := Closed(c)
		a, err := Analyse(c, 0.1)
		if err != nil {
			t.Fatal(err)
		}
		if b, err := Analyse(whole, 0.1); err != nil || a != b {
			t.Fatalf("%+v, but closed %+v (%v)", a, b, err)
		}
		end := whole[len(whole)-1].T
		if got := whole.Delivered(end + 1); got != a.Impulse {
			t.Fatalf("delivered %g of %g", got, a.Impulse)
		}
		x := Seconds(rapid.Float64Range(0, 1).Draw(t, "x")) * end
		y := Seconds(rapid.Float64Range(0, 1).Draw(t, "y")) * end
		if whole.Delivered(min(x, y)) > whole.Delivered(max(x, y))*(1+1e-12) {
			t.Fatal("cumulative impulse falls")
		}
		if a.IgnitionAt < 0 || a.BurnoutAt > end || a.Burn <= 0 {
			t.Fatalf("%+v of a curve to %g s", a, end)
		}
		for _, edge := range []Seconds{a.IgnitionAt, a.BurnoutAt} {
			if f := whole.At(edge); edge > 0 && whole[0].F < burnShare*a.Peak && !near(float64(f), burnShare*float64(a.Peak), 1e-6) {
				t.Fatalf("%g N at the crossing %g s, peak %g N", f, edge, a.Peak)
			}
		}
	})
}

// Impulse scales with thrust and with time, and does not depend on how finely
// the same lines are cut.
func TestImpulseScales(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, _ := Closed(drawCurve(t))
		a, err := Analyse(c, 0)
		if err != nil {
			t.Fatal(err)
		}
		var double, cut Curve
		for i, p := range c {
			double = append(double, Point{2 * p.T, 3 * p.F})
			if i > 0 {
				mid := (c[i-1].T + p.T) / 2
				if mid > c[i-1].T && mid < p.T {
					cut = append(cut, Point{mid, c.At(mid)})
				}
			}
			cut = append(cut, p)
		}
		for _, x := range []struct {
			curve Curve
			times float64
		}{{double, 6}, {cut, 1}} {
			b, err := Analyse(x.curve, 0)
			if err != nil || !near(float64(b.Impulse), x.times*float64(a.Impulse), 1e-12) {
				t.Fatalf("%g N s, want %g times %g (%v)", b.Impulse, x.times, a.Impulse, err)
			}
		}
	})
}

func ExampleAnalyse() {
	curve := Curve{{0, 0}, {0.1, 20}, {1.4, 20}, {1.5, 0}}
	a, err := Analyse(curve, 0.035)
	if err != nil {
		fmt.Println(err)
		return
	}
	letter, percent := Class(a.Impulse)
	fmt.Printf("%.1f N s in %.2f s, %.1f N on average, %.0f s: %s, %.0f %%\n",
		a.Impulse, a.Burn, a.Average, a.Isp, letter, percent)
	// Output: 28.0 N s in 1.49 s, 18.8 N on average, 82 s: E, 70 %
}

func BenchmarkAnalyse(b *testing.B) {
	var c Curve
	for i := range 200 {
		c = append(c, Point{Seconds(i) / 100, Newtons(100 * math.Sin(math.Pi*float64(i)/200))})
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Analyse(c, 0.1); err != nil {
			b.Fatal(err)
		}
	}
}
