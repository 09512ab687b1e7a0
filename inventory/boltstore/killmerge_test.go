package boltstore_test

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/uuid"

	"rangebox/inventory"
	"rangebox/inventory/boltstore"
)

// The files beside the box of a child that merges or repairs.
const (
	otherBox   = ".other"        // what is merged
	beforeFile = ".before"       // the box as it was, or as it was damaged
	afterBox   = ".after"        // the box as it is to be
	asideFile  = ".aside"        // what a repair puts aside
	keptBoxes  = ".*.bak"        // numbered copies
	leftOvers  = ".unfinished-*" // of a command that was killed
	childBox   = "kill.box"      // in its folder
)

// copiesOf makes the files once and gives each child copies of them.
func copiesOf(whole *testing.T, setup func(t *testing.T, path string)) func(t *testing.T, path string) {
	made := ""
	return func(t *testing.T, path string) {
		t.Helper()
		if made == "" {
			made = filepath.Join(whole.TempDir(), childBox)
			setup(t, made)
		}
		for _, ending := range []string{"", otherBox, beforeFile, afterBox} {
			data, err := os.ReadFile(made + ending)
			if err == nil {
				must(t, os.WriteFile(path+ending, data, 0o600))
			}
		}
	}
}

// setUpApart makes two boxes that went apart: each changed a record and booked,
// the other added one and removed one.
func setUpApart(t *testing.T, path string) {
	create(t, path, small())
	must(t, boltstore.Backup(path, path+otherBox, opt()))
	edit(t, path, 1, inventory.KindBattery, "pack", saying("here"))
	edit(t, path+otherBox, 2, inventory.KindBattery, "pack", saying("there, later"))
	edit(t, path+otherBox, 2, inventory.KindMotor, "d12", saying("there"))
	removeMatch(t, path+otherBox)
	write(t, path+otherBox, func(tx *boltstore.Tx) error { _, err := tx.Put(igniter("new")); return err })
	must(t, book(path, entry(inventory.Used, lotID("wick"), 1, 1)))
	mistaken := entry(inventory.In, lotID("c6"), 3, 3)
	must(t, book(path+otherBox, entry(inventory.Used, lotID("wick"), 2, 2), mistaken, void(mistaken.ID, 4)))
	setUpAfter(t, path)
}

// setUpAfter keeps the box as it is, and as the merge makes it.
func setUpAfter(t *testing.T, path string) {
	must(t, boltstore.Backup(path, path+beforeFile, opt()))
	must(t, boltstore.Backup(path, path+afterBox, opt()))
	_, err := merge(path+afterBox, path+otherBox)
	must(t, err)
}

// checkMerged finds the box as it was before or as it is after, whole; so is the
// copy of it; and merging again makes it what it was to be.
func checkMerged(t *testing.T, path string, s said) {
	t.Helper()
	mustVerify(t, path)
	got, before, after := content(t, path), content(t, path+beforeFile), content(t, path+afterBox)
	switch {
	case cmp.Equal(got, after):
	case len(s.acks) > 0:
		t.Errorf("killed at %q: the merge was acknowledged and is not there", s.last)
	case !cmp.Equal(got, before):
		t.Errorf("killed at %q: the box is neither as before nor as after:\n%s", s.last, cmp.Diff(before, got))
	}
	kept, err := filepath.Glob(path + keptBoxes)
	must(t, err)
	if len(kept) == 0 && cmp.Equal(got, after) {
		t.Errorf("killed at %q: the box is merged, and no copy of it as it was is there", s.last)
	}
	for _, name := range kept {
		mustVerify(t, name)
		if d := cmp.Diff(before, content(t, name)); d != "" {
			t.Errorf("killed at %q: the copy is not the box as it was:\n%s", s.last, d)
		}
	}
	if _, err := merge(path, path+otherBox); err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(after, content(t, path)); d != "" {
		t.Errorf("killed at %q: merged again it is not what it was to be:\n%s", s.last, d)
	}
}

// setUpSpoilt makes a box with a damaged record and keeps it, and as it is to be.
func setUpSpoilt(t *testing.T, path string) {
	create(t, path, small())
	id := inventory.DerivedID(inventory.KindIgniter, "wick")
	spoilValue(t, path, string(inventory.KindIgniter), id[:])
	data, err := os.ReadFile(path)
	must(t, err)
	must(t, os.WriteFile(path+beforeFile, data, 0o600))
	must(t, os.WriteFile(path+afterBox, data, 0o600))
	repair(t, path+afterBox)
}

// checkRepaired finds the damaged box untouched, or the repaired one with the
// damaged one beside it and what was put aside; and a second repair comes to the
// same.
func checkRepaired(t *testing.T, path string, s said) {
	t.Helper()
	before, err := os.ReadFile(path + beforeFile)
	must(t, err)
	got, err := os.ReadFile(path)
	must(t, err)
	kept, err := filepath.Glob(path + keptBoxes)
	must(t, err)
	for _, name := range kept {
		if data, err := os.ReadFile(name); err != nil || !bytes.Equal(data, before) {
			t.Errorf("killed at %q: the damaged box is not kept as it was: %v", s.last, err)
		}
	}
	if bytes.Equal(got, before) {
		if len(s.acks) > 0 {
			t.Errorf("killed at %q: the repair was acknowledged and is not there", s.last)
		}
		repair(t, path)
	} else if _, err := os.Stat(path + asideFile); err != nil || len(kept) != 1 {
		t.Errorf("killed at %q: repaired, with %d damaged boxes kept; what was put aside: %v", s.last, len(kept), err)
	}
	mustVerify(t, path)
	if d := cmp.Diff(content(t, path+afterBox), content(t, path)); d != "" {
		t.Errorf("killed at %q: repaired it is not what it was to be:\n%s", s.last, d)
	}
}

// TestMergeAndRepairKilledAtRandom kills children from outside at random moments
// of the time that their work takes.
func TestMergeAndRepairKilledAtRandom(t *testing.T) {
	withoutRace(t)
	kills := 8
	if long() {
		kills = 300
	}
	rng := rand.New(rand.NewPCG(3, 4))
	for _, c := range []struct {
		work  string
		setup func(t *testing.T, path string)
		check func(t *testing.T, path string, s said)
	}{
		{"merge", setUpManyApart(2_000), checkMerged},
		{"merge in bulk", setUpManyApart(2_000), checkMerged},
		{"repair", setUpManySpoilt, checkRepaired},
	} {
		t.Run(c.work, func(t *testing.T) { killAtRandom(t, rng, kills, c.work, copiesOf(t, c.setup), c.check) })
	}
}

func killAtRandom(t *testing.T, rng *rand.Rand, kills int, work string, setup func(*testing.T, string), check func(*testing.T, string, said)) {
	path := filepath.Join(t.TempDir(), childBox)
	setup(t, path)
	began := time.Now()
	if s := killAfter(t, work, path, time.Hour); !s.done {
		t.Fatalf("not killed, the child says %+v", s)
	}
	lasts := time.Since(began)
	inside := 0
	for range kills {
		path := filepath.Join(t.TempDir(), childBox)
		setup(t, path)
		s := killAfter(t, work, path, time.Duration(rng.Int64N(int64(lasts))))
		if s.failed != "" {
			t.Fatalf("the child failed: %s", s.failed)
		}
		if !s.done {
			inside++
		}
		check(t, path, s)
	}
	t.Logf("it takes %v; %d of %d kills before its end", lasts.Round(time.Millisecond), inside, kills)
	if inside == 0 {
		t.Error("no child was killed before it was done")
	}
}

// killAfter starts a child and kills it some time later.
func killAfter(t *testing.T, work, path string, after time.Duration) said {
	t.Helper()
	var out bytes.Buffer
	cmd := childOf(t, work, path)
	cmd.Stdout = &out
	must(t, cmd.Start())
	timer := time.AfterFunc(after, func() { _ = cmd.Process.Kill() })
	_ = cmd.Wait()
	timer.Stop()
	text := out.Bytes()
	return listen(text[:bytes.LastIndexByte(text, '\n')+1]) // a line without its end was not said
}

// setUpManyApart makes two boxes, of which the other has booked so many entries.
func setUpManyApart(entries int) func(t *testing.T, path string) {
	return func(t *testing.T, path string) {
		create(t, path, small())
		must(t, boltstore.Backup(path, path+otherBox, opt()))
		must(t, book(path, entry(inventory.Used, lotID("wick"), 1, 1)))
		bookMany(t, path+otherBox, entries)
		setUpAfter(t, path)
	}
}

// bookMany books so many entries, of three lots in turn.
func bookMany(t *testing.T, path string, entries int) {
	t.Helper()
	b := batch()
	for i := range entries {
		e := &inventory.Event{At: clock, What: inventory.In, Lot: toID(lotID([]string{"wick", "c6", "powder"}[i%3])), Quantity: some(1)}
		e.ID = inventory.DerivedID(inventory.KindEvent, fmt.Sprint(i))
		b.Add(e, "", i)
	}
	bulk := opt()
	bulk.Bulk = entries > boltstore.OneTransaction
	must(t, boltstore.Write(path, bulk, func(tx *boltstore.Tx) error {
		_, err := tx.Import(b, boltstore.ImportOptions{})
		return err
	}))
}

func setUpManySpoilt(t *testing.T, path string) {
	create(t, path, small())
	bookMany(t, path, 2_000)
	id := inventory.DerivedID(inventory.KindIgniter, "wick")
	spoilValue(t, path, string(inventory.KindIgniter), id[:])
	data, err := os.ReadFile(path)
	must(t, err)
	must(t, os.WriteFile(path+beforeFile, data, 0o600))
	must(t, os.WriteFile(path+afterBox, data, 0o600))
	repair(t, path+afterBox)
}

// TestMergeInBulk merges more than one transaction takes: killed at some moment
// it is all or nothing, and what others book while they wait for it is not lost.
func TestMergeInBulk(t *testing.T) {
	withoutRace(t)
	if testing.Short() {
		t.Skip("merging 52,000 entries takes a few seconds")
	}
	entries, kills := boltstore.OneTransaction+2_000, 2
	if long() {
		kills = 40
	}
	path := filepath.Join(t.TempDir(), childBox)
	create(t, path, small())
	must(t, boltstore.Backup(path, path+otherBox, opt()))
	mine := entry(inventory.Used, lotID("wick"), 1, 1)
	must(t, book(path, mine))
	bookMany(t, path+otherBox, entries)
	before := count(t, path)
	setup := copiesOf(t, func(t *testing.T, to string) {
		for _, ending := range []string{"", otherBox} {
			must(t, boltstore.Backup(path+ending, to+ending, opt()))
		}
	})
	check := func(t *testing.T, path string, s said) {
		t.Helper()
		mustVerify(t, path)
		got := count(t, path)
		if got != before+entries && (got != before || len(s.acks) > 0) || !holds(t, path, mine.ID) {
			t.Errorf("killed at %q: %d entries, want %d or %d", s.last, got, before, before+entries)
		}
		kept, err := filepath.Glob(path + keptBoxes)
		must(t, err)
		for _, name := range kept {
			mustVerify(t, name)
			if got := count(t, name); got != before {
				t.Errorf("killed at %q: the copy has %d entries, want %d", s.last, got, before)
			}
		}
	}
	t.Run("waited for", func(t *testing.T) { mergeWaitedFor(t, setup, before+entries) })
	t.Run("killed", func(t *testing.T) {
		killAtRandom(t, rand.New(rand.NewPCG(5, 6)), kills, "merge in bulk", setup, check)
	})
}

// mergeWaitedFor books with other processes, which have to wait, while a merge is
// under way.
func mergeWaitedFor(t *testing.T, setup func(*testing.T, string), want int) {
	path := filepath.Join(t.TempDir(), childBox)
	setup(t, path)
	waited := make(chan said, 2)
	patient := func() said {
		out, _ := childOf(t, "book patiently", path, "BOLTSTORE_ROUNDS=2").CombinedOutput()
		return listen(out)
	}
	bulk := opt()
	bulk.Bulk = true
	must(t, boltstore.Read(path+otherBox, opt(), func(v *boltstore.View) error {
		return boltstore.Write(path, bulk, func(tx *boltstore.Tx) error {
			for range cap(waited) {
				go func() { waited <- patient() }()
			}
			time.Sleep(200 * time.Millisecond) // so that they wait for the file that is replaced
			_, err := tx.MergeWith(v, boltstore.MergeOptions{KeepAt: path})
			return err
		})
	}))
	for range cap(waited) {
		s := <-waited
		if !s.done {
			t.Errorf("who waited was told %q", s.failed)
		}
		want += len(s.acks)
		for _, ack := range s.acks {
			if !holds(t, path, uuid.MustParse(ack)) {
				t.Errorf("%s was acknowledged and is gone", ack)
			}
		}
	}
	if got := count(t, path); got != want {
		t.Errorf("%d entries, want %d", got, want)
	}
	mustVerify(t, path)
}

// count is the number of entries.
func count(t *testing.T, path string) (entries int) {
	t.Helper()
	read(t, path, func(v *boltstore.View) error { entries = v.Count(inventory.KindEvent); return nil })
	return entries
}

// TestKilledMergeLeavesNoBoxes: what a killed command leaves beside the box is named
// so that nobody takes it for a box or a copy of one.
func TestKilledMergeLeavesNoBoxes(t *testing.T) {
	withoutRace(t)
	setup := copiesOf(t, setUpApart)
	for n := 1; n < 12; n++ {
		path := filepath.Join(t.TempDir(), childBox)
		setup(t, path)
		_, _ = childOf(t, "merge in bulk", path, fmt.Sprintf("BOLTSTORE_KILL=%d", n)).CombinedOutput()
		files, err := os.ReadDir(filepath.Dir(path))
		must(t, err)
		for _, f := range files {
			rest := strings.TrimPrefix(f.Name(), childBox)
			known := slices.Contains([]string{"", otherBox, beforeFile, afterBox}, rest)
			for _, pattern := range []string{keptBoxes, leftOvers} {
				match, err := filepath.Match(pattern, rest)
				must(t, err)
				known = known || match
			}
			if !known {
				t.Errorf("killed at step %d: a file %s", n, f.Name())
			}
		}
	}
}
