package boltstore_test

import (
	"bytes"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	bolt "go.etcd.io/bbolt"

	"rangebox/inventory"
	"rangebox/inventory/boltstore"
)

// repair repairs a box and gives what was put aside.
func repair(t *testing.T, path string) boltstore.RepairReport {
	t.Helper()
	var handed []boltstore.Aside
	report, err := boltstore.Repair(path, opt(), func(a []boltstore.Aside) error { handed = a; return nil })
	must(t, err)
	if len(handed) != len(report.Aside) {
		t.Fatalf("%d values were handed over and %d reported", len(handed), len(report.Aside))
	}
	return report
}

// spoilValue flips a bit of the value of a key, wherever the file holds it:
// pages no longer in use as well.
func spoilValue(t *testing.T, path, bucket string, key []byte) {
	t.Helper()
	db, err := bolt.Open(path, 0o600, nil)
	must(t, err)
	var value []byte
	must(t, db.View(func(tx *bolt.Tx) error {
		value = bytes.Clone(tx.Bucket([]byte(bucket)).Get(key))
		return nil
	}))
	must(t, db.Close())
	data, err := os.ReadFile(path)
	must(t, err)
	spoilt := bytes.Clone(value)
	spoilt[len(spoilt)-1] ^= 1
	must(t, os.WriteFile(path, bytes.ReplaceAll(data, value, spoilt), 0o600))
}

// TestRepairNothing: a box in which nothing is off is left alone.
func TestRepairNothing(t *testing.T) {
	home, _ := twoBoxes(t, t.TempDir())
	before := digest(t, home)
	if report := repair(t, home); report.Kept != "" || len(report.Problems) > 0 || digest(t, home) != before {
		t.Errorf("%+v", report)
	}
}

// TestRepairDerived: what is derived is computed anew and nothing is lost.
func TestRepairDerived(t *testing.T) {
	for _, bucket := range []string{"ids", "handles", "refs", "event-ids", "lot-events", "voids", "stock", "lot-stock"} {
		t.Run(bucket, func(t *testing.T) {
			home, _ := twoBoxes(t, t.TempDir())
			write(t, home, func(tx *boltstore.Tx) error {
				used := entry(inventory.Used, lotID("wick"), 1, 5)
				if err := tx.Book(used); err != nil {
					return err
				}
				return tx.Book(void(used.ID, 6))
			})
			want, was := content(t, home), revision(t, home)
			var key []byte
			db, err := bolt.Open(home, 0o600, nil)
			must(t, err)
			must(t, db.View(func(tx *bolt.Tx) error {
				k, _ := tx.Bucket([]byte(bucket)).Cursor().First()
				key = bytes.Clone(k)
				return nil
			}))
			must(t, db.Close())
			spoilValue(t, home, bucket, key)
			damaged, err := os.ReadFile(home)
			must(t, err)
			report := repair(t, home)
			mustVerify(t, home)
			if d := cmp.Diff(want, content(t, home)); d != "" || len(report.Aside) > 0 {
				t.Errorf("%+v\n%s", report.Aside, d)
			}
			if kept, err := os.ReadFile(report.Kept); err != nil || !bytes.Equal(kept, damaged) {
				t.Errorf("the damaged file is not kept: %v", err)
			}
			if now := revision(t, home); now.Box != was.Box || now.Number != was.Number+1 {
				t.Errorf("revision %+v, was %+v", now, was)
			}
		})
	}
}

// TestRepairRecord: a damaged record is put aside with what can be read of it,
// and what refers to it stays: an empty one stands in.
func TestRepairRecord(t *testing.T) {
	home, field := twoBoxes(t, t.TempDir())
	id := inventory.DerivedID(inventory.KindIgniter, "wick")
	before := stockOf(t, home, "wick")
	spoilValue(t, home, string(inventory.KindIgniter), id[:])
	report := repair(t, home)
	mustVerify(t, home)
	if len(report.Aside) != 1 || report.Aside[0].Handle != "wick" || report.Aside[0].Instead == "" || len(report.Aside[0].Raw) == 0 {
		t.Fatalf("%+v", report.Aside)
	}
	if got := stockOf(t, home, "wick"); got != before {
		t.Errorf("stock %+v, was %+v", got, before)
	}
	found(t, home, inventory.KindIgniter, "wick")
	if _, err := merge(home, field); err != nil { // the other laptop has it still
		t.Fatal(err)
	}
	if d := cmp.Diff(content(t, field), content(t, home)); d != "" {
		t.Errorf("after the merge they differ:\n%s", d)
	}
}

// TestRepairEntry: a damaged entry is put aside, the others are folded anew.
func TestRepairEntry(t *testing.T) {
	home, _ := twoBoxes(t, t.TempDir())
	must(t, book(home, entry(inventory.Used, lotID("wick"), 3, 5)))
	var last []byte
	db, err := bolt.Open(home, 0o600, nil)
	must(t, err)
	must(t, db.View(func(tx *bolt.Tx) error {
		k, _ := tx.Bucket([]byte("events")).Cursor().Last()
		last = bytes.Clone(k)
		return nil
	}))
	must(t, db.Close())
	full := stockOf(t, home, "wick").OnHand
	spoilValue(t, home, "events", last)
	report := repair(t, home)
	mustVerify(t, home)
	if len(report.Aside) != 1 || report.Aside[0].Bucket != "events" {
		t.Fatalf("%+v", report.Aside)
	}
	if lots := report.Aside[0].Lots; len(lots) != 1 || lots[0].ID != lotID("wick") || lots[0].Item.Handle != "wick" {
		t.Errorf("it was of %+v", lots)
	}
	if got := stockOf(t, home, "wick").OnHand; got != full+n(3) {
		t.Errorf("on hand %v, want %v", got, full+n(3))
	}
	if len(report.Lots) != 1 || report.Lots[0].Lot.ID != lotID("wick") || report.Lots[0].Before.OnHand != full || report.Lots[0].After.OnHand != full+n(3) {
		t.Errorf("stand otherwise: %+v", report.Lots)
	}
}

// TestRepairLedger: where the whole ledger is gone, the index still tells of which
// lots it was, and the balances what there was.
func TestRepairLedger(t *testing.T) {
	home, _ := twoBoxes(t, t.TempDir())
	db, err := bolt.Open(home, 0o600, nil)
	must(t, err)
	must(t, db.Update(func(tx *bolt.Tx) error {
		if err := tx.DeleteBucket([]byte("events")); err != nil {
			return err
		}
		_, err := tx.CreateBucket([]byte("events"))
		return err
	}))
	must(t, db.Close())
	data, err := os.ReadFile(home)
	must(t, err)
	for _, at := range pagesByKind(data)["leaf"] { // what a free page remembers is found
		if bytes.Contains(data[at:at+os.Getpagesize()], []byte("counted")) {
			clear(data[at : at+os.Getpagesize()])
		}
	}
	must(t, os.WriteFile(home, data, 0o600))
	report := repair(t, home)
	mustVerify(t, home)
	var lost []string
	for _, a := range report.Aside {
		for _, l := range a.Lots {
			lost = append(lost, l.Item.Handle)
		}
	}
	slices.Sort(lost)
	was := map[string]inventory.Stock{}
	for _, l := range report.Lots {
		was[l.Lot.Item.Handle] = l.Before
		if l.After.OnHand != 0 || l.After.Place != "shelf" {
			t.Errorf("%s stands at %+v", l.Lot.Item.Handle, l.After)
		}
	}
	if want := []string{"c6", "powder", "wick"}; !slices.Equal(lost, want) {
		t.Errorf("entries of %v are lost, want %v", lost, want)
	}
	if len(was) != 3 || was["powder"].OnHand != n(50) || report.NotCompared != 0 {
		t.Errorf("stood before: %+v, not compared %d", was, report.NotCompared)
	}
}

// TestRepairLot: a lot that is damaged is named by what it is of, and stays where
// it was.
func TestRepairLot(t *testing.T) {
	home, _ := twoBoxes(t, t.TempDir())
	id, before := lotID("wick"), stockOf(t, home, "wick")
	spoilValue(t, home, string(inventory.KindLot), id[:])
	report := repair(t, home)
	mustVerify(t, home)
	if len(report.Aside) != 1 || len(report.Aside[0].Lots) != 1 || report.Aside[0].Lots[0].Item.Handle != "wick" || len(report.Lots) != 0 {
		t.Errorf("%+v, %+v", report.Aside, report.Lots)
	}
	if got := stockOf(t, home, "wick"); got != before {
		t.Errorf("stock %+v, was %+v", got, before)
	}
}

// TestRepairAnything spoils bytes anywhere: the repaired box verifies, the
// damaged file is kept, and every record and entry is in the box or aside.
func TestRepairAnything(t *testing.T) {
	dir := t.TempDir()
	pristine := filepath.Join(dir, "pristine.box")
	damageBox(t, pristine)
	whole, err := os.ReadFile(pristine)
	must(t, err)
	total := mustVerify(t, pristine).Entries
	rng := rand.New(rand.NewPCG(1, 2))
	repaired, rounds := 0, 60
	for i := range rounds {
		data := bytes.Clone(whole)
		from := 8192 + rng.IntN(len(data)-8192) // behind the meta pages
		for n := range 1 + rng.IntN(200) {
			if from+n < len(data) {
				data[from+n] ^= byte(1 + rng.IntN(255))
			}
		}
		if i%2 == 1 { // earlier versions in free pages as well
			for _, at := range pagesByKind(whole)["leaf"] {
				if rng.IntN(3) == 0 {
					clear(data[at : at+os.Getpagesize()])
				}
			}
		}
		path := filepath.Join(dir, "spoilt.box")
		must(t, os.WriteFile(path, data, 0o600))
		report, err := boltstore.Repair(path, opt(), func([]boltstore.Aside) error { return nil })
		must(t, err)
		got := mustVerify(t, path)
		if report.Kept == "" {
			continue // it hit a free page
		}
		repaired++
		told := got.Entries
		for _, a := range report.Aside {
			switch {
			case a.Bucket == "meta":
				told = total // nobody can count any more, which is said
			case a.Bucket != "events":
			case a.Lost > 0:
				told += a.Lost
			case a.Instead == "":
				told++
			}
		}
		if told < total {
			t.Errorf("round %d, at %d: of %d entries %d are there, aside, or said to be lost", i, from, total, told)
		}
		if kept, err := os.ReadFile(report.Kept); err != nil || !bytes.Equal(kept, data) {
			t.Errorf("round %d: the damaged file is not kept: %v", i, err)
		}
		must(t, os.Remove(report.Kept))
	}
	if repaired < rounds/4 {
		t.Errorf("only %d of %d were damaged", repaired, rounds)
	}
}
