package importers_test

import (
	"errors"
	"strings"
	"testing"

	"rangebox/importers"
	"rangebox/inventory"
)

func TestSniff(t *testing.T) {
	box := strings.Repeat("\x00", 16) + "\xed\xda\x0c\xed" + strings.Repeat("\x00", 40)
	for _, c := range []struct {
		name, head, words string
		format            importers.Format
	}{
		{"archive", `{"format": "rangebox-archive"`, "", importers.Archive},
		{"archive after a mark and lines", "\ufeff\r\n\t {", "", importers.Archive},
		{"cut to a byte", "{", "", importers.Archive},
		{"a table", "handle,diameter_mm\n", "", importers.Table},
		{"a table after a mark", "\ufeffhandle;diameter_mm\n", "", importers.Table},
		{"a table with a zero in its notes", "handle,notes\na-8,\"\x00\"\n", "", importers.Table},
		{"a table in old Western text", "handle,notes\na-8,\xe4\n", "", importers.Table},
		{"UTF-16", "\xff\xfeh\x00", "", importers.Table},
		{"UTF-16, the other order", "\xfe\xff\x00h", "", importers.Table},
		{"UTF-16 without a mark", "h\x00a\x00n\x00", "", importers.Table},
		{"UTF-16 without a mark, the other order", "\x00h\x00a\x00n", "", importers.Table},
		{"a workbook", "PK\x03\x04\x14\x00", "", importers.Workbook},
		{"empty", "", "this is an empty file; expected an archive, as `export` writes it, or a sheet", ""},
		{"blank", "\ufeff\n \n", "this is an empty file", ""},
		{"a box", box, "this is a box, not an archive of one; expected an archive or a sheet; to join two boxes use `merge`", ""},
		{"an OpenDocument sheet", "PK\x03\x04....mimetypeapplication/vnd.oasis.opendocument.spreadsheet", "this is an OpenDocument file; expected an .xlsx or CSV file", ""},
		{"an old workbook", "\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1\x00", "this is an old .xls workbook, or one with a password", ""},
		{"compressed", "\x1f\x8b\x08", "this is a compressed file; expected an archive or a sheet: unpack it first", ""},
		{"an array", "\n[{", "this is a JSON array; expected an archive, which is an object", ""},
		{"binary", "\x7fELF\x00", "this is a binary file", ""},
		{"a picture", "\x89PNG\r\n\x1a\n\x00\x00\x00", "this is a binary file", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			format, err := importers.Sniff([]byte(c.head), "a-file")
			if c.words == "" {
				if format != c.format || err != nil {
					t.Errorf("got %q, %v", format, err)
				}
				return
			}
			if format != "" || !errors.Is(err, inventory.ErrInvalid) || !strings.HasPrefix(err.Error(), "a-file: "+c.words) {
				t.Errorf("got %q, %v, want %q", format, err, c.words)
			}
		})
	}
}
