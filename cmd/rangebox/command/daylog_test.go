package command

import (
	"bytes"
	"encoding/json"
	"errors"
	"strings"
	"testing"
	"time"

	"rangebox/compat"
	"rangebox/inventory"
)

// typed runs a command at a terminal where somebody presses keys.
func typed(keys string, args ...string) (code int, out, asked string) {
	var outText, errText bytes.Buffer
	code = Run(&Env{
		In: strings.NewReader(keys), Out: &outText, Err: &errText, Width: 80, ErrWidth: 80, InTerminal: true, ErrTerminal: true,
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

// TestArrowKeysAreNoAnswers: keys that a terminal sends as several characters end
// in letters that mean something: the down arrow in B, the end key in F.
func TestArrowKeysAreNoAnswers(t *testing.T) {
	box := seedBox(t)
	typed("", "--db", box, "day", "pack", "2026-12-12")
	for name, keys := range map[string]string{"down": "\x1b[B", "end": "\x1b[F", "home, old": "\x1bOH", "F5": "\x1b[15~", "alt-left": "\x1b[1;3D"} {
		code, out, asked := typed(keys+"n"+keys+"q", "--db", box, "day", "log", "2026-12-12")
		if code != 0 || strings.Count(out, "not-flown") != 2 || strings.Contains(out, "used") {
			t.Errorf("%s: exit status %d:\n%s%s", name, code, out, asked)
		}
		typed("", "--db", box, "stock", "undo")
	}
}

// TestDayLogAnotherIgniter: what was taken instead is chosen by a number, and a
// point whose motor did not light is asked about again.
func TestDayLogAnotherIgniter(t *testing.T) {
	box := seedBox(t)
	typed("", "--db", box, "day", "pack", "2026-12-12")
	code, out, asked := typed("o1fq", "--db", box, "day", "log", "2026-12-12")
	if code != 0 || !strings.Contains(asked, "1 bramble, lot cbead1, a spare") || !strings.Contains(out, "bramble") {
		t.Errorf("exit status %d:\n%s%s", code, out, asked)
	}
	code, out, asked = typed("sss"+"mcn"+"q", "--db", box, "day", "log", "2026-12-12")
	if code != 0 || !strings.Contains(out, "misfire") {
		t.Errorf("exit status %d:\n%s%s", code, out, asked)
	}
	if _, _, asked = typed("sssq", "--db", box, "day", "log", "2026-12-12"); !strings.Contains(asked, "(did not light yet)") {
		t.Errorf("asked %s", asked)
	}
}

// TestDayIsNotBookedOnAMovedBox: what was worked out from an older state of the box
// is not booked.
func TestDayIsNotBookedOnAMovedBox(t *testing.T) {
	box := seedBox(t)
	g := &global{env: &Env{Now: time.Now, Getenv: func(string) string { return "" }}, db: box}
	booked := func(between func()) error {
		q, seen, err := g.loadDay("2026-12-12")
		if err != nil {
			t.Fatal(err)
		}
		plan, err := compat.PackDay(q, compat.Defaults())
		if err != nil {
			t.Fatal(err)
		}
		between()
		book := compat.NewDayBook(q)
		book.Pack(plan)
		_, err = g.bookDay(seen, book, nil, nil)
		return err
	}
	if err := booked(func() { typed("", "--db", box, "stock", "in", "sedge", "1") }); !errors.Is(err, inventory.ErrConflict) {
		t.Errorf("booked on a box that has moved: %v", err)
	}
	if err := booked(func() {}); err != nil {
		t.Errorf("refused on a box that has not: %v", err)
	}
}

// TestClocksThatDisagree: the day is told in the order in which it was booked, though
// the field's clock is behind the one that packed; a time that is named is taken
// at its word, or refused.
func TestClocksThatDisagree(t *testing.T) {
	box := seedBox(t)
	typed("", "--db", box, "--at", "2026-12-12T11:00:00Z", "day", "pack", "2026-12-12") // the keys are pressed at ten
	code, _, asked := typed("", "--db", box, "--at", "2026-12-12T10:30:00Z", "day", "log", "2026-12-12", "--point", "1=fired")
	if code != exitFailed || !strings.Contains(asked, "comes before") {
		t.Errorf("exit status %d: %s", code, asked)
	}
	if code, _, asked = typed("", "--db", box, "day", "log", "2026-12-12", "--point", "1=fired"); code != 0 {
		t.Fatalf("exit status %d: %s", code, asked)
	}
	_, out, _ := typed("", "--db", box, "day", "close", "2026-12-12")
	if strings.Contains(out, "not packed, used") {
		t.Errorf("used beside what was packed:\n%s", out)
	}
}

// TestUndoneInOrder: `stock undo` refuses the close of a day that was packed since.
func TestUndoneInOrder(t *testing.T) {
	box := seedBox(t)
	typed("", "--db", box, "day", "pack", "2026-12-12")
	_, out, _ := typed("", "--db", box, "--output", "json", "day", "close", "2026-12-12")
	var closed struct{ Entries []struct{ ID string } }
	if err := json.Unmarshal([]byte(out), &closed); err != nil {
		t.Fatal(err)
	}
	typed("", "--db", box, "day", "pack", "2026-12-12")
	code, _, asked := typed("", "--db", box, "stock", "undo", closed.Entries[0].ID)
	if code != exitFailed || !strings.Contains(strings.Join(strings.Fields(asked), " "), "booked for the same flight since") {
		t.Errorf("exit status %d: %s", code, asked)
	}
	for range 2 {
		if code, _, asked = typed("", "--db", box, "stock", "undo"); code != 0 {
			t.Errorf("exit status %d: %s", code, asked)
		}
	}
}
