package boltstore_test

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/google/uuid"

	"rangebox/inventory"
	"rangebox/inventory/boltstore"
)

// everything is all that a box says, through every way to read it.
func everything(path string) (sum string, err error) {
	h := sha256.New()
	err = boltstore.Read(path, opt(), func(v *boltstore.View) error {
		for _, info := range inventory.Kinds {
			if err := v.Each(info.Kind, func(rec inventory.Record) error { return tell(h, v, rec) }); err != nil {
				return err
			}
			for handle, about := range v.Handles(info.Kind) {
				fmt.Fprintln(h, handle, about)
				id, ok := v.IDOf(info.Kind, handle)
				fmt.Fprintln(h, id, ok)
			}
		}
		box, err := v.Load(boltstore.Want{All: []inventory.Kind{inventory.KindMotor, inventory.KindIgniter, inventory.KindSupply, inventory.KindDay}, LotsOfLoaded: true, Readings: true, Events: true})
		if err != nil {
			return err
		}
		for _, rec := range inventory.List[inventory.Record](box) {
			fmt.Fprintln(h, rec.Kind(), rec.Base().ID)
		}
		_, _, err = v.Find(inventory.KindMotor, "no-such-motor")
		if !errors.Is(err, inventory.ErrNotFound) {
			return err
		}
		return nil
	})
	return fmt.Sprintf("%x", h.Sum(nil)), err
}

func tell(h interface{ Write([]byte) (int, error) }, v *boltstore.View, rec inventory.Record) error {
	text, err := json.Marshal(inventory.Pack(rec)[1])
	if err != nil {
		return err
	}
	fmt.Fprintf(h, "%s %s %v\n", rec.Kind(), text, inventory.Pack(rec))
	lot, ok := rec.(*inventory.Lot)
	if !ok {
		return nil
	}
	stock, err := v.Stock(lot.ID)
	if err != nil {
		return err
	}
	entries, err := v.Entries(lot.ID)
	for _, e := range entries {
		fmt.Fprintln(h, e.ID, v.Voided(e.ID))
	}
	fmt.Fprintf(h, "%+v\n", stock)
	return err
}

// damageBox is a box deep enough to have every kind of page.
func damageBox(t testing.TB, path string) {
	t.Helper()
	b := small()
	for i := range 150 {
		b.Add(lot(fmt.Sprint("many ", i), inventory.LotOfIgniters, "wick", int64(i%7)), "", 100+i)
		e := entry(inventory.In, lotID(fmt.Sprint("many ", i)), 2, i)
		e.ID = inventory.DerivedID(inventory.KindEvent, "damage", fmt.Sprint(i))
		b.Add(e, "", 1000+i)
	}
	create(t, path, b)
	write(t, path, func(tx *boltstore.Tx) error { return tx.Rename(inventory.KindMotor, "d12", "d12-b") })
	for i := range 3 {
		must(t, book(path, lastEntry(i)))
	}
}

func lastEntry(i int) *inventory.Event {
	e := entry(inventory.In, lotID("wick"), 1, 500+i)
	e.ID = uuid.UUID{0xEE, byte(i)}
	return e
}

// spoilt is a way to damage a file, drawn from a number.
type spoilt struct {
	kind string // of the page
	pos  int
	data []byte
}

// pagesByKind finds the pages of a file by the flags in their headers.
func pagesByKind(data []byte) map[string][]int {
	size := os.Getpagesize()
	kinds := map[uint16]string{1: "branch", 2: "leaf", 4: "meta", 16: "freelist"}
	found := map[string][]int{}
	for at := 0; at+size <= len(data); at += size {
		if kind, ok := kinds[binary.NativeEndian.Uint16(data[at+8:])]; ok && binary.NativeEndian.Uint64(data[at:]) == uint64(at/size) {
			found[kind] = append(found[kind], at)
		}
	}
	return found
}

var pageKinds = []string{"branch", "leaf", "meta", "freelist"}

// spoil draws the i-th damage: one bit or one byte, half of the time in the
// header and the elements of its page, where the pointers are.
func spoil(pristine []byte, i int) spoilt {
	rng := rand.New(rand.NewPCG(7, uint64(i)))
	byKind := pagesByKind(pristine)
	kind := pageKinds[rng.IntN(len(pageKinds))]
	pages := byKind[kind]
	page := pages[rng.IntN(len(pages))]
	reach := os.Getpagesize()
	if rng.IntN(2) == 0 {
		count := int(binary.NativeEndian.Uint16(pristine[page+10:]))
		reach = min(reach, 16+16*max(count, 5))
	}
	s := spoilt{kind: kind, pos: page + rng.IntN(reach), data: bytes.Clone(pristine)}
	if rng.IntN(2) == 0 {
		s.data[s.pos] ^= 1 << rng.IntN(8)
		return s
	}
	s.data[s.pos] ^= byte(1 + rng.IntN(255))
	return s
}

// said of the whole file, before damage: as it is, as it was before the last
// change, and each with one more entry.
type truths struct {
	now, before, nowAndOne, beforeAndOne string
}

// judge reads, verifies and writes a damaged file, and says what came of it;
// "BAD" begins what must not be.
func judge(path string, s spoilt, want truths) string {
	if err := os.WriteFile(path, s.data, 0o600); err != nil {
		return "BAD " + err.Error()
	}
	got, err := everything(path)
	report, verr := boltstore.Verify(path, opt())
	seen := errors.Join(verr, report.Err())
	switch {
	case err != nil && !errors.Is(err, inventory.ErrDamaged):
		return "BAD reading says " + err.Error()
	case err != nil && seen == nil:
		return "BAD verify is blind to " + err.Error()
	case seen != nil && !errors.Is(seen, inventory.ErrDamaged):
		return "BAD verify says " + seen.Error()
	case err == nil && got != want.now && (s.kind != "meta" || got != want.before):
		return fmt.Sprintf("BAD served wrong (verify: %v)", seen)
	case err == nil && got != want.now && seen == nil:
		return "BAD verify is blind to an older state"
	}
	read := "harmless"
	if err != nil {
		read = "reported"
	} else if got == want.before {
		read = "older"
	} else if seen != nil {
		read = "harmless, and verify reports it"
	}
	return judgeWrite(path, s, want, read)
}

// judgeWrite books one more entry into the damaged file.
func judgeWrite(path string, s spoilt, want truths, read string) string {
	err := book(path, lastEntry(9))
	if err != nil && !errors.Is(err, inventory.ErrDamaged) {
		return "BAD writing says " + err.Error()
	}
	if err != nil {
		return read
	}
	got, err := everything(path)
	report, verr := boltstore.Verify(path, opt())
	if err == nil && got != want.nowAndOne && (s.kind != "meta" || got != want.beforeAndOne) {
		return fmt.Sprintf("BAD served wrong after a write (verify: %v)", errors.Join(verr, report.Err()))
	}
	if err != nil && read != "reported" {
		return "BAD a write made it worse: " + err.Error()
	}
	return read
}

// limitMemory keeps a child that goes astray in a damaged file from taking the
// machine with it, where the system can.
var limitMemory = func() {}

// childDamages goes through a range of damages and prints what came of each.
func childDamages(path string) error {
	limitMemory()
	var from, to int
	if _, err := fmt.Sscan(os.Getenv("BOLTSTORE_RANGE"), &from, &to); err != nil {
		return err
	}
	pristine, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	var want truths
	for i, into := range []*string{&want.now, &want.before, &want.nowAndOne, &want.beforeAndOne} {
		*into = os.Getenv(fmt.Sprint("BOLTSTORE_TRUTH", i))
	}
	for i := from; i < to; i++ {
		s := spoil(pristine, i)
		fmt.Printf("t %d %s %d\n", i, s.kind, s.pos)
		fmt.Printf("o %d %s %s\n", i, s.kind, judge(path+".spoilt", s, want))
	}
	return nil
}

// TestDamage flips bits and bytes in every kind of page: what is read is right,
// or the damage is reported. The one exception is bbolt's newer meta page,
// without which the state before the last change is read; verify sees it.
func TestDamage(t *testing.T) {
	withoutRace(t)
	times := 250
	if long() {
		times = 10_000
	}
	path := filepath.Join(t.TempDir(), "range.box")
	damageBox(t, path)
	data, err := os.ReadFile(path)
	must(t, err)
	for _, kind := range pageKinds {
		if len(pagesByKind(data)[kind]) == 0 {
			t.Fatalf("the box has no %s page to damage", kind)
		}
	}
	env := truthsOf(t, path)
	outcomes := map[string]int{}
	for from := 0; from < times; {
		from = damageFrom(t, path, from, times, env, outcomes)
	}
	for outcome, count := range outcomes {
		t.Logf("%6d %s", count, outcome)
	}
	if outcomes["leaf reported"] == 0 || outcomes["branch reported"] == 0 || outcomes["meta older"] == 0 {
		t.Error("the damages do not reach what they are meant to")
	}
}

// truthsOf reads the box as it is and as it was before its last change.
func truthsOf(t *testing.T, path string) []string {
	t.Helper()
	older := filepath.Join(t.TempDir(), "older.box")
	data, err := os.ReadFile(path)
	must(t, err)
	newer := 0
	size := os.Getpagesize()
	if binary.NativeEndian.Uint64(data[size+16+48:]) > binary.NativeEndian.Uint64(data[16+48:]) {
		newer = size
	}
	data[newer+16] ^= 0xFF // its magic number
	must(t, os.WriteFile(older, data, 0o600))
	now := filepath.Join(t.TempDir(), "now.box")
	must(t, boltstore.Backup(path, now, opt()))
	var env []string
	for i, p := range []string{now, older, now, older} {
		if i >= 2 {
			must(t, book(p, lastEntry(9)))
		}
		text, err := everything(p)
		must(t, err)
		env = append(env, fmt.Sprintf("BOLTSTORE_TRUTH%d=%s", i, text))
	}
	return env
}

// damageFrom runs one child over the damages that are left and gives the number
// to go on from: a child that was killed by one damage is followed by another.
func damageFrom(t *testing.T, path string, from, to int, env []string, outcomes map[string]int) int {
	t.Helper()
	cmd := childOf(t, "damage", path, append(env, fmt.Sprintf("BOLTSTORE_RANGE=%d %d", from, to))...)
	var complaint strings.Builder
	cmd.Stderr = &complaint
	out, err := cmd.Output()
	next, trying := from, ""
	lines := bufio.NewScanner(bytes.NewReader(out))
	for lines.Scan() {
		words := strings.SplitN(lines.Text(), " ", 3)
		switch words[0] {
		case "t":
			trying = lines.Text()
		case "o":
			next, _ = strconv.Atoi(words[1])
			next++
			outcomes[words[2]]++
			if strings.Contains(words[2], "BAD") {
				t.Errorf("damage %s: %s", trying, words[2])
			}
		}
	}
	if err != nil {
		t.Errorf("damage %s killed the process: %v\n%.600s", trying, err, complaint.String())
		next++
	}
	return next
}

// TestCut cuts the file short everywhere: it is reported, or nothing was there.
func TestCut(t *testing.T) {
	path := filepath.Join(t.TempDir(), "range.box")
	damageBox(t, path)
	whole, err := os.ReadFile(path)
	must(t, err)
	want, err := everything(path)
	must(t, err)
	cut := path + ".cut"
	reported := 0
	for length := len(whole) - 1; length > 0; length -= os.Getpagesize() / 3 {
		must(t, os.WriteFile(cut, whole[:length], 0o600))
		got, err := everything(cut)
		_, verr := boltstore.Verify(cut, opt())
		werr := book(cut, lastEntry(9))
		for verb, err := range map[string]error{"read": err, "verify": verr, "write": werr} {
			if err != nil && !errors.Is(err, inventory.ErrDamaged) {
				t.Errorf("cut to %d bytes, %s: %v", length, verb, err)
			}
		}
		switch {
		case err == nil && got != want:
			t.Errorf("cut to %d bytes, and served wrong", length)
		case err != nil && (verr == nil || werr == nil):
			t.Errorf("cut to %d bytes: read says %v, verify %v, write %v", length, err, verr, werr)
		case err != nil:
			reported++
		}
	}
	if reported == 0 {
		t.Error("no cut was reported")
	}
}
