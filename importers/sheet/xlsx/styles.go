package xlsx

import (
	"encoding/xml"
	"math"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"
)

// readStyles learns which styles are dates and which are percentages, and what text
// they put to a number, such as its unit: no more of a style is needed.
func (b *Book) readStyles(part string) error {
	formats, percents := map[int]bool{}, map[int]bool{} // custom number formats that are such
	units := map[int]affix{}
	inCells := false
	return b.each(part, maxSmall, func(_ *xml.Decoder, e xml.StartElement) error {
		id, _ := strconv.Atoi(attr(e, "numFmtId"))
		switch e.Name.Local {
		case "numFmt":
			formats[id] = dateFormat(attr(e, "formatCode"))
			percents[id] = percentFormat(attr(e, "formatCode"))
			units[id] = unitFormat(attr(e, "formatCode"))
		case "cellXfs":
			inCells = true
		case "cellStyleXfs", "cellStyles", "dxfs":
			inCells = false
		case "xf":
			if inCells {
				date, custom := formats[id]
				b.dates = append(b.dates, date || !custom && builtInDate(id))
				b.units = append(b.units, units[id])
				b.percents = append(b.percents, percents[id] || !custom && (id == 9 || id == 10)) // 0% and 0.00%: ECMA-376, as above
			}
		}
		return nil
	})
}

// builtInDate knows the numbers of the date formats that have no text in the
// file: ECMA-376 part 1, 18.8.30 (from memory), the East Asian ones included.
func builtInDate(id int) bool {
	return id >= 14 && id <= 17 || id == 22 || id >= 27 && id <= 31 || id == 36 || id >= 50 && id <= 54 || id == 57 || id == 58
}

// dateFormat tells whether a number format shows a day or a year, outside of
// quotes, brackets and escapes; a mere time of day is none.
func dateFormat(code string) bool { return shows(code, "yYdD") }

// percentFormat tells whether a number format shows a number as a percentage.
func percentFormat(code string) bool { return shows(code, "%") }

// affix is the text that a number format puts to a number.
type affix struct{ before, behind string }

// unitFormat is the text that a number format of a number puts before or behind it,
// in quotes, behind a backslash, or as a sign that needs neither: ECMA-376 part 1,
// 18.8.31 (from memory). It is what a person reads beside the number. A format that
// shows thousands or millions, or goes by the size of the number, shows another number
// than is stored: all of it stands behind the number then, which no reader takes for
// a unit.
func unitFormat(code string) affix {
	first, _, more := strings.Cut(code, ";")
	if scales(first) || more && strings.Contains(first, "\"") && byValue(first) {
		return affix{behind: code}
	}
	var before, behind strings.Builder
	text, number := &before, false
	for i := 0; i < len(first); i++ {
		switch c := first[i]; {
		case c == '"':
			end := skipTo(first, i+1, '"')
			text.WriteString(first[min(i+1, end):end])
			i = end
		case c == '[':
			end := skipTo(first, i+1, ']')
			if sign, ok := strings.CutPrefix(first[min(i+1, end):end], "$"); ok {
				sign, _, _ = strings.Cut(sign, "-")
				text.WriteString(sign)
			}
			i = end
		case c == '\\' && i+1 < len(first):
			_, size := utf8.DecodeRuneInString(first[i+1:])
			text.WriteString(first[i+1 : i+1+size])
			i += size
		case c == '_' || c == '*':
			i++
		case c == '$' || c >= utf8.RuneSelf:
			text.WriteByte(c)
		case c == '0' || c == '#' || c == '?' || c == '@' || c == 'G':
			text, number = &behind, true // G as in General
		}
	}
	if !number {
		return affix{}
	}
	return affix{strings.TrimSpace(before.String()), strings.TrimSpace(behind.String())}
}

// put is a number with the text of its format.
func (a affix) put(stored string) string {
	return strings.TrimSpace(a.before + shown(stored, 1) + " " + a.behind)
}

// scales tells whether a format has a comma behind its last digit, which divides by a
// thousand.
func scales(format string) bool {
	digit := false
	for i := 0; i < len(format); i++ {
		switch c := format[i]; {
		case c == '"':
			i = skipTo(format, i+1, '"')
		case c == '[':
			i = skipTo(format, i+1, ']')
		case c == '\\' || c == '_' || c == '*':
			i++
		case c == '0' || c == '#' || c == '?':
			digit = true
		case c == ',' && digit && strings.TrimLeft(format[i:], ",") == strings.TrimLeft(format[i:], ",0#?"):
			return true
		}
	}
	return false
}

// byValue tells whether a format begins with a condition, [>=1000].
func byValue(format string) bool {
	_, rest, found := strings.Cut(format, "[")
	return found && rest != "" && strings.IndexByte("<>=", rest[0]) >= 0
}

// shows tells whether a format has one of some signs, outside of quotes, brackets
// and escapes.
func shows(code, signs string) bool {
	first, _, _ := strings.Cut(code, ";")
	for i := 0; i < len(first); i++ {
		switch c := first[i]; {
		case c == '"':
			i = skipTo(first, i+1, '"')
		case c == '[':
			i = skipTo(first, i+1, ']')
		case c == '\\' || c == '_' || c == '*':
			i++
		case strings.IndexByte(signs, c) >= 0:
			return true
		}
	}
	return false
}

func skipTo(s string, from int, mark byte) int {
	if n := strings.IndexByte(s[min(from, len(s)):], mark); n >= 0 {
		return from + n
	}
	return len(s)
}

// Day turns a serial number of the workbook's system into a date, the time of
// day left out. In the 1900 system day 60 is a 29 February that never was.
func (b *Book) Day(serial string) (time.Time, bool) {
	f, err := strconv.ParseFloat(serial, 64)
	if err != nil || math.IsNaN(f) || f < 0 || f >= 2_958_466 {
		return time.Time{}, false
	}
	n := int(math.Floor(f + 1e-9))
	if b.from1904 {
		return time.Date(1904, 1, 1+n, 0, 0, 0, 0, time.UTC), true
	}
	if n == 0 || n == 60 {
		return time.Time{}, false
	}
	if n < 60 {
		n++
	}
	return time.Date(1899, 12, 30+n, 0, 0, 0, 0, time.UTC), true
}

// percent is a stored number as a cell shows it in percent: 0.05 is 5%.
func percent(stored string) string {
	return shown(stored, 100) + "%"
}

// shown is a stored number, times a factor, to the digits that such programs show at
// most.
func shown(stored string, factor float64) string {
	const digits = 15
	f, err := strconv.ParseFloat(stored, 64)
	if err != nil || math.IsInf(f, 0) || math.IsNaN(f) {
		return stored
	}
	short, _ := strconv.ParseFloat(strconv.FormatFloat(f*factor, 'g', digits, 64), 64)
	return strconv.FormatFloat(short, 'f', -1, 64)
}
