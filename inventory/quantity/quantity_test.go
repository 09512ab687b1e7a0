package quantity_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"rangebox/inventory/quantity"
)

// TestParse holds what people type to the steps it stands for.
func TestParse(t *testing.T) {
	const yard = "international yard and pound agreement of 1959: 1 in = 25.4 mm, 1 lb = 453.592 37 g, 1 grain = lb/7000 (from memory)"
	const si = "SI prefixes"
	const gravity = "standard gravity 9.806 65 m/s2 (CGPM 1901, from memory)"
	for _, c := range []struct {
		scale  *quantity.Scale
		text   string
		steps  int64
		source string
	}{
		{quantity.Millimetre.Scale, "2.4", 2_400_000, si},
		{quantity.Millimetre.Scale, "2.4mm", 2_400_000, si},
		{quantity.Millimetre.Scale, "2.4 millimetres", 2_400_000, si},
		{quantity.Millimetre.Scale, "1e-3 m", 1_000_000, si},
		{quantity.Millimetre.Scale, "1E3um", 1_000_000, si},
		{quantity.Millimetre.Scale, ".5 cm", 5_000_000, si},
		{quantity.Millimetre.Scale, "5.", 5_000_000, si},
		{quantity.Millimetre.Scale, "+5", 5_000_000, si},
		{quantity.Millimetre.Scale, " 5 \u00a0 mm ", 5_000_000, si},
		{quantity.Millimetre.Scale, "1.5 km", 1_500_000_000_000, si},
		{quantity.Millimetre.Scale, "0.094in", 2_387_600, yard},
		{quantity.Millimetre.Scale, "1/64in", 396_875, yard},
		{quantity.Millimetre.Scale, "3/32 in", 2_381_250, yard},
		{quantity.Millimetre.Scale, `63/64"`, 25_003_125, yard},
		{quantity.Millimetre.Scale, "1 1/2 in", 38_100_000, yard},
		{quantity.Millimetre.Scale, "1\u00a01/2 in", 38_100_000, yard},
		{quantity.Millimetre.Scale, `1-1/2"`, 38_100_000, yard},
		{quantity.Millimetre.Scale, "1 1 / 2 in", 38_100_000, yard},
		{quantity.Millimetre.Scale, "-1 1/2 in", -38_100_000, yard},
		{quantity.Millimetre.Scale, "-0 1/2 in", -12_700_000, yard},
		{quantity.Millimetre.Scale, "-1/2 in", -12_700_000, yard},
		{quantity.Millimetre.Scale, "010/16 in", 15_875_000, yard + "; not octal"},
		{quantity.Millimetre.Scale, "1/08 in", 3_175_000, yard + "; not octal"},
		{quantity.Millimetre.Scale, "11 in", 279_400_000, yard},
		{quantity.Millimetre.Scale, "3/32”", 2_381_250, yard},
		{quantity.Millimetre.Scale, "1’", 304_800_000, yard},
		{quantity.Millimetre.Scale, "11 in.", 279_400_000, yard},
		{quantity.Metre.Scale, "30 ft", 9_144_000_000, yard},
		{quantity.Metre.Scale, "6'", 1_828_800_000, yard},
		{quantity.Millimetre.Scale, "94 thou", 2_387_600, yard},
		{quantity.Gram.Scale, "1 grain", 64_798_910, yard},
		{quantity.Gram.Scale, "7000 grains", 453_592_370_000, yard},
		{quantity.Gram.Scale, "1 lb", 453_592_370_000, yard},
		{quantity.Gram.Scale, "1 oz", 28_349_523_125, yard},
		{quantity.Gram.Scale, "250 mg", 250_000_000, si},
		{quantity.Ampere.Scale, "150mA", 150_000, si},
		{quantity.Ampere.Scale, "150 ma", 150_000, si},
		{quantity.Ampere.Scale, "3 µA", 3, si},
		{quantity.Ohm.Scale, "2.2 Ω", 2_200_000, si},
		{quantity.Ohm.Scale, "2.2 \u2126", 2_200_000, si + "; the ohm sign"},
		{quantity.Ohm.Scale, "50 mohm", 50_000, si},
		{quantity.OhmPerMetre.Scale, "3.048 ohm/ft", 10_000_000, yard},
		{quantity.OhmPerMetre.Scale, "84.2 ohm/km", 84_200, si},
		{quantity.Microfarad.Scale, "1 mF", 1_000_000, si},
		{quantity.Volt.Scale, "9.6", 9_600_000, si},
		{quantity.Second.Scale, "20ms", 20_000, si},
		{quantity.Newton.Scale, "1 lbf", 4_448, yard + "; " + gravity + ", 4.448 221 6 N"},
		{quantity.Newton.Scale, "1 kgf", 9_807, gravity + ", half to even at the millinewton"},
		{quantity.Kilopascal.Scale, "15 psi", 103_421_359, yard + "; " + gravity + ", 6 894.757 293 168 Pa"},
		{quantity.Gravity.Scale, "9.80665 m/s2", 1_000_000, gravity},
		{quantity.Celsius.Scale, "-40 F", -40_000, "the scales meet at -40"},
		{quantity.Celsius.Scale, "212 F", 100_000, "definition of the Fahrenheit scale"},
		{quantity.Celsius.Scale, "273.15 K", 0, "definition of the Celsius scale"},
		{quantity.MetrePerSecond.Scale, "36 km/h", 10_000_000, si},
		{quantity.MetrePerSecond.Scale, "1 mph", 447_040, yard},
		{quantity.MetrePerSecond.Scale, "18 kn", 9_260_000, "international nautical mile, 1852 m"},
		{quantity.AWG.Scale, "24 AWG", 24, "a gauge is a number"},
		{quantity.AWG.Scale, "24.0", 24, "a gauge is a number"},
		{quantity.Piece.Scale, "12 pieces", 12, "a count is a number"},
		{quantity.PerCent.Scale, "12.5%", 125_000, "per hundred"},
	} {
		got, err := c.scale.Parse(c.text)
		if err != nil || got != c.steps {
			t.Errorf("%q: got %d, %v, want %d (%s)", c.text, got, err, c.steps, c.source)
		}
	}
}

// TestInchesAreExact: every sixty-fourth and every thousandth of an inch is a
// whole number of nanometres, so that equal limits compare equal.
func TestInchesAreExact(t *testing.T) {
	inch, err := quantity.Millimetre.Parse("1 in")
	if err != nil {
		t.Fatal(err)
	}
	for _, parts := range []int64{64, 1000} {
		if int64(inch)%parts != 0 {
			t.Errorf("an inch of %d nm has no %d parts", inch, parts)
		}
	}
}

func TestParseRounds(t *testing.T) {
	for _, c := range []struct {
		scale *quantity.Scale
		text  string
		steps int64
	}{
		{quantity.Newton.Scale, "0.0005", 0},
		{quantity.Newton.Scale, "0.0015", 2},
		{quantity.Newton.Scale, "0.0025", 2},
		{quantity.Newton.Scale, "0.00250000000000000000001", 3},
		{quantity.Newton.Scale, "0.0026", 3},
		{quantity.Newton.Scale, "-0.0005", 0},
		{quantity.Newton.Scale, "-0.0015", -2},
		{quantity.Newton.Scale, "-0.0025", -2},
		{quantity.Newton.Scale, "-0.0026", -3},
		{quantity.Millimetre.Scale, "1/3", 333_333},
		{quantity.Millimetre.Scale, "2/3", 666_667},
		{quantity.One.Scale, "9007199.254740993", 9_007_199_254_740_993}, // no float64 holds it
	} {
		if got, err := c.scale.Parse(c.text); err != nil || got != c.steps {
			t.Errorf("%q: got %d, %v, want %d, half to even", c.text, got, err, c.steps)
		}
	}
}

func TestParseRefuses(t *testing.T) {
	for _, c := range []struct {
		scale       *quantity.Scale
		text, words string
	}{
		{quantity.Gram.Scale, "5 gr", `may be grain or gram: write grain or g`},
		{quantity.Gram.Scale, "5GR", `may be grain or gram`},
		{quantity.Ampere.Scale, "1 MA", `has an unknown unit "MA"`},
		{quantity.Volt.Scale, "1 MV", `has an unknown unit "MV"`},
		{quantity.Ohm.Scale, "1 Mohm", `has an unknown unit "Mohm"`},
		{quantity.Ohm.Scale, "1 MΩ", `has an unknown unit "MΩ"`},
		{quantity.Microfarad.Scale, "1 MF", `has an unknown unit "MF"`},
		{quantity.Millimetre.Scale, "2,4 mm", "has a comma: write the decimal point as a point"},
		{quantity.Millimetre.Scale, "2.4 V", `has an unknown unit "V"; give a length in mm, cm, m`},
		{quantity.Millimetre.Scale, "2.4 V", "(bare numbers are mm)"},
		{quantity.Millimetre.Scale, "2.4..", "is not a number"},
		{quantity.Gram.Scale, "2 gr.", `which may be grain or gram`},
		{quantity.Amount.Scale, "2 packs", `has an unknown unit "packs"; give a bare number, or one in g, mg, kg, oz, lb, grain`},
		{quantity.Metre.Scale, "5ft 6in", "has an unknown unit"},
		{quantity.One.Scale, "2.4 mm", `has a unit "mm" where a plain number is asked for`},
		{quantity.Millimetre.Scale, "", "is not a number"},
		{quantity.Millimetre.Scale, "mm", "is not a number"},
		{quantity.Millimetre.Scale, "-", "is not a number"},
		{quantity.Millimetre.Scale, ".", "is not a number"},
		{quantity.Millimetre.Scale, "1.2.3", "is not a number"},
		{quantity.Millimetre.Scale, "5-3", "is not a number"},
		{quantity.Millimetre.Scale, "--5", "is not a number"},
		{quantity.Millimetre.Scale, "NaN", "is not a number"},
		{quantity.Millimetre.Scale, "Inf", "is not a number"},
		{quantity.Millimetre.Scale, "0x10", "has an unknown unit"},
		{quantity.Millimetre.Scale, "1_000", "has an unknown unit"},
		{quantity.Millimetre.Scale, "3 5", "has a space between digits"},
		{quantity.Millimetre.Scale, "1 000 mm", "has a space between digits"},
		{quantity.Millimetre.Scale, "1 2 1/2 in", "has a space between digits"},
		{quantity.Millimetre.Scale, "1/0 in", "is not a fraction"},
		{quantity.Millimetre.Scale, "1/ in", "is not a fraction"},
		{quantity.Millimetre.Scale, "1/2/3 in", "is not a fraction"},
		{quantity.Millimetre.Scale, "1.5/2 in", "is not a fraction"},
		{quantity.Millimetre.Scale, "1/2 1/2 in", "is not a fraction"},
		{quantity.Millimetre.Scale, "1/2e3", "is not a fraction"},
		{quantity.Millimetre.Scale, "1.5 1/2 in", "is not a mixed number"},
		{quantity.AWG.Scale, "24.5", "is not a whole number"},
		{quantity.AWG.Scale, "1/2", "is not a whole number"},
		{quantity.Piece.Scale, "1.5", "is not a whole number; give a whole number"},
		{quantity.Millimetre.Scale, "1e41", "has an exponent out of range"},
		{quantity.Millimetre.Scale, "1e-41", "has an exponent out of range"},
		{quantity.Millimetre.Scale, "1e999999999999999999999", "has an exponent out of range"},
		{quantity.Millimetre.Scale, "1e30", "is too large"},
		{quantity.Millimetre.Scale, "1e19", "is too large"},
		{quantity.Millimetre.Scale, "-1e19", "is too large"},
		{quantity.Metre.Scale, "9999999999999", "is too large"},
		{quantity.Millimetre.Scale, "0." + strings.Repeat("1", 60), "has too many digits"},
		{quantity.Millimetre.Scale, "5 \x1b[31m", `unit "?[31m"`},
	} {
		got, err := c.scale.Parse(c.text)
		if !errors.Is(err, quantity.ErrNotQuantity) || !strings.Contains(err.Error(), c.words) {
			t.Errorf("%q: got %d, %v, want %q", c.text, got, err, c.words)
		}
	}
}

// TestParseBounds: the largest steps taken, read by both ways of parsing (a
// plain decimal and a fraction).
func TestParseBounds(t *testing.T) {
	const most = math.MaxInt64 / 4
	for _, c := range []struct {
		text  string
		taken bool
	}{
		{"2305843009213693951", true}, {"2305843009213693951/1", true},
		{"-2305843009213693951", true}, {"-2305843009213693951/1", true},
		{"2305843009213693952", false}, {"2305843009213693952/1", false},
		{"-2305843009213693952", false}, {"-2305843009213693952/1", false},
	} {
		got, err := quantity.Piece.Parse(c.text)
		if (err == nil) != c.taken || c.taken && got != most && got != -most {
			t.Errorf("%s: got %d, %v", c.text, got, err)
		}
	}
}

func TestFormat(t *testing.T) {
	for _, c := range []struct {
		scale *quantity.Scale
		steps int64
		want  string
	}{
		{quantity.Millimetre.Scale, 2_381_250, "2.38125"},
		{quantity.Millimetre.Scale, -1, "-0.000001"},
		{quantity.Millimetre.Scale, 0, "0"},
		{quantity.Millimetre.Scale, 100_000_000, "100"},
		{quantity.Metre.Scale, 9_144_000_000, "9.144"},
		{quantity.AWG.Scale, 24, "24"},
		{quantity.Gram.Scale, math.MinInt64, "-9223372036.854775808"},
	} {
		if got := c.scale.Format(c.steps); got != c.want {
			t.Errorf("%d %s: got %s, want %s", c.steps, c.scale.Name, got, c.want)
		}
	}
}

func TestText(t *testing.T) {
	for _, c := range []struct {
		scale  *quantity.Scale
		steps  int64
		system quantity.System
		want   string
	}{
		{quantity.Millimetre.Scale, 2_400_000, quantity.Metric, "2.4 mm"},
		{quantity.Metre.Scale, 2_400_000, quantity.Metric, "2.4 mm"},
		{quantity.Millimetre.Scale, 1_500_000_000, quantity.Metric, "1.5 m"},
		{quantity.Millimetre.Scale, 2_387_600, quantity.Imperial, "0.094 in"},
		{quantity.Metre.Scale, 9_144_000_000, quantity.Imperial, "30 ft"},
		{quantity.Millimetre.Scale, 0, quantity.Metric, "0 mm"},
		{quantity.Millimetre.Scale, -2_400_000, quantity.Metric, "-2.4 mm"},
		{quantity.Gram.Scale, 250_000_000, quantity.Metric, "250 mg"},
		{quantity.Gram.Scale, 453_592_370_000, quantity.Imperial, "1 lb"},
		{quantity.Ampere.Scale, 150_000, quantity.Metric, "150 mA"},
		{quantity.Ohm.Scale, 1_234, quantity.Metric, "0.00123 ohm"},
		{quantity.Celsius.Scale, 100_000, quantity.Imperial, "212 F"},
		{quantity.PerCent.Scale, 125_000, quantity.Metric, "12.5%"},
		{quantity.AWG.Scale, 24, quantity.Metric, "24 AWG"},
		{quantity.Piece.Scale, 12, quantity.Imperial, "12"},
	} {
		if got := c.scale.Text(c.steps, c.system); got != c.want {
			t.Errorf("%d: got %q, want %q", c.steps, got, c.want)
		}
	}
}

// TestSI holds the methods that give SI values to one example each.
func TestSI(t *testing.T) {
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"metres", quantity.Length(25_400_000).Metres(), 0.0254},
		{"millimetres", quantity.Length(25_400_000).Millimetres(), 25.4},
		{"kilograms", quantity.Mass(453_592_370_000).Kilograms(), 0.45359237},
		{"grams", quantity.Mass(64_798_910).Grams(), 0.06479891},
		{"amps", quantity.Current(150_000).Amps(), 0.15},
		{"ohms", quantity.Resistance(2_200_000).Ohms(), 2.2},
		{"ohms per metre", quantity.LinearResistance(84_200).OhmsPerMetre(), 0.0842},
		{"volts", quantity.Voltage(9_600_000).Volts(), 9.6},
		{"seconds", quantity.Time(20_000).Seconds(), 0.02},
		{"newtons", quantity.Force(4_448).Newtons(), 4.448},
		{"farads", quantity.Capacitance(1_000).Farads(), 1e-6},
		{"firing impulse", quantity.FiringImpulse(1_000).AmpSquaredSeconds(), 0.001},
		{"fraction", quantity.Percent(125_000).Fraction(), 0.125},
		{"celsius", quantity.Temperature(-40_000).Celsius(), -40},
		{"pascals", quantity.Pressure(103_421_359).Pascals(), 103_421.359},
		{"gravities", quantity.Acceleration(2_500_000).Gravities(), 2.5},
		{"metres a second", quantity.Speed(447_040).MetresPerSecond(), 0.44704},
		{"square millimetres", quantity.Area(205_000).SquareMillimetres(), 0.205},
		{"number", quantity.Number(750_000_000).Float(), 0.75},
	} {
		if c.got != c.want {
			t.Errorf("%s: got %v, want %v", c.name, c.got, c.want)
		}
	}
}

func TestOpt(t *testing.T) {
	var unknown quantity.Opt[quantity.Length]
	zero := quantity.Some(quantity.Length(0))
	if unknown.Known() || unknown.Or(7) != 7 {
		t.Error("the zero value is known")
	}
	if v, ok := zero.Get(); !ok || v != 0 || zero.Or(7) != 0 || zero == unknown {
		t.Error("a known zero is not told from what is not known")
	}
}
