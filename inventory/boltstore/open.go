package boltstore

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"syscall"
	"time"

	bolt "go.etcd.io/bbolt"
	bolterrors "go.etcd.io/bbolt/errors"

	"rangebox/inventory"
)

// opened is an open bbolt file together with the file it stands on, which is
// needed to compare it with the path and to let go of it after a panic.
type opened struct {
	db   *bolt.DB
	file *os.File
}

// lookAt refuses what is no box before bbolt sees it.
func lookAt(path string) error {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return fmt.Errorf("%w: there is no box at %s; `rangebox import FILE` or `rangebox motor add` makes one", inventory.ErrMissing, path)
	case err != nil:
		return fmt.Errorf("open the box: %w", err)
	case info.IsDir():
		return fmt.Errorf("open the box: %s is a folder, not a file", path)
	case !info.Mode().IsRegular():
		return fmt.Errorf("open the box: %s is not a regular file", path)
	case info.Size() == 0:
		return fmt.Errorf("%w: %s is empty (0 bytes), so it is no box; restore a backup, or remove the file and begin again", inventory.ErrDamaged, path)
	}
	return nil
}

// reopenings is how often a file that was replaced while it was waited for is
// opened anew.
const reopenings = 10

// open opens an existing box. A process that waited for the lock may hold a file
// that has been replaced at its path since: it would write into nothing, so it
// compares the two once it has the lock.
func open(path string, opt Options, readOnly bool) (*opened, error) {
	for range reopenings {
		if err := lookAt(path); err != nil {
			return nil, err
		}
		o, err := openOnce(path, opt.wait(), readOnly)
		if err != nil {
			return nil, err
		}
		same, err := o.standsAt(path)
		if same {
			return o, nil
		}
		o.close()
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return nil, fmt.Errorf("open the box: %w", err)
		}
	}
	return nil, fmt.Errorf("%w: %s is being replaced again and again by another program", inventory.ErrBusy, path)
}

// openOnce opens the file with bbolt, which may panic on a damaged one; the
// lock is let go of in any case.
func openOnce(path string, wait time.Duration, readOnly bool) (o *opened, err error) {
	o = &opened{}
	defer guard(path, &err)
	defer func() {
		if o != nil && o.db == nil && o.file != nil {
			o.abandon() // a panic or an error kept it, and the lock with it
		}
	}()
	o.db, err = bolt.Open(path, 0o600, &bolt.Options{
		Timeout:      wait,
		ReadOnly:     readOnly,
		NoStatistics: true,
		OpenFile: func(name string, flag int, mode os.FileMode) (*os.File, error) {
			file, err := os.OpenFile(name, flag&^os.O_CREATE, mode)
			o.file = file
			return file, err
		},
	})
	if err != nil {
		return nil, openError(path, err)
	}
	return o, nil
}

func openError(path string, err error) error {
	switch {
	case errors.Is(err, bolterrors.ErrTimeout):
		return fmt.Errorf("%w: another rangebox command holds %s; wait until it is done and run this one again", inventory.ErrBusy, path)
	case errors.Is(err, fs.ErrNotExist):
		return fmt.Errorf("%w: the box at %s has just been taken away", inventory.ErrMissing, path)
	case fromSystem(err):
		return fmt.Errorf("open the box: %w", err)
	}
	return fmt.Errorf("%w: %s is not a rangebox file, or its beginning is damaged (%s); restore a backup", inventory.ErrDamaged, path, err)
}

// fromSystem tells the errors of the operating system from what bbolt has to
// say of the content.
func fromSystem(err error) bool {
	var errno syscall.Errno
	var inPath *fs.PathError
	return errors.As(err, &errno) || errors.As(err, &inPath)
}

// standsAt tells whether the open file is the one that the path names.
func (o *opened) standsAt(path string) (bool, error) {
	mine, err := o.file.Stat()
	if err != nil {
		return false, err
	}
	there, err := os.Stat(path)
	if err != nil {
		return false, err
	}
	return os.SameFile(mine, there), nil
}

func (o *opened) close() { _ = o.db.Close() }

// abandon lets go of the lock of a file on which bbolt panicked: its own locks
// may be held still, so that Close could wait for ever.
func (o *opened) abandon() {
	unlock(o.file)
	_ = o.file.Close()
}

// check refuses a file that is cut short, or whose pages point where they cannot.
func (o *opened) check(tx *bolt.Tx, writing bool) error {
	if err := o.checkSize(tx); err != nil {
		return err
	}
	if problem := skimPages(o.file, writing); problem != "" {
		return pageDamage(problem)
	}
	return nil
}

func pageDamage(problem string) error {
	return fmt.Errorf("%w: %s; `rangebox verify` says more, and a backup can be restored", inventory.ErrDamaged, problem)
}

// checkSize refuses a file that is shorter than its own meta page says.
func (o *opened) checkSize(tx *bolt.Tx) error {
	info, err := o.file.Stat()
	if err != nil {
		return fmt.Errorf("open the box: %w", err)
	}
	if info.Size() < tx.Size() {
		return fmt.Errorf("%w: the file is cut short: %d of %d bytes are there; restore a backup", inventory.ErrDamaged, info.Size(), tx.Size())
	}
	return nil
}
