package quantity

import (
	"errors"
	"testing"
)

// TestDrills: sizes in inches as GNU units 2.22 prints them (`units 'drillgauge(52)' in`), read.
func TestDrills(t *testing.T) {
	for text, want := range map[string]string{
		"#1": "0.228in", "#52": "0.0635in", "#52 drill": "0.0635 in", " # 52 Drill ": "0.0635in", "#21": "0.159in",
		"#60": "0.04in", "#80": "0.0135in", "#55drill": "0.052in", "#30": "0.1285in", "#72": "0.025in",
	} {
		got, err := Millimetre.Parse(text)
		inch, err2 := Millimetre.Parse(want)
		if err != nil || err2 != nil || got != inch {
			t.Errorf("%q: got %d, %v, want %d", text, got, err, inch)
		}
	}
}

func TestDrillsRefused(t *testing.T) {
	for _, text := range []string{"#", "#0", "#81", "#5.2", "#-3", "#x", "# drill", "#99999999999999999999", "#52 mm"} {
		if got, err := Millimetre.Parse(text); !errors.Is(err, ErrNotQuantity) {
			t.Errorf("%q was read as %d: %v", text, got, err)
		}
	}
	if _, err := Gram.Parse("#52"); !errors.Is(err, ErrNotQuantity) {
		t.Errorf("a drill was taken for a mass: %v", err)
	}
}

// TestDrillsFall: a slip in the table would break the order.
func TestDrillsFall(t *testing.T) {
	for i := 1; i < len(numberDrills); i++ {
		if numberDrills[i] >= numberDrills[i-1] {
			t.Errorf("#%d is not smaller than #%d", i+1, i)
		}
	}
	if len(numberDrills) != 80 {
		t.Errorf("there are %d", len(numberDrills))
	}
}

func TestIn(t *testing.T) {
	for _, c := range []struct {
		scale *Scale
		unit  string
		want  string
	}{
		{Millimetre.Scale, "in", "in"}, {Millimetre.Scale, "Inches", "in"}, {Millimetre.Scale, "FT", "ft"},
		{Ampere.Scale, "mA", "mA"}, {AWG.Scale, "ga", "AWG"}, {Ampere.Scale, "MA", ""}, {Millimetre.Scale, "g", ""}, {One.Scale, "mm", ""},
	} {
		got, ok := c.scale.In(c.unit)
		if ok != (c.want != "") || ok && got.Name != c.want {
			t.Errorf("%s in %q: got %v, %v", c.scale.Name, c.unit, got, ok)
		}
	}
}

func TestBare(t *testing.T) {
	for text, want := range map[string]bool{"2.4": true, " -1e3 ": true, "3/32": true, "1 1/2": true, "2.4mm": false, `3/32"`: false, "#52": false, "24ga": false, "": true, "x": false} {
		if got := Bare(text); got != want {
			t.Errorf("%q: got %v", text, got)
		}
	}
}
