package boltstore_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"rangebox/cmd/rangebox/command"
	"rangebox/inventory"
	"rangebox/inventory/boltstore"
)

// What a launch day's commands book is many entries over many lots, which must be
// there all or none. These tests run the commands themselves, since it is they that
// decide what goes into one transaction.

const seedDay = "2026-12-12"

// rangebox runs a command on a box.
func rangebox(path string, args ...string) error {
	var out, errs bytes.Buffer
	code := command.Run(&command.Env{
		In: strings.NewReader(""), Out: &out, Err: &errs, Width: 80, Now: time.Now,
		Getenv: func(string) string { return "" },
	}, append([]string{"--db", path}, args...))
	if code != 0 {
		return fmt.Errorf("rangebox %s: exit status %d: %s", strings.Join(args, " "), code, errs.String())
	}
	return nil
}

// childRuns runs the command in BOLTSTORE_ARGS.
func childRuns(path string) error {
	err := rangebox(path, strings.Fields(os.Getenv("BOLTSTORE_ARGS"))...)
	if err == nil {
		acknowledge("ran")
	}
	return err
}

// dayState is what of a box a day's command may change.
type dayState struct {
	entries, flights int
	number           uint64
}

func stateOf(t *testing.T, path string) (s dayState) {
	t.Helper()
	s.number = revision(t, path).Number
	read(t, path, func(v *boltstore.View) error {
		s.entries = v.Count(inventory.KindEvent)
		return v.Each(inventory.KindDay, func(rec inventory.Record) error {
			s.flights += len(rec.(*inventory.Day).Flights)
			return nil
		})
	})
	return s
}

// TestKilledOnALaunchDay ends packing, packing again, logging, closing, taking a
// flight back and undoing between two steps of what they write: the day is as before
// or as after, never in between, and as after where the command had said so; and it
// goes on from there. Every fourth step, and the last ones; RANGEBOX_LONG=1 all.
func TestKilledOnALaunchDay(t *testing.T) {
	withoutRace(t)
	dir := t.TempDir()
	before := filepath.Join(dir, "day.box")
	must(t, rangebox(before, "demo", "--keep", before))
	for i, line := range []string{
		"day pack " + seedDay, "day pack " + seedDay,
		"day log " + seedDay + " --point 1=fired --point 2:body/main/1=misfire,head --point 3:body/ring/1=fired,lot=cbead1",
		"stock undo", "day remove " + seedDay + " 4", "day close " + seedDay,
	} {
		t.Run(line, func(t *testing.T) {
			after := filepath.Join(dir, fmt.Sprint(i)+".box")
			copyBox(t, before, after)
			out, _ := childOf(t, "run", after, "BOLTSTORE_ARGS="+line).CombinedOutput()
			whole := listen(out)
			if !whole.done || whole.steps < 5 {
				t.Fatalf("the child did not get through: %s", out)
			}
			old, done := stateOf(t, before), stateOf(t, after)
			kills, was := 0, 0
			for n := 1; n <= whole.steps; n++ {
				if n%4 != 0 && n < whole.steps-6 && !long() {
					continue
				}
				kills++
				if killedAt(t, before, line, n, old, done) == old {
					was++
				}
			}
			if was == 0 || was == kills {
				t.Errorf("of %d kills %d left the day as it was", kills, was)
			}
			before = after
		})
	}
}

// killedAt runs a command on a copy, kills it at a step, and tells what was left.
func killedAt(t *testing.T, before, line string, n int, old, done dayState) dayState {
	t.Helper()
	path := filepath.Join(t.TempDir(), "killed.box")
	copyBox(t, before, path)
	out, _ := childOf(t, "run", path, "BOLTSTORE_ARGS="+line, fmt.Sprintf("BOLTSTORE_KILL=%d", n)).CombinedOutput()
	s := listen(out)
	mustVerify(t, path)
	left := stateOf(t, path)
	switch {
	case left != old && left != done:
		t.Errorf("killed at step %d, %q: %+v, which is neither %+v nor %+v", n, s.last, left, old, done)
	case len(s.acks) > 0 && left != done:
		t.Errorf("killed at step %d, %q: it had said that it was done", n, s.last)
	}
	must(t, rangebox(path, "day", "pack", seedDay))
	mustVerify(t, path)
	return left
}

func copyBox(t *testing.T, from, to string) {
	t.Helper()
	data, err := os.ReadFile(from)
	must(t, err)
	must(t, os.WriteFile(to, data, 0o600))
}
