package boltstore

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	bolt "go.etcd.io/bbolt"

	"rangebox/inventory"
)

// Backup copies the box at path into a new file, as it stands in one read
// transaction. It writes over nothing.
func Backup(path, dest string, opt Options) error {
	if _, err := os.Lstat(dest); !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("%w: there is a file at %s already; a backup writes over nothing", inventory.ErrConflict, dest)
	}
	return Read(path, opt, func(v *View) error {
		temp, err := newTemp(dest)
		if err != nil {
			return err
		}
		defer os.Remove(temp)
		if err := writeFile(v.tx, temp); err != nil {
			return err
		}
		return putInPlace(temp, dest)
	})
}

// Restore puts the backup at from in the place of the box at path, after it was
// verified. What stood there is kept under a number beside it, whose name is
// given, empty where there was nothing.
func Restore(from, path string, opt Options) (kept string, err error) {
	report, err := Verify(from, opt)
	if err == nil {
		err = report.Err()
	}
	if err != nil {
		return "", fmt.Errorf("restore from %s: %w", from, err)
	}
	if _, err := makeFolders(filepath.Dir(path)); err != nil {
		return "", err
	}
	temp, err := newTemp(path)
	if err != nil {
		return "", err
	}
	defer os.Remove(temp)
	if err := Read(from, opt, func(v *View) error { return writeFile(v.tx, temp) }); err != nil {
		return "", fmt.Errorf("restore from %s: %w", from, err)
	}
	return exchange(temp, path, opt)
}

// exchange keeps what is at path under a number and puts temp there.
func exchange(temp, path string, opt Options) (kept string, err error) {
	if _, err := os.Lstat(path); errors.Is(err, fs.ErrNotExist) {
		return "", putInPlace(temp, path)
	}
	release, err := hold(path, opt)
	if err != nil {
		return "", err
	}
	defer release()
	kept, err = keepNumbered(path, func(name string) error { return copyOrLink(path, name) })
	if err != nil {
		return "", err
	}
	step("kept")
	if err := os.Rename(temp, path); err != nil {
		return kept, fmt.Errorf("put the file in place: %w", err)
	}
	step("restored")
	return kept, syncFolder(filepath.Dir(path))
}

// hold takes the lock on what is at path, so that no command is writing into it.
// A file that is no box, or a damaged one, is nobody's and needs none.
func hold(path string, opt Options) (release func(), err error) {
	o, err := open(path, opt, false)
	switch {
	case err == nil:
		return o.close, nil
	case errors.Is(err, inventory.ErrDamaged):
		return func() {}, nil
	}
	return nil, err
}

// copyOrLink keeps a file under another name, byte for byte.
func copyOrLink(path, name string) error {
	if os.Link(path, name) == nil {
		return nil
	}
	from, err := os.Open(path)
	if err != nil {
		return fmt.Errorf("keep %s: %w", path, err)
	}
	defer from.Close()
	to, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return fmt.Errorf("keep %s: %w", path, err)
	}
	defer to.Close()
	if _, err := io.Copy(to, from); err != nil {
		return fmt.Errorf("keep %s: %w", path, err)
	}
	return errors.Join(to.Sync(), to.Close())
}

// copyBeside copies the box into a new file beside it.
func (o *opened) copyBeside(path string) (string, error) {
	temp, err := newTemp(path)
	if err != nil {
		return "", err
	}
	err = o.db.View(func(tx *bolt.Tx) error { return writeFile(tx, temp) })
	if err != nil {
		_ = os.Remove(temp)
		return "", err
	}
	return temp, nil
}

// writeFile writes the box as a transaction sees it into a file that is there, durably:
// one that was taken away meanwhile does not come back, see package unfinished.
func writeFile(tx *bolt.Tx, name string) error {
	file, err := os.OpenFile(name, os.O_WRONLY|os.O_TRUNC, 0o600)
	if err != nil {
		return fmt.Errorf("copy the box: %w", err)
	}
	defer file.Close()
	if _, err := tx.WriteTo(file); err != nil {
		return fmt.Errorf("copy the box to %s: %w", name, err)
	}
	if err := file.Sync(); err != nil {
		return fmt.Errorf("copy the box to %s: %w", name, err)
	}
	return file.Close()
}

// copyAside keeps a copy of the box under the next free number beside it,
// and gives its name.
func copyAside(tx *bolt.Tx, path string) (string, error) {
	temp, err := newTemp(path)
	if err != nil {
		return "", err
	}
	defer os.Remove(temp)
	if err := writeFile(tx, temp); err != nil {
		return "", err
	}
	step("copied aside")
	name, err := keepNumbered(path, func(name string) error { return putInPlace(temp, name) })
	step("kept aside")
	return name, err
}

// mostCopies is how many numbered copies are looked through for a free name.
const mostCopies = 10_000

// keepNumbered tries the names PATH.1.bak, PATH.2.bak and so on until place
// does not find the name taken, and gives the name.
func keepNumbered(path string, place func(name string) error) (string, error) {
	for n := 1; n <= mostCopies; n++ {
		name := fmt.Sprintf("%s.%d.bak", path, n)
		if _, err := os.Lstat(name); err == nil {
			continue
		}
		if err := place(name); err != nil {
			return "", err
		}
		return name, nil
	}
	return "", fmt.Errorf("keep a copy of %s: there are %d already", path, mostCopies)
}
