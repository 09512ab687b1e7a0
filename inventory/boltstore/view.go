package boltstore

import (
	"fmt"
	"time"

	"github.com/google/uuid"
	bolt "go.etcd.io/bbolt"

	"rangebox/inventory"
)

// View is a box as one read transaction sees it. It serves only inside the
// function it is given to.
type View struct {
	tx      *bolt.Tx
	buckets map[string]*bolt.Bucket
	state   storedState
	// handles of records that were referred to, so that each is looked up once
	handles map[uuid.UUID]string
	// buckets that were walked because something was not found in them
	walked map[string]bool
	// damage met where no error could be returned
	err error
}

var _ inventory.Directory = (*View)(nil)

// newView checks the format and reads the state of the box.
func newView(tx *bolt.Tx) (*View, error) {
	v := &View{tx: tx, buckets: map[string]*bolt.Bucket{}, handles: map[uuid.UUID]string{}, walked: map[string]bool{}}
	version, err := v.format()
	if err != nil {
		return nil, err
	}
	if version != formatVersion {
		return v, errOlder
	}
	return v, v.mustGet(bucketMeta, []byte(keyState), &v.state)
}

// format reads the version of the file's format.
func (v *View) format() (int, error) {
	var f storedFormat
	if err := v.mustGet(bucketMeta, []byte(keyFormat), &f); err != nil {
		return 0, err
	}
	if f.Version > formatVersion {
		return 0, fmt.Errorf("%w: the file has format %d and this version of rangebox knows up to %d; use a newer rangebox", inventory.ErrNewer, f.Version, formatVersion)
	}
	return f.Version, nil
}

// Revision is the state of the box that this view sees.
func (v *View) Revision() Revision {
	return Revision{Box: v.state.Box, Number: v.state.Number, Changed: time.Unix(0, v.state.Changed).UTC()}
}

func (v *View) bucket(name string) (*bolt.Bucket, error) {
	if b, ok := v.buckets[name]; ok {
		return b, nil
	}
	b := v.tx.Bucket([]byte(name))
	if b == nil {
		return nil, fmt.Errorf("%w: the bucket %q is not there", inventory.ErrDamaged, name)
	}
	v.buckets[name] = b
	return b, nil
}

// payload finds a value and checks its envelope; nil where there is none.
func (v *View) payload(bucket string, key []byte) ([]byte, error) {
	b, err := v.bucket(bucket)
	if err != nil {
		return nil, err
	}
	value := b.Get(key)
	if value == nil {
		return nil, nil
	}
	return unseal(bucket, key, value)
}

// get finds a value and decodes it; false where there is none.
func (v *View) get(bucket string, key []byte, into any) (bool, error) {
	payload, err := v.payload(bucket, key)
	if err != nil || payload == nil {
		return false, err
	}
	return true, decode(bucket, key, payload, into)
}

// mustGet is get for what has to be there.
func (v *View) mustGet(bucket string, key []byte, into any) error {
	found, err := v.get(bucket, key, into)
	if err == nil && !found {
		return damaged(bucket, key, "it is not there")
	}
	return err
}

// walk goes through a whole bucket in the order of its keys and holds their
// number against the one kept, so that a record that is lost is noticed.
func (v *View) walk(bucket string, visit func(key, payload []byte) error) error {
	b, err := v.bucket(bucket)
	if err != nil {
		return err
	}
	var n uint64
	c := b.Cursor()
	for key, value := c.First(); key != nil; key, value = c.Next() {
		payload, err := unseal(bucket, key, value)
		if err != nil {
			return err
		}
		if err := visit(key, payload); err != nil {
			return err
		}
		n++
	}
	if want := v.state.Counts[bucket]; n != want {
		return fmt.Errorf("%w: bucket %q has %d values where %d were written", inventory.ErrDamaged, bucket, n, want)
	}
	return nil
}

// absent is asked before something is called "not found": it walks the bucket
// once and looks each key up, because a key that is damaged, or one behind a
// branch that is, cannot be found either.
func (v *View) absent(bucket string) error {
	if v.walked[bucket] {
		return nil
	}
	v.walked[bucket] = true
	b, err := v.bucket(bucket)
	if err != nil {
		return err
	}
	return v.walk(bucket, func(key, _ []byte) error {
		if b.Get(key) == nil {
			return damaged(bucket, key, "it is there and cannot be found")
		}
		return nil
	})
}

// keep remembers damage that a method without an error result met.
func (v *View) keep(err error) {
	if v.err == nil {
		v.err = err
	}
}
