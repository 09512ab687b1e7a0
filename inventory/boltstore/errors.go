package boltstore

import (
	"errors"
	"fmt"
	"strings"

	"rangebox/inventory"
)

// InUseError says that a record cannot be removed because others refer to it.
type InUseError struct {
	// Record is what was to be removed, as in "motor quill-c6".
	Record string
	// By lists what refers to it.
	By []string
}

// Error lists what refers to the record.
func (e *InUseError) Error() string {
	return fmt.Sprintf("%v: %s is used by %s; change or remove these first", inventory.ErrConflict, e.Record, strings.Join(e.By, ", "))
}

// Unwrap makes it a conflict.
func (e *InUseError) Unwrap() error { return inventory.ErrConflict }

// ProblemsError lists everything that is refused about a batch.
type ProblemsError struct {
	Problems []inventory.Problem
}

// Error gives the first problem and the number of the others.
func (e *ProblemsError) Error() string {
	first := e.Problems[0].Err.Error()
	if n := len(e.Problems) - 1; n > 0 {
		return fmt.Sprintf("%s (and %d more)", first, n)
	}
	return first
}

// Unwrap is a conflict where every problem is one, else an invalid batch.
func (e *ProblemsError) Unwrap() error {
	for _, p := range e.Problems {
		if !errors.Is(p.Err, inventory.ErrConflict) {
			return inventory.ErrInvalid
		}
	}
	return inventory.ErrConflict
}
