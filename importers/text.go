package importers

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf16"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"

	"rangebox/inventory"
)

// MaxFile is the largest table, workbook or curve that is read: 64 MiB (ours). A
// hundred thousand rows of lots take a tenth of it.
const MaxFile = 64 << 20

// ReadAll reads a whole file of up to MaxFile bytes.
func ReadAll(r io.Reader, file string) ([]byte, error) {
	data, err := io.ReadAll(io.LimitReader(r, MaxFile+1))
	if err != nil {
		return nil, fmt.Errorf("reading %s: %w", file, err)
	}
	if len(data) > MaxFile {
		return nil, Issue{File: file, Found: "more than 64 MiB", Expected: "a smaller file",
			Err: fmt.Errorf("%w: the file is larger than 64 MiB; split it", inventory.ErrInvalid)}
	}
	return data, nil
}

// Text turns the bytes of a text file into text. UTF-8 and UTF-16 are known by
// their mark or by how they look, and what is not valid UTF-8 is taken for the
// old Western 8-bit text, Windows-1252. What no encoding explains is an Issue
// with its line.
func Text(data []byte, file string) (string, error) {
	if order, marked, ok := wide(data); ok {
		return wideText(data[marked:], order, file)
	}
	plain := TrimBOM(data)
	if utf8.Valid(plain) {
		return string(plain), nil
	}
	if len(plain) < len(data) {
		return "", garbled(plain, firstInvalid(plain), file, "UTF-8, as its mark says")
	}
	if nul := bytes.IndexByte(plain, 0); nul >= 0 {
		return "", garbled(plain, nul, file, "text")
	}
	return westernText(plain, file)
}

// wide tells whether the text is in UTF-16, in which order, and how long its
// mark is. Without a mark the first line gives it away: Western text has a zero
// in every second byte.
func wide(data []byte) (order binary.ByteOrder, mark int, ok bool) {
	switch {
	case bytes.HasPrefix(data, []byte("\xff\xfe")):
		return binary.LittleEndian, 2, true
	case bytes.HasPrefix(data, []byte("\xfe\xff")):
		return binary.BigEndian, 2, true
	case len(data) < 4:
		return nil, 0, false
	case data[0] != 0 && data[1] == 0 && data[2] != 0 && data[3] == 0:
		return binary.LittleEndian, 0, true
	case data[0] == 0 && data[1] != 0 && data[2] == 0 && data[3] != 0:
		return binary.BigEndian, 0, true
	}
	return nil, 0, false
}

var errHalf = errors.New("half a character")

// wideText decodes UTF-16; half of a pair is refused, not replaced.
func wideText(data []byte, order binary.ByteOrder, file string) (string, error) {
	var b strings.Builder
	b.Grow(len(data) / 2)
	for at := 0; at < len(data); at += 2 {
		r, size, err := wideRune(data[at:], order)
		if err != nil {
			line := strings.Count(b.String(), "\n") + 1
			return "", Issue{File: file, Row: line, Found: err.Error(), Expected: "UTF-16 text",
				Err: fmt.Errorf("%w: half a character of UTF-16; the file is damaged or cut short", inventory.ErrInvalid)}
		}
		b.WriteRune(r)
		at += size - 2
	}
	return b.String(), nil
}

func wideRune(data []byte, order binary.ByteOrder) (r rune, size int, err error) {
	if len(data) < 2 {
		return 0, 0, errHalf
	}
	first := rune(order.Uint16(data))
	if !utf16.IsSurrogate(first) {
		return first, 2, nil
	}
	if len(data) < 4 {
		return 0, 0, errHalf
	}
	if r = utf16.DecodeRune(first, rune(order.Uint16(data[2:]))); r == utf8.RuneError {
		return 0, 0, errHalf
	}
	return r, 4, nil
}

// westernText decodes Windows-1252, in which five bytes mean nothing.
func westernText(data []byte, file string) (string, error) {
	var b strings.Builder
	b.Grow(len(data) + len(data)/8)
	for i, c := range data {
		r := charmap.Windows1252.DecodeByte(c)
		if r == utf8.RuneError {
			return "", garbled(data, i, file, "UTF-8, UTF-16 or Windows-1252 text")
		}
		b.WriteRune(r)
	}
	return b.String(), nil
}

func garbled(data []byte, at int, file, expected string) error {
	found := fmt.Sprintf("the byte 0x%02x", data[at])
	return Issue{File: file, Row: bytes.Count(data[:at], []byte("\n")) + 1, Found: found, Expected: expected,
		Err: fmt.Errorf("%w: %s is not %s; save the file as UTF-8", inventory.ErrInvalid, found, expected)}
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
