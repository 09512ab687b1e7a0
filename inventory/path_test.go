package inventory

import (
	"errors"
	"testing"
)

// pathRocket is a rocket of two stages with the parts that paths reach.
func pathRocket() *Rocket {
	return &Rocket{Header: headed("r"), Stages: []Stage{
		{Name: "booster", Mounts: []Mount{{Name: "main"}}},
		{Name: "sustainer", Mounts: []Mount{{Name: "main"}}, Recovery: []Recovery{{Name: "nose"}}},
	}}
}

// TestSetPath: a field is reached by name, stage/mount.field (contract).
func TestSetPath(t *testing.T) {
	rows := []struct {
		path, value string
		at, want    string // where Differences finds it, and what; empty: refused
	}{
		{"rail_m", "1.2", "rail_m", "1.2"},
		{"booster.diameter_mm", "24mm", "stages[0].diameter_mm", "24"},
		{"sustainer/main.delay_s", "5", "stages[1].mounts[0].delay_s", "5"},
		{"sustainer/main.at_s", "3", "stages[1].mounts[0].ignition.at_s", "3"},
		{"sustainer/nose.powder_g", "0.25g", "stages[1].recovery[0].powder_g", "0.25"},
		{"sustainer/nose.by", "charge", "stages[1].recovery[0].by", "charge"},
		{"sustainer/main.by", "timer", "stages[1].mounts[0].ignition.by", "timer"},
		{"sustainer/main.igniter", "wick", "stages[1].mounts[0].igniter", "wick"},
		{"rail", "1", "", ""},
		{"booster/main.colour", "red", "", ""},
		{"booster/main/deep.delay_s", "5", "", ""},
		{"booster/main.delay_s", "soon", "", ""},
		{"booster/main.delay_s", "-1", "", ""},
		{"stages", "x", "", ""},
		{"id", "x", "", ""},
		{"", "x", "", ""},
		{".", "x", "", ""},
	}
	for _, row := range rows {
		for name, set := range map[string]func(Record, string, string) error{"set": SetPath, "change": ChangePath} {
			rec := pathRocket()
			err := set(rec, row.path, row.value)
			changes := Differences(pathRocket(), rec)
			if row.at == "" {
				if !errors.Is(err, ErrInvalid) || len(changes) > 0 {
					t.Errorf("%s %s=%s: %v, %v", name, row.path, row.value, err, changes)
				}
				continue
			}
			if err != nil || len(changes) != 1 || changes[0] != (FieldChange{row.at, "", row.want}) {
				t.Errorf("%s %s=%s: %v, %v", name, row.path, row.value, err, changes)
				continue
			}
			if err := set(rec, row.path, ""); err != nil || len(Differences(pathRocket(), rec)) > 0 {
				t.Errorf("%s %s: emptied again: %v, %v", name, row.path, err, Differences(pathRocket(), rec))
			}
		}
	}
}

// TestPathsOfPartsThatAreNotThere: SetPath makes them, ChangePath does not, and
// a value that is refused leaves nothing behind.
func TestPathsOfPartsThatAreNotThere(t *testing.T) {
	rec := pathRocket()
	if err := ChangePath(rec, "third/main.delay_s", "5"); !errors.Is(err, ErrInvalid) || len(rec.Stages) != 2 {
		t.Errorf("%v, %d stages", err, len(rec.Stages))
	}
	if err := SetPath(rec, "third/main.delay_s", "soon"); !errors.Is(err, ErrInvalid) || len(rec.Stages) != 2 {
		t.Errorf("%v, %d stages", err, len(rec.Stages))
	}
	if err := SetPath(rec, "third/main.delay_s", "5"); err != nil || len(rec.Stages) != 3 || rec.Stages[2].Name != "third" || rec.Stages[2].Mounts[0].Name != "main" {
		t.Errorf("%v, %+v", err, rec.Stages)
	}
	if err := SetPath(rec, "third/tail.trigger", "apogee"); err != nil || len(rec.Stages[2].Recovery) != 1 || len(rec.Stages[2].Mounts) != 1 {
		t.Errorf("%v, %+v", err, rec.Stages[2])
	}
	if !DropPath(rec, "third/tail") || len(rec.Stages[2].Recovery) != 0 || DropPath(rec, "third/tail") {
		t.Error("a part that was there, then not")
	}
	if !DropPath(rec, "third") || len(Differences(pathRocket(), rec)) != 0 || DropPath(rec, "fourth/main") {
		t.Errorf("%v", Differences(pathRocket(), rec))
	}
}

// TestDifferences: field by field, in the order of the table.
func TestDifferences(t *testing.T) {
	old, changed := &Motor{Header: headed("m"), Nozzles: []Nozzle{{Name: "std"}}}, &Motor{Header: headed("m"), Propellant: Composite, Case: Ref{Handle: "case"}}
	if err := SetPath(changed, "std.throat_mm", "2mm"); err != nil {
		t.Fatal(err)
	}
	want := []FieldChange{{"propellant", "", "composite"}, {"nozzles[0].throat_mm", "", "2"}, {"case", "", "case"}}
	if got := Differences(old, changed); !sameChanges(got, want) {
		t.Errorf("%v", got)
	}
	for i := range want {
		want[i].Old, want[i].New = want[i].New, want[i].Old
	}
	if got := Differences(changed, old); !sameChanges(got, want) {
		t.Errorf("backwards %v", got)
	}
	if got := Differences(changed, changed); got != nil {
		t.Errorf("to itself %v", got)
	}
	made := Differences(nil, changed)
	gone := Differences(changed, nil)
	if len(made) != 5 || len(gone) != 5 || made[0] != (FieldChange{"handle", "", "m"}) || gone[0] != (FieldChange{"handle", "m", ""}) || Differences(nil, nil) != nil {
		t.Errorf("made %v, gone %v", made, gone)
	}
	// References are one where their ids are, whatever their targets are called.
	a, b := &Line{Battery: Ref{ID: named("b"), Handle: "old"}}, &Line{Battery: Ref{ID: named("b"), Handle: "new"}}
	if got := Differences(a, b); got != nil {
		t.Errorf("the same battery: %v", got)
	}
	b.Battery.ID = named("c")
	if got := Differences(a, b); len(got) != 1 {
		t.Errorf("another battery: %v", got)
	}
	// A lot's quantity is derived: the ledger tells of it.
	if got := Differences(&Lot{}, &Lot{Quantity: quantityOf(3)}); got != nil {
		t.Errorf("a quantity: %v", got)
	}
}

func sameChanges(a, b []FieldChange) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}
