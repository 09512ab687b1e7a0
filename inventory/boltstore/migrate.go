package boltstore

import (
	"errors"
	"fmt"
)

// formatVersion is the format that this version writes.
const formatVersion = 1

// errOlder says inside the package that a file waits to be migrated.
var errOlder = errors.New("the file has an older format")

// migration brings a file from one format to the next, within the writing
// command's transaction.
type migration struct {
	from int
	run  func(*Tx) error
}

// migrations stand in the order of their formats; there is none yet, since this
// is the first.
var migrations []migration

// migrate brings the file up to the present format.
func (t *Tx) migrate() error {
	version, err := t.format()
	if err != nil {
		return err
	}
	if err := t.mustGet(bucketMeta, []byte(keyState), &t.state); err != nil {
		return err
	}
	for _, m := range migrations {
		if m.from != version {
			continue
		}
		if err := m.run(t); err != nil {
			return fmt.Errorf("migrate the box from format %d: %w", m.from, err)
		}
		version++
	}
	if version != formatVersion {
		return fmt.Errorf("migrate the box: no way from format %d to %d is known", version, formatVersion)
	}
	return t.put(bucketMeta, []byte(keyFormat), storedFormat{formatVersion})
}
