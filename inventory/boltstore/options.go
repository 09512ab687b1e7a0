package boltstore

import (
	"fmt"
	"time"

	"github.com/google/uuid"

	"rangebox/inventory"
)

// Options are what the store needs from its caller.
type Options struct {
	// Now is the clock; writing needs it, reading does not.
	Now func() time.Time
	// Wait is how long to wait for another command that holds the file; 2 s if 0.
	Wait time.Duration
	// Bulk is for writing more than OneTransaction entries at once: they go into
	// a copy beside the file in several transactions, and the copy takes the
	// file's place at the end. It is all or nothing all the same.
	Bulk bool
	// Progress, where it is not nil, is told of every few records and entries that
	// were written or gone through how many they were.
	Progress func(n int)
}

func (o Options) progress(n int) {
	if o.Progress != nil {
		o.Progress(n)
	}
}

// OneTransaction is how many entries go into one transaction with ease; above
// it Options.Bulk is quicker and takes less memory.
const OneTransaction = 50_000

// defaultWait is how long a second command waits for the first.
const defaultWait = 2 * time.Second

func (o Options) wait() time.Duration {
	if o.Wait > 0 {
		return o.Wait
	}
	return defaultWait
}

// checkClock refuses to write without a clock: a mistake in the program.
func (o Options) checkClock() error {
	if o.Now == nil {
		return fmt.Errorf("%w: writing needs a clock in Options.Now", inventory.ErrInvalid)
	}
	return nil
}

// Revision is the state of the whole box: its number rises by one with each
// transaction that changed something.
type Revision struct {
	Box     uuid.UUID
	Number  uint64
	Changed time.Time
}
