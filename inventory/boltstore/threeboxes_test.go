package boltstore_test

import (
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/uuid"
	"pgregory.net/rapid"

	"rangebox/inventory"
	"rangebox/inventory/boltstore"
)

// TestThreeBoxesAgree lets three boxes do things at random: in whatever order
// one of them merges the others it comes to hold the same, and merging again
// changes nothing.
func TestThreeBoxesAgree(t *testing.T) {
	dir := t.TempDir()
	rapid.Check(t, func(rt *rapid.T) {
		a, b := twoBoxes(rt, dir)
		c := copyOf(rt, dir, a)
		boxes := []string{a, b, c}
		for i := range rapid.IntRange(1, 15).Draw(rt, "steps") {
			randomly(rt, rapid.SampledFrom(boxes).Draw(rt, "where"), i)
		}
		var want map[string]map[int64]any
		for _, order := range [][]string{{a, b, c}, {b, c, a}, {c, b, a}} {
			into := copyOf(rt, dir, order[0])
			for _, from := range order[1:] {
				if _, err := merge(into, from); err != nil {
					rt.Fatal(err)
				}
			}
			mustVerify(rt, into)
			got := content(rt, into)
			if want == nil {
				want = got
			}
			if d := cmp.Diff(want, got); d != "" {
				rt.Fatalf("in another order they differ:\n%s", d)
			}
			mergedAgain(rt, t, into, order[1:])
		}
	})
}

// mergedAgain sees that merging again changes nothing that the box holds. It may
// note once that a removal, which had to wait while something referred to the
// record, is settled by a change that came with the third box; after that not a
// byte changes.
func mergedAgain(rt *rapid.T, t *testing.T, into string, boxes []string) {
	want := content(rt, into)
	for round := range 3 {
		before := digest(t, into)
		for _, from := range boxes {
			report, err := merge(into, from)
			if err != nil {
				rt.Fatal(err)
			}
			if len(report.Conflicts) > 0 {
				rt.Fatalf("a further merge lists what is settled again: %+v", report.Conflicts)
			}
		}
		if d := cmp.Diff(want, content(rt, into)); d != "" {
			rt.Fatalf("a further merge changed what the box holds:\n%s", d)
		}
		if round > 0 && digest(t, into) != before {
			rt.Fatal("a further merge changed the file")
		}
	}
}

func copyOf(t reporter, dir, path string) string {
	t.Helper()
	name := filepath.Join(dir, uuid.NewString()+".box")
	must(t, boltstore.Backup(path, name, opt()))
	return name
}

// TestMergeRemovalThatWaits: one box removed what the second refers to and the
// third changed. The removal waits, the change comes, and that is settled: a
// second merge lists nothing and changes not a byte.
func TestMergeRemovalThatWaits(t *testing.T) {
	dir := t.TempDir()
	uses, removes := twoBoxes(t, dir)
	changes := copyOf(t, dir, uses)
	useMatch(t, uses)
	removeMatch(t, removes)
	edit(t, changes, 1, inventory.KindIgniter, "match", saying("changed"))
	verifyAtEnd(t, uses)
	for _, from := range []string{removes, changes} {
		_, err := merge(uses, from)
		must(t, err)
	}
	before := digest(t, uses)
	for _, from := range []string{removes, changes, removes} {
		report, err := merge(uses, from)
		must(t, err)
		if len(report.Conflicts) > 0 {
			t.Errorf("it is listed again: %+v", report.Conflicts)
		}
	}
	if digest(t, uses) != before {
		t.Error("a further merge changed the box")
	}
	if notes := found(t, uses, inventory.KindIgniter, "match").Base().Notes; notes != "changed" {
		t.Errorf("it says %q", notes)
	}
}

// TestMergeSettledTwoWays: a record was made in two boxes, changed in the first and,
// once that had come to it, removed in the third. The third meets the second and
// takes back what it knows there; the first meets the second and keeps its change.
// Each was settled over the other then, and when they meet the later holds.
func TestMergeSettledTwoWays(t *testing.T) {
	dir := t.TempDir()
	changes, adds := twoBoxes(t, dir)
	removes := copyOf(t, dir, changes)
	for i, path := range []string{adds, changes} {
		must(t, boltstore.Write(path, later(i), func(tx *boltstore.Tx) error { _, err := tx.Put(igniter("new")); return err }))
	}
	edit(t, changes, 2, inventory.KindIgniter, "new", saying("changed"))
	merged := func(into, from string) {
		_, err := merge(into, from)
		must(t, err)
	}
	merged(removes, changes)
	must(t, boltstore.Write(removes, later(3), func(tx *boltstore.Tx) error {
		return tx.Remove(inventory.DerivedID(inventory.KindIgniter, "new"))
	}))
	merged(removes, adds)
	merged(changes, adds)
	for _, both := range [][2]string{{changes, removes}, {removes, changes}, {adds, changes}} {
		merged(both[0], both[1])
	}
	for _, path := range []string{changes, removes, adds} {
		if notes := found(t, path, inventory.KindIgniter, "new").Base().Notes; notes != "changed" {
			t.Errorf("%s says %q", path, notes)
		}
		mustVerify(t, path)
	}
}

// TestMergeRename: a record was renamed in one box and changed later in the other, or
// renamed in both. Whichever holds, all its names find it in both boxes, and the boxes
// are sound.
func TestMergeRename(t *testing.T) {
	rename := func(path string, minutes int, to string) {
		must(t, boltstore.Write(path, later(minutes), func(tx *boltstore.Tx) error {
			return tx.Rename(inventory.KindIgniter, "match", to)
		}))
	}
	for name, there := range map[string]func(path string){
		"changed later":   func(path string) { edit(t, path, 2, inventory.KindIgniter, "match", saying("later")) },
		"changed earlier": func(path string) { edit(t, path, 0, inventory.KindIgniter, "match", saying("earlier")) },
		"renamed too":     func(path string) { rename(path, 2, "other") },
	} {
		t.Run(name, func(t *testing.T) {
			home, field := twoBoxes(t, t.TempDir())
			verifyAtEnd(t, home)
			verifyAtEnd(t, field)
			rename(home, 1, "fuse")
			there(field)
			for _, both := range [][2]string{{home, field}, {field, home}, {home, field}} {
				_, err := merge(both[0], both[1])
				must(t, err)
			}
			for _, path := range []string{home, field} {
				found(t, path, inventory.KindIgniter, "match")
				found(t, path, inventory.KindIgniter, "fuse")
				if name == "renamed too" {
					found(t, path, inventory.KindIgniter, "other")
				}
			}
		})
	}
}
