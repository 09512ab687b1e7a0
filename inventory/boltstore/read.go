package boltstore

import (
	"errors"
	"fmt"

	"rangebox/inventory"
)

// Read opens the box for reading and runs fn in one read transaction. It never
// changes a byte of the file, and waits for a writer no longer than opt.Wait.
func Read(path string, opt Options, fn func(*View) error) error {
	o, err := open(path, opt, true)
	if err != nil {
		return err
	}
	err = o.read(path, false, fn)
	if errors.Is(err, errOlder) {
		return fmt.Errorf("%w: %s has an older format; any writing command brings it up to date, after a backup beside it", inventory.ErrInvalid, path)
	}
	return err
}

// read runs fn in a read transaction and closes the file; writing tells that a
// write is to follow.
func (o *opened) read(path string, writing bool, fn func(*View) error) (err error) {
	whole := false
	defer func() {
		if whole {
			o.close()
			return
		}
		o.abandon()
	}()
	defer guard(path, &err)
	defer faultsPanic()()
	err = o.readTx(writing, fn)
	whole = true
	return err
}

func (o *opened) readTx(writing bool, fn func(*View) error) error {
	tx, err := o.db.Begin(false)
	if err != nil {
		return fmt.Errorf("read the box: %w", err)
	}
	if err := o.check(tx, writing); err != nil {
		_ = tx.Rollback()
		return err
	}
	view, err := newView(tx)
	if err == nil {
		err = fn(view)
	}
	_ = tx.Rollback()
	if err == nil {
		err = view.err
	}
	return err
}
