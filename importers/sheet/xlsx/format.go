package xlsx

import (
	"math"
	"strconv"
	"strings"
)

// A format is what a number format makes of a number that a person then reads in
// the cell: ECMA-376 part 1, 18.8.31 (from memory; what LibreOffice 7 shows agrees).
// Decimals that a format hides are kept, since they were typed or computed.
type format []section

// section is the part of a format that is for some numbers.
type section struct {
	when           string // its own condition, >=1000; empty where it has none
	kind           kind
	before, behind string  // text that it puts to the number, such as its unit
	digits         int     // least digits before the point: 12 is shown as 012
	decimals       int     // and behind it: 2.1 is shown as 2.10, which tells codes apart
	minus          bool    // it puts a minus to the number
	negative       bool    // it shows that a number is below zero, with a minus or in brackets
	least          float64 // it shows nothing of numbers that are smaller
}

// kind is what a section shows of a number.
type kind uint8

const (
	plainly     kind = iota
	asFraction       // 1 1/8
	asPercent        // 5%
	asDate           // a day with its year
	asPartly         // a day without its year, or a year alone
	asMonth          // a month with its year, and no day
	asOtherwise      // another number than is stored, a time of day, or none
)

// builtIn has the formats that stand in no file and are more than plain numbers:
// ECMA-376 part 1, 18.8.30 (from memory). Those of sums of money are left out, as
// their currency is that of whoever looks.
var builtIn = map[int]string{9: "0%", 10: "0.00%", 12: "# ?/?", 13: "# ??/??",
	18: "h:mm AM/PM", 19: "h:mm:ss AM/PM", 20: "h:mm", 21: "h:mm:ss", 2: "0.00", 4: "#,##0.00", 45: "mm:ss", 46: "[h]:mm:ss", 47: "mm:ss.0"}

// builtInFormat is the format of a number that the file does not explain.
func builtInFormat(id int) format {
	switch {
	case id == 16: // d-mmm
		return format{{kind: asPartly}}
	case id == 17: // mmm-yy
		return format{{kind: asMonth}}
	case builtInDate(id):
		return format{{kind: asDate}}
	}
	if code, ok := builtIn[id]; ok {
		return parseFormat(code)
	}
	return nil
}

// builtInDate knows those of dates, the East Asian ones included.
func builtInDate(id int) bool {
	return id >= 14 && id <= 17 || id == 22 || id >= 27 && id <= 31 || id == 36 || id >= 50 && id <= 54 || id == 57 || id == 58
}

// of is the section for a number.
func (f format) of(n float64) section {
	numbers := f[:min(len(f), 3)] // a fourth is for text
	conditions := false
	for _, s := range numbers {
		conditions = conditions || s.when != ""
	}
	for i, s := range numbers {
		switch {
		case !s.takes(n, i, len(numbers), conditions):
		case !conditions && s.otherSign(n, i, len(numbers)), math.Abs(n) < s.least:
			return section{kind: asOtherwise}
		default:
			return s
		}
	}
	if len(f) == 0 {
		return section{}
	}
	return section{kind: asOtherwise}
}

// takes tells whether a section is for a number. Without conditions the first of
// several is for numbers above zero, the second for those below.
func (s section) takes(n float64, at, of int, conditions bool) bool {
	switch {
	case s.when != "":
		return holds(s.when, n)
	case conditions || at == of-1 && at != 1:
		return true
	case at == 0:
		return n > 0 || n == 0 && of == 2
	}
	return n < 0
}

// otherSign tells whether a section shows a number with another sign than it has: the
// second of several has to show its own minus.
func (s section) otherSign(n float64, at, of int) bool {
	switch {
	case s.kind > asPercent:
		return false
	case n < 0 && of > 1 && at == 1:
		return !s.negative
	}
	return s.minus
}

// holds tells whether a condition does.
func holds(condition string, n float64) bool {
	sign := condition[:len(condition)-len(strings.TrimLeft(condition, "<>="))]
	limit, err := strconv.ParseFloat(condition[len(sign):], 64)
	if err != nil {
		return false
	}
	switch sign {
	case "<":
		return n < limit
	case "<=":
		return n <= limit
	case ">":
		return n > limit
	case ">=":
		return n >= limit
	case "=":
		return n == limit
	}
	return n != limit
}

// show is a stored number with what the section puts to it.
func (s section) show(stored string) string {
	text := stored
	switch {
	case s.kind == asPercent:
		text = shown(stored, 100) + "%"
	case s.kind == asFraction:
		text = fraction(stored)
	case s.before+s.behind != "":
		text = shown(stored, 1)
	}
	text = s.fill(text)
	if strings.HasPrefix(text, "-") { // the signs that a section has for it say the same
		return strings.TrimSpace(noSigns.Replace(s.before) + text + noSigns.Replace(s.behind))
	}
	return strings.TrimSpace(s.before + text + s.behind)
}

// fill puts zeros to a plain number.
func (s section) fill(text string) string {
	whole, part, _ := strings.Cut(text, ".")
	if strings.Trim(whole+part, "0123456789") != "" {
		return text
	}
	whole = strings.Repeat("0", max(0, s.digits-len(whole))) + whole
	part += strings.Repeat("0", max(0, s.decimals-len(part)))
	if part == "" {
		return whole
	}
	return whole + "." + part
}

var noSigns = strings.NewReplacer("-", "", "(", "", ")", "")

// fraction is a number as the fraction that was typed, where it is one as rules of
// inches are divided.
func fraction(stored string) string {
	const finest, most = 64, 1 << 20
	f, err := strconv.ParseFloat(stored, 64)
	if err != nil || f <= 0 || f > most || f*finest != math.Trunc(f*finest) {
		return shown(stored, 1)
	}
	whole, above, below := int(f), int(f*finest)%finest, finest
	for above != 0 && above%2 == 0 {
		above, below = above/2, below/2
	}
	text := strconv.Itoa(above) + "/" + strconv.Itoa(below)
	switch {
	case above == 0:
		return strconv.Itoa(whole)
	case whole == 0:
		return text
	}
	return strconv.Itoa(whole) + " " + text
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
