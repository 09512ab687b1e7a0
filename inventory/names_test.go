package inventory

import (
	"errors"
	"strings"
	"testing"

	"github.com/google/uuid"

	"rangebox/inventory/quantity"
)

// TestCheckNames: names of parts of other records (docs/rules.md: a name that points
// to nothing is refused, absence is legal).
func TestCheckNames(t *testing.T) {
	records := map[uuid.UUID]Record{
		named("c"): &Controller{Header: headed("box"), Outputs: []Output{{Name: "one"}}},
		named("m"): &Motor{Header: headed("m"), Nozzles: []Nozzle{{Name: "std"}, {Name: "big"}}},
		named("i"): &Igniter{Header: headed("wick")},
		named("l"): &Lot{Item: Ref{ID: named("i")}},
	}
	find := func(r Ref) (Record, bool) { rec, ok := records[r.ID]; return rec, ok }
	line := func(controller, output string) *Line {
		return &Line{Controller: Ref{ID: named(controller)}, Output: output}
	}
	rocket := func(motor, nozzle string) *Rocket {
		return &Rocket{Stages: []Stage{{Name: "s", Mounts: []Mount{{Name: "a"}, {Name: "b", Motor: Ref{ID: named(motor)}, Nozzle: nozzle}}}}}
	}
	reading := func(of ReadingOf, what, nozzle string) *Reading {
		return &Reading{Of: &of, What: what, Nozzle: nozzle, Value: quantity.Some(quantity.Number(1e9))}
	}
	motor, igniter, lot := ReadingOf{Kind: "motor", Item: Ref{ID: named("m")}}, ReadingOf{Item: Ref{ID: named("i")}}, ReadingOf{Lot: Ref{ID: named("l")}}
	rows := []struct {
		name string
		rec  Record
		says string // empty: taken
	}{
		{"an output there is", line("c", "one"), ""},
		{"an output there is not", line("c", "two"), `no output "two"`},
		{"no output named", line("c", ""), ""},
		{"an output of a controller not here", line("z", "two"), ""},
		{"an output of none", &Line{Output: "two"}, ""},
		{"a nozzle there is", rocket("m", "big"), ""},
		{"a nozzle there is not", rocket("m", "huge"), "s/b"},
		{"no nozzle named", rocket("m", ""), ""},
		{"a nozzle of a motor not here", rocket("z", "huge"), ""},
		{"a figure of a motor", reading(motor, "mass_g", ""), ""},
		{"a figure of a nozzle", reading(motor, "throat_mm", "big"), ""},
		{"a figure of no nozzle", reading(motor, "throat_mm", "huge"), `no nozzle "huge"`},
		{"a figure of another kind", reading(motor, "bridge_ohm", ""), `no figure "bridge_ohm"`},
		{"a figure of an igniter", reading(igniter, "bridge_ohm", ""), ""},
		{"a figure of a lot", reading(lot, "bridge_ohm", ""), ""},
		{"a figure that its lot has not", reading(lot, "throat_mm", ""), `no figure "throat_mm"`},
		{"a text", reading(igniter, "name", ""), `no figure "name"`},
		{"a reading of what is not here", reading(ReadingOf{Item: Ref{ID: named("z")}}, "colour", ""), ""},
		{"a reading under load of what is no battery", reading(igniter, LoadedVolts, ""), `no figure "loaded_v"`},
		{"a reading of nothing", &Reading{What: "colour"}, ""},
		{"kinds that name no parts", &Battery{}, ""},
	}
	for _, row := range rows {
		errs := CheckNames(row.rec, find)
		if (len(errs) == 0) != (row.says == "") || len(errs) > 0 && (!errors.Is(errs[0], ErrInvalid) || !strings.Contains(errs[0].Error(), row.says)) {
			t.Errorf("%s: %v", row.name, errs)
		}
	}
}

// TestOutputsGoBeforeTheirController: what an output says of itself, else what
// the controller says; of an output that there is not, the controller.
func TestOutputsGoBeforeTheirController(t *testing.T) {
	ohm := func(r int64) quantity.Opt[quantity.Resistance] {
		return quantity.Some(quantity.Resistance(r))
	}
	c := &Controller{Outputs: []Output{{Name: "one"}}}
	c.On, c.Pulse = ohm(1), quantity.Some(quantity.Time(9))
	c.Outputs[0].On = ohm(2)
	for output, want := range map[string]quantity.Resistance{"": 1, "one": 2, "two": 1} {
		if got := c.At(output); got.On.Or(0) != want || got.Pulse.Or(0) != 9 {
			t.Errorf("%q: %+v", output, got)
		}
	}
}

// TestCurveWith: the nozzle's own curve, else the motor's.
func TestCurveWith(t *testing.T) {
	m := &Motor{Curve: make([]CurvePoint, 1), Nozzles: []Nozzle{{Name: "std"}, {Name: "big", Curve: make([]CurvePoint, 2)}}}
	for nozzle, points := range map[string]int{"": 1, "std": 1, "big": 2, "huge": 1} {
		if got := len(m.CurveWith(nozzle)); got != points {
			t.Errorf("%q: %d points", nozzle, got)
		}
	}
}

// TestNozzleByName: an empty name is the only nozzle there is, and no other.
func TestNozzleByName(t *testing.T) {
	one := &Motor{Nozzles: []Nozzle{{Name: "std"}}}
	several := &Motor{Nozzles: []Nozzle{{Name: "std"}, {Name: "big"}}}
	for _, row := range []struct {
		motor *Motor
		name  string
		want  *Nozzle
	}{
		{one, "", &one.Nozzles[0]}, {one, "std", &one.Nozzles[0]}, {one, "big", nil},
		{several, "", nil}, {several, "big", &several.Nozzles[1]}, {&Motor{}, "", nil},
	} {
		if got, ok := row.motor.Nozzle(row.name); got != row.want || ok != (row.want != nil) {
			t.Errorf("%q of %d: %v", row.name, len(row.motor.Nozzles), got)
		}
	}
}

// TestWireIsGivenInAnyWay: one of the three ways is enough.
func TestWireIsGivenInAnyWay(t *testing.T) {
	for _, w := range []Wire{{Gauge: quantity.Some(quantity.Gauge(24))}, {Area: quantity.Some(quantity.Area(1))}, {PerMetre: quantity.Some(quantity.LinearResistance(1))}} {
		if !w.Known() {
			t.Errorf("%+v is not known", w)
		}
	}
	if (Wire{}).Known() {
		t.Error("no wire is known")
	}
}

// TestFlightNeeds: each item once, in the order of the record.
func TestFlightNeeds(t *testing.T) {
	ref := func(name string) Ref { return Ref{ID: named(name), Handle: name} }
	two := quantity.Some(quantity.Count(2))
	rocket := &Rocket{
		Supplies: []SupplyUse{{Item: ref("wadding"), Quantity: quantity.Some(quantity.Number(3e9))}, {Item: ref("powder"), Quantity: quantity.Some(quantity.Number(1e9))}, {Item: ref("none")}},
		Stages: []Stage{
			{Mounts: []Mount{{Motor: ref("m"), Igniter: ref("wick"), Count: two}, {Name: "empty"}}},
			{
				Mounts:   []Mount{{Motor: ref("m"), Igniter: ref("fuse"), Ignition: &Ignition{By: LitByBurnThrough}}},
				Recovery: []Recovery{{Igniter: ref("wick"), Count: two, Powder: ref("powder"), PowderMass: quantity.Some(quantity.Mass(250_000_000))}},
			},
		},
	}
	want := []Take{{ref("m"), 3e9}, {ref("wick"), 4e9}, {ref("powder"), 1.25e9}, {ref("wadding"), 3e9}}
	got := FlightNeeds(rocket)
	if len(got) != len(want) {
		t.Fatalf("%v", got)
	}
	for i := range want {
		if got[i] != want[i] {
			t.Errorf("%v, not %v", got[i], want[i])
		}
	}
}
