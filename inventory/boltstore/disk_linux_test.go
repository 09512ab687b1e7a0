package boltstore_test

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"github.com/google/uuid"

	"rangebox/inventory"
	"rangebox/inventory/boltstore"
)

func init() {
	limitMemory = func() {
		most := &syscall.Rlimit{Cur: 4 << 30, Max: 4 << 30}
		_ = syscall.Setrlimit(syscall.RLIMIT_AS, most)
	}
}

// smallDisk mounts a file system of some size for a test, or skips it and says why.
func smallDisk(t *testing.T, size string) string {
	t.Helper()
	dir := t.TempDir()
	if err := syscall.Mount("tmpfs", dir, "tmpfs", 0, "size="+size); err != nil {
		t.Skipf("a small disk cannot be mounted here: %v", err)
	}
	t.Cleanup(func() { must(t, syscall.Unmount(dir, syscall.MNT_DETACH)) })
	return dir
}

// plain tells an error that says what the system said, and blames no damage.
func plain(err error) bool {
	for _, is := range []error{inventory.ErrDamaged, inventory.ErrMissing, inventory.ErrBusy, inventory.ErrNewer, inventory.ErrInvalid} {
		if errors.Is(err, is) {
			return false
		}
	}
	return err != nil
}

// TestFullDisk writes until nothing fits: the write that fails says so, and
// nothing that was acknowledged is lost.
func TestFullDisk(t *testing.T) {
	path := filepath.Join(smallDisk(t, "512k"), "range.box")
	create(t, path, small())
	var acked []uuid.UUID
	var failed error
	for i := 0; i < 10_000 && failed == nil; i++ {
		e := entry(inventory.In, lotID("wick"), 1, i)
		e.Reason = fmt.Sprintf("%2000d", i)
		if failed = book(path, e); failed == nil {
			acked = append(acked, e.ID)
		}
	}
	if !errors.Is(failed, syscall.ENOSPC) || !plain(failed) {
		t.Errorf("the disk is full, and writing says %v", failed)
	}
	if len(acked) == 0 {
		t.Error("nothing was written before the disk was full")
	}
	mustVerify(t, path)
	for _, id := range acked {
		if !holds(t, path, id) {
			t.Errorf("%s was acknowledged and is gone", id)
		}
	}
	for name, err := range map[string]error{
		"backup": boltstore.Backup(path, path+".copy", opt()),
		"create": boltstore.CreateOrWrite(filepath.Join(filepath.Dir(path), "other.box"), opt(), func(tx *boltstore.Tx) error {
			_, err := tx.Import(small(), boltstore.ImportOptions{})
			return err
		}),
	} {
		if !plain(err) || !strings.Contains(err.Error(), syscall.ENOSPC.Error()) { // bbolt does not wrap it when it copies
			t.Errorf("%s on a full disk: %v", name, err)
		}
	}
	left, err := os.ReadDir(filepath.Dir(path))
	must(t, err)
	if len(left) != 1 {
		t.Errorf("files were left behind: %v", left)
	}
}

// TestReadOnlyFolder reads there, and says plainly that it cannot write.
func TestReadOnlyFolder(t *testing.T) {
	dir := smallDisk(t, "1m")
	path := filepath.Join(dir, "range.box")
	create(t, path, small())
	must(t, syscall.Mount("tmpfs", dir, "tmpfs", syscall.MS_REMOUNT|syscall.MS_RDONLY, ""))
	found(t, path, inventory.KindMotor, "c6")
	mustVerify(t, path)
	for name, err := range map[string]error{
		"write":        book(path, entry(inventory.In, lotID("wick"), 1, 1)),
		"create":       boltstore.CreateOrWrite(filepath.Join(dir, "new.box"), opt(), func(*boltstore.Tx) error { return nil }),
		"create below": boltstore.CreateOrWrite(filepath.Join(dir, "a", "new.box"), opt(), func(*boltstore.Tx) error { return nil }),
		"backup":       boltstore.Backup(path, filepath.Join(dir, "copy.box"), opt()),
	} {
		if !errors.Is(err, syscall.EROFS) || !plain(err) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// TestUnreadable says plainly that a file, or a folder, may not be read.
func TestUnreadable(t *testing.T) {
	if os.Getuid() == 0 {
		t.Skip("permissions do not bind root")
	}
	path := newPath(t)
	create(t, path, small())
	must(t, os.Chmod(path, 0))
	t.Cleanup(func() { must(t, os.Chmod(path, 0o600)) })
	err := boltstore.Read(path, opt(), func(*boltstore.View) error { return nil })
	if !errors.Is(err, os.ErrPermission) || !plain(err) {
		t.Errorf("got %v", err)
	}
}
