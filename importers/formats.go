package importers

import (
	"bytes"
	"fmt"

	"rangebox/inventory"
)

// Format names a kind of file.
type Format string

// The formats that can be read.
const (
	// Archive is the JSON document of package importers/archive.
	Archive Format = "archive"
)

// SniffLen is how much of a file's beginning Sniff looks at.
const SniffLen = 512

// formats is the one list of what a file can be. What has no format cannot be
// read, and says what to do instead.
var formats = []struct {
	looks  func(head []byte) bool
	format Format
	found  string
	remedy string
}{
	{empty, "", "an empty file", "an archive, as `export` writes it"},
	{begins("\xff\xfe", "\xfe\xff"), "", "text in UTF-16", "UTF-8: save the file as UTF-8"},
	{boxFile, "", "a box, not an archive of one", "an archive; to join two boxes use `merge`, to open this one `--db`"},
	{begins("PK\x03\x04"), "", "a spreadsheet or zip file", "an archive; sheets cannot be read yet"},
	{begins("\x1f\x8b"), "", "a compressed file", "an archive: unpack it first"},
	{firstByte('{'), Archive, "", ""},
	{firstByte('['), "", "a JSON array", "an archive, which is an object: {\"format\": \"rangebox-archive\", ...}"},
	{binary, "", "a binary file", "an archive, as `export` writes it"},
	{anything, "", "a text file", "an archive, which begins with {; sheets cannot be read yet"},
}

// Sniff tells from the beginning of a file what it is. The error for what
// cannot be read is an Issue that wraps inventory.ErrInvalid.
func Sniff(head []byte, file string) (Format, error) {
	for _, f := range formats {
		if !f.looks(head) {
			continue
		}
		if f.format != "" {
			return f.format, nil
		}
		return "", Issue{File: file, Found: f.found, Expected: f.remedy,
			Err: fmt.Errorf("%w: this is %s; expected %s", inventory.ErrInvalid, f.found, f.remedy)}
	}
	panic("importers: the list of formats does not end with anything")
}

// TrimBOM takes the byte order mark off UTF-8 text.
func TrimBOM(head []byte) []byte { return bytes.TrimPrefix(head, []byte("\ufeff")) }

func text(head []byte) []byte { return bytes.TrimLeft(TrimBOM(head), " \t\r\n") }

func empty(head []byte) bool { return len(text(head)) == 0 }

func anything([]byte) bool { return true }

func binary(head []byte) bool { return bytes.IndexByte(head, 0) >= 0 }

func begins(marks ...string) func([]byte) bool {
	return func(head []byte) bool {
		for _, m := range marks {
			if bytes.HasPrefix(head, []byte(m)) {
				return true
			}
		}
		return false
	}
}

func firstByte(c byte) func([]byte) bool {
	return func(head []byte) bool { return bytes.HasPrefix(text(head), []byte{c}) }
}

// boxFile knows the store's file by its magic number, 0xED0CDAED in the
// computer's byte order, 16 bytes into the first page.
func boxFile(head []byte) bool {
	return len(head) >= 20 &&
		(bytes.Equal(head[16:20], []byte{0xed, 0xda, 0x0c, 0xed}) || bytes.Equal(head[16:20], []byte{0xed, 0x0c, 0xda, 0xed}))
}
