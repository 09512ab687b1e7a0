package inventory

import (
	"errors"
	"strings"
	"testing"

	"rangebox/inventory/quantity"
)

// fieldOf finds a field by KIND or PART and key, with an empty record for it.
func fieldOf(t *testing.T, name string) (*Field, any) {
	t.Helper()
	table, key, _ := strings.Cut(name, ".")
	records := map[string]any{
		"motor": new(Motor), "igniter": new(Igniter), "battery": new(Battery), "line": new(Line), "lot": new(Lot), "event": new(Event),
		"settings": new(Settings), "controller": new(Controller), "nozzle": new(Nozzle), "day": new(Day), "mount": new(Mount),
	}
	tables := map[string]*Table{"nozzle": nozzleTable, "mount": mountTable}
	found := tables[table]
	if found == nil {
		found = Kind(table).Info().Table
	}
	f, ok := found.Field(key)
	if !ok {
		t.Fatalf("no field %s", name)
	}
	return f, records[table]
}

// long is as much as a text field takes.
var long = strings.Repeat("x", maxText)

// setTextRows has every type of field, taken and refused.
var setTextRows = []struct {
	field, text string
	want        string // as files hold it; "refused" where it is
}{
	{"motor.name", "Old One", "Old One"},
	{"motor.notes", long, long},
	{"motor.notes", long + "x", "refused"},
	{"motor.name", "\xff", "refused"},
	{"motor.handle", "c6-5", "c6-5"},
	{"motor.handle", "C6-5", "refused"},
	{"motor.propellant", "hybrid", "hybrid"}, // other text is taken

	{"igniter.output", "medium", "medium"},
	{"igniter.output", "Medium", "refused"},
	{"igniter.output", "hot", "refused"},
	{"igniter.output", "", "refused"},

	{"igniter.head_mm", "2.4", "2.4"},
	{"igniter.head_mm", "3/32in", "2.38125"},
	{"igniter.head_mm", "0.094 in", "2.3876"},
	{"igniter.head_mm", "100", "100"},
	{"igniter.head_mm", "100.000001", "refused"}, // above 100 mm
	{"nozzle.throat_mm", "101", "refused"},
	{"igniter.head_mm", "0", "refused"}, // must be positive
	{"igniter.head_mm", "-1", "refused"},
	{"igniter.head_mm", "2.4V", "refused"},
	{"igniter.head_mm", "wide", "refused"},
	{"igniter.bridge_tol_pct", "0", "0"}, // not negative is enough
	{"igniter.bridge_tol_pct", "-1", "refused"},
	{"igniter.bridge_tol_pct", "99", "99"},
	{"igniter.bridge_tol_pct", "100", "refused"},
	{"igniter.lead_awg", "24", "24"},
	{"igniter.lead_awg", "24.5", "refused"},
	{"igniter.lead_awg", "41", "refused"},
	{"line.hot_c", "-5", "-5"}, // any sign
	{"line.hot_c", "95F", "35"},
	{"motor.mass_g", "5gr", "refused"}, // grain or gram?
	{"motor.mass_g", "5grain", "0.32399455"},
	{"day.confidence", "0.95", "0.95"},
	{"day.confidence", "1", "refused"},

	{"motor.delays_s", "3 5 7", "3 5 7"},
	{"motor.delays_s", "3,5|7", "3 5 7"},
	{"motor.delays_s", "0", "refused"},
	{"motor.delays_s", "3 x", "refused"},
	{"motor.head_ends", "delay plugged", "delay plugged"},
	{"motor.head_ends", "delay,shut", "refused"},
	{"settings.thresholds", "a=1 b=2", "a=1 b=2"},
	{"settings.thresholds", "a", "refused"},

	{"igniter.bridge_includes_leads", "yes", "true"},
	{"igniter.bridge_includes_leads", "False", "false"},
	{"igniter.bridge_includes_leads", "1", "refused"},

	{"lot.expires", "2027-04", "2027-04-30"},
	{"lot.expires", "2027-04-31", "refused"},
	{"event.at", "2027-04-17T12:30:00+02:00", "2027-04-17T10:30:00Z"},
	{"event.at", "2027-04-17", "refused"},
	{"event.at", "0001-01-01T00:00:00Z", "refused"}, // that is "not known"
	{"event.at", "0001-01-01T00:00:00.000000001Z", "0001-01-01T00:00:00.000000001Z"},
	{"event.at", "0001-01-01T00:00:00+01:00", "refused"},
	{"event.at", "9999-12-31T23:59:59Z", "9999-12-31T23:59:59Z"},
	{"event.at", "9999-12-31T23:59:59-01:00", "refused"},
	{"event.at", "2027-04-17 10:30:00Z", "refused"},
	{"event.id", "6b1d3f8e-54c7-5b0a-9d52-0f6a1c2e7d41", "6b1d3f8e-54c7-5b0a-9d52-0f6a1c2e7d41"},
	{"event.id", "6b1d3f8e54c75b0a9d520f6a1c2e7d41", "refused"},
	{"event.id", "{6b1d3f8e-54c7-5b0a-9d52-0f6a1c2e7d41}", "refused"},
	{"event.lot", "6b1d3f8e-54c7-5b0a-9d52-0f6a1c2e7d41", "6b1d3f8e-54c7-5b0a-9d52-0f6a1c2e7d41"},
	{"event.lot", "wick", "refused"}, // lots have no handle
	{"line.battery", "cells", "cells"},
	{"line.battery", "My Cells", "refused"},
	{"motor.curve", "0:1", "refused"},
}

func TestSetText(t *testing.T) {
	for _, row := range setTextRows {
		f, rec := fieldOf(t, row.field)
		err := f.SetText(rec, row.text)
		if row.want == "refused" {
			if !errors.Is(err, ErrInvalid) || f.Known(rec) {
				t.Errorf("%s %.40q: %v, known %v", row.field, row.text, err, f.Known(rec))
			}
			continue
		}
		if got, ok := f.Text(rec); err != nil || !ok || got != row.want {
			t.Errorf("%s %.40q: %.60q, %v", row.field, row.text, got, err)
			continue
		}
		// What files hold reads back as the same.
		if again := f.SetText(rec, row.want); again != nil {
			t.Errorf("%s: %.40q does not read back: %v", row.field, row.want, again)
		}
		if got, _ := f.Text(rec); got != row.want {
			t.Errorf("%s: %.40q reads back as %.40q", row.field, row.want, got)
		}
	}
}

// TestRefusalsSayWhatIsExpected: what was found and what is expected, short and
// without control characters.
func TestRefusalsSayWhatIsExpected(t *testing.T) {
	for _, row := range []struct{ field, text, says string }{
		{"igniter.output", "hot", `output: found "hot", expected one of low, medium, high`},
		{"motor.head_ends", "shut", "a list of delay, open, plugged"},
		{"igniter.bridge_includes_leads", "maybe", "true or false"},
		{"lot.expires", "soon", "2027-04-17"},
		{"event.lot", "x", "the id of a lot"},
		{"event.at", "x", "2027-04-17T10:30:00Z"},
		{"igniter.head_mm", "-1", "head_mm is -1; it must be above 0"},
		{"controller.drop_v", "-1", "cannot be below 0"},
		{"igniter.head_mm", "200", "at most 100"},
		{"igniter.output", strings.Repeat("x", 99) + "\x1b[31m", strings.Repeat("x", 60) + `..."`},
		{"igniter.output", "a\x1b[31m\u202eb\u009b", `"a?[31m?b?"`},
		{"motor.mass_g", "x", "give a mass in g"},
	} {
		f, rec := fieldOf(t, row.field)
		err := f.SetText(rec, row.text)
		if err == nil || !strings.Contains(err.Error(), row.says) {
			t.Errorf("%s %q: %v", row.field, row.text, err)
		}
	}
}

// TestPrintable: C0 and C1 controls and what turns the direction of text, and
// nothing beside them, is hidden.
func TestPrintable(t *testing.T) {
	for given, want := range map[string]string{
		"\x00\x1f \x7e\x7f":        "?? ~?",
		"\u0080\u009f\u00a0":       "??\u00a0",
		"\u2029\u202a\u202e\u202f": "\u2029??\u202f",
		"\u2065\u2066\u2069\u206a": "\u2065??\u206a",
		strings.Repeat("é", 60):    strings.Repeat("é", 60),
		strings.Repeat("é", 61):    strings.Repeat("é", 60) + "...",
		"":                         "",
	} {
		if got := Printable(given); got != want {
			t.Errorf("%q: %q, not %q", given, got, want)
		}
	}
}

func TestExpected(t *testing.T) {
	for name, want := range map[string]string{
		"motor.mass_g": "a number in g", "motor.delays_s": "a list of numbers in s", "battery.cells": "a number", "lot.quantity": "a number",
		"settings.thresholds": "an object of names and values", "motor.nozzles": "an array of objects", "mount.ignition": "an object",
		"line.battery": "the handle of a battery", "lot.item": "the handle of a motor or igniter or battery or supply", "motor.name": "text",
	} {
		if f, _ := fieldOf(t, name); f.Expected() != want {
			t.Errorf("%s: %q, not %q", name, f.Expected(), want)
		}
	}
}

func TestSetListAndMap(t *testing.T) {
	f, rec := fieldOf(t, "motor.delays_s")
	if err := f.SetList(rec, []string{"3", "500ms"}); err != nil || strings.Join(f.List(rec), " ") != "3 0.5" {
		t.Errorf("%v %v", err, f.List(rec))
	}
	if err := f.SetList(rec, nil); err != nil || f.Known(rec) || f.List(rec) != nil {
		t.Errorf("none: %v, known %v", err, f.Known(rec))
	}
	if err := f.SetMap(rec, map[string]string{"a": "b"}); !errors.Is(err, ErrInvalid) {
		t.Errorf("a map: %v", err)
	}
	f, rec = fieldOf(t, "motor.head_ends")
	given := []string{"open", "delay"}
	if err := f.SetList(rec, given); err != nil || strings.Join(f.List(rec), " ") != "open delay" {
		t.Errorf("%v %v", err, f.List(rec))
	}
	given[0] = "shut"
	if f.List(rec)[0] != "open" {
		t.Error("the record holds the list it was given")
	}
	f, rec = fieldOf(t, "settings.thresholds")
	if err := f.SetMap(rec, map[string]string{"b": "2", "a": "1"}); err != nil || f.Map(rec)["b"] != "2" {
		t.Errorf("%v %v", err, f.Map(rec))
	}
	if got, _ := f.Text(rec); got != "a=1 b=2" {
		t.Errorf("%q", got)
	}
	if err := f.SetMap(rec, nil); err != nil || f.Known(rec) {
		t.Errorf("none: %v, known %v", err, f.Known(rec))
	}
	f, rec = fieldOf(t, "motor.name")
	if err := f.SetList(rec, []string{"a"}); !errors.Is(err, ErrInvalid) {
		t.Errorf("a list into text: %v", err)
	}
	if f.List(rec) != nil || f.Map(rec) != nil {
		t.Error("text is a list or a map")
	}
}

func TestShow(t *testing.T) {
	for _, row := range []struct{ field, text, metric, imperial string }{
		{"igniter.head_mm", "3/32in", "2.381 mm", "0.094 in"},
		{"motor.delays_s", "3 0.5", "3 s, 500 ms", "3 s, 500 ms"},
		{"motor.head_ends", "delay open", "delay, open", "delay, open"},
		{"igniter.bridge_includes_leads", "yes", "yes", "yes"},
		{"igniter.bridge_includes_leads", "no", "no", "no"},
		{"lot.expires", "2027-04", "2027-04-30", "2027-04-30"},
		{"motor.name", "Old", "Old", "Old"},
		{"line.hot_c", "40", "40 C", "104 F"},
	} {
		f, rec := fieldOf(t, row.field)
		if _, ok := f.Show(rec, quantity.Metric); ok {
			t.Errorf("%s: shown, and not known", row.field)
		}
		if err := f.SetText(rec, row.text); err != nil {
			t.Fatal(err)
		}
		metric, _ := f.Show(rec, quantity.Metric)
		imperial, _ := f.Show(rec, quantity.Imperial)
		if metric != row.metric || imperial != row.imperial {
			t.Errorf("%s %s: %q and %q", row.field, row.text, metric, imperial)
		}
	}
}

func TestCheckNamesTheParts(t *testing.T) {
	throat := quantity.Some(quantity.Length(maxGap + 1))
	errs := Check(&Motor{Header: headed("m"), Nozzles: []Nozzle{{Name: "a"}, {Name: "b", Throat: throat}}})
	if len(errs) != 1 || !errors.Is(errs[0], ErrInvalid) || !strings.Contains(errs[0].Error(), "nozzle 2: ") {
		t.Errorf("%v", errs)
	}
}

// TestRefused: docs/rules.md, "Refused, or warned", beyond single fields.
func TestRefused(t *testing.T) {
	volts := func(v int64) quantity.Opt[quantity.Voltage] { return quantity.Some(quantity.Voltage(v)) }
	amps := func(a int64) quantity.Opt[quantity.Current] { return quantity.Some(quantity.Current(a)) }
	secs := func(s int64) quantity.Opt[quantity.Time] { return quantity.Some(quantity.Time(s)) }
	curve := func(times ...quantity.Time) []CurvePoint {
		points := make([]CurvePoint, len(times))
		for i, at := range times {
			points[i].At = at
		}
		return points
	}
	h := headed("x")
	rows := []struct {
		name string
		rec  Record
		says string // empty: taken
	}{
		{"low voltage at the open one", &Battery{Header: h, LowV: volts(5), OpenCircuit: volts(5)}, ""},
		{"low voltage above the open one", &Battery{Header: h, LowV: volts(6), OpenCircuit: volts(5)}, "low_v"},
		{"low voltage alone", &Battery{Header: h, LowV: volts(6)}, ""},
		{"no-fire below all-fire", &Igniter{Header: h, NoFire: amps(4), AllFire: amps(5)}, ""},
		{"no-fire at all-fire is only warned of", &Igniter{Header: h, NoFire: amps(5), AllFire: amps(5)}, ""},
		{"curve that rises", &Motor{Header: h, Curve: curve(0, 1, 2)}, ""},
		{"curve that stands still", &Motor{Header: h, Curve: curve(0, 1, 1)}, "point 3"},
		{"curve that goes back", &Motor{Header: h, Curve: curve(5, 1)}, "point 2"},
		{"curve of a nozzle", &Motor{Header: h, Nozzles: []Nozzle{{Curve: curve(1, 0)}}}, "nozzle 1"},
		{"thrust below zero", &Motor{Header: h, Curve: []CurvePoint{{0, -1}}}, "thrust_n"},
		{"delay of nothing", &Motor{Header: h, Delays: []quantity.Time{3, 0}}, "delays_s"},
		{"delays the wrong way round", &Motor{Header: h, DelayMin: secs(5), DelayMax: secs(4)}, "delay_min_s"},
		{"delays that are one", &Motor{Header: h, DelayMin: secs(4), DelayMax: secs(4)}, ""},
		{"a nozzle twice", &Motor{Header: h, Nozzles: []Nozzle{{Name: "a"}, {Name: "a"}}}, "nozzle \"a\""},
		{"an output twice", &Controller{Header: h, Outputs: []Output{{Name: "a"}, {Name: "a"}}}, "output \"a\""},
		{"a stage twice", &Rocket{Header: h, Stages: []Stage{{Name: "a"}, {Name: "a"}}}, "stage \"a\""},
		{"a mount twice", &Rocket{Header: h, Stages: []Stage{{Mounts: []Mount{{Name: "a"}, {Name: "a"}}}}}, "mount \"a\""},
		{"a mount in each stage", &Rocket{Header: h, Stages: []Stage{{Name: "1", Mounts: []Mount{{Name: "a"}}}, {Name: "2", Mounts: []Mount{{Name: "a"}}}}}, ""},
		{"a recovery twice", &Rocket{Header: h, Stages: []Stage{{Recovery: []Recovery{{Name: "a"}, {Name: "a"}}}}}, "recovery \"a\""},
		{"a recovery by no mount", &Rocket{Header: h, Stages: []Stage{{Recovery: []Recovery{{Name: "a", Mount: "m"}}}}}, "mount \"m\""},
		{"a recovery that backs up nothing", &Rocket{Header: h, Stages: []Stage{{Recovery: []Recovery{{Name: "a", BacksUp: "b"}}}}}, "backs up \"b\""},
		{"a recovery by a mount", &Rocket{Header: h, Stages: []Stage{{Mounts: []Mount{{Name: "m"}}, Recovery: []Recovery{{Name: "a", Mount: "m"}, {Name: "b", BacksUp: "a"}}}}}, ""},
		{"a lot of nothing", &Lot{}, "kind and item"},
		{"a lot of no kind", &Lot{Item: Ref{Handle: "m"}}, "kind and item"},
		{"a lot of no item", &Lot{Of: LotOfMotors}, "kind and item"},
		{"a lot that ends and keeps for ever", &Lot{Of: LotOfMotors, Item: Ref{Handle: "m"}, Expires: Date{2027, 1, 1}, NoExpiry: quantity.Some(true)}, "not both"},
		{"a reading of nothing", &Reading{What: "head_mm", Value: quantity.Some(quantity.Number(1))}, "of a type"},
		{"a reading of both", &Reading{Of: &ReadingOf{Item: Ref{Handle: "x"}, Lot: Ref{ID: named("l")}}, What: "head_mm", Value: quantity.Some(quantity.Number(1))}, "of a type"},
		{"a reading without value", &Reading{Of: &ReadingOf{Lot: Ref{ID: named("l")}}, What: "head_mm"}, "its value"},
		{"a reading under no load", &Reading{Of: &ReadingOf{Lot: Ref{ID: named("l")}}, What: LoadedVolts, Value: quantity.Some(quantity.Number(1))}, "load_ohm"},
		{"a reading", &Reading{Of: &ReadingOf{Lot: Ref{ID: named("l")}}, What: "head_mm", Value: quantity.Some(quantity.Number(1))}, ""},
	}
	for _, row := range rows {
		errs := Check(row.rec)
		if (len(errs) == 0) != (row.says == "") || len(errs) > 0 && (!errors.Is(errs[0], ErrInvalid) || !strings.Contains(errs[0].Error(), row.says)) {
			t.Errorf("%s: %v", row.name, errs)
		}
	}
}
