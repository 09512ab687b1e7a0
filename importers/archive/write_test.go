package archive

import (
	"bytes"
	"errors"
	"os"
	"strings"
	"testing"

	"github.com/google/uuid"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

func TestWriteForm(t *testing.T) {
	igniter := &inventory.Igniter{Header: inventory.Header{Handle: "wick", Notes: "<b> & \"q\" \x00\u202e🚀"}, Head: quantity.Some(quantity.Length(2_381_250)),
		Output: inventory.Low, BridgeIncludesLeads: quantity.Some(false)}
	motor := &inventory.Motor{Header: inventory.Header{ID: uuid.MustParse("6b1d3f8e-54c7-5b0a-9d52-0f6a1c2e7d41"), Handle: "a-8"},
		Delays: []quantity.Time{3_000_000, 5_500_000}, HeadEnds: []string{"delay", "open"},
		Curve: []inventory.CurvePoint{{}, {At: 1, Thrust: 12_345}}, IgniterSupplied: inventory.Ref{Handle: "wick"}}
	lot := &inventory.Lot{Of: inventory.LotOfIgniters, Item: inventory.Ref{Handle: "wick"}, Quantity: quantity.Some(quantity.Number(12_000_000_000)),
		Expires: inventory.Date{Year: 2027, Month: 4, Day: 30}}
	lot.ID = uuid.MustParse("00000000-0000-7000-8000-000000000001")
	settings := &inventory.Settings{Priors: map[string]string{"b": "2", "a": "1"}}
	batch := &inventory.Batch{}
	for _, rec := range []inventory.Record{settings, lot, igniter, motor, &inventory.Igniter{Header: inventory.Header{Handle: "fuse"}}} {
		batch.Add(rec, "", 0)
	}
	want := `{
"format": "rangebox-archive",
"version": 1,
"motors": [
{"id": "6b1d3f8e-54c7-5b0a-9d52-0f6a1c2e7d41", "handle": "a-8", "head_ends": ["delay", "open"], "delays_s": [3, 5.5], "curve": [{"t_s": 0, "thrust_n": 0}, {"t_s": 0.000001, "thrust_n": 12.345}], "igniter_supplied": "wick"}
],
"igniters": [
{"handle": "wick", "notes": "<b> & \"q\" \u0000` + "\u202e🚀" + `", "head_mm": 2.38125, "output": "low", "bridge_includes_leads": false},
{"handle": "fuse"}
],
"lots": [
{"id": "00000000-0000-7000-8000-000000000001", "kind": "igniter", "item": "wick", "quantity": 12, "expires": "2027-04-30"}
],
"settings": {"priors": {"a": "1", "b": "2"}}
}
`
	var out bytes.Buffer
	if err := Write(&out, FromBatch(batch)); err != nil || out.String() != want {
		t.Errorf("%v\ngot\n%s\nwant\n%s", err, out.String(), want)
	}
}

func TestWriteNothing(t *testing.T) {
	var out bytes.Buffer
	if err := Write(&out, FromBatch(&inventory.Batch{})); err != nil {
		t.Fatal(err)
	}
	if batch, err := Read(&out, "box.json"); err != nil || len(batch.Items) != 0 {
		t.Errorf("an empty box reads back as %v, %v", batch, err)
	}
}

func TestWriteRefuses(t *testing.T) {
	byID := &inventory.Line{Header: inventory.Header{Handle: "pad"}, Battery: inventory.Ref{ID: uuid.Max}}
	stop := errors.New("stop here")
	for _, c := range []struct {
		name  string
		box   Source
		want  error
		words string
	}{
		{"a reference without a handle", records(byID), inventory.ErrDamaged, `writing the lines of the archive: damaged: battery of the line "pad" points to ffffffff`},
		{"settings twice", records(&inventory.Settings{}, &inventory.Settings{}), inventory.ErrConflict, "more than one record of settings"},
		{"a source that fails", func(inventory.Kind, func(inventory.Record) error) error { return stop }, stop, "writing the motors of the archive: stop here"},
	} {
		t.Run(c.name, func(t *testing.T) {
			err := Write(&bytes.Buffer{}, c.box)
			if !errors.Is(err, c.want) || !strings.Contains(err.Error(), c.words) {
				t.Errorf("got %v, want %q", err, c.words)
			}
		})
	}
}

func TestWriteToFullDisk(t *testing.T) {
	for _, n := range []int{0, 1000} { // fails at the end, fails on the way
		var list []inventory.Record
		for range n {
			list = append(list, &inventory.Supply{Header: inventory.Header{Handle: "pin", Notes: strings.Repeat("x", 1000)}})
		}
		if err := Write(fullDisk{}, records(list...)); !errors.Is(err, os.ErrPermission) {
			t.Errorf("%d records on a disk that is full: %v", n, err)
		}
	}
}

type fullDisk struct{}

func (fullDisk) Write([]byte) (int, error) { return 0, os.ErrPermission }

func records(list ...inventory.Record) Source {
	batch := &inventory.Batch{}
	for _, rec := range list {
		batch.Add(rec, "", 0)
	}
	return FromBatch(batch)
}

// TestObject: one record alone stands as it would in an archive.
func TestObject(t *testing.T) {
	rec := &inventory.Supply{Header: inventory.Header{Handle: "pin", Notes: "<\n>"}, Unit: inventory.InPieces}
	want := `{"handle": "pin", "notes": "<\n>", "unit": "piece"}`
	if got := string(Object(rec)); got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}
