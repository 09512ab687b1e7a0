package xlsx

import (
	"encoding/xml"
	"math"
	"strconv"
	"time"
)

// readStyles learns what the styles of cells make of a number: no more of a style is
// needed.
func (b *Book) readStyles(part string) error {
	formats := map[int]format{} // that stand in the file
	inCells := false
	return b.each(part, maxSmall, func(_ *xml.Decoder, e xml.StartElement) error {
		id, _ := strconv.Atoi(attr(e, "numFmtId"))
		switch e.Name.Local {
		case "numFmt":
			formats[id] = parseFormat(attr(e, "formatCode"))
		case "cellXfs":
			inCells = true
		case "cellStyleXfs", "cellStyles", "dxfs":
			inCells = false
		case "xf":
			if !inCells {
				return nil
			}
			f, ok := formats[id]
			if !ok {
				f = builtInFormat(id)
			}
			b.formats = append(b.formats, f)
		}
		return nil
	})
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
