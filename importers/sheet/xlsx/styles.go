package xlsx

import (
	"encoding/xml"
	"math"
	"strconv"
	"strings"
	"time"
)

// readStyles learns which styles are dates and which are percentages: no more of
// a style is needed.
func (b *Book) readStyles(part string) error {
	formats, percents := map[int]bool{}, map[int]bool{} // custom number formats that are such
	inCells := false
	return b.each(part, maxSmall, func(_ *xml.Decoder, e xml.StartElement) error {
		id, _ := strconv.Atoi(attr(e, "numFmtId"))
		switch e.Name.Local {
		case "numFmt":
			formats[id] = dateFormat(attr(e, "formatCode"))
			percents[id] = percentFormat(attr(e, "formatCode"))
		case "cellXfs":
			inCells = true
		case "cellStyleXfs", "cellStyles", "dxfs":
			inCells = false
		case "xf":
			if inCells {
				date, custom := formats[id]
				b.dates = append(b.dates, date || !custom && builtInDate(id))
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

// percent is a stored number as a cell shows it in percent: 0.05 is 5%. The
// number of digits is what such programs show at most.
func percent(stored string) string {
	const digits = 15
	f, err := strconv.ParseFloat(stored, 64)
	if err != nil || math.IsInf(f, 0) || math.IsNaN(f) {
		return stored
	}
	short, _ := strconv.ParseFloat(strconv.FormatFloat(f*100, 'g', digits, 64), 64)
	return strconv.FormatFloat(short, 'f', -1, 64) + "%"
}
