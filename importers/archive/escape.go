package archive

import (
	"bytes"
	"fmt"
	"strconv"

	"rangebox/inventory"
)

var errHalf = fmt.Errorf("%w: half a character: an escape of \\ud800 to \\udfff comes in pairs", inventory.ErrInvalid)

// escape follows the \u escapes of JSON texts through a stream. The decoder
// would put U+FFFD in place of half a surrogate pair (RFC 8259, section 8.2),
// and so change a text in silence.
type escape struct {
	state  escapeState
	digits []byte
	high   bool // the first half of a pair was read
}

type escapeState uint8

const (
	outside   escapeState = iota
	backslash             // after a backslash
	inDigits              // after \u
)

// watch gives the place at which half a character is certain, or -1.
func (e *escape) watch(chunk []byte) int {
	for i := 0; i < len(chunk); i++ {
		if e.state == outside && !e.high {
			next := bytes.IndexByte(chunk[i:], '\\')
			if next < 0 {
				return -1
			}
			i += next
		}
		if !e.step(chunk[i]) {
			return i
		}
	}
	return -1
}

// step takes a byte; false where half a character stands alone.
func (e *escape) step(c byte) bool {
	switch e.state {
	case outside:
		if c != '\\' {
			return !e.high
		}
		e.state = backslash
		return true
	case backslash:
		e.state = outside
		if c != 'u' {
			return !e.high
		}
		e.state, e.digits = inDigits, e.digits[:0]
		return true
	}
	if e.digits = append(e.digits, c); len(e.digits) < 4 {
		return true
	}
	e.state = outside
	return e.whole()
}

// whole judges a finished escape beside the one before it.
func (e *escape) whole() bool {
	code, err := strconv.ParseUint(string(e.digits), 16, 16)
	if err != nil {
		return true // no escape at all: the decoder says so, with its place
	}
	first, second := code>>10 == 0xd800>>10, code>>10 == 0xdc00>>10
	paired := e.high == second
	e.high = first
	return paired
}
