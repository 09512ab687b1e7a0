package xlsx

import (
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// A format is what a number format makes of a number that a person then reads in
// the cell: ECMA-376 part 1, 18.8.31 (from memory; what LibreOffice 7 shows agrees).
// Only what changes the number's meaning is kept: how many decimals are shown is not,
// since what is stored is nearer to what was typed.
type format []section

// section is the part of a format that is for some numbers.
type section struct {
	when           string // its own condition, >=1000; empty where it has none
	kind           kind
	before, behind string // text that it puts to the number, such as its unit
	digits         int    // least digits before the point: 12 is shown as 012
}

// kind is what a section shows of a number.
type kind uint8

const (
	plainly     kind = iota
	asFraction       // 1 1/8
	asPercent        // 5%
	asDate           // a day with its year, or a year
	asYearless       // a day or a month without its year
	asMonth          // a month with its year, and no day
	asOtherwise      // another number than is stored, a time of day, or none
)

// builtIn has the formats that stand in no file and are more than plain numbers:
// ECMA-376 part 1, 18.8.30 (from memory). Those of sums of money are left out, as
// their currency is that of whoever looks.
var builtIn = map[int]string{9: "0%", 10: "0.00%", 12: "# ?/?", 13: "# ??/??",
	18: "h:mm AM/PM", 19: "h:mm:ss AM/PM", 20: "h:mm", 21: "h:mm:ss", 45: "mm:ss", 46: "[h]:mm:ss", 47: "mm:ss.0"}

// builtInFormat is the format of a number that the file does not explain.
func builtInFormat(id int) format {
	switch {
	case id == 16: // d-mmm
		return format{{kind: asYearless}}
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
		if s.takes(n, i, len(numbers), conditions) {
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
	if strings.Trim(text, "0123456789") == "" && len(text) < s.digits {
		text = strings.Repeat("0", s.digits-len(text)) + text
	}
	if strings.HasPrefix(text, "-") { // the signs that a section has for it say the same
		return strings.TrimSpace(noSigns.Replace(s.before) + text + noSigns.Replace(s.behind))
	}
	return strings.TrimSpace(s.before + text + s.behind)
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

// parseFormat reads the text of a format.
func parseFormat(code string) format {
	if code == "" {
		return nil
	}
	if code == "" {
		return nil
	}
	var f format
	for {
		var s sectionReader
		code = s.read(code)
		f = append(f, s.section())
		if code == "" {
			return f
		}
		code = code[1:] // the semicolon
	}
}

// sectionReader notes what stands in a section.
type sectionReader struct {
	out                     section
	before, behind          strings.Builder
	number, digits          bool // a place for a number was met, one that shows something
	comma, point, exponent  bool // met; comma: directly before
	scaled, amidst, foreign bool // a comma that divides by a thousand; text or letters that have no place among digits
	slash, percent, at      bool
	broken                  bool // a sign behind digits: 00-000 is a code
	year, month, day, clock bool
}

// read goes up to the end of a section, and gives what follows.
func (s *sectionReader) read(code string) string {
	for code != "" && code[0] != ';' {
		c, size := utf8.DecodeRuneInString(code)
		rest := code[size:]
		if c != '0' && c != '#' && c != '?' && c != ',' {
			s.scaled, s.comma = s.scaled || s.comma, false
		}
		switch {
		case c == '"':
			text, after, _ := strings.Cut(rest, `"`)
			s.text(text)
			rest = after
		case c == '[':
			inside, after, _ := strings.Cut(rest, "]")
			s.brackets(inside)
			rest = after
		case c == '\\':
			_, n := utf8.DecodeRuneInString(rest)
			s.text(rest[:n])
			rest = rest[n:]
		case c == '_' || c == '*':
			_, n := utf8.DecodeRuneInString(rest)
			rest = rest[n:]
		case len(code) >= len("General") && strings.EqualFold(code[:len("General")], "General"):
			s.place(true)
			rest = code[len("General"):]
		case unicode.IsLetter(c) && c < utf8.RuneSelf:
			s.letter(c, rest)
		default:
			s.sign(c)
		}
		code = rest
	}
	s.scaled = s.scaled || s.comma
	return code
}

// place is where a number goes, or one more digit of it.
func (s *sectionReader) place(digits bool) {
	s.amidst = s.amidst || s.number && (s.broken || strings.TrimSpace(s.behind.String()) != "")
	s.behind.Reset()
	s.comma, s.number, s.digits = false, true, s.digits || digits
}

// text is text that is shown as it stands.
func (s *sectionReader) text(text string) {
	if s.number {
		s.behind.WriteString(text)
		return
	}
	s.before.WriteString(text)
}

// brackets hold a condition, a currency, a count of hours, or a colour.
func (s *sectionReader) brackets(inside string) {
	switch low := strings.ToLower(inside); {
	case inside == "":
	case inside[0] == '$':
		sign, _, _ := strings.Cut(inside[1:], "-")
		s.text(sign)
	case strings.IndexByte("<>=", inside[0]) >= 0:
		s.out.when = inside
	case strings.Trim(low, "h") == "" || strings.Trim(low, "m") == "" || strings.Trim(low, "s") == "":
		s.clock = true
	}
}

// letter is one without quotes: of a date, of an exponent, or shown as it stands. One
// of a date behind digits makes no format; such programs show a plain number then.
func (s *sectionReader) letter(c rune, rest string) {
	switch low := unicode.ToLower(c); {
	case low == 'e' && s.number && rest != "" && (rest[0] == '+' || rest[0] == '-'):
		s.exponent = true
	case strings.ContainsRune("hsmydgbe", low) && s.number && !s.clock && !s.dated():
		s.foreign = true
	case low == 'y':
		s.year = true
	case low == 'd':
		s.day = true
	case low == 'h' || low == 's':
		s.clock = true
	case low == 'm':
		s.month = true
	default:
		s.text(string(c))
	}
}

func (s *sectionReader) sign(c rune) {
	switch c {
	case '0':
		s.place(true)
		if !s.point && !s.exponent && !s.slash {
			s.out.digits++
		}
	case '#':
		s.place(true)
	case '?':
		s.place(false)
	case '@':
		s.place(true)
		s.at = true
	case ',':
		s.comma = s.number
	case '.':
		s.point = true
	case '%':
		s.percent = true
	case '/':
		s.slash = s.slash || s.number
	case '+', '-', '(', ')': // of the number itself, or of its exponent
		s.broken = s.number && !s.exponent
	default:
		if c < '1' || c > '9' || !s.slash { // 8 may be what a fraction divides by
			s.text(string(c))
		}
	}
}

func (s *sectionReader) dated() bool { return s.year || s.month || s.day }

// joins tells whether digits of the text would be read as digits of the number.
func joins(before, behind string) bool {
	const between = " .,/"
	before, behind = strings.TrimRight(before, between), strings.TrimLeft(behind, between)
	last, _ := utf8.DecodeLastRuneInString(before)
	first, _ := utf8.DecodeRuneInString(behind)
	return unicode.IsDigit(last) || unicode.IsDigit(first)
}

// section is what all that comes to.
func (s *sectionReader) section() section {
	out := s.out
	out.before, out.behind = s.before.String(), s.behind.String()
	switch {
	case s.year && s.month && !s.day && !s.clock:
		return section{when: out.when, kind: asMonth}
	case s.year:
		return section{when: out.when, kind: asDate}
	case s.day, s.month && !s.clock:
		return section{when: out.when, kind: asYearless}
	case s.foreign:
		return section{when: out.when}
	case s.clock, s.scaled, s.amidst, joins(out.before, out.behind), s.at && out.before+out.behind != "":
		return section{when: out.when, kind: asOtherwise}
	case s.slash:
		out.kind = asFraction
	case s.percent:
		out.kind = asPercent
	case !s.digits && strings.Trim(out.before+out.behind, "- \u2013\u2014") == "" && out.before+out.behind != "":
		return section{when: out.when} // the dash for nothing, 0
	case !s.digits:
		return section{when: out.when, kind: asOtherwise}
	}
	if strings.TrimSpace(out.before+out.behind) == "" {
		out.before, out.behind = "", ""
	}
	return out
}
