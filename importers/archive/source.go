package archive

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"unicode/utf8"

	"rangebox/importers"
	"rangebox/inventory"
)

// maxToken bounds how much is read without a value coming to its end. A text
// field takes 64 KiB, which is 384 KiB where every character is escaped; the
// JSON decoder reads up to as much again ahead.
const maxToken = 1 << 20

// source passes a file on to the JSON decoder and watches over what the decoder
// lets pass: it remembers where lines end, refuses what is not UTF-8, half
// characters in escapes, and texts without end. A byte order mark is dropped.
type source struct {
	in       *bufio.Reader
	passed   int64   // bytes handed on
	consumed int64   // bytes whose values are read, told by the reader
	ends     []int64 // offsets of line ends not yet counted in line
	line     int     // line ends before the last offset asked for
	rune     []byte  // first bytes of a character cut by the end of a chunk
	escape   escape
	fault    error // what was refused
	faultAt  int64 // and where
}

func newSource(r io.Reader) *source {
	s := &source{in: bufio.NewReaderSize(r, 64<<10)}
	if head, _ := s.in.Peek(3); len(importers.TrimBOM(head)) < len(head) {
		_, _ = s.in.Discard(len(head)) // was just peeked at
	}
	return s
}

// Read hands on the next bytes; what is refused comes as an error after the
// bytes before it.
func (s *source) Read(p []byte) (int, error) {
	if s.fault != nil {
		return 0, s.fault
	}
	if s.passed-s.consumed > maxToken {
		s.refuse(errEndless, s.consumed)
		return 0, s.fault
	}
	n, err := s.in.Read(p)
	n = s.watch(p[:n])
	s.passed += int64(n)
	if s.fault != nil {
		return n, nil
	}
	if errors.Is(err, io.EOF) && len(s.rune) > 0 {
		s.refuse(errUTF8, s.passed)
		return n, s.fault
	}
	return n, err
}

var (
	errUTF8    = fmt.Errorf("%w: not valid UTF-8 text; save the file as UTF-8", inventory.ErrInvalid)
	errEndless = fmt.Errorf("%w: more than 1 MiB without the end of a value; a text can be 64 KiB", inventory.ErrInvalid)
)

func (s *source) refuse(err error, at int64) { s.fault, s.faultAt = err, at }

// watch notes line ends and gives how many bytes are fit to be handed on.
func (s *source) watch(chunk []byte) int {
	if bad := s.invalid(chunk); bad >= 0 {
		s.refuse(errUTF8, s.passed+int64(bad))
		chunk = chunk[:bad]
	}
	if bad := s.escape.watch(chunk); bad >= 0 {
		s.refuse(errHalf, s.passed+int64(bad))
		chunk = chunk[:bad]
	}
	for at := 0; ; at++ {
		i := bytes.IndexByte(chunk[at:], '\n')
		if i < 0 {
			return len(chunk)
		}
		at += i
		s.ends = append(s.ends, s.passed+int64(at))
	}
}

// invalid gives the place of the first byte that is not UTF-8, or -1. Chunks may
// cut a character.
func (s *source) invalid(chunk []byte) int {
	at := 0
	for len(s.rune) > 0 && at < len(chunk) {
		s.rune = append(s.rune, chunk[at])
		at++
		if !utf8.FullRune(s.rune) {
			continue
		}
		if r, size := utf8.DecodeRune(s.rune); r == utf8.RuneError && size == 1 {
			return at - 1
		}
		s.rune = s.rune[:0]
	}
	rest := chunk[at:]
	whole := len(rest) - cutRune(rest)
	if !utf8.Valid(rest[:whole]) {
		return at + firstInvalid(rest)
	}
	s.rune = append(s.rune, rest[whole:]...)
	return -1
}

// cutRune is how many bytes of an unfinished character stand at the end.
func cutRune(b []byte) int {
	for n := 1; n < utf8.UTFMax && n <= len(b); n++ {
		if tail := b[len(b)-n:]; utf8.RuneStart(tail[0]) {
			if utf8.FullRune(tail) {
				return 0
			}
			return n
		}
	}
	return 0
}

func firstInvalid(b []byte) int {
	at := 0
	for at < len(b) {
		r, size := utf8.DecodeRune(b[at:])
		if r == utf8.RuneError && size == 1 {
			break
		}
		at += size
	}
	return at
}

// lineAt is the line, from 1, on which the byte at the offset stands. Offsets
// are asked for in rising order, so each line end is counted once.
func (s *source) lineAt(offset int64) int {
	done := 0
	for done < len(s.ends) && s.ends[done] < offset {
		done++
	}
	s.line += done
	s.ends = s.ends[done:]
	return s.line + 1
}
