package boltstore_test

import (
	"bufio"
	"bytes"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"

	"rangebox/inventory"
	"rangebox/inventory/boltstore"
)

// long tells whether the long versions of the slow tests are asked for.
func long() bool { return os.Getenv("RANGEBOX_LONG") != "" }

// said is what a child that was killed had said.
type said struct {
	acks   []string
	last   string // the step it was at
	steps  int
	done   bool
	failed string
}

func listen(out []byte) (s said) {
	lines := bufio.NewScanner(bytes.NewReader(out))
	for lines.Scan() {
		kind, rest, _ := strings.Cut(lines.Text(), " ")
		switch kind {
		case "s":
			s.last = rest
			s.steps++
		case "a":
			s.acks = append(s.acks, rest)
		case "d":
			s.done = true
		case "e":
			s.failed = rest
		}
	}
	return s
}

// TestKilledAtEveryStep ends a child between every two steps of every kind of
// write: what was acknowledged is there, and nothing is half done.
func TestKilledAtEveryStep(t *testing.T) {
	withoutRace(t)
	at := map[string]int{}
	for _, c := range []struct {
		work  string
		setup func(t *testing.T, path string)
		check func(t *testing.T, path string, s said)
	}{
		{"book", setUpSmall, checkBooked},
		{"records", setUpSmall, checkAcks},
		{"bulk", setUpSmall, checkAcks},
		{"create", func(*testing.T, string) {}, checkCreated},
		{"restore", setUpSaved, checkRestored},
		{"merge", copiesOf(t, setUpApart), checkMerged},
		{"merge in bulk", copiesOf(t, setUpApart), checkMerged},
		{"repair", copiesOf(t, setUpSpoilt), checkRepaired},
	} {
		t.Run(c.work, func(t *testing.T) {
			for n := 1; ; n++ {
				path := filepath.Join(t.TempDir(), "range.box")
				c.setup(t, path)
				out, _ := childOf(t, c.work, path, fmt.Sprintf("BOLTSTORE_KILL=%d", n), "BOLTSTORE_ROUNDS=3").CombinedOutput()
				s := listen(out)
				if s.failed != "" {
					t.Fatalf("the child failed: %s", s.failed)
				}
				if s.done {
					if n < 3 {
						t.Errorf("%s has no steps to be killed at", c.work)
					}
					break
				}
				at[s.last]++
				c.check(t, path, s)
			}
		})
	}
	t.Logf("kills by step: %v", at)
	for _, name := range []string{"record", "ids", "handles", "refs", "balance", "tombstone", "entry", "entry id", "entry of lot", "void", "state", "commit", "committed", "created", "replace", "kept", "restored",
		"copied aside", "kept aside", "rebuilt", "damaged kept", "repaired"} {
		if at[name] == 0 {
			t.Errorf("no child was killed at %q", name)
		}
	}
}

func setUpSmall(t *testing.T, path string) { create(t, path, small()) }

func setUpSaved(t *testing.T, path string) {
	create(t, path, small())
	must(t, boltstore.Backup(path, path+".saved", opt()))
	must(t, book(path, entry(inventory.In, lotID("wick"), 1, 1)))
}

// checkAcks sees that all that was acknowledged is there, and at most the one
// write that was under way besides.
func checkAcks(t *testing.T, path string, s said) {
	t.Helper()
	mustVerify(t, path)
	for _, ack := range s.acks {
		if !holds(t, path, uuid.MustParse(ack)) {
			t.Errorf("killed at %q: %s was acknowledged and is gone", s.last, ack)
		}
	}
	write(t, path, func(tx *boltstore.Tx) error { return tx.Book(entry(inventory.In, lotID("wick"), 1, 900)) })
}

// checkBooked sees besides that no write is there by halves: the child books
// one entry, one entry, and an entry with its void.
func checkBooked(t *testing.T, path string, s said) {
	t.Helper()
	read(t, path, func(v *boltstore.View) error {
		if got := v.Count(inventory.KindEvent) - 3; !slices.Contains([]int{0, 1, 2, 4}, got) || got < len(s.acks) {
			t.Errorf("killed at %q: %d entries are there, %d were acknowledged", s.last, got, len(s.acks))
		}
		return nil
	})
	checkAcks(t, path, s)
}

func checkCreated(t *testing.T, path string, s said) {
	t.Helper()
	_, err := os.Stat(path)
	if len(s.acks) > 0 && err != nil {
		t.Errorf("killed at %q: the box was acknowledged and is not there", s.last)
	}
	if err == nil {
		mustVerify(t, path)
		found(t, path, inventory.KindRocket, "lark")
	}
}

// checkRestored finds the one box or the other, whole.
func checkRestored(t *testing.T, path string, s said) {
	t.Helper()
	mustVerify(t, path)
	r := revision(t, path)
	if r.Number != 1 && (r.Number != 2 || len(s.acks) > 0) {
		t.Errorf("killed at %q: the box is at %d", s.last, r.Number)
	}
}

// TestKilledAtRandom kills a child that books as fast as it can, from outside,
// at random moments. Short by default; RANGEBOX_LONG=1 makes it 1,000 kills.
func TestKilledAtRandom(t *testing.T) {
	withoutRace(t)
	kills := 40
	if long() {
		kills = 1000
	}
	path := newPath(t)
	create(t, path, small())
	rng := rand.New(rand.NewPCG(1, 2))
	during := map[string]int{}
	acked := 0
	for range kills {
		s := killSoon(t, path, time.Duration(rng.IntN(30_000))*time.Microsecond)
		during[s.last]++
		acked += len(s.acks)
		checkAcks(t, path, s)
	}
	inside := kills - during["committed"] - during[""]
	t.Logf("%d entries acknowledged; the last step before each kill: %v; %d of %d inside a write", acked, sortedCounts(during), inside, kills)
	if inside < kills/10 || acked == 0 {
		t.Errorf("the kills miss the writes: %d of %d inside one, %d acknowledged", inside, kills, acked)
	}
}

// killSoon starts a child that books and kills it some time after its first word.
func killSoon(t *testing.T, path string, after time.Duration) said {
	t.Helper()
	cmd := childOf(t, "book", path)
	out, err := cmd.StdoutPipe()
	must(t, err)
	must(t, cmd.Start())
	lines := bufio.NewReader(out)
	heard, err := lines.ReadBytes('\n')
	must(t, err)
	time.AfterFunc(after, func() { _ = cmd.Process.Kill() })
	for {
		line, err := lines.ReadBytes('\n')
		if err != nil {
			break // a line without its end was not acknowledged
		}
		heard = append(heard, line...)
	}
	_ = cmd.Wait()
	return listen(heard)
}

func sortedCounts(counts map[string]int) string {
	var b strings.Builder
	for _, name := range slices.Sorted(maps.Keys(counts)) {
		b.WriteString(strconv.Quote(name) + ": " + strconv.Itoa(counts[name]) + " ")
	}
	return strings.TrimSpace(b.String())
}

// TestManyWriters lets 2 to 8 processes book at once: every entry lands, or its
// process is told that another holds the box.
func TestManyWriters(t *testing.T) {
	for _, writers := range []int{2, 4, 8} {
		t.Run(strconv.Itoa(writers), func(t *testing.T) {
			path := newPath(t)
			create(t, path, small())
			results := make(chan said, writers)
			for range writers {
				cmd := childOf(t, "book", path, "BOLTSTORE_ROUNDS=5")
				go func() {
					out, _ := cmd.CombinedOutput()
					results <- listen(out)
				}()
			}
			landed := 0
			for range writers {
				s := <-results
				landed += len(s.acks)
				for _, ack := range s.acks {
					if !holds(t, path, uuid.MustParse(ack)) {
						t.Errorf("%s was acknowledged and is not there", ack)
					}
				}
				if !s.done && !strings.Contains(s.failed, "busy") {
					t.Errorf("a writer failed: %q", s.failed)
				}
			}
			read(t, path, func(v *boltstore.View) error {
				if got := v.Count(inventory.KindEvent) - 3; got != landed || landed == 0 {
					t.Errorf("%d entries are there, %d were acknowledged", got, landed)
				}
				return nil
			})
		})
	}
}
