package boltstore_test

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/uuid"
	"pgregory.net/rapid"

	"rangebox/inventory"
	"rangebox/inventory/boltstore"
	"rangebox/inventory/inventorytest"
	"rangebox/inventory/quantity"
)

// TestPut takes in, replaces, and leaves alone.
func TestPut(t *testing.T) {
	path := newPath(t)
	create(t, path, small())
	put := func(rec inventory.Record) (changed bool, err error) {
		err = boltstore.Write(path, opt(), func(tx *boltstore.Tx) (err error) {
			changed, err = tx.Put(rec)
			return err
		})
		return changed, err
	}
	c6 := found(t, path, inventory.KindMotor, "c6").(*inventory.Motor)
	if changed, err := put(c6); changed || err != nil {
		t.Errorf("put of what was read: changed %v, %v", changed, err)
	}
	before := revision(t, path)
	c6.Notes = "one cracked nozzle"
	if changed, err := put(c6); !changed || err != nil {
		t.Errorf("put of a note: changed %v, %v", changed, err)
	}
	if after := revision(t, path); after.Number != before.Number+1 {
		t.Errorf("the box went from %d to %d", before.Number, after.Number)
	}
	same := motor("d12")
	same.ID = c6.ID
	stranger := motor("e9")
	stranger.Case = to("no-such-case")
	negative := motor("e9")
	negative.Diameter = quantity.Some(quantity.Length(-1))
	other := igniter("x")
	other.ID = c6.ID
	for _, c := range []struct {
		name string
		rec  inventory.Record
		is   error
		says string
	}{
		{"a handle in use by another", same, inventory.ErrConflict, "another motor"},
		{"a new record with a handle in use", motor("c6"), inventory.ErrConflict, "another motor"},
		{"a reference to nothing", stranger, inventory.ErrInvalid, "no-such-case"},
		{"a negative diameter", negative, inventory.ErrInvalid, "diameter_mm"},
		{"an id of another kind", other, inventory.ErrConflict, "belongs to a motor"},
		{"an entry", entry(inventory.In, lotID("c6"), 1, 0), inventory.ErrInvalid, "booked"},
	} {
		if _, err := put(c.rec); !errors.Is(err, c.is) || !strings.Contains(err.Error(), c.says) {
			t.Errorf("put of %s: %v, want %v and %q", c.name, err, c.is, c.says)
		}
	}
}

func found(t testing.TB, path string, kind inventory.Kind, handle string) (rec inventory.Record) {
	t.Helper()
	read(t, path, func(v *boltstore.View) (err error) {
		rec, _, err = v.Find(kind, handle)
		return err
	})
	return rec
}

// TestRename: the old handle still finds the record, until another takes it.
func TestRename(t *testing.T) {
	path := newPath(t)
	create(t, path, small())
	c6 := found(t, path, inventory.KindMotor, "c6")
	write(t, path, func(tx *boltstore.Tx) error {
		if err := tx.Rename(inventory.KindMotor, "c6", "d12"); !errors.Is(err, inventory.ErrConflict) {
			t.Errorf("rename to a handle in use: %v", err)
		}
		if err := tx.Rename(inventory.KindMotor, "c6", "No Handle"); !errors.Is(err, inventory.ErrInvalid) {
			t.Errorf("rename to no handle: %v", err)
		}
		return tx.Rename(inventory.KindMotor, "c6", "c6-old")
	})
	check := func(handle string, want uuid.UUID, former bool) {
		t.Helper()
		read(t, path, func(v *boltstore.View) error {
			rec, gotFormer, err := v.Find(inventory.KindMotor, handle)
			if err != nil {
				return err
			}
			if id, ok := v.IDOf(inventory.KindMotor, handle); rec.Base().ID != want || gotFormer != former || !ok || id != want {
				t.Errorf("%s finds %v (former %v), want %v (former %v)", handle, rec.Base().ID, gotFormer, want, former)
			}
			return nil
		})
	}
	check("c6", c6.Base().ID, true)
	check("c6-old", c6.Base().ID, false)
	rocket := found(t, path, inventory.KindRocket, "lark").(*inventory.Rocket)
	if got := rocket.Stages[0].Mounts[0].Motor.Handle; got != "c6-old" {
		t.Errorf("the rocket names its motor %q", got)
	}
	fresh := motor("c6")
	write(t, path, func(tx *boltstore.Tx) error { _, err := tx.Put(fresh); return err })
	if fresh.ID == c6.Base().ID {
		t.Fatal("a new motor took the id of the one that was renamed")
	}
	check("c6", fresh.ID, false)
	check("c6-old", c6.Base().ID, false)
	write(t, path, func(tx *boltstore.Tx) error { return tx.Rename(inventory.KindMotor, "c6", "c6-new") })
	write(t, path, func(tx *boltstore.Tx) error { return tx.Rename(inventory.KindMotor, "c6-old", "c6") })
	check("c6", c6.Base().ID, false)
}

// TestRemove refuses while something refers to the record, and says what.
func TestRemove(t *testing.T) {
	path := newPath(t)
	create(t, path, small())
	remove := func(id uuid.UUID) error {
		return boltstore.Write(path, opt(), func(tx *boltstore.Tx) error { return tx.Remove(id) })
	}
	wick := found(t, path, inventory.KindIgniter, "wick").Base().ID
	err := remove(wick)
	var inUse *boltstore.InUseError
	if !errors.As(err, &inUse) || !errors.Is(err, inventory.ErrConflict) {
		t.Fatalf("remove of an igniter in use: %v", err)
	}
	for _, want := range []string{"rocket lark", "motor c6", "lot " + lotID("wick").String(), "reading "} {
		if !slices.ContainsFunc(inUse.By, func(s string) bool { return strings.HasPrefix(s, want) }) {
			t.Errorf("used by %q, and %q is missing", inUse.By, want)
		}
	}
	if inUse.Record != "igniter wick" {
		t.Errorf("the record is called %q", inUse.Record)
	}
	err = remove(lotID("wick"))
	if !errors.As(err, &inUse) || !slices.Contains(inUse.By, "1 entry of the ledger") {
		t.Errorf("remove of a lot with entries: %v", err)
	}
	match := found(t, path, inventory.KindIgniter, "match").Base().ID
	must(t, remove(match))
	if err := remove(match); !errors.Is(err, inventory.ErrNotFound) {
		t.Errorf("second remove: %v", err)
	}
	read(t, path, func(v *boltstore.View) error {
		_, _, err := v.Find(inventory.KindIgniter, "match")
		_, err2 := v.Get(match)
		_, known := v.KindOf(match)
		if !errors.Is(err, inventory.ErrNotFound) || !errors.Is(err2, inventory.ErrNotFound) || known || v.Count(inventory.KindIgniter) != 1 {
			t.Errorf("what was removed is still there: %v, %v, %v, %d igniters", err, err2, known, v.Count(inventory.KindIgniter))
		}
		return nil
	})
	write(t, path, func(tx *boltstore.Tx) error { // the same file imported again brings it back
		report, err := tx.Import(batch(igniter("match")), boltstore.ImportOptions{})
		if report.NewCount != 1 || report.Records[0].ID != match {
			t.Errorf("brought back as %+v", report)
		}
		return err
	})
	found(t, path, inventory.KindIgniter, "match")
}

// TestEach gives records by handle, references named.
func TestEach(t *testing.T) {
	path := newPath(t)
	create(t, path, small())
	read(t, path, func(v *boltstore.View) error {
		var names []string
		err := v.Each(inventory.KindMotor, func(rec inventory.Record) error {
			names = append(names, rec.Base().Handle+"<"+rec.(*inventory.Motor).IgniterSupplied.Handle)
			return nil
		})
		if want := []string{"c6<wick", "d12<"}; !slices.Equal(names, want) {
			t.Errorf("motors %q, want %q", names, want)
		}
		stop := errors.New("stop")
		if err := v.Each(inventory.KindLot, func(inventory.Record) error { return stop }); !errors.Is(err, stop) {
			t.Errorf("a visitor's error came back as %v", err)
		}
		if got := v.Count(inventory.KindLot); got != 3 {
			t.Errorf("%d lots, want 3", got)
		}
		var handles []string
		for handle, about := range v.Handles(inventory.KindIgniter) {
			handles = append(handles, handle+": "+about)
		}
		if want := []string{"match: Quill Type match", "wick: Quill Type wick"}; !slices.Equal(handles, want) {
			t.Errorf("handles %q, want %q", handles, want)
		}
		for range v.Handles(inventory.KindIgniter) {
			break
		}
		return err
	})
}

// TestLoadTakesWhatTheQuestionNeeds and nothing more.
func TestLoadTakesWhatTheQuestionNeeds(t *testing.T) {
	path := newPath(t)
	create(t, path, small())
	for _, c := range []struct {
		name string
		want boltstore.Want
		gets []string
	}{
		{"nothing", boltstore.Want{}, []string{"settings"}},
		{"a motor", boltstore.Want{Named: []boltstore.Named{{Kind: inventory.KindMotor, Handle: "c6"}}},
			[]string{"igniter wick", "motor c6", "settings"}},
		{"a motor with its lots", boltstore.Want{Named: []boltstore.Named{{Kind: inventory.KindMotor, Handle: "c6"}}, LotsOfLoaded: true},
			[]string{"igniter wick", "lot", "lot", "motor c6", "settings"}},
		{"with readings and entries", boltstore.Want{Named: []boltstore.Named{{Kind: inventory.KindMotor, Handle: "c6"}}, LotsOfLoaded: true, Readings: true, Events: true},
			[]string{"event", "event", "igniter wick", "lot", "lot", "motor c6", "reading", "settings"}},
		{"all igniters", boltstore.Want{All: []inventory.Kind{inventory.KindIgniter}},
			[]string{"igniter match", "igniter wick", "settings"}},
		{"a day", boltstore.Want{All: []inventory.Kind{inventory.KindDay}},
			[]string{"battery pack", "day", "igniter wick", "line pad", "motor c6", "rocket lark", "settings"}},
		{"a lot", boltstore.Want{IDs: []uuid.UUID{lotID("powder")}}, []string{"lot", "settings", "supply powder"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			read(t, path, func(v *boltstore.View) error {
				box, err := v.Load(c.want)
				if err != nil {
					return err
				}
				var gets []string
				for _, rec := range inventory.List[inventory.Record](box) {
					gets = append(gets, strings.TrimSpace(string(rec.Kind())+" "+rec.Base().Handle))
				}
				slices.Sort(gets)
				if !slices.Equal(gets, c.gets) {
					t.Errorf("loaded %q, want %q", gets, c.gets)
				}
				for _, l := range inventory.List[*inventory.Lot](box) {
					if got := box.Stock(l); got.OnHand <= 0 || l.Item.Handle == "" {
						t.Errorf("lot of %q with %+v", l.Item.Handle, got)
					}
				}
				return nil
			})
		})
	}
	read(t, path, func(v *boltstore.View) error {
		_, err := v.Load(boltstore.Want{Named: []boltstore.Named{{Kind: inventory.KindMotor, Handle: "zz"}}})
		if !errors.Is(err, inventory.ErrNotFound) {
			t.Errorf("a root that is not there: %v", err)
		}
		_, err = v.Load(boltstore.Want{IDs: []uuid.UUID{{1}}})
		if !errors.Is(err, inventory.ErrNotFound) {
			t.Errorf("an id that is not there: %v", err)
		}
		return nil
	})
}

// TestRandomRecordsComeBack puts random batches in and reads the same out, and
// takes the same batch a second time without changing anything.
func TestRandomRecordsComeBack(t *testing.T) {
	dir := t.TempDir()
	rapid.Check(t, func(rt *rapid.T) {
		path := dir + "/" + uuid.NewString() + ".box"
		b := inventorytest.Records(rt)
		if idTwice(b) {
			rt.Skip("one id was drawn twice")
		}
		report := boltstore.ImportReport{}
		err := boltstore.CreateOrWrite(path, opt(), func(tx *boltstore.Tx) (err error) {
			report, err = tx.Import(b, boltstore.ImportOptions{})
			return err
		})
		if err != nil {
			rt.Fatalf("import: %v", err)
		}
		mustVerify(rt, path)
		err = boltstore.Read(path, opt(), func(v *boltstore.View) error {
			for _, item := range b.Items {
				got, err := v.Get(item.Record.Base().ID)
				if err != nil {
					return err
				}
				if lot, ok := got.(*inventory.Lot); ok {
					lot.Place = item.Record.(*inventory.Lot).Place // the ledger's to say
				}
				if d := cmp.Diff(inventory.Pack(item.Record), inventory.Pack(got)); d != "" {
					rt.Fatalf("%s changed in the store:\n%s", got.Kind(), d)
				}
			}
			return nil
		})
		if err != nil {
			rt.Fatal(err)
		}
		before := digest(t, path)
		err = boltstore.Write(path, opt(), func(tx *boltstore.Tx) (err error) {
			report, err = tx.Import(b, boltstore.ImportOptions{})
			return err
		})
		if err != nil {
			rt.Fatalf("second import: %v", err)
		}
		if report.NewCount+report.ChangedCount+report.EntriesNew+len(report.Counted) > 0 || digest(t, path) != before {
			for _, r := range report.Records {
				if r.Status != boltstore.Unchanged {
					rt.Logf("%+v", r)
				}
			}
			rt.Fatalf("the second import changed the box: %+v", report)
		}
	})
}

func idTwice(b *inventory.Batch) bool {
	seen := map[uuid.UUID]bool{uuid.Nil: false}
	for _, item := range b.Items {
		id := item.Record.Base().ID
		if seen[id] {
			return true
		}
		seen[id] = id != uuid.Nil
	}
	return false
}
