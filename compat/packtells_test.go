package compat_test

import (
	"strings"
	"testing"

	"rangebox/compat"
)

// TestCaseUsedTwice: two flights share the one case, and each says that it uses it;
// it is taken along once.
func TestCaseUsedTwice(t *testing.T) {
	plan := newStory(t, "").pack()
	users := 0
	for _, f := range plan.Flights {
		for _, u := range f.Supplies {
			if u.Item.Handle == "case" && u.Quantity == 1e9 {
				users++
			}
		}
	}
	for _, s := range plan.Supplies {
		if s.Item.Handle == "case" && (s.Quantity != 1e9 || users != 2) {
			t.Errorf("%d cases are taken for %d flights", s.Quantity/1e9, users)
		}
	}
}

// TestPowderOfEachFlight: powder is told with the charge that it is for, by the gram.
func TestPowderOfEachFlight(t *testing.T) {
	for _, f := range newStory(t, twoHeads).pack().Flights {
		for _, u := range f.Supplies {
			if u.Item.Handle == "powder" && (u.Quantity != 400_000_000 || u.Point != "body/chute/1") {
				t.Errorf("flight %d: %d of powder for %q", f.Of, u.Quantity, u.Point)
			}
		}
	}
}

// TestBatteryIsAskedOncePerFlight: a line fires once in a flight, with all that
// hangs on it.
func TestBatteryIsAskedOncePerFlight(t *testing.T) {
	q := questionOn(t, boxOf(t, bigDayArchive(10, 200)))
	plan, err := compat.PackDay(q, compat.Defaults())
	if err != nil {
		t.Fatal(err)
	}
	onLine := 0
	for _, f := range q.Flights {
		onLine += int(f.Rocket.Stages[0].Mounts[0].Count.Or(1))
	}
	if len(plan.Batteries) != 1 || plan.Batteries[0].Firings != 10 || plan.Batteries[0].Igniters != onLine || onLine <= 10 {
		t.Errorf("batteries: %+v; ten flights with %d igniters on the line", plan.Batteries, onLine)
	}
}

// TestWhatAnUnlitChargeMeans: the charge of an upper stage is all that it has to
// come down by, unless its motor ejects too.
func TestWhatAnUnlitChargeMeans(t *testing.T) {
	q := questionOn(t, boxOf(t, bigDayArchive(1, 100)))
	plan, err := compat.PackDay(q, compat.Defaults())
	if err != nil {
		t.Fatal(err)
	}
	told := false
	for _, a := range plan.Aboard {
		for _, f := range a.Fails {
			if f.Fault.Kind != compat.ChargeUnlit {
				continue
			}
			told = true
			for _, part := range f.Parts {
				if strings.Contains(part.Name, "high") && part.DownBy != "" {
					t.Errorf("%s comes down by %s though its charge does not fire", part.Name, part.DownBy)
				}
			}
			if f.Fault.String() != "high/chute does not fire" || len(f.Parts) == 0 {
				t.Errorf("%s: %+v", f.Fault, f.Parts)
			}
		}
	}
	if !told {
		t.Errorf("nothing is said of a charge that does not fire: %+v", plan.Aboard)
	}
}
