package boltstore_test

import (
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"

	"rangebox/inventory"
	"rangebox/inventory/boltstore"
	"rangebox/inventory/quantity"
)

// clock is the tests' time of writing.
var clock = time.Date(2027, 4, 17, 9, 30, 0, 0, time.UTC)

func opt() boltstore.Options {
	return boltstore.Options{Now: func() time.Time { return clock }, Wait: 5 * time.Second}
}

// newPath is where a test's box goes; the box is verified when the test ends.
func newPath(t *testing.T) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "range.box")
	verifyAtEnd(t, path)
	return path
}

func verifyAtEnd(t *testing.T, path string) {
	t.Helper()
	t.Cleanup(func() {
		if _, err := os.Stat(path); err == nil {
			mustVerify(t, path)
		}
	})
}

// reporter is a test, or a run of a property.
type reporter interface {
	Helper()
	Errorf(format string, args ...any)
	Fatal(args ...any)
}

func mustVerify(t reporter, path string) boltstore.VerifyReport {
	t.Helper()
	report, err := boltstore.Verify(path, opt())
	if err != nil {
		t.Errorf("verify: %v", err)
	}
	for _, p := range report.Problems {
		t.Errorf("verify: %s", p)
	}
	return report
}

// create makes a box of a batch.
func create(t reporter, path string, b *inventory.Batch) boltstore.ImportReport {
	t.Helper()
	var report boltstore.ImportReport
	err := boltstore.CreateOrWrite(path, opt(), func(tx *boltstore.Tx) (err error) {
		report, err = tx.Import(b, boltstore.ImportOptions{})
		return err
	})
	must(t, err)
	return report
}

func write(t reporter, path string, fn func(*boltstore.Tx) error) {
	t.Helper()
	must(t, boltstore.Write(path, opt(), fn))
}

func read(t reporter, path string, fn func(*boltstore.View) error) {
	t.Helper()
	must(t, boltstore.Read(path, opt(), fn))
}

func must(t reporter, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func revision(t reporter, path string) (r boltstore.Revision) {
	t.Helper()
	read(t, path, func(v *boltstore.View) error { r = v.Revision(); return nil })
	return r
}

func motor(handle string) *inventory.Motor {
	m := &inventory.Motor{Maker: "Quill", Name: "Type " + handle, Propellant: inventory.BlackPowder,
		Diameter: quantity.Some(quantity.Length(18_000_000))}
	m.Handle = handle
	return m
}

func igniter(handle string) *inventory.Igniter {
	g := &inventory.Igniter{Maker: "Quill", Name: "Type " + handle, Head: quantity.Some(quantity.Length(2_100_000))}
	g.Handle = handle
	return g
}

func supply(handle string) *inventory.Supply {
	s := &inventory.Supply{Name: "Supply " + handle, Unit: inventory.InGrams}
	s.Handle = handle
	return s
}

func to(handle string) inventory.Ref { return inventory.Ref{Handle: handle} }

func toID(id uuid.UUID) inventory.Ref { return inventory.Ref{ID: id} }

// n is a number of pieces.
func n(pieces int64) quantity.Number { return quantity.Number(pieces * 1_000_000_000) }

func some(pieces int64) quantity.Opt[quantity.Number] { return quantity.Some(n(pieces)) }

func lotID(name string) uuid.UUID { return inventory.DerivedID(inventory.KindLot, "test", name) }

func lot(name string, of inventory.LotKind, item string, pieces int64) *inventory.Lot {
	l := &inventory.Lot{Of: of, Item: to(item), Quantity: some(pieces), Place: "shelf",
		Expires: inventory.Date{Year: 2029, Month: 12, Day: 31}, Acquired: inventory.Date{Year: 2026, Month: 3, Day: 4}}
	l.ID = lotID(name)
	return l
}

// entry is an entry of a lot, some minutes after the clock.
func entry(what inventory.What, lot uuid.UUID, pieces int64, minutes int) *inventory.Event {
	e := &inventory.Event{At: clock.Add(time.Duration(minutes) * time.Minute), What: what, Lot: toID(lot)}
	e.ID = uuid.Must(uuid.NewV7())
	if pieces > 0 {
		e.Quantity = some(pieces)
	}
	return e
}

func batch(records ...inventory.Record) *inventory.Batch {
	b := &inventory.Batch{}
	for i, rec := range records {
		b.Add(rec, "", i+1)
	}
	return b
}

// small is a box with one record or two of most kinds.
func small() *inventory.Batch {
	powder := supply("powder")
	m := motor("c6")
	m.IgniterSupplied = to("wick")
	m.Nozzles = []inventory.Nozzle{{Throat: quantity.Some(quantity.Length(3_200_000))}}
	battery := &inventory.Battery{Name: "Pack"}
	battery.Handle = "pack"
	line := &inventory.Line{Battery: to("pack")}
	line.Handle = "pad"
	rocket := &inventory.Rocket{Name: "Lark", Stages: []inventory.Stage{{Name: "one", Mounts: []inventory.Mount{{
		Name: "main", Motor: to("c6"), Igniter: to("wick"), Ignition: &inventory.Ignition{By: inventory.LitAtPad, Line: to("pad")}}}}}}
	rocket.Handle = "lark"
	day := &inventory.Day{Site: "Long Meadow", Flights: []inventory.Flight{{Rocket: to("lark"), With: map[string]string{"one/main.delay_s": "5"}}}}
	day.ID = inventory.DerivedID(inventory.KindDay, "test")
	reading := &inventory.Reading{At: clock, What: "head_mm", Value: some(2), Of: &inventory.ReadingOf{Kind: "igniter", Item: to("wick")}}
	settings := &inventory.Settings{Currency: "EUR", Thresholds: map[string]string{"throat-clearance": "0.3"}}
	return batch(powder, igniter("wick"), igniter("match"), m, motor("d12"), battery, line, rocket, day, reading, settings,
		lot("c6", inventory.LotOfMotors, "c6", 6), lot("wick", inventory.LotOfIgniters, "wick", 10), lot("powder", inventory.LotOfSupplies, "powder", 50))
}

// stockOf reads a lot's balance.
func stockOf(t reporter, path, name string) (s inventory.Stock) {
	t.Helper()
	read(t, path, func(v *boltstore.View) (err error) {
		s, err = v.Stock(lotID(name))
		return err
	})
	return s
}

// bboltIn notes the sources, tests apart, that import what only the store may.
func bboltIn(sources []string, found map[string]bool) error {
	for _, name := range sources {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		for _, imp := range file.Imports {
			if strings.Contains(imp.Path.Value, "go.etcd.io/bbolt") || strings.Contains(imp.Path.Value, "fxamacker/cbor") {
				found[name] = true
			}
		}
	}
	return nil
}
