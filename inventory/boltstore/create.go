package boltstore

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/google/uuid"
	bolt "go.etcd.io/bbolt"

	"rangebox/inventory"
	"rangebox/inventory/boltstore/unfinished"
)

// CreateOrWrite is Write that makes the box, folders too, where there is none.
// A new box is made whole in a file beside its place and put there at the end,
// so that no command ever meets half a box.
func CreateOrWrite(path string, opt Options, fn func(*Tx) error) error {
	_, err := os.Lstat(path)
	if !errors.Is(err, fs.ErrNotExist) {
		return Write(path, opt, fn)
	}
	if err := opt.checkClock(); err != nil {
		return err
	}
	made, err := makeFolders(filepath.Dir(path))
	if err != nil {
		return err
	}
	kept, err := create(path, opt, fn)
	if !kept {
		removeFolders(made)
	}
	return err
}

// makeFolders makes a folder and those above it, and lists the new ones, the
// deepest first.
func makeFolders(folder string) ([]string, error) {
	var made []string
	for dir := folder; ; dir = filepath.Dir(dir) {
		if _, err := os.Stat(dir); !errors.Is(err, fs.ErrNotExist) || dir == filepath.Dir(dir) {
			break
		}
		made = append(made, dir)
	}
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return nil, fmt.Errorf("make the folder of the box: %w", err)
	}
	return made, nil
}

func removeFolders(made []string) {
	for _, dir := range made {
		_ = os.Remove(dir) // one that somebody put a file in stays
	}
}

// create makes a new box and says whether there is one now.
func create(path string, opt Options, fn func(*Tx) error) (bool, error) {
	temp, err := newTemp(path)
	if err != nil {
		return false, err
	}
	defer os.Remove(temp)
	discarded, err := fill(temp, opt, fn)
	if err != nil || discarded {
		return false, err
	}
	step("created")
	if err := putInPlace(temp, path); err != nil {
		return false, err
	}
	return true, nil
}

// fill makes an empty box in an empty file and runs fn on it.
func fill(path string, opt Options, fn func(*Tx) error) (discarded bool, err error) {
	o, err := openOnce(path, opt.wait(), false)
	if err != nil {
		return false, err
	}
	defer o.close()
	tx, err := o.db.Begin(true)
	if err != nil {
		return false, fmt.Errorf("make the box: %w", err)
	}
	t, err := emptyBox(tx, opt)
	if err != nil {
		_ = tx.Rollback()
		return false, err
	}
	if opt.Bulk {
		err = t.runInBulk(o, fn)
	} else {
		err = t.run(fn)
	}
	return t.discard, err
}

// emptyBox lays down the buckets of a new box.
func emptyBox(tx *bolt.Tx, opt Options) (*Tx, error) {
	t := &Tx{View: View{tx: tx, buckets: map[string]*bolt.Bucket{}, handles: map[uuid.UUID]string{}, walked: map[string]bool{}}, opt: opt}
	for _, name := range allBuckets {
		if _, err := tx.CreateBucket([]byte(name)); err != nil {
			return nil, fmt.Errorf("make the box: %w", err)
		}
	}
	id, err := uuid.NewRandom()
	if err != nil {
		return nil, fmt.Errorf("make the box: %w", err)
	}
	t.state = storedState{Box: id, Counts: map[string]uint64{}}
	return t, t.put(bucketMeta, []byte(keyFormat), storedFormat{formatVersion})
}

// newTemp makes an empty file beside path, on the same file system.
func newTemp(path string) (string, error) {
	file, err := unfinished.Create(filepath.Dir(path), filepath.Base(path)+tempMark+"*")
	if err != nil {
		var of *fs.PathError
		if errors.As(err, &of) {
			err = of.Err // the file's own name says nothing to anybody
		}
		return "", fmt.Errorf("make a file beside %s: %w", path, err)
	}
	sweep(path, file)
	return file.Name(), file.Close()
}

// tempMark stands in the names of files that are not finished, before digits: a name
// that nobody gives to a copy of their own.
const tempMark = ".unfinished-"

// abandonedAfter is for how long an unfinished file was not written to when it is
// taken for one that a killed command left behind (ours).
const abandonedAfter = time.Hour

// sweep removes what killed commands left beside path: files of the same making that
// are much older than a new one, by the file system's own clock. One that is not
// removed is in nobody's way.
func sweep(path string, newest *os.File) {
	now, err := newest.Stat()
	if err != nil {
		return
	}
	folder, prefix := filepath.Dir(path), filepath.Base(path)+tempMark
	entries, err := os.ReadDir(folder)
	if err != nil {
		return
	}
	for _, entry := range entries {
		info, err := entry.Info()
		digits, ours := strings.CutPrefix(entry.Name(), prefix)
		if err != nil || !info.Mode().IsRegular() || !ours || digits == "" || strings.Trim(digits, "0123456789") != "" {
			continue
		}
		if now.ModTime().Sub(info.ModTime()) > abandonedAfter {
			_ = os.Remove(filepath.Join(folder, entry.Name()))
		}
	}
}

// putInPlace gives a finished file its name, never over another file.
func putInPlace(temp, path string) error {
	err := os.Link(temp, path)
	switch {
	case errors.Is(err, fs.ErrExist):
		return fmt.Errorf("%w: another command made %s at the same moment; run this one again", inventory.ErrBusy, path)
	case err != nil: // a file system without links
		err = renameIfFree(temp, path)
	}
	if err != nil {
		return err
	}
	return syncFolder(filepath.Dir(path))
}

func renameIfFree(temp, path string) error {
	if _, err := os.Lstat(path); !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("%w: there is a file at %s already", inventory.ErrConflict, path)
	}
	if err := os.Rename(temp, path); err != nil {
		return fmt.Errorf("put the file in place: %w", err)
	}
	return nil
}

// syncFolder makes a new name durable.
func syncFolder(folder string) error {
	dir, err := os.Open(folder)
	if err != nil {
		return fmt.Errorf("make the file's name durable: %w", err)
	}
	defer dir.Close()
	if err := dir.Sync(); err != nil && !errors.Is(err, errors.ErrUnsupported) && !errors.Is(err, fs.ErrInvalid) {
		return fmt.Errorf("make the file's name durable: %w", err)
	}
	return nil
}
