package boltstore_test

import (
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/google/uuid"
	"pgregory.net/rapid"

	"rangebox/inventory"
	"rangebox/inventory/boltstore"
	"rangebox/inventory/quantity"
)

// twoBoxes is a box and a copy of it: the laptop at home and the one at the field.
func twoBoxes(t reporter, dir string) (home, field string) {
	t.Helper()
	home, field = filepath.Join(dir, uuid.NewString()+".box"), filepath.Join(dir, uuid.NewString()+".box")
	must(t, boltstore.CreateOrWrite(home, opt(), func(tx *boltstore.Tx) error {
		_, err := tx.Import(small(), boltstore.ImportOptions{})
		return err
	}))
	must(t, boltstore.Backup(home, field, opt()))
	return home, field
}

func merge(into, from string) (report boltstore.MergeReport, err error) {
	err = boltstore.Read(from, opt(), func(v *boltstore.View) error {
		return boltstore.Write(into, opt(), func(tx *boltstore.Tx) (err error) {
			report, err = tx.Merge(v)
			return err
		})
	})
	return report, err
}

// later is a time of writing after the tests' clock.
func later(minutes int) boltstore.Options {
	o := opt()
	o.Now = func() time.Time { return clock.Add(time.Duration(minutes) * time.Minute) }
	return o
}

// edit changes a record at some time.
func edit(t reporter, path string, minutes int, kind inventory.Kind, handle string, change func(inventory.Record)) {
	t.Helper()
	must(t, boltstore.Write(path, later(minutes), func(tx *boltstore.Tx) error {
		rec, _, err := tx.Find(kind, handle)
		if err != nil {
			return err
		}
		change(rec)
		_, err = tx.Put(rec)
		return err
	}))
}

// TestMerge goes through what two boxes can have done apart.
func TestMerge(t *testing.T) {
	home, field := twoBoxes(t, t.TempDir())
	verifyAtEnd(t, home)
	verifyAtEnd(t, field)
	wick := lotID("wick")
	note := func(s string) func(inventory.Record) {
		return func(rec inventory.Record) { rec.Base().Notes = s }
	}
	edit(t, field, 1, inventory.KindMotor, "c6", note("only the field")) // theirs alone
	edit(t, home, 2, inventory.KindMotor, "d12", note("only home"))      // ours alone
	edit(t, home, 3, inventory.KindBattery, "pack", note("home, first"))
	edit(t, field, 4, inventory.KindBattery, "pack", note("field, later")) // both
	edit(t, home, 5, inventory.KindSupply, "powder", note("the same"))
	edit(t, field, 6, inventory.KindSupply, "powder", note("the same")) // both, and alike
	must(t, book(home, entry(inventory.Used, wick, 6, 10)))
	must(t, book(field, entry(inventory.Used, wick, 7, 11))) // 13 of 10
	must(t, boltstore.Write(field, opt(), func(tx *boltstore.Tx) error {
		if err := tx.Rename(inventory.KindIgniter, "match", "match-old"); err != nil {
			return err
		}
		_, err := tx.Put(igniter("match")) // another record with the handle
		return err
	}))
	report, err := merge(home, field)
	must(t, err)
	if report.New != 1 || report.Changed != 4 || report.EntriesNew != 1 || !slices.Equal(report.NeedCount, []uuid.UUID{wick}) {
		t.Errorf("%+v", report)
	}
	pack := found(t, home, inventory.KindBattery, "pack")
	want := []boltstore.MergeConflict{{Kind: inventory.KindBattery, ID: pack.Base().ID, Handle: "pack", TookOther: true,
		Changes: []inventory.FieldChange{{Path: "notes", Old: "home, first", New: "field, later"}}}}
	if d := cmp.Diff(want, report.Conflicts, cmpopts.IgnoreFields(boltstore.MergeConflict{}, "Ours", "Theirs")); d != "" {
		t.Errorf("conflicts:\n%s", d)
	}
	for handle, notes := range map[string]string{"c6": "only the field", "d12": "only home"} {
		if got := found(t, home, inventory.KindMotor, handle).Base().Notes; got != notes {
			t.Errorf("%s says %q, want %q", handle, got, notes)
		}
	}
	report, err = merge(field, home)
	must(t, err)
	if len(report.Conflicts) != 0 {
		t.Errorf("what was settled comes up again: %+v", report.Conflicts)
	}
	if d := cmp.Diff(content(t, home), content(t, field)); d != "" {
		t.Errorf("after both merged, they differ:\n%s", d)
	}
	for _, pair := range [][2]string{{home, field}, {field, home}} {
		before := digest(t, pair[0])
		if _, err := merge(pair[0], pair[1]); err != nil || digest(t, pair[0]) != before {
			t.Errorf("a second merge changed the box: %v", err)
		}
	}
}

// TestMergeRemovals: what one box removed goes, unless the other refers to it.
func TestMergeRemovals(t *testing.T) {
	for _, c := range []struct {
		name        string
		from, other func(t *testing.T, path string)
		stays       bool
	}{
		{"removed there, untouched here", removeMatch, func(*testing.T, string) {}, false},
		{"removed there, used here", removeMatch, useMatch, true},
		{"removed here, used there", useMatch, removeMatch, true},
		{"removed on both", removeMatch, removeMatch, false},
		{"removed here, changed there before", func(t *testing.T, path string) {
			edit(t, path, -5, inventory.KindIgniter, "match", func(rec inventory.Record) { rec.Base().Notes = "x" })
		}, removeMatch, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			home, field := twoBoxes(t, t.TempDir())
			verifyAtEnd(t, home)
			verifyAtEnd(t, field)
			c.from(t, field)
			c.other(t, home)
			_, err := merge(home, field)
			must(t, err)
			_, err = merge(field, home)
			must(t, err)
			if d := cmp.Diff(content(t, home), content(t, field)); d != "" {
				t.Errorf("they differ:\n%s", d)
			}
			if got := holds(t, home, inventory.DerivedID(inventory.KindIgniter, "match")); got != c.stays {
				t.Errorf("the record is there: %v, want %v", got, c.stays)
			}
		})
	}
}

func removeMatch(t *testing.T, path string) {
	write(t, path, func(tx *boltstore.Tx) error {
		return tx.Remove(inventory.DerivedID(inventory.KindIgniter, "match"))
	})
}

func useMatch(t *testing.T, path string) {
	write(t, path, func(tx *boltstore.Tx) error {
		l := lot("match", inventory.LotOfIgniters, "match", 0)
		l.Quantity = quantity.Opt[quantity.Number]{}
		_, err := tx.Put(l)
		return err
	})
}

// TestMergeRefuses two records with one handle, and undoes all.
func TestMergeRefuses(t *testing.T) {
	home, field := twoBoxes(t, t.TempDir())
	for i, path := range []string{home, field} {
		m := motor("e9")
		m.ID = uuid.UUID{byte(i + 1)}
		write(t, path, func(tx *boltstore.Tx) error { _, err := tx.Put(m); return err })
	}
	before := digest(t, home)
	if _, err := merge(home, field); !errors.Is(err, inventory.ErrConflict) {
		t.Errorf("got %v", err)
	}
	if digest(t, home) != before {
		t.Error("a refused merge changed the box")
	}
}

// TestMergeIsTheSameBothWays lets two boxes do things at random, and merges them
// whichever way round.
func TestMergeIsTheSameBothWays(t *testing.T) {
	dir := t.TempDir()
	rapid.Check(t, func(rt *rapid.T) {
		home, field := twoBoxes(rt, dir)
		for i := range rapid.IntRange(1, 12).Draw(rt, "steps") {
			path := rapid.SampledFrom([]string{home, field}).Draw(rt, "where")
			randomly(rt, path, i)
		}
		otherHome := filepath.Join(dir, uuid.NewString()+".box")
		must(rt, boltstore.Backup(home, otherHome, opt()))
		if _, err := merge(home, field); err != nil {
			rt.Fatal(err)
		}
		if _, err := merge(field, otherHome); err != nil {
			rt.Fatal(err)
		}
		if d := cmp.Diff(content(rt, home), content(rt, field)); d != "" {
			rt.Fatalf("whichever way round they differ:\n%s", d)
		}
		mustVerify(rt, home)
		mustVerify(rt, field)
	})
}

// randomly does one thing to a box; what is refused is not done.
func randomly(rt *rapid.T, path string, minutes int) {
	handle := rapid.SampledFrom([]string{"wick", "match", "new-a", "new-b"}).Draw(rt, "handle")
	what := rapid.SampledFrom([]string{"edit", "add", "remove", "rename", "lot", "book", "void"}).Draw(rt, "what")
	err := boltstore.Write(path, later(minutes), func(tx *boltstore.Tx) error {
		rec, _, err := tx.Find(inventory.KindIgniter, handle)
		switch what {
		case "add":
			if !strings.HasPrefix(handle, "new") { // a second record of one name is refused by a merge
				return nil
			}
			_, err = tx.Put(igniter(handle))
			return err
		case "book":
			return tx.Book(entry(inventory.Used, lotID("wick"), 2, minutes))
		case "void":
			var last *inventory.Event
			if err := tx.EventsBack(1, func(e *inventory.Event) error { last = e; return nil }); err != nil {
				return err
			}
			return tx.Book(void(last.ID, minutes))
		}
		if err != nil {
			return err
		}
		switch what {
		case "edit":
			rec.Base().Notes = fmt.Sprint(minutes)
			_, err = tx.Put(rec)
		case "remove":
			err = tx.Remove(rec.Base().ID)
		case "rename":
			if strings.HasPrefix(handle, "new") {
				return nil // see add
			}
			err = tx.Rename(inventory.KindIgniter, handle, fmt.Sprint(handle, "-", minutes%3))
		case "lot":
			l := lot(handle, inventory.LotOfIgniters, handle, 0)
			l.Quantity = quantity.Opt[quantity.Number]{}
			_, err = tx.Put(l)
		}
		return err
	})
	if err != nil && !errors.Is(err, inventory.ErrNotFound) && !errors.Is(err, inventory.ErrConflict) {
		rt.Fatalf("%s of %s: %v", what, handle, err)
	}
}
