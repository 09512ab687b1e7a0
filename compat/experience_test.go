package compat_test

import (
	"testing"

	"github.com/google/uuid"

	"rangebox/compat"
	"rangebox/compat/pack"
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// firing is an entry about igniters of the small day's box.
type firing struct {
	what   inventory.What
	n      int64
	flight string // f1, f2, f3
	point  string
	with   string // a motor's lot, a1 to a4
	result inventory.Result
	cause  inventory.Cause
}

const idsOfDay = "019d0000-0000-7000-8000-0000000000"

// TestLearn: what counts against an igniter type, and on which family.
func TestLearn(t *testing.T) {
	composite, black, charge := pack.Composite, pack.BlackPowder, pack.Charge
	for name, row := range map[string]struct {
		firings []firing
		family  string
		want    pack.Record
	}{
		"by the motor's lot":   {[]firing{{inventory.Used, 1, "", "", "a1", inventory.Fired, 0}}, composite, pack.Record{Fired: 1}},
		"not on another":       {[]firing{{inventory.Used, 1, "", "", "a1", inventory.Fired, 0}}, black, pack.Record{}},
		"by the point":         {[]firing{{inventory.Used, 1, "f2", "low/main/1", "", inventory.Fired, 0}}, black, pack.Record{Fired: 1}},
		"by the second point":  {[]firing{{inventory.Used, 1, "f2", "low/main/1#2", "", inventory.Fired, 0}}, black, pack.Record{Fired: 1}},
		"a charge":             {[]firing{{inventory.Used, 1, "f2", "high/chute/1", "", inventory.Misfire, inventory.CauseHead}}, charge, pack.Record{Misfired: 1}},
		"a lost charge fired":  {[]firing{{inventory.Used, 1, "f2", "high/gone/1", "", inventory.Fired, 0}}, composite, pack.Record{}},
		"a lost charge failed": {[]firing{{inventory.Used, 1, "f2", "high/gone/1", "", inventory.Misfire, inventory.CauseHead}}, composite, pack.Record{Misfired: 1}},
		"the head":             {[]firing{{inventory.Used, 1, "", "", "a1", inventory.Misfire, inventory.CauseHead}}, composite, pack.Record{Misfired: 1}},
		"a hang-fire":          {[]firing{{inventory.Used, 1, "", "", "a1", inventory.HangFire, inventory.CauseHead}}, composite, pack.Record{Misfired: 1}},
		"the clip":             {[]firing{{inventory.Used, 1, "", "", "a1", inventory.Misfire, inventory.CauseContact}}, composite, pack.Record{}},
		"the motor":            {[]firing{{inventory.Used, 1, "", "", "a1", inventory.Misfire, inventory.CauseMotor}}, composite, pack.Record{Fired: 1}},
		"the bench, for all":   {[]firing{{inventory.Tested, 3, "", "", "", inventory.Fired, 0}}, charge, pack.Record{Fired: 3}},
		"no result":            {[]firing{{inventory.Used, 3, "", "", "a1", 0, 0}}, composite, pack.Record{}},
		"thrown away":          {[]firing{{inventory.Scrapped, 3, "", "", "a1", inventory.Misfire, inventory.CauseHead}}, composite, pack.Record{}},
	} {
		t.Run(name, func(t *testing.T) {
			w := &ledgerWorld{}
			q := w.question(t)
			wick, err := inventory.Find[*inventory.Igniter](q.Box, inventory.KindIgniter, "wick")
			if err != nil {
				t.Fatal(err)
			}
			for _, f := range row.firings {
				w.append(f.event())
			}
			x, err := compat.Learn(w.question(t).Box)
			if err != nil {
				t.Fatal(err)
			}
			if got, _ := x.Of(wick.ID, row.family); got != row.want {
				t.Errorf("known on %s: %+v, want %+v", row.family, got, row.want)
			}
		})
	}
}

func (f *firing) event() *inventory.Event {
	e := &inventory.Event{What: f.what, Lot: inventory.Ref{ID: uuid.MustParse("019a0000-0000-7000-8000-0000000000b2")},
		Quantity: quantity.Some(quantity.Number(f.n * 1e9)), Point: f.point, Result: f.result, Cause: f.cause}
	if f.flight != "" {
		e.Flight = uuid.MustParse(idsOfDay + f.flight)
	}
	if f.with != "" {
		e.With = inventory.Ref{ID: uuid.MustParse("019a0000-0000-7000-8000-0000000000" + f.with)}
	}
	return e
}

// TestPriorsOfTheUser: the settings' priors stand in for ours, and nonsense is
// refused.
func TestPriorsOfTheUser(t *testing.T) {
	box := inventory.NewBox()
	settings := &inventory.Settings{Priors: map[string]string{"composite": "30,2"}}
	settings.ID = inventory.SettingsID
	box.Put(settings)
	x, err := compat.Learn(box)
	if err != nil {
		t.Fatal(err)
	}
	if _, prior := x.Of(uuid.New(), pack.Composite); prior != (pack.Prior{A: 30, B: 2}) {
		t.Errorf("the prior is %+v", prior)
	}
	if _, prior := x.Of(uuid.New(), pack.Charge); prior != pack.OnCharges {
		t.Errorf("the prior of charges is %+v", prior)
	}
	for _, bad := range []string{"", "9", "9,0", "0,1", "x,1", "1,2,3", "NaN,1", "1e9,1"} {
		settings.Priors["composite"] = bad
		if _, err := compat.Learn(box); err == nil {
			t.Errorf("%q was taken as a prior", bad)
		}
	}
}

// TestPointName: what PointOf makes, PointName takes apart.
func TestPointName(t *testing.T) {
	for _, row := range []struct {
		point string
		n     int
		text  string
	}{{"body/main/1", 1, "body/main/1"}, {"body/main/1", 2, "body/main/1#2"}, {"", 12, "#12"}, {"a#b/c/1", 1, "a#b/c/1"}, {"a#b/c/1", 3, "a#b/c/1#3"}, {"a/b#2/1", 1, "a/b#2/1"}, {"a/b#2/1", 2, "a/b#2/1#2"}} {
		if got := compat.PointOf(row.point, row.n); got != row.text {
			t.Errorf("PointOf(%q, %d) = %q, want %q", row.point, row.n, got, row.text)
		}
		if point, n := compat.PointName(row.text); point != row.point || n != row.n {
			t.Errorf("PointName(%q) = %q, %d, want %q, %d", row.text, point, n, row.point, row.n)
		}
	}
}
