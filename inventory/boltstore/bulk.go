package boltstore

import (
	"fmt"
	"os"
	"path/filepath"
)

// bulk writes in several transactions into a file that nobody else can see yet.
type bulk struct {
	o       *opened
	written int
}

// writeBulk runs fn on a copy beside the file, and puts the copy in the file's
// place at the end. The lock on the file is held all the while; a command that
// waited for it finds that its file was replaced and opens the new one.
func (o *opened) writeBulk(path string, opt Options, fn func(*Tx) error) error {
	defer o.close()
	temp, err := o.copyBeside(path)
	if err != nil {
		return err
	}
	defer os.Remove(temp)
	changed, err := runBulk(temp, path, opt, fn)
	if err != nil || !changed {
		return err
	}
	step("replace")
	if err := os.Rename(temp, path); err != nil {
		return fmt.Errorf("put the new file in place: %w", err)
	}
	return syncFolder(filepath.Dir(path))
}

// runBulk runs fn on the copy and says whether there is something to keep.
func runBulk(temp, path string, opt Options, fn func(*Tx) error) (changed bool, err error) {
	o, err := openOnce(temp, opt.wait(), false)
	if err != nil {
		return false, err
	}
	defer o.close()
	defer guard(temp, &err)
	defer faultsPanic()()
	t, err := o.begin(path, opt)
	if err != nil {
		return false, err
	}
	err = t.runInBulk(o, fn)
	return t.changed && !t.discard, err
}

// runInBulk is run in several transactions. Nobody else can see the file yet, so
// all of it is made durable once, at the end.
func (t *Tx) runInBulk(o *opened, fn func(*Tx) error) error {
	o.db.NoSync = true
	t.bulk = &bulk{o: o}
	if err := t.run(fn); err != nil {
		return err
	}
	if err := o.db.Sync(); err != nil {
		return fmt.Errorf("write the box: %w", err)
	}
	return nil
}

// inChunk is how many records and entries of a bulk are written in one transaction.
// The pages that it changes stay in memory until then, and a page with thousands of
// new keys is slow to put more into.
var inChunk = 4000

// filled is how full pages are left in bulk, where the keys come in order; bbolt
// leaves them half full for keys that come anywhere.
const filled = 0.8

// wrote tells of records and entries that were written.
func (t *Tx) wrote(n int) error {
	t.opt.progress(n)
	return t.chunk(n)
}

// chunk counts what was written and, in bulk, commits before a transaction grows slow.
func (t *Tx) chunk(n int) error {
	if t.bulk == nil {
		return nil
	}
	t.bulk.written += n
	if t.bulk.written < inChunk {
		return nil
	}
	t.bulk.written = 0
	return t.flush()
}

// flush commits what there is and goes on in a new transaction. The box's
// number rises once only, with the last.
func (t *Tx) flush() error {
	for _, b := range t.buckets {
		b.FillPercent = filled
	}
	if err := t.putState(); err != nil {
		return err
	}
	if err := t.tx.Commit(); err != nil {
		t.broken = fmt.Errorf("write the box: %w", err)
		return t.broken
	}
	tx, err := t.bulk.o.db.Begin(true)
	if err != nil {
		t.broken = fmt.Errorf("write the box: %w", err)
		return t.broken
	}
	t.tx, t.pages = tx, nil
	clear(t.buckets)
	step("flushed")
	return nil
}
