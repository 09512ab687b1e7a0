package importers

import (
	"bytes"
	"fmt"
	"unicode/utf8"

	"rangebox/inventory"
)

// Format names a kind of file.
type Format string

// The formats that can be read.
const (
	// Archive is the JSON document of package importers/archive.
	Archive Format = "archive"
	// Table is a text file with a record a row: CSV and its kin. Package
	// importers/sheet reads it, and workbooks.
	Table Format = "table"
	// Workbook is an .xlsx file.
	Workbook Format = "workbook"
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
	{empty, "", "an empty file", "an archive, as `export` writes it, or a sheet"},
	{begins("\xff\xfe", "\xfe\xff"), Table, "", ""},
	{boxFile, "", "a box, not an archive of one", "an archive or a sheet; to join two boxes use `merge`, to open this one `--db`"},
	{openDocument, "", "an OpenDocument file", "an .xlsx or CSV file: save it as one of these"},
	{begins("PK\x03\x04"), Workbook, "", ""},
	{begins("\xd0\xcf\x11\xe0"), "", "an old .xls workbook, or one with a password", "an .xlsx or CSV file: save it as one of these"},
	{begins("\x1f\x8b"), "", "a compressed file", "an archive or a sheet: unpack it first"},
	{firstByte('{'), Archive, "", ""},
	{firstByte('['), "", "a JSON array", "an archive, which is an object: {\"format\": \"rangebox-archive\", ...}"},
	{wideText16, Table, "", ""},
	{binaryFile, "", "a binary file", "an archive, as `export` writes it, or a sheet"},
	{anything, Table, "", ""},
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

// binaryFile knows no text by a zero byte in its first line, or by one in what
// is no UTF-8 either: notes may hold one.
func binaryFile(head []byte) bool {
	first, _, _ := bytes.Cut(head, []byte("\n"))
	nul := bytes.IndexByte(head, 0)
	return bytes.IndexByte(first, 0) >= 0 || nul >= 0 && !utf8.Valid(head[:nul])
}

func wideText16(head []byte) bool {
	_, _, ok := wide(head)
	return ok
}

// openDocument knows the zip file whose first part says so, uncompressed.
func openDocument(head []byte) bool {
	return begins("PK\x03\x04")(head) && bytes.Contains(head, []byte("mimetypeapplication/vnd.oasis.opendocument"))
}

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
