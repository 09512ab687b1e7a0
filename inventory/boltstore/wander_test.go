package boltstore_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/uuid"
	"pgregory.net/rapid"

	"rangebox/inventory"
	"rangebox/inventory/boltstore"
)

// TestBoxesThatMeetAtTimesAgree lets three boxes do things and merge one another
// at random. When all have met at last, they hold the same; and once they do,
// nothing is listed and not a byte changes, whoever merges whom.
func TestBoxesThatMeetAtTimesAgree(t *testing.T) {
	dir := t.TempDir()
	rapid.Check(t, func(rt *rapid.T) {
		a, b := twoBoxes(rt, dir)
		boxes := []string{a, b, copyOf(rt, dir, a)}
		for i := range rapid.IntRange(1, 15).Draw(rt, "steps") {
			n := rapid.IntRange(0, 2).Draw(rt, "where")
			if rapid.IntRange(0, 3).Draw(rt, "merge") > 0 {
				randomly(rt, boxes[n], i)
				continue
			}
			if _, err := merge(boxes[n], boxes[(n+rapid.IntRange(1, 2).Draw(rt, "other"))%3]); err != nil {
				rt.Fatal(err)
			}
		}
		for range 2 {
			meet(rt, boxes)
		}
		want := content(rt, boxes[0])
		for _, other := range boxes[1:] {
			if d := cmp.Diff(want, content(rt, other)); d != "" {
				rt.Fatalf("they have met and differ:\n%s", d)
			}
			if d := cmp.Diff(foundBy(rt, boxes[0]), foundBy(rt, other)); d != "" {
				rt.Fatalf("they have met and find by other names:\n%s", d)
			}
		}
		before := []string{digest(t, boxes[0]), digest(t, boxes[1]), digest(t, boxes[2])}
		for _, listed := range meet(rt, boxes) {
			rt.Errorf("it lists what is settled again: %s", listed)
		}
		for i, box := range boxes {
			mustVerify(rt, box)
			if digest(t, box) != before[i] {
				rt.Errorf("a further merge changed box %d", i)
			}
		}
	})
}

// foundBy is what each handle finds that randomly gives, former ones too.
func foundBy(rt *rapid.T, box string) map[string]uuid.UUID {
	found := map[string]uuid.UUID{}
	read(rt, box, func(v *boltstore.View) error {
		for _, handle := range []string{"wick", "wick-0", "wick-1", "wick-2", "match", "match-0", "match-1", "match-2", "new-a", "new-b"} {
			if id, ok := v.IDOf(inventory.KindIgniter, handle); ok {
				found[handle] = id
			}
		}
		return nil
	})
	return found
}

// meet lets each box merge the two others, and lists the conflicts.
func meet(rt *rapid.T, boxes []string) (conflicts []string) {
	for i, into := range boxes {
		for _, from := range []string{boxes[(i+1)%3], boxes[(i+2)%3]} {
			report, err := merge(into, from)
			if err != nil {
				rt.Fatal(err)
			}
			for _, c := range report.Conflicts {
				conflicts = append(conflicts, string(c.Kind)+" "+c.Handle)
			}
		}
	}
	return conflicts
}
