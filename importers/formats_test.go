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
	for _, c := range []struct{ name, head, words string }{
		{"archive", `{"format": "rangebox-archive"`, ""},
		{"archive after a mark and lines", "\ufeff\r\n\t {", ""},
		{"cut to a byte", "{", ""},
		{"empty", "", "this is an empty file; expected an archive, as `export` writes it"},
		{"blank", "\ufeff\n \n", "this is an empty file"},
		{"UTF-16", "\xff\xfe{\x00", "this is text in UTF-16; expected UTF-8: save the file as UTF-8"},
		{"a box", box, "this is a box, not an archive of one; expected an archive; to join two boxes use `merge`"},
		{"a workbook", "PK\x03\x04\x14\x00", "this is a spreadsheet or zip file; expected an archive; sheets cannot be read yet"},
		{"compressed", "\x1f\x8b\x08", "this is a compressed file; expected an archive: unpack it first"},
		{"an array", "\n[{", "this is a JSON array; expected an archive, which is an object"},
		{"binary", "\x7fELF\x00", "this is a binary file"},
		{"a table", "handle,diameter_mm\n", "this is a text file; expected an archive, which begins with {; sheets cannot be read yet"},
	} {
		t.Run(c.name, func(t *testing.T) {
			format, err := importers.Sniff([]byte(c.head), "a-file")
			if c.words == "" {
				if format != importers.Archive || err != nil {
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
