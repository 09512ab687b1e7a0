package xlsx

import (
	"encoding/xml"
	"strconv"
	"strings"
	"unicode/utf16"
	"unicode/utf8"
)

// readStrings reads the texts that cells refer to by number.
func (b *Book) readStrings(part string) error {
	total := 0
	return b.each(part, maxPart, func(d *xml.Decoder, e xml.StartElement) error {
		if e.Name.Local != "si" {
			return nil
		}
		s, err := richText(d)
		if err != nil {
			return err
		}
		if total += len(s) + 16; total > maxStrings {
			return faultf("the workbook has more than %d bytes of texts", maxStrings)
		}
		b.strings = append(b.strings, s)
		return nil
	})
}

// richText joins the runs of a text, without the phonetic ones, up to the end of
// the element that has begun.
func richText(d *xml.Decoder) (string, error) {
	var parts strings.Builder
	depth, silent, inText := 1, 0, false
	for depth > 0 {
		tok, err := d.Token()
		if err != nil {
			return "", err
		}
		switch t := tok.(type) {
		case xml.StartElement:
			depth++
			inText = t.Name.Local == "t"
			if t.Name.Local == "rPh" {
				silent = depth
			}
		case xml.EndElement:
			if depth == silent {
				silent = 0
			}
			depth--
			inText = false
		case xml.CharData:
			if inText && silent == 0 {
				parts.Write(t)
			}
		}
	}
	return unescape(parts.String()), nil
}

// unescape reads _xHHHH_, the format's way to write what XML cannot hold. Two in
// a row may be the halves of one character.
func unescape(s string) string {
	if !strings.Contains(s, "_x") {
		return s
	}
	var b strings.Builder
	for s != "" {
		unit, ok := escaped(s)
		if !ok || utf16.IsSurrogate(unit) && !paired(unit, s[escapeLen:]) {
			_, size := utf8.DecodeRuneInString(s)
			b.WriteString(s[:size])
			s = s[size:]
			continue
		}
		s = s[escapeLen:]
		if utf16.IsSurrogate(unit) {
			low, _ := escaped(s)
			unit, s = utf16.DecodeRune(unit, low), s[escapeLen:]
		}
		b.WriteRune(unit)
	}
	return b.String()
}

// paired tells whether the second half of a character follows. Half a character
// alone is no escape, and stays as it stands.
func paired(high rune, rest string) bool {
	low, ok := escaped(rest)
	return ok && utf16.DecodeRune(high, low) != utf8.RuneError
}

const escapeLen = len("_x0000_")

func escaped(s string) (rune, bool) {
	if len(s) < escapeLen || s[0] != '_' || s[1] != 'x' || s[6] != '_' {
		return 0, false
	}
	n, err := strconv.ParseUint(s[2:6], 16, 16)
	return rune(n), err == nil
}

// escape writes a text so that XML can hold it and unescape gives it back.
func escape(s string) string {
	var b strings.Builder
	for i, r := range s {
		switch {
		case r == '_' && looksEscaped(s[i:]):
			b.WriteString("_x005F_")
		case r < ' ' && r != '\t' && r != '\n' || r == 0xfffe || r == 0xffff:
			b.WriteString("_x" + hex4(uint16(r)) + "_")
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// looksEscaped tells what could become an escape: the last mark of one may be
// the first of another that escape writes.
func looksEscaped(s string) bool {
	if len(s) < escapeLen-1 {
		return false
	}
	_, ok := escaped(s[:escapeLen-1] + "_")
	return ok
}

func hex4(n uint16) string {
	h := strings.ToUpper(strconv.FormatUint(uint64(n), 16))
	return "0000"[len(h):] + h
}
