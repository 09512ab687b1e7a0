package boltstore_test

import (
	"errors"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/uuid"
	bolt "go.etcd.io/bbolt"

	"rangebox/inventory"
	"rangebox/inventory/boltstore"
	"rangebox/inventory/inventorytest"
	"rangebox/inventory/quantity"
)

var update = flag.Bool("update", false, "write the golden files anew; a fixture that exists is never written over")

// fixture is a box of every kind of record, of a removed and a renamed one, and
// of a ledger with a void.
func fixture(path string) error {
	b := small()
	c := &inventory.Controller{Name: "Pad box", Outputs: []inventory.Output{{Name: "A"}}}
	c.Handle = "pad-box"
	b.Add(c, "", 0)
	gone := igniter("gone")
	used := entry(inventory.Used, lotID("wick"), 2, 5)
	used.ID, used.Flight, used.Point = uuid.UUID{1}, uuid.UUID{2}, "one/main/1"
	used.With, used.Result, used.By = toID(lotID("c6")), inventory.Fired, "the flyer"
	wrong := entry(inventory.In, lotID("wick"), 2, 6)
	wrong.ID = uuid.UUID{3}
	taken := void(wrong.ID, 7)
	taken.ID = uuid.UUID{4}
	for _, fn := range []func(*boltstore.Tx) error{
		func(tx *boltstore.Tx) error { _, err := tx.Import(b, boltstore.ImportOptions{}); return err },
		func(tx *boltstore.Tx) error { _, err := tx.Put(gone); return err },
		func(tx *boltstore.Tx) error { return tx.Remove(gone.ID) },
		func(tx *boltstore.Tx) error { return tx.Rename(inventory.KindMotor, "d12", "quill-d12") },
		func(tx *boltstore.Tx) error { return tx.Book(used, wrong, taken) },
	} {
		if err := boltstore.CreateOrWrite(path, opt(), fn); err != nil {
			return err
		}
	}
	return nil
}

// TestFixtures opens the box of each format there ever was, and reads out of it
// what was put in. A fixture is never made anew: files on people's disks are not.
func TestFixtures(t *testing.T) {
	for version := 1; version <= 1; version++ {
		t.Run(fmt.Sprintf("v%d", version), func(t *testing.T) {
			name := filepath.Join("testdata", fmt.Sprintf("v%d.box", version))
			if _, err := os.Stat(name); *update && os.IsNotExist(err) {
				must(t, fixture(name))
			}
			data, err := os.ReadFile(name)
			must(t, err)
			path := newPath(t)
			must(t, os.WriteFile(path, data, 0o600))
			report := mustVerify(t, path)
			for _, info := range inventory.Kinds {
				if report.Records[info.Kind] == 0 && (info.Kind != inventory.KindEvent || report.Entries == 0) {
					t.Errorf("the fixture has no %s", info.Kind)
				}
			}
			golden(t, strings.TrimSuffix(name, ".box")+".golden", told(t, path))
			write(t, path, func(tx *boltstore.Tx) error { _, err := tx.Put(motor("e9")); return err })
		})
	}
}

// told is the content of a box as text, in a stable order.
func told(t *testing.T, path string) string {
	t.Helper()
	var lines []string
	for name, fields := range content(t, path) {
		lines = append(lines, fmt.Sprintf("%s %v", name, fields))
	}
	slices.Sort(lines)
	return strings.Join(lines, "\n") + "\n"
}

func golden(t *testing.T, name, got string) {
	t.Helper()
	if *update {
		must(t, os.MkdirAll(filepath.Dir(name), 0o755))
		must(t, os.WriteFile(name, []byte(got), 0o644))
	}
	want, err := os.ReadFile(name)
	must(t, err)
	if d := cmp.Diff(strings.Split(string(want), "\n"), strings.Split(got, "\n")); d != "" {
		t.Errorf("%s differs (-update writes it anew, if that is meant):\n%s", name, d)
	}
}

// TestFieldNumbers freezes what the stored form stands on: the number of each
// field, its type, the step of its quantity, the words of its enumeration. What
// is in the list is never changed; new lines may come.
func TestFieldNumbers(t *testing.T) {
	var lines []string
	for _, info := range inventory.Kinds {
		lines = append(lines, fieldLines(t, string(info.Kind), info.Table)...)
	}
	golden(t, filepath.Join("testdata", "fields.golden"), strings.Join(lines, "\n")+"\n")
}

func fieldLines(t *testing.T, path string, table *inventory.Table) (lines []string) {
	numbers := map[int]string{}
	for _, f := range table.Fields {
		if other := numbers[f.Num]; other != "" {
			t.Errorf("%s: %s and %s have the number %d", path, other, f.Key, f.Num)
		}
		numbers[f.Num] = f.Key
		line := fmt.Sprintf("%s %d %s %s", path, f.Num, f.Key, typeName(f.Type))
		if f.Scale != nil {
			line += " step " + f.Scale.Format(1) + f.Scale.Name
		}
		if len(f.Words) > 0 && !f.Open {
			line += " " + strings.Join(f.Words, "|")
		}
		if f.Derived {
			line += " (not stored)"
		}
		lines = append(lines, line)
		if f.Sub != nil {
			lines = append(lines, fieldLines(t, path+"/"+f.Key, f.Sub)...)
		}
	}
	return lines
}

func typeName(typ inventory.Type) string {
	return [...]string{"text", "word", "words", "number", "numbers", "flag", "date", "moment", "id", "ref", "map", "nested"}[typ]
}

// TestFormatIsWrittenDown: FORMAT.md names every bucket, and every test that it
// names is there.
func TestFormatIsWrittenDown(t *testing.T) {
	text, err := os.ReadFile("FORMAT.md")
	must(t, err)
	for _, name := range boltstore.Buckets() {
		if !strings.Contains(string(text), "`"+name+"`") {
			t.Errorf("FORMAT.md does not name the bucket %q", name)
		}
	}
	var code strings.Builder
	files, err := filepath.Glob("*_test.go")
	must(t, err)
	for _, name := range files {
		data, err := os.ReadFile(name)
		must(t, err)
		code.Write(data)
	}
	tests := 0
	for _, word := range strings.FieldsFunc(string(text), func(r rune) bool { return strings.ContainsRune("` ,.;|()\n", r) }) {
		if !strings.HasPrefix(word, "Test") {
			continue
		}
		tests++
		if !strings.Contains(code.String(), "func "+word+"(t *testing.T)") {
			t.Errorf("FORMAT.md names %s, and there is no such test", word)
		}
	}
	if tests == 0 {
		t.Error("FORMAT.md names no test")
	}
}

// TestNewer: what a newer version wrote is refused, never dropped.
func TestNewer(t *testing.T) {
	for _, c := range []struct {
		name string
		do   func(tx *bolt.Tx) error
		read func(v *boltstore.View) error
	}{
		{"a newer format", func(tx *bolt.Tx) error {
			return tx.Bucket([]byte("meta")).Put([]byte("format"), boltstore.Seal("meta", []byte("format"), 1, []byte{0xa1, 1, 2}))
		}, nil},
		{"a newer value", func(tx *bolt.Tx) error { return change(tx, 2, func(b []byte) []byte { return b }) }, readC6},
		{"an unknown field of a record", func(tx *bolt.Tx) error {
			return change(tx, 1, func(b []byte) []byte { return boltstore.WithField(b, 5, 99) })
		}, readC6},
		{"an unknown field of the envelope", func(tx *bolt.Tx) error {
			return change(tx, 1, func(b []byte) []byte { return boltstore.WithField(b, 0, 99) })
		}, readC6},
	} {
		t.Run(c.name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "range.box")
			create(t, path, small())
			db, err := bolt.Open(path, 0o600, nil)
			must(t, err)
			must(t, db.Update(c.do))
			must(t, db.Close())
			if c.read == nil {
				c.read = func(*boltstore.View) error { return nil }
			}
			before := digest(t, path)
			if err := boltstore.Read(path, opt(), c.read); !errors.Is(err, inventory.ErrNewer) {
				t.Errorf("reading says %v", err)
			}
			err = boltstore.Write(path, opt(), func(tx *boltstore.Tx) error { _, err := tx.Put(motor("c6")); return errors.Join(err, c.read(&tx.View)) })
			if !errors.Is(err, inventory.ErrNewer) && !errors.Is(err, inventory.ErrConflict) || digest(t, path) != before {
				t.Errorf("writing says %v", err)
			}
		})
	}
}

func readC6(v *boltstore.View) error {
	_, _, err := v.Find(inventory.KindMotor, "c6")
	return err
}

// change rewrites the value of motor c6 in a sound envelope.
func change(tx *bolt.Tx, version byte, edit func([]byte) []byte) error {
	id := inventory.DerivedID(inventory.KindMotor, "c6")
	b := tx.Bucket([]byte("motor"))
	return b.Put(id[:], boltstore.Seal("motor", id[:], version, edit(slices.Clone(b.Get(id[:])[5:]))))
}

// TestMigration brings an older file up to date with the first writing command,
// after a copy of it was put beside it; reading leaves it as it is.
func TestMigration(t *testing.T) {
	path := newPath(t)
	create(t, path, small())
	boltstore.AsOlder(t, path)
	before, err := os.ReadFile(path)
	must(t, err)
	err = boltstore.Read(path, opt(), func(*boltstore.View) error { return nil })
	if !errors.Is(err, inventory.ErrInvalid) || !strings.Contains(err.Error(), "older format") {
		t.Errorf("reading an older file: %v", err)
	}
	if after, _ := os.ReadFile(path); string(after) != string(before) {
		t.Error("reading changed an older file")
	}
	write(t, path, func(*boltstore.Tx) error { return nil })
	c6 := found(t, path, inventory.KindMotor, "c6").(*inventory.Motor)
	if c6.Notes != "migrated" {
		t.Errorf("the migration did not run: %+v", c6)
	}
	kept, err := filepath.Glob(path + ".*.bak")
	must(t, err)
	if len(kept) != 1 || filepath.Base(kept[0]) != "range.box.1.bak" {
		t.Fatalf("kept %v", kept)
	}
	err = boltstore.Read(kept[0], opt(), func(*boltstore.View) error { return nil })
	if err == nil || !strings.Contains(err.Error(), "older format") {
		t.Errorf("the copy is not the older file: %v", err)
	}
}

// TestLaw keeps the store to what it may import, away from the clock, and bbolt
// to the store.
func TestLaw(t *testing.T) {
	law := inventorytest.Law{NoClock: true, Never: []string{"net", "testing", "os/exec"}, Allowed: []string{
		"rangebox/inventory", "rangebox/inventory/quantity", "rangebox/inventory/boltstore/unfinished", "github.com/google/uuid", "go.etcd.io/bbolt", "go.etcd.io/bbolt/errors", "github.com/fxamacker/cbor/v2"}}
	broken, err := law.Broken(".")
	must(t, err)
	for _, b := range broken {
		t.Error(b)
	}
	folders, elsewhere := 0, map[string]bool{}
	root := filepath.Join("..", "..")
	must(t, filepath.WalkDir(root, func(path string, d os.DirEntry, err error) error {
		if err != nil || !d.IsDir() {
			return err
		}
		if here, _ := filepath.Rel(root, path); here == filepath.Join("inventory", "boltstore") || d.Name() == ".git" || d.Name() == "testdata" {
			return filepath.SkipDir
		}
		sources, err := filepath.Glob(filepath.Join(path, "*.go"))
		if err != nil || len(sources) == 0 {
			return err
		}
		folders++
		return bboltIn(sources, elsewhere)
	}))
	if folders < 5 {
		t.Errorf("only %d folders were looked at", folders)
	}
	for name := range elsewhere {
		t.Errorf("%s imports bbolt or cbor, which only inventory/boltstore may", name)
	}
}

// TestSmallestStep sees that a quantity comes back to its last step.
func TestSmallestStep(t *testing.T) {
	path := newPath(t)
	create(t, path, small())
	for _, steps := range []int64{1, 396_875, 1<<53 + 1, 99_999_999} {
		write(t, path, func(tx *boltstore.Tx) error {
			m := motor("exact")
			if id, ok := tx.IDOf(inventory.KindMotor, "exact"); ok {
				m.ID = id
			}
			m.Length = quantity.Some(quantity.Length(steps))
			_, err := tx.Put(m)
			return err
		})
		if got := found(t, path, inventory.KindMotor, "exact").(*inventory.Motor).Length; got != quantity.Some(quantity.Length(steps)) {
			t.Errorf("%d came back as %v", steps, got)
		}
	}
}
