package inventory

import (
	"fmt"
	"regexp"
	"strings"

	"github.com/google/uuid"
)

// Header is what every record begins with. Lots, events, readings, days and
// flights have no handle and are known by their id.
type Header struct {
	ID     uuid.UUID
	Handle string
	Notes  string
}

// Base gives access to the header of any record.
func (h *Header) Base() *Header { return h }

// Ref points to another record: by handle where it was typed or read from a
// file, by id once it is resolved.
type Ref struct {
	ID     uuid.UUID
	Handle string
}

// IsZero tells whether nothing is referred to.
func (r Ref) IsZero() bool { return r == Ref{} }

// String is the handle, or the id where no handle is known.
func (r Ref) String() string {
	if r.Handle != "" || r.ID == uuid.Nil {
		return r.Handle
	}
	return r.ID.String()
}

// handleForm is the contract's: a lower-case letter or digit, then up to 39 more
// with dots and dashes.
var handleForm = regexp.MustCompile(`^[a-z0-9][a-z0-9.-]{0,39}$`)

// CheckHandle refuses what is not a handle.
func CheckHandle(handle string) error {
	if handleForm.MatchString(handle) {
		return nil
	}
	return fmt.Errorf("%w: %q is not a handle; use 1 to 40 of a-z, 0-9, dot and dash, beginning with a letter or digit", ErrInvalid, handle)
}

// space is the name space of ids made from content, our own.
var space = uuid.MustParse("6b1d3f8e-54c7-5b0a-9d52-0f6a1c2e7d41")

// DerivedID is the id of a record that came without one: the same kind and
// names give the same id on every computer (UUIDv5, RFC 9562).
func DerivedID(kind Kind, names ...string) uuid.UUID {
	return uuid.NewSHA1(space, []byte(string(kind)+"\x00"+strings.Join(names, "\x00")))
}
