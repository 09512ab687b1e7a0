package importers_test

import (
	"errors"
	"strings"
	"testing"
	"unicode/utf16"

	"rangebox/importers"
	"rangebox/inventory"
)

func wide(s string, big bool) string {
	var b strings.Builder
	for _, u := range utf16.Encode([]rune(s)) {
		if big {
			b.Write([]byte{byte(u >> 8), byte(u)})
			continue
		}
		b.Write([]byte{byte(u), byte(u >> 8)})
	}
	return b.String()
}

func TestText(t *testing.T) {
	const text = "name\nBöhm 🚀 µ\n"
	for name, data := range map[string]string{
		"UTF-8":                    text,
		"UTF-8 with its mark":      "\ufeff" + text,
		"UTF-16, little end first": "\xff\xfe" + wide(text, false),
		"UTF-16, big end first":    "\xfe\xff" + wide(text, true),
		"UTF-16 without a mark, 1": wide(text, false),
		"UTF-16 without a mark, 2": wide(text, true),
	} {
		if got, err := importers.Text([]byte(data), "f"); err != nil || got != text {
			t.Errorf("%s: got %q, %v", name, got, err)
		}
	}
	// Windows-1252: 0x80 is the euro sign, 0x93 and 0x94 are curly quotes (Unicode's mapping CP1252.TXT, from memory).
	if got, err := importers.Text([]byte("B\xf6hm \x80 \x93x\x94"), "f"); err != nil || got != "Böhm € “x”" {
		t.Errorf("Windows-1252: got %q, %v", got, err)
	}
}

func TestTextRefused(t *testing.T) {
	for data, want := range map[string]struct {
		row   int
		words string
	}{
		"\ufeffa\nb\xe4":                   {2, "the byte 0xe4 is not UTF-8, as its mark says; save the file as UTF-8"},
		"a\nb\n\x81":                       {3, "the byte 0x81 is not UTF-8, UTF-16 or Windows-1252 text; save"},
		"abcdef\x00\xe4":                   {1, "the byte 0x00 is not text; save"},
		"\xff\xfe" + "a\x00\n\x00\x00\xd8": {2, "half a character of UTF-16; the file is damaged or cut short"},
		"\xff\xfe" + "\x00\xd8a\x00":       {1, "half a character of UTF-16"},
		"\xff\xfe" + "a\x00b":              {1, "half a character of UTF-16"},
	} {
		_, err := importers.Text([]byte(data), "f")
		var issue importers.Issue
		if !errors.As(err, &issue) || issue.Row != want.row || !strings.Contains(issue.Error(), want.words) || !errors.Is(err, inventory.ErrInvalid) {
			t.Errorf("%q: got %v", data, err)
		}
	}
}

func TestReadAllHasALimit(t *testing.T) {
	_, err := importers.ReadAll(endless{}, "f")
	if !errors.Is(err, inventory.ErrInvalid) || !strings.Contains(err.Error(), "larger than 64 MiB") {
		t.Errorf("got %v", err)
	}
}

type endless struct{}

func (endless) Read(p []byte) (int, error) { return len(p), nil }
