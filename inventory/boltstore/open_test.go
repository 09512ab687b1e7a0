package boltstore_test

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	bolt "go.etcd.io/bbolt"

	"rangebox/inventory"
	"rangebox/inventory/boltstore"
)

// TestOpening sees that everything that is no box is said to be what it is.
func TestOpening(t *testing.T) {
	dir := t.TempDir()
	good := filepath.Join(dir, "good.box")
	create(t, good, small())
	whole, err := os.ReadFile(good)
	must(t, err)
	file := func(name string, data []byte) string {
		path := filepath.Join(dir, name)
		must(t, os.WriteFile(path, data, 0o600))
		return path
	}
	strange := filepath.Join(dir, "strange.box")
	db, err := bolt.Open(strange, 0o600, nil)
	must(t, err)
	must(t, db.Close())
	for _, c := range []struct {
		name, path, says string
		is               error
	}{
		{"missing", filepath.Join(dir, "no.box"), "makes one", inventory.ErrMissing},
		{"missing folder", filepath.Join(dir, "no", "no.box"), "makes one", inventory.ErrMissing},
		{"empty", file("empty.box", nil), "0 bytes", inventory.ErrDamaged},
		{"text", file("text.box", []byte("handle,name\nc6,C6\n")), "not a rangebox file", inventory.ErrDamaged},
		{"zeros", file("zeros.box", make([]byte, 65536)), "not a rangebox file", inventory.ErrDamaged},
		{"cut", file("cut.box", whole[:len(whole)/2]), "", inventory.ErrDamaged},
		{"cut to the meta pages", file("metas.box", whole[:2*os.Getpagesize()]), "", inventory.ErrDamaged},
		{"another program's bbolt file", strange, "bucket \"meta\" is not there", inventory.ErrDamaged},
		{"folder", dir, "folder", nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			before := digest(t, c.path)
			for verb, err := range map[string]error{
				"read":  boltstore.Read(c.path, opt(), func(*boltstore.View) error { return nil }),
				"write": boltstore.Write(c.path, opt(), func(*boltstore.Tx) error { return nil }),
				"verify": func() error {
					report, err := boltstore.Verify(c.path, opt())
					return errors.Join(err, report.Err())
				}(),
			} {
				if err == nil || c.is != nil && !errors.Is(err, c.is) || !strings.Contains(err.Error(), c.says) && verb != "verify" {
					t.Errorf("%s: %v, want %v and %q", verb, err, c.is, c.says)
				}
			}
			if digest(t, c.path) != before {
				t.Error("the file was changed, or made")
			}
		})
	}
}

// digest is of the file's bytes and time; of a missing file it is empty.
func digest(t testing.TB, path string) string {
	t.Helper()
	info, err := os.Stat(path)
	if errors.Is(err, fs.ErrNotExist) {
		return ""
	}
	must(t, err)
	if info.IsDir() {
		return "folder"
	}
	data, err := os.ReadFile(path)
	must(t, err)
	sum := sha256.Sum256(data)
	return string(sum[:]) + info.ModTime().String()
}

// TestReadingChangesNothing goes through all that reads.
func TestReadingChangesNothing(t *testing.T) {
	path := newPath(t)
	create(t, path, small())
	before := digest(t, path)
	read(t, path, func(v *boltstore.View) error {
		for _, info := range inventory.Kinds {
			if err := v.Each(info.Kind, func(inventory.Record) error { return nil }); err != nil {
				return err
			}
		}
		_, err := v.Load(boltstore.Want{All: []inventory.Kind{inventory.KindRocket}, LotsOfLoaded: true, Readings: true, Events: true})
		return err
	})
	mustVerify(t, path)
	must(t, boltstore.Backup(path, path+".copy", opt()))
	write(t, path, func(*boltstore.Tx) error { return nil })
	write(t, path, func(tx *boltstore.Tx) error {
		_, err := tx.Import(small(), boltstore.ImportOptions{})
		return err
	})
	if digest(t, path) != before {
		t.Error("something that reads, or changes nothing, changed the file")
	}
	if left, _ := filepath.Glob(path + ".unfinished-*"); len(left) > 0 {
		t.Errorf("files were left behind: %v", left)
	}
}

// TestWriteIsAllOrNothing sees that an error undoes what came before it.
func TestWriteIsAllOrNothing(t *testing.T) {
	path := newPath(t)
	create(t, path, small())
	before := revision(t, path)
	stop := errors.New("stop")
	err := boltstore.Write(path, opt(), func(tx *boltstore.Tx) error {
		if _, err := tx.Put(motor("e9")); err != nil {
			return err
		}
		return stop
	})
	if !errors.Is(err, stop) {
		t.Fatalf("got %v, want the function's own error", err)
	}
	if after := revision(t, path); after != before {
		t.Errorf("the box moved from %v to %v", before, after)
	}
	read(t, path, func(v *boltstore.View) error {
		if _, _, err := v.Find(inventory.KindMotor, "e9"); !errors.Is(err, inventory.ErrNotFound) {
			t.Errorf("found what was undone: %v", err)
		}
		return nil
	})
}

// TestPanicLetsGo sees that a mistake in the caller goes through and leaves no lock.
func TestPanicLetsGo(t *testing.T) {
	path := newPath(t)
	create(t, path, small())
	for name, run := range map[string]func(){
		"read":  func() { _ = boltstore.Read(path, opt(), func(*boltstore.View) error { panic("mine") }) },
		"write": func() { _ = boltstore.Write(path, opt(), func(*boltstore.Tx) error { panic("mine") }) },
	} {
		t.Run(name, func(t *testing.T) {
			defer func() {
				if got := recover(); got != "mine" {
					t.Errorf("recovered %v, want the caller's own panic", got)
				}
				write(t, path, func(*boltstore.Tx) error { return nil })
			}()
			run()
		})
	}
}

// TestCreate sees when a box is made, and when nothing is left behind.
func TestCreate(t *testing.T) {
	stop := errors.New("stop")
	for _, c := range []struct {
		name string
		fn   func(*boltstore.Tx) error
		want bool
	}{
		{"made", func(tx *boltstore.Tx) error { _, err := tx.Put(motor("c6")); return err }, true},
		{"made empty", func(*boltstore.Tx) error { return nil }, true},
		{"failed", func(*boltstore.Tx) error { return stop }, false},
		{"dry run", func(tx *boltstore.Tx) error {
			_, err := tx.Import(small(), boltstore.ImportOptions{DryRun: true})
			return err
		}, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := t.TempDir()
			path := filepath.Join(dir, "new", "folder", "range.box")
			verifyAtEnd(t, path)
			err := boltstore.CreateOrWrite(path, opt(), c.fn)
			if err != nil && !errors.Is(err, stop) {
				t.Fatal(err)
			}
			_, err = os.Stat(path)
			if got := err == nil; got != c.want {
				t.Errorf("there is a box: %v, want %v", got, c.want)
			}
			left, _ := os.ReadDir(dir)
			if got := len(left) > 0; got != c.want {
				t.Errorf("left behind: %v", left)
			}
		})
	}
}

// TestRevision counts the transactions that changed something.
func TestRevision(t *testing.T) {
	path := newPath(t)
	create(t, path, small())
	first := revision(t, path)
	if first.Number != 1 || !first.Changed.Equal(clock) {
		t.Errorf("a new box has revision %+v", first)
	}
	write(t, path, func(tx *boltstore.Tx) error { _, err := tx.Put(motor("e9")); return err })
	second := revision(t, path)
	if second.Number != 2 || second.Box != first.Box {
		t.Errorf("after one more change: %+v", second)
	}
	err := boltstore.Write(path, opt(), func(tx *boltstore.Tx) error { return tx.Expect(first) })
	if !errors.Is(err, inventory.ErrConflict) || !strings.Contains(err.Error(), "run the command again") {
		t.Errorf("a command that computed from an older box: %v", err)
	}
	write(t, path, func(tx *boltstore.Tx) error { return tx.Expect(second) })
}

// TestBusy waits for a writer, and no longer than it was told.
func TestBusy(t *testing.T) {
	path := newPath(t)
	create(t, path, small())
	short := opt()
	short.Wait = 120 * time.Millisecond
	write(t, path, func(*boltstore.Tx) error {
		for name, err := range map[string]error{
			"read":  boltstore.Read(path, short, func(*boltstore.View) error { return nil }),
			"write": boltstore.Write(path, short, func(*boltstore.Tx) error { return nil }),
		} {
			if !errors.Is(err, inventory.ErrBusy) || !strings.Contains(err.Error(), "another rangebox command") {
				t.Errorf("%s while another writes: %v", name, err)
			}
		}
		return nil
	})
}

// TestNoClock refuses to write without one.
func TestNoClock(t *testing.T) {
	path := newPath(t)
	create(t, path, small())
	if err := boltstore.Write(path, boltstore.Options{}, func(*boltstore.Tx) error { return nil }); !errors.Is(err, inventory.ErrInvalid) {
		t.Errorf("write without a clock: %v", err)
	}
	must(t, boltstore.Read(path, boltstore.Options{}, func(*boltstore.View) error { return nil }))
}

// TestReplacedWhileWaiting: who waited for a file that is replaced meanwhile
// writes into the new one.
func TestReplacedWhileWaiting(t *testing.T) {
	path := newPath(t)
	create(t, path, small())
	copied := path + ".copy"
	must(t, boltstore.Backup(path, copied, opt()))
	waited := make(chan error)
	write(t, path, func(*boltstore.Tx) error {
		go func() {
			waited <- boltstore.Write(path, opt(), func(tx *boltstore.Tx) error { _, err := tx.Put(motor("e9")); return err })
		}()
		time.Sleep(200 * time.Millisecond) // so that it waits on the old file
		return os.Rename(copied, path)
	})
	must(t, <-waited)
	read(t, path, func(v *boltstore.View) error {
		_, _, err := v.Find(inventory.KindMotor, "e9")
		return err
	})
}

// TestBackupAndRestore goes there and back, over nothing that was there.
func TestBackupAndRestore(t *testing.T) {
	path := newPath(t)
	create(t, path, small())
	saved := filepath.Join(t.TempDir(), "saved.box")
	must(t, boltstore.Backup(path, saved, opt()))
	if err := boltstore.Backup(path, saved, opt()); !errors.Is(err, inventory.ErrConflict) {
		t.Errorf("a second backup to the same name: %v", err)
	}
	write(t, path, func(tx *boltstore.Tx) error { _, err := tx.Put(motor("e9")); return err })
	later, err := os.ReadFile(path)
	must(t, err)
	for i := 1; i <= 2; i++ {
		kept, err := boltstore.Restore(saved, path, opt())
		must(t, err)
		mustVerify(t, kept)
		data, err := os.ReadFile(kept)
		must(t, err)
		if i == 1 && !bytes.Equal(data, later) {
			t.Error("what was kept is not what was there")
		}
	}
	if r := revision(t, path); r.Number != 1 {
		t.Errorf("restored revision %d, want 1", r.Number)
	}
	elsewhere := filepath.Join(t.TempDir(), "deep", "new.box")
	verifyAtEnd(t, elsewhere)
	kept, err := boltstore.Restore(saved, elsewhere, opt())
	must(t, err)
	if kept != "" {
		t.Errorf("kept %q where nothing was", kept)
	}
}

// TestRestoreRefusesDamage keeps a damaged backup out, and lets a damaged box go.
func TestRestoreRefusesDamage(t *testing.T) {
	path := newPath(t)
	create(t, path, small())
	good := filepath.Join(t.TempDir(), "good.box")
	must(t, boltstore.Backup(path, good, opt()))
	data, err := os.ReadFile(good)
	must(t, err)
	bad := good + ".bad"
	must(t, os.WriteFile(bad, data[:len(data)-3*os.Getpagesize()], 0o600))
	before := digest(t, path)
	if _, err := boltstore.Restore(bad, path, opt()); !errors.Is(err, inventory.ErrDamaged) {
		t.Errorf("restore of a cut backup: %v", err)
	}
	if digest(t, path) != before {
		t.Error("a refused restore touched the box")
	}
	must(t, os.WriteFile(path, data[:100], 0o600))
	kept, err := boltstore.Restore(good, path, opt())
	must(t, err)
	if left, err := os.ReadFile(kept); err != nil || len(left) != 100 {
		t.Errorf("the damaged box was not kept: %d bytes, %v", len(left), err)
	}
}
