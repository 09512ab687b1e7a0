package inventory

import (
	"strings"
	"testing"

	"rangebox/inventory/quantity"
)

// TestDoubts: docs/rules.md, "Warned, never refused"; what a curve contradicts is the
// engine's. The figures of the rows are ours.
func TestDoubts(t *testing.T) {
	mm := func(n float64) quantity.Opt[quantity.Length] { return quantity.Some(quantity.Length(n * 1e6)) }
	grams := func(n float64) quantity.Opt[quantity.Mass] { return quantity.Some(quantity.Mass(n * 1e9)) }
	volts := func(n float64) quantity.Opt[quantity.Voltage] { return quantity.Some(quantity.Voltage(n * 1e6)) }
	count := func(n int64) quantity.Opt[quantity.Count] { return quantity.Some(quantity.Count(n)) }
	cells := func(chemistry string, n int64, v float64) *Battery {
		return &Battery{Chemistry: chemistry, Cells: count(n), OpenCircuit: volts(v)}
	}
	mounts := func(body float64, list ...Mount) *Rocket {
		return &Rocket{Stages: []Stage{{Name: "booster", Diameter: mm(body), Mounts: list}}}
	}
	rows := []struct {
		name string
		rec  Record
		want string // a part of the one doubt; empty: none
	}{
		{"no-fire below all-fire", &Igniter{NoFire: quantity.Some(quantity.Current(4)), AllFire: quantity.Some(quantity.Current(5))}, ""},
		{"no-fire at all-fire", &Igniter{NoFire: quantity.Some(quantity.Current(5)), AllFire: quantity.Some(quantity.Current(5))}, "fires none"},
		{"the maker's firing current at all-fire", &Igniter{Recommended: quantity.Some(quantity.Current(5)), AllFire: quantity.Some(quantity.Current(5))}, ""},
		{"the maker's firing current below it", &Igniter{Recommended: quantity.Some(quantity.Current(4)), AllFire: quantity.Some(quantity.Current(5))}, "maker's firing current"},
		{"a test current below no-fire", &Igniter{MaxTest: quantity.Some(quantity.Current(3)), NoFire: quantity.Some(quantity.Current(4))}, ""},
		{"a test current at no-fire", &Igniter{MaxTest: quantity.Some(quantity.Current(4)), NoFire: quantity.Some(quantity.Current(4))}, "test current"},
		{"a test current at all-fire", &Igniter{MaxTest: quantity.Some(quantity.Current(4)), AllFire: quantity.Some(quantity.Current(4))}, "test current"},
		{"50 A to fire", &Igniter{AllFire: quantity.Some(quantity.Current(50e6))}, ""},
		{"750 A to fire", &Igniter{AllFire: quantity.Some(quantity.Current(750e6))}, "so much current"},
		{"a throat of 0.6 of the motor", &Motor{Diameter: mm(20), Nozzles: []Nozzle{{Throat: mm(12)}}}, ""},
		{"a throat of 23 mm that is 2.3 mm", &Motor{Diameter: mm(24), Nozzles: []Nozzle{{Name: "std", Throat: mm(23)}}}, "the throat of nozzle std is wide"},
		{"a throat of a motor of unknown diameter", &Motor{Nozzles: []Nozzle{{Throat: mm(23)}}}, ""},
		{"core as long as the motor", &Motor{Length: mm(100), Core: mm(100)}, ""},
		{"core longer than the motor", &Motor{Length: mm(100), Core: mm(100.1)}, "core is longer"},
		{"core of a motor of unknown length", &Motor{Core: mm(100)}, ""},
		// A cylinder of 18 by 70 mm is 17.8 cm3.
		{"as dense as a motor is", &Motor{Diameter: mm(18), Length: mm(70), Mass: grams(35)}, ""},
		{"denser than any propellant", &Motor{Diameter: mm(18), Length: mm(70), Mass: grams(36)}, "denser than any propellant"},
		{"heavy, but how long is not known", &Motor{Diameter: mm(18), Mass: grams(36)}, ""},
		{"heavy, but how thick is not known", &Motor{Length: mm(70), Mass: grams(36)}, ""},
		{"propellant lighter than the motor", &Motor{Mass: grams(20), PropellantMass: grams(19)}, ""},
		{"propellant as heavy as the motor", &Motor{Mass: grams(20), PropellantMass: grams(20)}, "as much as the loaded motor"},

		{"a fresh 9 V block", cells("alkaline", 6, 9.4), ""},
		{"seven volts too much", cells("alkaline", 6, 16.4), "2.73 V a cell"},
		{"a low voltage that is too low", &Battery{Chemistry: "lead-acid", Cells: count(6), OpenCircuit: volts(12.6), LowV: volts(6)}, "1.00 V a cell"},
		{"charged lithium-polymer", cells("lithium-polymer", 2, 8.4), ""},
		{"overcharged lithium-polymer", cells("lithium-polymer", 2, 8.8), "4.40 V a cell"},
		{"a chemistry of one's own", cells("potato", 2, 99), ""},
		{"cells not counted", &Battery{Chemistry: "alkaline", OpenCircuit: volts(99)}, ""},

		{"one mount that fills the body", mounts(24, Mount{Width: mm(24)}), ""},
		{"one mount wider than the body", mounts(24, Mount{Width: mm(24.1)}), "stage \"booster\" do not fit"},
		// Equal circles in a circle: two 1/2, three 1/2.1547, seven 1/3 (from memory).
		{"two side by side", mounts(36, Mount{Width: mm(18), Count: count(2)}), ""},
		{"two too wide", mounts(36, Mount{Width: mm(18.1), Count: count(2)}), "do not fit"},
		{"three", mounts(38.8, Mount{Width: mm(18), Count: count(3)}), ""},
		{"three too wide", mounts(38.7, Mount{Width: mm(18), Count: count(3)}), "do not fit"},
		{"four", mounts(43.5, Mount{Width: mm(18), Count: count(4)}), ""},
		{"four too wide", mounts(43.4, Mount{Width: mm(18), Count: count(4)}), "do not fit"},
		{"five", mounts(48.7, Mount{Width: mm(18), Count: count(5)}), ""},
		{"five too wide", mounts(48.6, Mount{Width: mm(18), Count: count(5)}), "do not fit"},
		{"seven", mounts(54, Mount{Width: mm(18), Count: count(7)}), ""},
		{"seven too wide", mounts(53.9, Mount{Width: mm(18), Count: count(7)}), "do not fit"},
		{"twenty", mounts(100, Mount{Width: mm(21), Count: count(20)}), ""},
		{"twenty too wide", mounts(100, Mount{Width: mm(22), Count: count(20)}), "do not fit"},
		{"one and two beside it", mounts(98, Mount{Width: mm(38)}, Mount{Width: mm(24), Count: count(2)}), ""},
		{"one and six beside it", mounts(60, Mount{Width: mm(38)}, Mount{Width: mm(24), Count: count(6)}), "do not fit"},
		{"no width", mounts(24, Mount{Count: count(9)}), ""},
		{"no diameter", &Rocket{Stages: []Stage{{Mounts: []Mount{{Width: mm(900)}}}}}, ""},

		{"a lot made before its last day", &Lot{Made: Date{2020, 1, 1}, Expires: Date{2020, 1, 1}}, ""},
		{"a lot past it when it was made", &Lot{Made: Date{2020, 1, 2}, Expires: Date{2020, 1, 1}}, "expires before it was made"},
		{"kinds that are never in doubt", &Line{}, ""},
	}
	for _, row := range rows {
		got := strings.Join(Doubts(row.rec), "; ")
		if (got == "") != (row.want == "") || !strings.Contains(got, row.want) {
			t.Errorf("%s: %q", row.name, got)
		}
	}
}
