package xlsx

import (
	"math"
	"strings"
	"unicode"
	"unicode/utf8"
)

// parseFormat reads the text of a format.
func parseFormat(code string) format {
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
	number, digits          bool // a place for a number; one that shows a 0 too
	comma                   bool // stands directly before
	point, exponent, slash  bool
	percent, at             bool
	scaled                  bool // a comma divides by a thousand
	broken                  bool // a sign stands behind digits: 00-000 is a code
	amidst                  bool // text or such a sign stands among digits
	foreign                 bool // letters of a date stand behind digits
	always                  bool // a digit is shown whatever the number is
	grouped                 bool // a blank stands before the digits that come
	group, decimals         int  // digits since then, and behind the point
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
			s.always = true
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
	if s.number && s.behind.Len() > 0 {
		s.endGroup()
		s.grouped, s.group = true, 0
	}
	s.behind.Reset()
	s.group++
	if s.point {
		s.decimals++
	}
	s.comma, s.number, s.digits = false, true, s.digits || digits
}

// endGroup sees whether a blank among digits was of thousands: 3 5 7 are three numbers.
// A whole number and a fraction have one between them.
func (s *sectionReader) endGroup() {
	const thousands = 3
	s.amidst = s.amidst || s.grouped && !s.slash && (s.point || s.group != thousands)
	s.grouped = false
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
		s.zero()
	case '#':
		s.place(true)
	case '?':
		s.place(false)
		s.always = true
	case '@':
		s.place(true)
		s.at, s.always = true, true
	case ',':
		s.comma = s.number
	case '.':
		s.endGroup()
		s.amidst = s.amidst || s.point
		s.point = true
	case '%':
		s.percent = true
	case '/':
		s.slash = s.slash || s.number
	case '+', '-', '(', ')': // of the number itself, or of its exponent
		s.broken = s.number && !s.exponent
		s.out.minus = s.out.minus || c == '-' && !s.exponent
		s.out.negative = s.out.negative || (c == '-' || c == '(') && !s.exponent
	default:
		if c < '1' || c > '9' || !s.slash { // 8 may be what a fraction divides by
			s.text(string(c))
		}
	}
}

// zero counts the zeros that are always shown, as far as anyone counts them.
func (s *sectionReader) zero() {
	const most = 15
	s.always = true
	switch {
	case s.exponent:
		s.out.digits, s.out.decimals = 0, 0
	case s.slash:
	case s.point:
		s.out.decimals = min(s.out.decimals+1, most)
	default:
		s.out.digits = min(s.out.digits+1, most)
	}
}

func (s *sectionReader) dated() bool { return s.year || s.month || s.day }

// joins tells whether digits of the text would be read as digits of the number.
func joins(before, behind string) bool {
	const between = " .,/"
	if exponentBehind(behind) || exponentBefore(before) {
		return true
	}
	before, behind = strings.TrimRight(before, between), strings.TrimLeft(behind, between)
	last, _ := utf8.DecodeLastRuneInString(before)
	first, _ := utf8.DecodeRuneInString(behind)
	return unicode.IsDigit(last) || unicode.IsDigit(first)
}

// exponentBehind tells of a text e3, which with a number before it is another number.
func exponentBehind(text string) bool {
	if text == "" || text[0] != 'e' && text[0] != 'E' {
		return false
	}
	digits := strings.TrimLeft(text[1:], "+-")
	return digits != "" && digits[0] >= '0' && digits[0] <= '9'
}

// exponentBefore tells of a text 1e, which with a number behind it is another number.
func exponentBefore(text string) bool {
	text = strings.TrimRight(text, "+-")
	n := len(text)
	return n > 1 && (text[n-1] == 'e' || text[n-1] == 'E') && text[n-2] >= '0' && text[n-2] <= '9'
}

// section is what all that comes to.
func (s *sectionReader) section() section {
	s.endGroup()
	out := s.out
	out.before, out.behind = s.before.String(), s.behind.String()
	out.negative = out.negative || strings.ContainsAny(out.before+out.behind, "-(\u2212")
	if s.number && !s.always && !s.slash {
		out.least = math.Pow10(-s.decimals) / 2
		if s.percent {
			out.least /= 100
		}
	}
	switch {
	case s.year && s.month && !s.day && !s.clock:
		return section{when: out.when, kind: asMonth}
	case s.year && s.month:
		return section{when: out.when, kind: asDate}
	case s.year, s.day, s.month && !s.clock:
		return section{when: out.when, kind: asPartly}
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
	case !s.number:
		return section{when: out.when, kind: asOtherwise}
	}
	if strings.TrimSpace(out.before+out.behind) == "" {
		out.before, out.behind = "", ""
	}
	return out
}
