package xlsx

import (
	"encoding/xml"
	"math"
	"strconv"
	"strings"
	"time"
)

// readStyles learns which styles are dates: no more of a style is needed.
func (b *Book) readStyles(part string) error {
	formats := map[int]bool{} // custom number formats that are dates
	inCells := false
	return b.each(part, maxSmall, func(_ *xml.Decoder, e xml.StartElement) error {
		id, _ := strconv.Atoi(attr(e, "numFmtId"))
		switch e.Name.Local {
		case "numFmt":
			formats[id] = dateFormat(attr(e, "formatCode"))
		case "cellXfs":
			inCells = true
		case "cellStyleXfs", "cellStyles", "dxfs":
			inCells = false
		case "xf":
			if inCells {
				date, custom := formats[id]
				b.dates = append(b.dates, date || !custom && builtInDate(id))
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
func dateFormat(code string) bool {
	first, _, _ := strings.Cut(code, ";")
	for i := 0; i < len(first); i++ {
		switch first[i] {
		case '"':
			i = skipTo(first, i+1, '"')
		case '[':
			i = skipTo(first, i+1, ']')
		case '\\', '_', '*':
			i++
		case 'y', 'Y', 'd', 'D':
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
