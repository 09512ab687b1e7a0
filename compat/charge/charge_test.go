package charge

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Worked cases at 15 psi, computed by the project with an independent script
// from the constants of Knowles, Derivation of Table for Estimated Ejection
// Charge Size; the short rule of the first is stated with them, those of the
// others are 0.006 D^2 L by hand.
func TestWorkedCases(t *testing.T) {
	for _, c := range []struct{ bore, length, powder, short float64 }{
		{4, 12, 1.1674, 1.152},
		{3, 10, 0.5472, 0.540},
		{6, 18, 3.9400, 3.888},
	} {
		d, l := Metres(c.bore)*Inch, Metres(c.length)*Inch
		if got := Powder(15*PSI, Cylinder(d, l)).Grams(); math.Abs(got-c.powder) > 1e-4 {
			t.Errorf("%g x %g in: %.6f g, want %.4f", c.bore, c.length, got, c.powder)
		}
		if got := ShortRule(d, l).Grams(); math.Abs(got-c.short) > 1e-9 {
			t.Errorf("%g x %g in, short rule: %.6f g, want %.4f", c.bore, c.length, got, c.short)
		}
	}
}

// The units against NIST SP 811, appendix B.8: 1 psi = 6.894757 E+03 Pa,
// 1 in3 = 1.638706 E-05 m3, 1 lbf = 4.448222 N (from memory).
func TestUnits(t *testing.T) {
	for _, c := range []struct{ got, want float64 }{
		{float64(PSI), 6894.757}, {float64(CubicInch), 1.638706e-5}, {float64(PoundForce), 4.448222},
	} {
		if math.Abs(c.got/c.want-1) > 1e-6 {
			t.Errorf("%.9g, want %.7g", c.got, c.want)
		}
	}
}

// Force by hand: 15 psi on a 4 in cap is 15 x 4 pi = 188.4956 lbf.
func TestForce(t *testing.T) {
	if got := float64(Force(15*PSI, Disk(4*Inch)) / PoundForce); math.Abs(got-188.4956) > 1e-4 {
		t.Errorf("%.6f lbf", got)
	}
}

func TestRecommend(t *testing.T) {
	within := func(t *testing.T, what string, got, want, slack float64) {
		t.Helper()
		if !(math.Abs(got-want) <= slack) {
			t.Errorf("%s: %.9g, want %.9g", what, got, want)
		}
	}
	t.Run("unpinned", func(t *testing.T) {
		r, err := Recommend(Joint{Bore: 4 * Inch, Length: 12 * Inch})
		if err != nil || r.Least {
			t.Fatal(r, err)
		}
		within(t, "powder", r.Powder.Grams(), 1.1674, 1e-4)
		within(t, "short rule", r.Short.Grams(), 1.152, 1e-9)
		within(t, "made", float64(r.Made/PSI), 15, 1e-9)
	})
	t.Run("small", func(t *testing.T) { // 1 x 4 in would be 0.0243 g
		r, err := Recommend(Joint{Bore: Inch, Length: 4 * Inch})
		if err != nil || !r.Least {
			t.Fatal(r, err)
		}
		within(t, "computed", r.Computed.Grams(), 0.0243, 1e-4)
		within(t, "powder", r.Powder.Grams(), 0.2, 1e-12)
		within(t, "made", float64(r.Made/r.Pressure), 0.2/r.Computed.Grams(), 1e-9)
	})
	t.Run("pinned", func(t *testing.T) { // 3 pins of 150 N on a 100 mm cap: 675 N over 7853.98 mm2
		r, err := Recommend(Joint{Bore: 0.1, Length: 0.3, Pins: 3, PinForce: 150})
		if err != nil {
			t.Fatal(err)
		}
		within(t, "pressure", float64(r.Pressure), 85943.67, 0.01)
		within(t, "force", float64(r.Force), 675, 1e-9)
	})
	t.Run("target", func(t *testing.T) {
		r, err := Recommend(Joint{Bore: 0.1, Length: 0.3, Target: 70e3})
		if err != nil {
			t.Fatal(err)
		}
		within(t, "pressure", float64(r.Pressure), 70e3, 1e-9)
	})
	t.Run("target under the pins", func(t *testing.T) {
		r, err := Recommend(Joint{Bore: 0.1, Length: 0.3, Target: 70e3, Pins: 3, PinForce: 150})
		if err != nil {
			t.Fatal(err)
		}
		within(t, "pressure", float64(r.Pressure), 85943.67, 0.01)
	})
}

func TestRecommendRefuses(t *testing.T) {
	whole := Joint{Bore: 0.1, Length: 0.3, Pins: 2, PinForce: 100}
	for name, c := range map[string]struct {
		spoil func(*Joint)
		want  error
	}{
		"no bore":           {func(j *Joint) { j.Bore = 0 }, ErrFigure},
		"bore is no number": {func(j *Joint) { j.Bore = Metres(math.NaN()) }, ErrFigure},
		"endless":           {func(j *Joint) { j.Length = Metres(math.Inf(1)) }, ErrFigure},
		"negative target":   {func(j *Joint) { j.Target = -1 }, ErrFigure},
		"negative pins":     {func(j *Joint) { j.Pins = -1 }, ErrFigure},
		"pins not measured": {func(j *Joint) { j.PinForce = 0 }, ErrPinForce},
		"negative pin":      {func(j *Joint) { j.PinForce = -3 }, ErrFigure},
	} {
		j := whole
		c.spoil(&j)
		if _, err := Recommend(j); !errors.Is(err, c.want) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := Recommend(whole); err != nil {
		t.Errorf("the whole joint: %v", err)
	}
}

// Powder, Pressure and Volume undo each other, and more of either asks for more
// powder.
func TestRoundTrips(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := Pascals(rapid.Float64Range(1, 1e7).Draw(t, "p"))
		v := CubicMetres(rapid.Float64Range(1e-9, 10).Draw(t, "v"))
		m := Powder(p, v)
		if back := Pressure(m, v); math.Abs(float64(back/p)-1) > 1e-14 {
			t.Fatalf("pressure %g comes back as %g", p, back)
		}
		if back := Volume(m, p); math.Abs(float64(back/v)-1) > 1e-14 {
			t.Fatalf("volume %g comes back as %g", v, back)
		}
		if Powder(p*1.01, v) <= m || Powder(p, v*1.01) <= m {
			t.Fatal("more pressure or volume does not ask for more powder")
		}
	})
}

// The recommended charge always gives the pressure aimed at, and shears the pins
// with the factor to spare.
func TestRecommendationHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		j := Joint{
			Bore:     Metres(rapid.Float64Range(0.01, 0.5).Draw(t, "bore")),
			Length:   Metres(rapid.Float64Range(0.01, 2).Draw(t, "length")),
			Pins:     rapid.IntRange(0, 8).Draw(t, "pins"),
			PinForce: Newtons(rapid.Float64Range(1, 500).Draw(t, "force")),
		}
		r, err := Recommend(j)
		if err != nil {
			t.Fatal(err)
		}
		if float64(r.Made) < float64(r.Pressure)*(1-1e-12) || r.Powder < LeastPowder {
			t.Fatalf("%+v", r)
		}
		if all := Newtons(j.Pins) * j.PinForce; float64(r.Force) < PinFactor*float64(all)*(1-1e-12) {
			t.Fatalf("%g N against pins of %g N", r.Force, all)
		}
	})
}

// The short rule is 1 to 2 % below the gas law whatever the size.
func TestShortRuleAgrees(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := Metres(rapid.Float64Range(0.01, 1).Draw(t, "bore"))
		l := Metres(rapid.Float64Range(0.01, 3).Draw(t, "length"))
		ratio := float64(ShortRule(d, l) / Powder(UnpinnedPressure, Cylinder(d, l)))
		if ratio < 0.98 || ratio > 0.99 {
			t.Fatalf("ratio %g", ratio)
		}
	})
}

func ExampleRecommend() {
	r, err := Recommend(Joint{Bore: 4 * Inch, Length: 12 * Inch})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f g for %.0f kPa, %.0f N on the bulkhead; short rule %.2f g\n",
		r.Powder.Grams(), r.Pressure/1000, r.Force, r.Short.Grams())
	// Output: 1.17 g for 103 kPa, 838 N on the bulkhead; short rule 1.15 g
}

func ExamplePressure() {
	fmt.Printf("%.1f psi\n", Pressure(1e-3, Cylinder(4*Inch, 12*Inch))/PSI)
	// Output: 12.8 psi
}
