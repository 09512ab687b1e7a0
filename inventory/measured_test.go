package inventory

import (
	"errors"
	"testing"
	"time"

	"rangebox/inventory/quantity"
)

// readingOf is a reading of a type or a lot, minute after minute.
type readingOf struct {
	minute int
	lot    bool // of the lot, else of the type
	what   string
	nozzle string
	value  string
	load   string
}

func (r readingOf) record(t *testing.T, kind Kind) *Reading {
	t.Helper()
	out := &Reading{Of: &ReadingOf{Lot: Ref{ID: named("lot")}}, At: dayOne.Add(time.Duration(r.minute) * time.Minute), What: r.what, Nozzle: r.nozzle}
	out.ID = named(string(rune('a'+r.minute)) + r.what + r.value)
	if !r.lot {
		out.Of = &ReadingOf{Kind: string(kind), Item: Ref{Handle: "x"}}
	}
	out.Value = quantity.Some(pieceCount(t, r.value))
	if r.load != "" {
		ohms, err := quantity.Ohm.Parse(r.load)
		if err != nil {
			t.Fatal(err)
		}
		out.LoadOhm = quantity.Some(ohms)
	}
	return out
}

// measuredBox holds one record, a lot of it and the readings.
func measuredBox(t *testing.T, rec Record, readings ...readingOf) (*Box, *Lot) {
	t.Helper()
	of, _ := LotKindOf(rec.Kind())
	lot := &Lot{Header: Header{ID: named("lot")}, Of: of, Item: Ref{Handle: "x"}}
	rec.Base().Handle = "x"
	batch := batchOf(rec, lot)
	for i := len(readings) - 1; i >= 0; i-- { // the file's order is not that of time
		batch.Add(readings[i].record(t, rec.Kind()), "", 0)
	}
	box, err := BoxOf(batch)
	if err != nil {
		t.Fatal(err)
	}
	return box, lot
}

func igniterBridge(t *testing.T, ohms string) *Igniter {
	t.Helper()
	q, err := quantity.Ohm.Parse(ohms)
	if err != nil {
		t.Fatal(err)
	}
	return &Igniter{Bridge: quantity.Some(q)}
}

// TestMeasured: the latest reading counts; a lot's goes before its type's.
func TestMeasured(t *testing.T) {
	rows := []struct {
		name           string
		readings       []readingOf
		typed, ofLot   quantity.Resistance
		lotHasReadings bool
	}{
		{"none", nil, 1_000_000, 1_000_000, false},
		{"of the type", []readingOf{{1, false, "bridge_ohm", "", "1.1", ""}}, 1_100_000, 1_100_000, false},
		{"the latest of the type", []readingOf{{2, false, "bridge_ohm", "", "1.2", ""}, {1, false, "bridge_ohm", "", "1.1", ""}}, 1_200_000, 1_200_000, false},
		{"of the lot", []readingOf{{1, true, "bridge_ohm", "", "1.3", ""}}, 1_000_000, 1_300_000, true},
		{"of both, the type later", []readingOf{{2, false, "bridge_ohm", "", "1.1", ""}, {1, true, "bridge_ohm", "", "1.3", ""}}, 1_100_000, 1_300_000, true},
		{"of the lot, something else", []readingOf{{2, false, "bridge_ohm", "", "1.1", ""}, {1, true, "head_mm", "", "3", ""}}, 1_100_000, 1_100_000, true},
		{"refused by the field", []readingOf{{1, false, "bridge_ohm", "", "-1", ""}}, 1_000_000, 1_000_000, false},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			ig := igniterBridge(t, "1.0")
			box, lot := measuredBox(t, ig, row.readings...)
			if got := Measured(box, ig).Bridge.Or(0); got != row.typed {
				t.Errorf("the type has %d, not %d", got, row.typed)
			}
			of, own := MeasuredLot(box, lot, Measured(box, ig))
			if got := of.Bridge.Or(0); got != row.ofLot || own != row.lotHasReadings {
				t.Errorf("the lot has %d (%v), not %d", got, own, row.ofLot)
			}
			if ig.Bridge.Or(0) != 1_000_000 {
				t.Error("the record itself was changed")
			}
		})
	}
}

// TestMeasuredThroat: a reading of a nozzle, by its name or where there is one.
func TestMeasuredThroat(t *testing.T) {
	motor := func() *Motor {
		return &Motor{Nozzles: []Nozzle{{Name: "std", Throat: quantity.Some(quantity.Length(2_000_000))}, {Name: "big"}}}
	}
	m := motor()
	box, lot := measuredBox(t, m, readingOf{1, false, "throat_mm", "big", "3.5", ""}, readingOf{2, true, "throat_mm", "std", "2.1", ""})
	got := Measured(box, m)
	if got.Nozzles[0].Throat.Or(0) != 2_000_000 || got.Nozzles[1].Throat.Or(0) != 3_500_000 {
		t.Errorf("%+v", got.Nozzles)
	}
	ofLot, _ := MeasuredLot(box, lot, m)
	if ofLot.Nozzles[0].Throat.Or(0) != 2_100_000 || ofLot.Nozzles[1].Throat.Or(0) != 3_500_000 {
		t.Errorf("of the lot %+v", ofLot.Nozzles)
	}
	if m.Nozzles[0].Throat.Or(0) != 2_000_000 || m.Nozzles[1].Throat.Known() {
		t.Error("the record itself was changed")
	}
	for _, row := range []struct {
		what, nozzle string
		ok           bool
	}{
		{"throat_mm", "std", true}, {"depth_mm", "big", true}, {"mass_g", "", true},
		{"throat_mm", "", false}, {"throat_mm", "none", false}, {"curve", "std", false}, {"propellant", "", false}, {"bridge_ohm", "", false},
	} {
		if _, _, err := ReadingField(m, row.what, row.nozzle); (err == nil) != row.ok || err != nil && !errors.Is(err, ErrInvalid) {
			t.Errorf("%s of %q: %v", row.what, row.nozzle, err)
		}
	}
	if _, _, err := ReadingField(&Motor{Nozzles: make([]Nozzle, 1)}, "throat_mm", ""); err != nil {
		t.Errorf("the only nozzle there is: %v", err)
	}
}

// TestLoadedVolts: the internal resistance from two readings. The first row is
// the worked example of a cell maker's bulletin (read): 1.485 V at 5 mA, 1.378 V
// at 505 mA, 0.214 ohm; the loads are V / I.
func TestLoadedVolts(t *testing.T) {
	volts := func(v int64) quantity.Opt[quantity.Voltage] { return quantity.Some(quantity.Voltage(v)) }
	ohms := func(r int64) quantity.Opt[quantity.Resistance] {
		return quantity.Some(quantity.Resistance(r))
	}
	battery := Battery{OpenCircuit: volts(9_000_000), Internal: ohms(1_000_000), AgedInternal: ohms(1_400_000)}
	rows := []struct {
		name     string
		of       Battery
		readings []readingOf
		internal quantity.Resistance
		aged     quantity.Resistance // 0: not known
	}{
		{"two under load", Battery{}, []readingOf{{1, false, "loaded_v", "", "1.485", "297"}, {2, false, "loaded_v", "", "1.378", "2.728713"}}, 214_000, 0},
		{"the same the other way round", Battery{}, []readingOf{{2, false, "loaded_v", "", "1.485", "297"}, {1, false, "loaded_v", "", "1.378", "2.728713"}}, 214_000, 0},
		// (9 - 8) / (8 / 8)
		{"beside the record's rest", battery, []readingOf{{1, false, "loaded_v", "", "8", "8"}}, 1_000_000, 1_400_000},
		// (8.8 - 8) / 1
		{"beside a reading at rest", battery, []readingOf{{1, false, "open_circuit_v", "", "8.8", ""}, {2, false, "loaded_v", "", "8", "8"}}, 800_000, 1_400_000},
		{"beside the latest at rest", battery, []readingOf{{1, false, "open_circuit_v", "", "9.5", ""}, {2, false, "loaded_v", "", "8", "8"}, {3, false, "open_circuit_v", "", "8.8", ""}}, 800_000, 1_400_000},
		{"the latest under load", battery, []readingOf{{1, false, "loaded_v", "", "4", "8"}, {2, false, "open_circuit_v", "", "8.8", ""}, {3, false, "loaded_v", "", "8", "8"}}, 800_000, 1_400_000},
		{"the lot under load, beside the type's rest", battery, []readingOf{{1, false, "open_circuit_v", "", "8.8", ""}, {2, true, "loaded_v", "", "8", "8"}}, 800_000, 1_400_000},
		{"worn further than was recorded", battery, []readingOf{{1, false, "open_circuit_v", "", "9.5", ""}, {2, false, "loaded_v", "", "8", "8"}}, 1_500_000, 0},
		{"a reading of the worn resistance stays", battery, []readingOf{{1, false, "loaded_v", "", "8", "8"}, {2, false, "aged_internal_ohm", "", "2", ""}}, 1_000_000, 2_000_000},
		{"read as such, later", battery, []readingOf{{1, false, "loaded_v", "", "8", "8"}, {2, false, "internal_ohm", "", "0.7", ""}}, 700_000, 1_400_000},
		{"read as such, earlier", battery, []readingOf{{1, false, "internal_ohm", "", "0.7", ""}, {2, false, "loaded_v", "", "8", "8"}}, 1_000_000, 1_400_000},
		{"higher under load than at rest", battery, []readingOf{{1, false, "loaded_v", "", "9.1", "8"}}, 1_000_000, 1_400_000},
		{"no rest at all", Battery{Internal: ohms(5)}, []readingOf{{1, false, "loaded_v", "", "8", "8"}}, 5, 0},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			rec := row.of
			box, lot := measuredBox(t, &rec, row.readings...)
			got, _ := MeasuredLot(box, lot, Measured(box, &rec))
			near := got.Internal.Or(0) - row.internal
			if near < -1 || near > 1 {
				t.Errorf("%d uohm, not %d", got.Internal.Or(0), row.internal)
			}
			if aged := got.AgedInternal.Or(0); aged != row.aged {
				t.Errorf("worn %d, not %d", aged, row.aged)
			}
		})
	}
}

func TestInternalResistance(t *testing.T) {
	for _, row := range []struct {
		v1, i1, v2, i2 float64
		want           quantity.Resistance // 0: cannot be told
	}{
		{1.485, 0.005, 1.378, 0.505, 214_000}, // cell maker's bulletin (read)
		{1.378, 0.505, 1.485, 0.005, 214_000},
		{9, 0, 9, 1, 0}, {9, 1, 8, 1, 0}, {9, 1, 9, 1, 0}, {8, 0, 9, 1, 0}, {9, 0, 8, 1e-9, 0},
	} {
		got, ok := InternalResistance(row.v1, row.i1, row.v2, row.i2)
		if got != row.want || ok != (row.want != 0) {
			t.Errorf("%+v: %d %v", row, got, ok)
		}
	}
}
