package inventory

import (
	"errors"
	"fmt"
)

// The classes of failure that a caller may want to tell apart. Errors of this
// package and of the store wrap one of them.
var (
	// ErrInvalid: a value or record that is refused.
	ErrInvalid = errors.New("invalid")
	// ErrNotFound: a handle, lot or entry that the box does not hold.
	ErrNotFound = errors.New("not found")
	// ErrConflict: what was asked contradicts what the box holds.
	ErrConflict = errors.New("conflict")
	// ErrBusy: another process holds the file.
	ErrBusy = errors.New("busy")
	// ErrDamaged: the file is not as it was written.
	ErrDamaged = errors.New("damaged")
	// ErrNewer: the file was written by a newer version.
	ErrNewer = errors.New("newer")
	// ErrMissing: there is no such file.
	ErrMissing = errors.New("missing")
)

// invalidf is a refusal: a sentence that wraps ErrInvalid.
func invalidf(format string, args ...any) error {
	return fmt.Errorf("%w: "+format, append([]any{ErrInvalid}, args...)...)
}
