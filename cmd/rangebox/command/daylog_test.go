package command

import (
	"bytes"
	"errors"
	"strings"
	"testing"
	"time"

	"rangebox/inventory"
)

// typed runs a command at a terminal where somebody presses keys.
func typed(keys string, args ...string) (code int, out, asked string) {
	var outText, errText bytes.Buffer
	code = Run(&Env{
		In: strings.NewReader(keys), Out: &outText, Err: &errText, Width: 80, InTerminal: true,
		Now:    func() time.Time { return time.Date(2026, 12, 12, 10, 0, 0, 0, time.UTC) },
		Getenv: func(string) string { return "" },
	}, args)
	return code, outText.String(), errText.String()
}

// TestDayLogKeys: one key for each point, and one for the cause; what is no
// answer is passed over.
func TestDayLogKeys(t *testing.T) {
	box := seedBox(t)
	if code, _, asked := typed("", "--db", box, "day", "pack", "2026-12-12"); code != 0 {
		t.Fatal(asked)
	}
	// whimbrel: booster misfires by the head and is tried again, the sustainer fires,
	// the charge was not flown; then enough.
	code, out, asked := typed("x m h y f F n q n", "--db", box, "day", "log", "2026-12-12")
	if code != 0 {
		t.Fatalf("exit status %d: %s", code, asked)
	}
	for _, want := range []string{"misfire,", "taken as a", "not-flown", "bogbean-g54"} {
		if !strings.Contains(out, want) {
			t.Errorf("the answer lacks %q:\n%s", want, out)
		}
	}
	if strings.Contains(out, "dunlin") {
		t.Errorf("dunlin was logged after q:\n%s", out)
	}
	if !strings.Contains(asked, "whimbrel booster/main/1") || !strings.Contains(asked, "Hold the lot?") {
		t.Errorf("asked: %s", asked)
	}
}

// TestDayLogGivenUp: where the keys end, nothing is booked.
func TestDayLogGivenUp(t *testing.T) {
	box := seedBox(t)
	typed("", "--db", box, "day", "pack", "2026-12-12")
	_, before, _ := typed("", "--db", box, "stock", "log", "--limit", "0")
	for _, keys := range []string{"ff", "f\x03f", "m"} {
		code, _, asked := typed(keys, "--db", box, "day", "log", "2026-12-12")
		if code != exitFailed || !strings.Contains(asked, "nothing was booked") {
			t.Errorf("%q: exit status %d: %s", keys, code, asked)
		}
	}
	if _, after, _ := typed("", "--db", box, "stock", "log", "--limit", "0"); after != before {
		t.Errorf("the ledger has changed:\n%s", after)
	}
}

// TestBookSeenRefusesAMovedBox: what was worked out from an older state of the box
// is not booked.
func TestBookSeenRefusesAMovedBox(t *testing.T) {
	box := seedBox(t)
	g := &global{env: &Env{Now: time.Now, Getenv: func(string) string { return "" }}, db: box}
	q, seen, err := g.loadDay("2026-12-12")
	if err != nil {
		t.Fatal(err)
	}
	typed("", "--db", box, "stock", "in", "sedge", "1")
	e, err := newEntry(time.Now(), inventory.Held, inventory.List[*inventory.Lot](q.Box)[0])
	if err != nil {
		t.Fatal(err)
	}
	if _, err := g.bookSeen(seen, []*inventory.Event{e}); !errors.Is(err, inventory.ErrConflict) {
		t.Errorf("booked on a box that has moved: %v", err)
	}
	if _, seen, err = g.loadDay("2026-12-12"); err != nil {
		t.Fatal(err)
	}
	if _, err := g.bookSeen(seen, []*inventory.Event{e}); err != nil {
		t.Errorf("refused on a box that has not: %v", err)
	}
}
