package boltstore_test

import (
	"errors"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"rangebox/inventory"
	"rangebox/inventory/boltstore"
)

func mergeWith(t reporter, into, from string, mo boltstore.MergeOptions) (report boltstore.MergeReport) {
	t.Helper()
	must(t, boltstore.Read(from, opt(), func(v *boltstore.View) error {
		return boltstore.Write(into, opt(), func(tx *boltstore.Tx) (err error) {
			report, err = tx.MergeWith(v, mo)
			return err
		})
	}))
	return report
}

func always(takeOther bool) boltstore.MergeOptions {
	return boltstore.MergeOptions{Decide: func(boltstore.MergeConflict) (bool, error) { return takeOther, nil }}
}

func saying(notes string) func(inventory.Record) {
	return func(rec inventory.Record) { rec.Base().Notes = notes }
}

// TestMergeDecided: what is decided holds, in the other box as well once that
// merges, and does not come up again.
func TestMergeDecided(t *testing.T) {
	for _, c := range []struct {
		name      string
		takeOther bool
		want      string
	}{{"ours, the earlier", false, "home"}, {"theirs, the later", true, "field"}} {
		t.Run(c.name, func(t *testing.T) {
			home, field := twoBoxes(t, t.TempDir())
			verifyAtEnd(t, home)
			verifyAtEnd(t, field)
			edit(t, home, 1, inventory.KindBattery, "pack", saying("home"))
			edit(t, field, 2, inventory.KindBattery, "pack", saying("field"))
			report := mergeWith(t, home, field, always(c.takeOther))
			if len(report.Conflicts) != 1 || report.Conflicts[0].TookOther != c.takeOther {
				t.Fatalf("%+v", report.Conflicts)
			}
			got := report.Conflicts[0]
			if !got.Ours.Changed.Equal(clock.Add(time.Minute)) || !got.Theirs.Changed.Equal(clock.Add(2*time.Minute)) {
				t.Errorf("times: %v and %v", got.Ours.Changed, got.Theirs.Changed)
			}
			for range 2 {
				if again := mergeWith(t, field, home, boltstore.MergeOptions{}); len(again.Conflicts) != 0 {
					t.Errorf("it comes up again: %+v", again.Conflicts)
				}
				if again := mergeWith(t, home, field, boltstore.MergeOptions{}); len(again.Conflicts) != 0 || !again.Unchanged {
					t.Errorf("it comes up again: %+v", again)
				}
			}
			for _, path := range []string{home, field} {
				if notes := found(t, path, inventory.KindBattery, "pack").Base().Notes; notes != c.want {
					t.Errorf("it says %q, want %q", notes, c.want)
				}
			}
		})
	}
}

// TestMergeDecidedApart: two boxes that decide alike agree at once; two that
// decide differently have a conflict again.
func TestMergeDecidedApart(t *testing.T) {
	for _, alike := range []bool{true, false} {
		home, field := twoBoxes(t, t.TempDir())
		edit(t, home, 1, inventory.KindBattery, "pack", saying("home"))
		edit(t, field, 2, inventory.KindBattery, "pack", saying("field"))
		before := filepath.Join(t.TempDir(), "before.box")
		must(t, boltstore.Backup(home, before, opt()))
		mergeWith(t, home, field, always(false))
		mergeWith(t, field, before, always(alike))
		report := mergeWith(t, home, field, boltstore.MergeOptions{})
		if got := len(report.Conflicts) == 0; got != alike {
			t.Errorf("decided alike: %v, and then %+v", alike, report.Conflicts)
		}
		mergeWith(t, field, home, boltstore.MergeOptions{})
		if d := cmp.Diff(content(t, home), content(t, field)); d != "" {
			t.Errorf("they differ:\n%s", d)
		}
	}
}

// TestMergeRemovedAgainstChanged: it is a conflict, whichever was later.
func TestMergeRemovedAgainstChanged(t *testing.T) {
	for _, theirs := range []bool{true, false} {
		home, field := twoBoxes(t, t.TempDir())
		verifyAtEnd(t, home)
		edit(t, home, 1, inventory.KindIgniter, "match", saying("changed"))
		removeMatch(t, field)
		report := mergeWith(t, home, field, always(theirs))
		if len(report.Conflicts) != 1 || !report.Conflicts[0].Theirs.Removed || report.Conflicts[0].Handle != "match" {
			t.Fatalf("%+v", report)
		}
		if there := holds(t, home, inventory.DerivedID(inventory.KindIgniter, "match")); there == theirs {
			t.Errorf("took the removal: %v, and it is there: %v", theirs, there)
		}
		if again := mergeWith(t, home, field, boltstore.MergeOptions{}); len(again.Conflicts) != 0 {
			t.Errorf("it comes up again: %+v", again.Conflicts)
		}
	}
}

// TestMergeOptions: a dry run and a refusal change nothing; a copy is kept where
// it was asked for.
func TestMergeOptions(t *testing.T) {
	home, field := twoBoxes(t, t.TempDir())
	edit(t, home, 1, inventory.KindBattery, "pack", saying("home"))
	edit(t, field, 2, inventory.KindBattery, "pack", saying("field"))
	before := digest(t, home)
	if report := mergeWith(t, home, field, boltstore.MergeOptions{DryRun: true}); len(report.Conflicts) != 1 || digest(t, home) != before {
		t.Errorf("a dry run: %+v", report)
	}
	no := errors.New("no")
	err := boltstore.Read(field, opt(), func(v *boltstore.View) error {
		return boltstore.Write(home, opt(), func(tx *boltstore.Tx) error {
			_, err := tx.MergeWith(v, boltstore.MergeOptions{Decide: func(boltstore.MergeConflict) (bool, error) { return true, no }})
			return err
		})
	})
	if !errors.Is(err, no) || digest(t, home) != before {
		t.Errorf("a refusal: %v", err)
	}
	was := content(t, home)
	report := mergeWith(t, home, field, boltstore.MergeOptions{KeepAt: home})
	if _, err := os.Stat(report.Kept); err != nil || report.Kept != home+".1.bak" {
		t.Fatalf("kept %q: %v", report.Kept, err)
	}
	if d := cmp.Diff(was, content(t, report.Kept)); d != "" {
		t.Errorf("the copy is not what was there:\n%s", d)
	}
	mustVerify(t, report.Kept)
}

// TestMergeInterleaved: a count and a use in the other box are pointed out where
// the clocks may have them in the wrong order.
func TestMergeInterleaved(t *testing.T) {
	for _, c := range []struct {
		name        string
		ours, their inventory.What
		apart       int // minutes
		want        int
	}{
		{"a count, then a use", inventory.Counted, inventory.Used, 15, 1},
		{"a use, then a count", inventory.Used, inventory.Counted, 15, 1},
		{"long after", inventory.Counted, inventory.Used, 16, 0},
		{"two uses", inventory.Used, inventory.Used, 1, 0},
		{"two counts", inventory.Counted, inventory.Counted, 1, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			home, field := twoBoxes(t, t.TempDir())
			must(t, book(home, entry(c.ours, lotID("wick"), 2, 100)))
			must(t, book(field, entry(c.their, lotID("wick"), 1, 100+c.apart)))
			report, err := merge(home, field)
			must(t, err)
			if len(report.Interleaved) != c.want {
				t.Errorf("%+v", report.Interleaved)
			}
			if report, err = merge(home, field); err != nil || len(report.Interleaved) != 0 {
				t.Errorf("again: %v %+v", err, report.Interleaved)
			}
		})
	}
}
