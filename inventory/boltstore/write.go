package boltstore

import (
	"errors"
	"fmt"

	bolt "go.etcd.io/bbolt"
)

// Tx is a writing transaction: a view of the box that can change it. What it
// did is undone altogether where its function, or the store, returns an error.
type Tx struct {
	View
	opt Options
	// changed tells that there is something to write.
	changed bool
	// discard rolls back although all went well: a dry run.
	discard bool
	// broken is a failure half-way through a change, after which nothing may be kept.
	broken error
	// pages knows the file as it was before this transaction; nil once it has
	// written to it.
	pages *pages
	// bulk, when set, commits and begins anew where a lot has been written.
	bulk *bulk
}

// Write opens an existing box for writing and runs fn in one transaction: all
// or nothing, and durable once it returns nil. A transaction that changes
// nothing leaves the file as it is. A box of an older format is migrated first,
// after a numbered copy of it was put beside it.
func Write(path string, opt Options, fn func(*Tx) error) error {
	if err := opt.checkClock(); err != nil {
		return err
	}
	if err := look(path, opt); err != nil {
		return err
	}
	o, err := open(path, opt, false)
	if err != nil {
		return err
	}
	if opt.Bulk {
		return o.writeBulk(path, opt, fn)
	}
	return o.write(path, opt, fn)
}

// look reads the file before it is opened for writing: bbolt panics at a
// writable opening of a damaged one, and would keep its lock.
func look(path string, opt Options) error {
	o, err := open(path, opt, true)
	if err != nil {
		return err
	}
	err = o.read(path, true, func(*View) error { return nil })
	if errors.Is(err, errOlder) {
		return nil
	}
	return err
}

// write runs fn in a writing transaction and closes the file.
func (o *opened) write(path string, opt Options, fn func(*Tx) error) (err error) {
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
	err = o.writeTx(path, opt, fn)
	whole = true
	return err
}

func (o *opened) writeTx(path string, opt Options, fn func(*Tx) error) error {
	t, err := o.begin(path, opt)
	if err != nil {
		return err
	}
	return t.run(fn)
}

// begin starts a writing transaction on a file of the present format.
func (o *opened) begin(path string, opt Options) (*Tx, error) {
	tx, err := o.db.Begin(true)
	if err != nil {
		return nil, fmt.Errorf("write the box: %w", err)
	}
	t, err := o.newTx(tx, path, opt)
	if err != nil {
		_ = tx.Rollback()
		return nil, err
	}
	return t, nil
}

func (o *opened) newTx(tx *bolt.Tx, path string, opt Options) (*Tx, error) {
	pages, problem := skimForWriting(o.file, tx)
	if problem != "" {
		return nil, pageDamage(problem)
	}
	view, err := newView(tx)
	if err != nil && !errors.Is(err, errOlder) {
		return nil, err
	}
	t := &Tx{View: *view, opt: opt, pages: pages}
	if errors.Is(err, errOlder) {
		if _, err := copyAside(tx, path); err != nil {
			return nil, err
		}
		return t, t.migrate()
	}
	return t, nil
}

// run runs fn and keeps or undoes what it did.
func (t *Tx) run(fn func(*Tx) error) error {
	err := fn(t)
	if err == nil {
		err = errors.Join(t.broken, t.err)
	}
	if err != nil || t.discard || !t.changed {
		_ = t.tx.Rollback()
		return err
	}
	return t.commit()
}

// commit writes the state of the box and makes all of it durable.
func (t *Tx) commit() error {
	t.state.Number++
	t.state.Changed = t.opt.Now().UnixNano()
	if err := t.putState(); err != nil {
		_ = t.tx.Rollback()
		return err
	}
	step("commit")
	if err := t.tx.Commit(); err != nil {
		return fmt.Errorf("write the box: %w", err)
	}
	step("committed")
	return nil
}

// putState writes the state, which counts the meta bucket's own values as well.
func (t *Tx) putState() error {
	b, err := t.bucket(bucketMeta)
	if err != nil {
		return err
	}
	step("state")
	key := []byte(keyState)
	t.state.Counts[bucketMeta] = 2
	return t.putRaw(b, key, seal(bucketMeta, key, encode(t.state)))
}

func (t *Tx) putRaw(b *bolt.Bucket, key, value []byte) error {
	if err := b.Put(key, value); err != nil {
		t.broken = fmt.Errorf("write the box: %w", err)
		return t.broken
	}
	return nil
}

// put writes a value into its envelope and keeps count of the bucket.
func (t *Tx) put(bucket string, key []byte, value any) error {
	b, err := t.bucket(bucket)
	if err != nil {
		return err
	}
	if err := t.look(bucket, key); err != nil {
		return err
	}
	if b.Get(key) == nil {
		t.state.Counts[bucket]++
	}
	t.changed = true
	return t.putRaw(b, key, seal(bucket, key, encode(value)))
}

// look checks the pages that a change is going to touch.
func (t *Tx) look(bucket string, key []byte) error {
	if t.pages == nil {
		return nil
	}
	if problem := t.pages.near(bucket, key); problem != "" {
		t.broken = pageDamage(problem)
	}
	return t.broken
}

// drop deletes a value and keeps count of the bucket.
func (t *Tx) drop(bucket string, key []byte) error {
	b, err := t.bucket(bucket)
	if err != nil {
		return err
	}
	if b.Get(key) == nil {
		return nil
	}
	if err := t.look(bucket, key); err != nil {
		return err
	}
	t.state.Counts[bucket]--
	t.changed = true
	if err := b.Delete(key); err != nil {
		t.broken = fmt.Errorf("write the box: %w", err)
		return t.broken
	}
	return nil
}
