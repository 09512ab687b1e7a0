package boltstore_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/uuid"

	"rangebox/inventory"
	"rangebox/inventory/boltstore"
	"rangebox/inventory/quantity"
)

func importInto(t testing.TB, path string, b *inventory.Batch, o boltstore.ImportOptions) (report boltstore.ImportReport) {
	t.Helper()
	write(t, path, func(tx *boltstore.Tx) (err error) {
		report, err = tx.Import(b, o)
		return err
	})
	return report
}

// TestImportTwice changes nothing the second time, on one laptop or two.
func TestImportTwice(t *testing.T) {
	path, other := newPath(t), newPath(t)
	report := create(t, path, small())
	if report.NewCount != 14 || report.ChangedCount+report.Same != 0 || len(report.Counted) != 3 {
		t.Errorf("first import: %d new, %d changed, %d the same, %d counted", report.NewCount, report.ChangedCount, report.Same, len(report.Counted))
	}
	before := digest(t, path)
	report = importInto(t, path, small(), boltstore.ImportOptions{})
	if report.Same != 14 || report.NewCount+report.ChangedCount+len(report.Counted)+len(report.Quantities) != 0 {
		t.Errorf("second import: %+v", report)
	}
	if digest(t, path) != before {
		t.Error("the second import changed the file")
	}
	create(t, other, small())
	if d := cmp.Diff(content(t, path), content(t, other)); d != "" {
		t.Errorf("two laptops that import one file differ:\n%s", d)
	}
}

// content is all that a box holds, by id, as stored.
func content(t reporter, path string) map[string]inventory.Stored {
	t.Helper()
	all := map[string]inventory.Stored{}
	must(t, boltstore.Read(path, opt(), func(v *boltstore.View) error {
		for _, info := range inventory.Kinds {
			err := v.Each(info.Kind, func(rec inventory.Record) error {
				all[fmt.Sprintf("%s %s", info.Kind, rec.Base().ID)] = inventory.Pack(rec)
				if lot, ok := rec.(*inventory.Lot); ok {
					s, err := v.Stock(lot.ID)
					all["stock "+lot.ID.String()] = inventory.Stored{1: fmt.Sprintf("%+v", s)}
					return err
				}
				return nil
			})
			if err != nil {
				return err
			}
		}
		return nil
	}))
	return all
}

// TestImportReportsChanges field by field.
func TestImportReportsChanges(t *testing.T) {
	path := newPath(t)
	create(t, path, small())
	c6 := motor("c6")
	c6.IgniterSupplied = to("match")
	c6.Nozzles = []inventory.Nozzle{{Throat: quantity.Some(quantity.Length(3_300_000))}, {Name: "wide"}}
	report := importInto(t, path, batch(c6, motor("e9"), igniter("wick")), boltstore.ImportOptions{})
	want := []inventory.FieldChange{
		{Path: "nozzles[0].throat_mm", Old: "3.2", New: "3.3"},
		{Path: "nozzles[1].name", Old: "", New: "wide"},
		{Path: "igniter_supplied", Old: "wick", New: "match"},
	}
	if d := cmp.Diff(want, report.Records[0].Changes); d != "" {
		t.Errorf("changes of c6:\n%s", d)
	}
	var got []boltstore.Status
	for _, r := range report.Records {
		got = append(got, r.Status)
	}
	if d := cmp.Diff([]boltstore.Status{boltstore.Changed, boltstore.New, boltstore.Unchanged}, got); d != "" {
		t.Error(d)
	}
}

// TestImportKeepsWhatTheFileDoesNotSay unless it is told to replace.
func TestImportKeepsWhatTheFileDoesNotSay(t *testing.T) {
	path := newPath(t)
	create(t, path, small())
	only := &inventory.Motor{Length: quantity.Some(quantity.Length(70_000_000))}
	only.Handle = "c6"
	importInto(t, path, batch(only), boltstore.ImportOptions{})
	c6 := found(t, path, inventory.KindMotor, "c6").(*inventory.Motor)
	if c6.Name == "" || len(c6.Nozzles) != 1 || !c6.Length.Known() {
		t.Errorf("a sheet with one column left %+v", c6)
	}
	only.Header.ID = uuid.Nil
	importInto(t, path, batch(only), boltstore.ImportOptions{Replace: true})
	c6 = found(t, path, inventory.KindMotor, "c6").(*inventory.Motor)
	if c6.Name != "" || len(c6.Nozzles) != 0 || !c6.Length.Known() {
		t.Errorf("replacing left %+v", c6)
	}
	never := lot("wick", inventory.LotOfIgniters, "wick", 10)
	never.Expires, never.NoExpiry = inventory.Date{}, quantity.Some(true)
	err := boltstore.Write(path, opt(), func(tx *boltstore.Tx) error {
		_, err := tx.Import(batch(never), boltstore.ImportOptions{})
		return err
	})
	if !errors.Is(err, inventory.ErrInvalid) || !strings.Contains(err.Error(), "together with what the box knows") {
		t.Errorf("a file that contradicts what the box knows: %v", err)
	}
}

// TestImportProblems come all at once, with their places, and nothing is done.
func TestImportProblems(t *testing.T) {
	path := newPath(t)
	create(t, path, small())
	before := digest(t, path)
	lost := motor("e9")
	lost.Case = to("no-such-case")
	for _, c := range []struct {
		name  string
		b     *inventory.Batch
		is    error
		items []int
	}{
		{"invalid", batch(motor("e7"), lost, motor("Bad Handle"), motor("e7")), inventory.ErrInvalid, []int{1, 2, 3}},
		{"conflict", batch(func() inventory.Record { m := motor("c6"); m.ID = uuid.UUID{5}; return m }()), inventory.ErrConflict, []int{0}},
	} {
		t.Run(c.name, func(t *testing.T) {
			err := boltstore.Write(path, opt(), func(tx *boltstore.Tx) error {
				_, err := tx.Import(c.b, boltstore.ImportOptions{})
				return err
			})
			var p *boltstore.ProblemsError
			if !errors.As(err, &p) || !errors.Is(err, c.is) {
				t.Fatalf("got %v, want %v", err, c.is)
			}
			var items []int
			for _, problem := range p.Problems {
				items = append(items, problem.Item)
			}
			if d := cmp.Diff(c.items, items); d != "" {
				t.Errorf("problems of items %v: %v", items, p.Problems)
			}
		})
	}
	if digest(t, path) != before {
		t.Error("a refused import changed the file")
	}
}

// TestImportRefusesVoidOfVoid where it can see one.
func TestImportRefusesVoidOfVoid(t *testing.T) {
	path := newPath(t)
	create(t, path, small())
	used := entry(inventory.Used, lotID("wick"), 1, 1)
	first := void(used.ID, 2)
	err := boltstore.Write(path, opt(), func(tx *boltstore.Tx) error {
		_, err := tx.Import(batch(used, first, void(first.ID, 3)), boltstore.ImportOptions{})
		return err
	})
	if !errors.Is(err, inventory.ErrInvalid) || !strings.Contains(err.Error(), "cannot be voided") {
		t.Errorf("got %v", err)
	}
	report := importInto(t, path, batch(used, first, void(uuid.UUID{9}, 4)), boltstore.ImportOptions{})
	if report.EntriesNew != 3 {
		t.Errorf("%+v", report)
	}
}

// TestImportQuantities books what a new lot begins with, and lists the rest.
func TestImportQuantities(t *testing.T) {
	old := time.Date(2026, 3, 4, 0, 0, 0, 0, time.UTC)
	in := func(pieces int64) *inventory.Event { return entry(inventory.In, lotID("new"), pieces, 0) }
	for _, c := range []struct {
		name    string
		say     quantity.Opt[quantity.Number]
		day     inventory.Date
		events  []inventory.Record
		on      int64
		counted []time.Time
	}{
		{"nothing said", inventory.Lot{}.Quantity, inventory.DateOf(old), nil, 0, nil},
		{"none", some(0), inventory.DateOf(old), nil, 0, nil},
		{"some, on the day they came", some(7), inventory.DateOf(old), nil, 7, []time.Time{old.Add(-14 * time.Hour)}}, // where the day begins first
		{"some, of a day to come", some(7), inventory.DateOf(clock.AddDate(0, 0, 30)), nil, 7, []time.Time{clock}},
		{"some, no day known", some(7), inventory.Date{}, nil, 7, []time.Time{time.Unix(0, 0).UTC()}},
		{"as the entries say", some(7), inventory.DateOf(old), []inventory.Record{in(7)}, 7, nil},
		{"not as the entries say", some(7), inventory.DateOf(old), []inventory.Record{in(5)}, 7, []time.Time{clock.Add(time.Microsecond)}},
	} {
		t.Run(c.name, func(t *testing.T) {
			path := newPath(t)
			create(t, path, small())
			make := func() *inventory.Batch {
				l := lot("new", inventory.LotOfIgniters, "wick", 0)
				l.Quantity, l.Acquired = c.say, c.day
				return batch(append([]inventory.Record{l}, c.events...)...)
			}
			report := importInto(t, path, make(), boltstore.ImportOptions{})
			var at []time.Time
			for _, e := range report.Counted {
				at = append(at, e.At)
			}
			if d := cmp.Diff(c.counted, at); d != "" || stockOf(t, path, "new").OnHand != n(c.on) || len(report.Quantities) > 0 {
				t.Errorf("on hand %v, listed %v, counted %s", stockOf(t, path, "new").OnHand, report.Quantities, d)
			}
			before := digest(t, path)
			report = importInto(t, path, make(), boltstore.ImportOptions{})
			if len(report.Counted)+len(report.Quantities) > 0 || digest(t, path) != before {
				t.Errorf("the second time: %+v", report)
			}
		})
	}
}

// TestUsedOnTheDayItCame: far east of Greenwich a day begins half a day before it
// does there; what is used on it counts.
func TestUsedOnTheDayItCame(t *testing.T) {
	path := newPath(t)
	create(t, path, small())
	morning := time.Date(2026, 11, 26, 8, 0, 0, 0, time.FixedZone("", 13*3600))
	for _, day := range []inventory.Date{{Year: 2026, Month: 11, Day: 26}, {Year: 2027, Month: 1, Day: 1}} {
		lot := lot(day.String(), inventory.LotOfIgniters, "wick", 0)
		lot.Quantity, lot.Acquired = some(5), day
		now := boltstore.Options{Now: func() time.Time { return morning }, Wait: 5 * time.Second}
		must(t, boltstore.Write(path, now, func(tx *boltstore.Tx) error {
			_, err := tx.Import(batch(lot), boltstore.ImportOptions{})
			return err
		}))
		used := entry(inventory.Used, lotID(day.String()), 2, 0)
		used.At = morning.Add(time.Minute)
		importInto(t, path, batch(used), boltstore.ImportOptions{})
		if got := stockOf(t, path, day.String()).OnHand; got != n(3) {
			t.Errorf("of the day %s: on hand %v", day, got)
		}
	}
}

// TestImportCount books a difference only when asked to.
func TestImportCount(t *testing.T) {
	path := newPath(t)
	create(t, path, small())
	ahead := entry(inventory.Used, lotID("wick"), 1, 10) // later than the clock
	must(t, book(path, ahead))
	report := importInto(t, path, small(), boltstore.ImportOptions{})
	want := []boltstore.QuantityReport{{Item: 12, Lot: lotID("wick"), Of: "igniter wick", File: n(10), Ledger: n(9)}}
	if d := cmp.Diff(want, report.Quantities); d != "" || stockOf(t, path, "wick").OnHand != n(9) {
		t.Errorf("listed, and not booked:\n%s", d)
	}
	report = importInto(t, path, small(), boltstore.ImportOptions{Count: true, DryRun: true})
	if len(report.Counted) != 1 || stockOf(t, path, "wick").OnHand != n(9) {
		t.Errorf("a dry run: %+v", report)
	}
	report = importInto(t, path, small(), boltstore.ImportOptions{Count: true})
	if len(report.Counted) != 1 || !report.Counted[0].At.Equal(ahead.At.Add(time.Microsecond)) || stockOf(t, path, "wick").OnHand != n(10) {
		t.Errorf("counted: %+v", report)
	}
}

// TestImportAfterRename: a file that was written before does not rename back.
func TestImportAfterRename(t *testing.T) {
	path := newPath(t)
	create(t, path, small())
	write(t, path, func(tx *boltstore.Tx) error { return tx.Rename(inventory.KindMotor, "c6", "quill-c6") })
	report := importInto(t, path, small(), boltstore.ImportOptions{})
	if report.Same != 14 {
		t.Errorf("%+v", report)
	}
	found(t, path, inventory.KindMotor, "quill-c6")
}

// TestImportedMove: a lot that comes with the moves it made is where they say.
func TestImportedMove(t *testing.T) {
	path := newPath(t)
	create(t, path, small())
	moved := entry(inventory.Moved, lotID("wick"), 0, 5)
	moved.To = "car"
	l := lot("wick", inventory.LotOfIgniters, "wick", 10)
	l.Place = "car"
	report := importInto(t, path, batch(l, moved), boltstore.ImportOptions{})
	if s := stockOf(t, path, "wick"); s.Place != "car" || report.EntriesNew != 1 || report.ChangedCount != 0 {
		t.Errorf("at %q, %+v", s.Place, report)
	}
	read(t, path, func(v *boltstore.View) error {
		if got := v.Count(inventory.KindEvent); got != 4 {
			t.Errorf("%d entries, want the three counts and one move", got)
		}
		return nil
	})
}

// TestImportInBulk goes through several transactions and a new file.
func TestImportInBulk(t *testing.T) {
	withoutRace(t)
	pieces := boltstore.OneTransaction + 2_000
	if testing.Short() {
		t.Skip("60,000 entries take a few seconds")
	}
	path := newPath(t)
	create(t, path, small())
	before := revision(t, path)
	b := batch()
	for i := range pieces {
		e := &inventory.Event{At: clock, What: inventory.In, Lot: toID(lotID([]string{"wick", "c6", "powder"}[i%3])), Quantity: some(1)}
		e.ID = inventory.DerivedID(inventory.KindEvent, fmt.Sprint(i))
		b.Add(e, "", i)
	}
	bulk := opt()
	bulk.Bulk = true
	stop := errors.New("stop")
	for _, c := range []struct {
		err  error
		want uint64
	}{{stop, before.Number}, {nil, before.Number + 1}} {
		err := boltstore.Write(path, bulk, func(tx *boltstore.Tx) error {
			if _, err := tx.Import(b, boltstore.ImportOptions{}); err != nil {
				return err
			}
			return c.err
		})
		if !errors.Is(err, c.err) {
			t.Fatal(err)
		}
		if r := revision(t, path); r.Number != c.want {
			t.Errorf("after %v the box is at %d, want %d", c.err, r.Number, c.want)
		}
	}
	if s := stockOf(t, path, "powder"); s.OnHand != n(50)+n(int64(pieces/3)) {
		t.Errorf("on hand %v", s.OnHand)
	}
}
