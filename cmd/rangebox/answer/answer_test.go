package answer_test

import (
	"encoding/json"
	"maps"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"

	"rangebox/cmd/rangebox/answer"
	"rangebox/compat"
	"rangebox/inventory"
	"rangebox/inventory/boltstore"
	"rangebox/inventory/quantity"
)

// keys are the names an answer has in JSON; those that may be absent end in ?.
func keys(t reflect.Type) []string {
	var list []string
	for i := range t.NumField() {
		name, options, _ := strings.Cut(t.Field(i).Tag.Get("json"), ",")
		if name == "-" {
			continue
		}
		if strings.HasPrefix(options, "omit") {
			name += "?"
		}
		list = append(list, name)
	}
	return list
}

// TestFields holds every answer to the contract's field lists, written down here
// by hand. Names may be added, none is renamed or taken away.
func TestFields(t *testing.T) {
	for _, c := range []struct {
		of   any
		want string
	}{
		{answer.Finding{}, "rule verdict subject value? limit? unit assumed missing? why source remedy"},
		{answer.NotChecked{}, "rule missing how subject?"},
		{answer.Fits{}, "on motor? igniter? line? matches"},
		{answer.Match{}, "motor nozzle igniter verdict clearance_mm? needed_lead_mm? splice_mm? on_hand usable findings not_checked lots?"},
		{answer.Lot{}, "id quantity usable expires? place? state verdict?"},
		{answer.Chart{}, "on line? igniters motors"},
		{answer.ChartRow{}, "motor nozzle verdicts"},
		{answer.LineCheck{}, "line igniter? count verdict nominal_a? worst_a? needed_a? ratio? igniters? nominal_supply_v? worst_supply_v? short_a? meter_ohm? meter_one_missing_ohm? most_igniters? longest_lead_m? smallest_wire_awg? lowest_open_circuit_v? findings not_checked"},
		{answer.GroupCurrent{}, "igniter count nominal_a? worst_a? needed_a? ratio?"},
		{answer.Analysis{}, "impulse_ns burn_s average_n peak_n class class_pct isp_s?"},
		{answer.Booked{}, "entries lots"},
		{answer.Entry{}, "id what lot quantity?"},
		{answer.BookedLot{}, "lot item quantity place?"},
		{answer.StockRow{}, "lot kind item quantity promised expires? place? state certification? needs_count? code?"},
		{answer.LogRow{}, "id at what lot? item? quantity? to? result? cause? reason? point? voids? voided"},
		{answer.Outlook{}, "on due need calendar?"},
		{answer.Calendar{}, "file events"},
		{answer.Labels{}, "file labels"},
		{answer.LotLabel{}, "lot kind item expires? no_expiry place? code? hazard?"},
		{answer.Sheet{}, "file written day state points served changes boxes batteries short flights"},
		{answer.SheetChange{}, "flight? point? packed now"},
		{answer.SheetFlight{}, "number rocket name? with? notes? flown complete changed stages wires supplies check?"},
		{answer.SheetStage{}, "name motors charges curves"},
		{answer.SheetWire{}, "flag point fires controller? output? battery? line?"},
		{answer.SheetSupply{}, "item unit? quantity lots short?"},
		{answer.Need{}, "kind item usable short why"},
		{answer.Import{}, "dry_run new changed unchanged records quantities taken_back? entries entries_new? warnings passed_over? mapped? handles_made? rejected rejected_rows? rejected_file?"},
		{answer.Difference{}, "lot item file ledger counted"},
		{answer.Warning{}, "kind record row? doubt"},
		{answer.Changed{}, "kind handle id status changes? warnings"},
		{answer.Verify{}, "change? changed? format? records? entries? problems doubts"},
	} {
		of := reflect.TypeOf(c.of)
		if got := strings.Join(keys(of), " "); got != c.want {
			t.Errorf("%s has the fields\n%s\nwant\n%s", of, got, c.want)
		}
	}
}

// nulls are the paths at which an answer holds null: none may, since what is not
// known is absent and a list without members is a list.
func nulls(t *testing.T, v any) []string {
	t.Helper()
	text, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	var back any
	if err := json.Unmarshal(text, &back); err != nil {
		t.Fatal(err)
	}
	var found []string
	var walk func(path string, v any)
	walk = func(path string, v any) {
		switch v := v.(type) {
		case nil:
			found = append(found, path)
		case map[string]any:
			for _, key := range slices.Sorted(maps.Keys(v)) {
				walk(path+"."+key, v[key])
			}
		case []any:
			for _, one := range v {
				walk(path+"[]", one)
			}
		}
	}
	walk("", back)
	return found
}

// TestNothingIsNull makes answers of as little as there can be.
func TestNothingIsNull(t *testing.T) {
	motor, igniter := &inventory.Motor{}, &inventory.Igniter{}
	motor.Handle, igniter.Handle = "heron", "wick"
	question := compat.FitQuestion{Count: 1}
	match := compat.Fit(&question, motor, compat.NozzlesOf(motor)[0], igniter, compat.Defaults())
	line := &inventory.Line{}
	report := compat.CheckLine(&compat.Circuit{Line: line, Groups: []compat.Group{{Igniter: igniter, Count: 1}}}, compat.Defaults())
	for name, v := range map[string]any{
		"fits":    answer.Fits{Matches: []answer.Match{answer.MatchOf(&match, answer.Holding{}, quantity.Metric)}},
		"chart":   answer.ChartOf(compat.Chart{}, inventory.Date{}),
		"line":    answer.LineCheckOf("pad", report, quantity.Metric),
		"import":  answer.ImportOf(boltstore.ImportReport{}, true),
		"verify":  answer.VerifyOf(boltstore.VerifyReport{}),
		"changed": answer.ChangedOf(motor, "added", nil, nil),
	} {
		if found := nulls(t, v); len(found) > 0 {
			t.Errorf("%s has null at %v", name, found)
		}
	}
}

// TestLotsOnlyWhereUseful: a match that is no-go tells no lots, any other does,
// if only that there are none.
func TestLotsOnlyWhereUseful(t *testing.T) {
	held := answer.Holding{OnHand: 3e9, Usable: 2e9, Lots: []answer.Lot{{ID: "x", Quantity: "3"}}}
	motor := &inventory.Motor{Propellant: inventory.BlackPowder, Nozzles: []inventory.Nozzle{{Throat: quantity.Some(quantity.Length(3_000_000))}}}
	igniter := func(head quantity.Length) *inventory.Igniter {
		return &inventory.Igniter{Head: quantity.Some(head), LeadPair: quantity.Some(quantity.Length(1_000_000)), Output: inventory.Low}
	}
	for _, c := range []struct {
		name    string
		head    quantity.Length
		held    answer.Holding
		verdict string
		want    int // -1: absent
	}{
		{"go", 2_000_000, held, "go", 1},
		{"go, none there", 2_000_000, answer.Holding{}, "go", 0},
		{"no-go", 4_000_000, held, "no-go", -1},
	} {
		question := compat.FitQuestion{Count: 1}
		match := compat.Fit(&question, motor, compat.NozzlesOf(motor)[0], igniter(c.head), compat.Defaults())
		text, err := json.Marshal(answer.MatchOf(&match, c.held, quantity.Metric))
		if err != nil {
			t.Fatal(err)
		}
		var got struct {
			Verdict string
			OnHand  json.Number `json:"on_hand"`
			Lots    *[]answer.Lot
		}
		if err := json.Unmarshal(text, &got); err != nil {
			t.Fatal(err)
		}
		lots := -1
		if got.Lots != nil {
			lots = len(*got.Lots)
		}
		if got.Verdict != c.verdict || lots != c.want || got.OnHand.String() != quantity.One.Format(int64(c.held.OnHand)) {
			t.Errorf("%s: %s", c.name, text)
		}
	}
}

func TestLabel(t *testing.T) {
	for key, want := range map[string]string{
		"throat_mm": "throat", "all_fire_a": "all_fire", "firing_impulse_a2s": "firing_impulse", "lead_mm2": "lead", "lead_ohm_per_m": "lead",
		"bridge_ohm": "bridge", "wind_m_s": "wind", "bridge_tol_pct": "bridge_tol", "cells": "cells", "handle": "handle", "notes": "notes",
	} {
		if got := answer.Label(key); got != want {
			t.Errorf("the label of %s is %q, want %q", key, got, want)
		}
	}
}

func TestChangedOf(t *testing.T) {
	motor := &inventory.Motor{}
	motor.Handle = "heron"
	if got := answer.ChangedOf(motor, "changed", nil, []string{"it is odd"}); got.Status != "unchanged" || len(got.Warnings) != 1 || got.Warnings[0].Record != "heron" {
		t.Errorf("an edit that changes nothing: %+v", got)
	}
	change := []inventory.FieldChange{{Path: "mass_g", Old: "3", New: "4"}}
	if got := answer.ChangedOf(motor, "changed", change, nil); got.Status != "changed" || len(got.Changes) != 1 || got.Changes[0] != (answer.Change{Field: "mass_g", Old: "3", New: "4"}) {
		t.Errorf("an edit: %+v", got)
	}
}

// TestNumbersAreExact: quantities are exact decimals in the unit of their key,
// computed ratios have nine digits.
func TestNumbersAreExact(t *testing.T) {
	lot := &inventory.Lot{Of: inventory.LotOfSupplies, Item: inventory.Ref{Handle: "powder"}}
	lot.ID = uuid.MustParse("01900000-0000-7000-8000-000000000001")
	on := inventory.Date{Year: 2027, Month: 4, Day: 17}
	row := answer.StockRowOf(lot, inventory.Stock{OnHand: 28_349_523_125, Promised: 1}, on, "0001")
	if row.Quantity != "28.349523125" || row.Promised != "0.000000001" || row.Kind != "supply" || row.State != "ok" {
		t.Errorf("%+v", row)
	}
	event := &inventory.Event{At: time.Date(2027, 4, 17, 11, 30, 0, 0, time.FixedZone("", 7200)), What: inventory.Held, Lot: inventory.Ref{ID: lot.ID}}
	if log := answer.LogRowOf(event, "powder", true); log.At != "2027-04-17T09:30:00Z" || log.Quantity != nil || log.Voids != "" || !log.Voided {
		t.Errorf("%+v", log)
	}
}

func TestNameOf(t *testing.T) {
	motor := &inventory.Motor{}
	motor.Handle = "heron"
	lot := &inventory.Lot{}
	lot.ID = uuid.MustParse("01900000-0000-7000-8000-000000a1b2c3")
	if a, b := answer.NameOf(motor), answer.NameOf(lot); a != "heron" || b != "a1b2c3" {
		t.Errorf("called %q and %q", a, b)
	}
}
