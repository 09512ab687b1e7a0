package quantity_test

import (
	"errors"
	"math"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"

	"rangebox/inventory/quantity"
)

// decimal are the scales that records are written in; their steps are decimal
// parts of the unit.
var decimal = []*quantity.Scale{
	quantity.Millimetre.Scale, quantity.Metre.Scale, quantity.Gram.Scale, quantity.Ampere.Scale, quantity.Ohm.Scale,
	quantity.OhmPerMetre.Scale, quantity.Volt.Scale, quantity.Second.Scale, quantity.Newton.Scale, quantity.Microfarad.Scale,
	quantity.MilliampHour.Scale, quantity.AmpSquareSecond.Scale, quantity.PerCent.Scale, quantity.Celsius.Scale,
	quantity.Kilopascal.Scale, quantity.Gravity.Scale, quantity.MetrePerSecond.Scale, quantity.SquareMM.Scale,
	quantity.AWG.Scale, quantity.Piece.Scale, quantity.One.Scale,
}

// TestFormatParse: what is written as a decimal is read back as the same steps,
// bare or with its unit.
func TestFormatParse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		scale := rapid.SampledFrom(decimal).Draw(t, "scale")
		steps := rapid.Int64Range(-math.MaxInt64/4, math.MaxInt64/4).Draw(t, "steps")
		text := scale.Format(steps)
		for _, typed := range []string{text, text + scale.Name, text + " " + scale.Name} {
			if got, err := scale.Parse(typed); err != nil || got != steps {
				t.Fatalf("%d steps of %q are written %q and read as %d, %v", steps, scale.Name, typed, got, err)
			}
		}
	})
}

// TestWaysAgree: a decimal read by the short way is the same read by the long
// one, which a fraction over 1 or an exponent of 0 takes.
func TestWaysAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		scale := rapid.SampledFrom(decimal).Draw(t, "scale")
		text := rapid.StringMatching(`-?[0-9]{1,15}(\.[0-9]{0,12})?`).Draw(t, "text")
		short, err := scale.Parse(text)
		long, err2 := scale.Parse(text + "e0")
		if (err == nil) != (err2 == nil) || short != long {
			t.Fatalf("%q is %d, %v; with e0 it is %d, %v", text, short, err, long, err2)
		}
	})
}

// FuzzParse: no text breaks the parser, refusals say so, and what is taken is
// read back from what is written of it.
func FuzzParse(f *testing.F) {
	for _, seed := range []string{"2.4mm", "3/32 in", `1-1/2"`, "-0 1/2 in", "1e-3 A", "5 gr", "1 000", "010/16", "1\u00a01/2 in", "9e99", "\xff", "½ in"} {
		f.Add(seed, uint8(0))
	}
	f.Fuzz(func(t *testing.T, text string, pick uint8) {
		scale := decimal[int(pick)%len(decimal)]
		steps, err := scale.Parse(text)
		if err != nil {
			if !errors.Is(err, quantity.ErrNotQuantity) || len(err.Error()) > 1000 || !utf8.ValidString(err.Error()) {
				t.Fatalf("%q: %v", text, err)
			}
			return
		}
		if again, err := scale.Parse(scale.Format(steps)); err != nil || again != steps {
			t.Fatalf("%q is %d steps, written %q, read as %d, %v", text, steps, scale.Format(steps), again, err)
		}
	})
}
