package quantity

import (
	"errors"
	"fmt"
	"math"
	"math/big"
	"strconv"
	"strings"
	"unicode"
)

// ErrNotQuantity is wrapped by every refusal of Parse.
var ErrNotQuantity = errors.New("not a quantity")

// Limits on what is read, so that hostile text costs nothing.
const (
	maxDigits   = 40
	maxExponent = 40
)

// Parse reads a quantity with or without a unit; a bare number is in s.
// Read are decimals (`2.4mm`, `.25 g`, `1e-3 A`), fractions (`3/32in`) and mixed
// numbers (`1 1/2 in`, `1-1/2"`), and for lengths number drills (`#52 drill`). The
// result is exact, rounded half to even to the step. Errors wrap ErrNotQuantity
// and say what was expected.
func (s *Scale) Parse(text string) (int64, error) {
	if steps, done, err := s.drill(text); done {
		return steps, err
	}
	number, suffix := split(text)
	if number == "" {
		return 0, s.refuse(text, "is not a number")
	}
	scale, err := s.suffix(text, suffix)
	if err != nil {
		return 0, err
	}
	if steps, ok := scale.fast(number); ok {
		return steps, nil
	}
	value, err := rational(number)
	if err != nil {
		return 0, s.refuse(text, err.Error())
	}
	return scale.steps(text, value)
}

// Parse reads a quantity of type Q; see Scale.Parse.
func (u Unit[Q]) Parse(text string) (Q, error) {
	steps, err := u.Scale.Parse(text)
	return Q(steps), err
}

// Bare tells whether a text has no unit of its own.
func Bare(text string) bool {
	_, suffix := split(text)
	return suffix == ""
}

// split separates the number from the unit behind it.
func split(text string) (number, suffix string) {
	text = strings.TrimSpace(strings.ReplaceAll(text, "\u00a0", " "))
	end := 0
	for i, r := range text {
		if digitish(text, i, r) {
			end = i + 1
			continue
		}
		if r == ' ' {
			continue
		}
		break
	}
	return strings.TrimSpace(text[:end]), strings.TrimSpace(text[end:])
}

// digitish tells whether the rune at i belongs to a number; an e does only
// where an exponent can follow.
func digitish(text string, i int, r rune) bool {
	if r >= '0' && r <= '9' || r == '.' || r == '/' {
		return true
	}
	if r == '+' || r == '-' {
		return true
	}
	if r != 'e' && r != 'E' || i == 0 || i+1 >= len(text) {
		return false
	}
	next := text[i+1:]
	next = strings.TrimLeft(next, "+-")
	before := text[i-1]
	return next != "" && next[0] >= '0' && next[0] <= '9' && (before >= '0' && before <= '9' || before == '.')
}

func (s *Scale) suffix(text, suffix string) (*Scale, error) {
	if suffix == "" {
		return s, nil
	}
	if s.Unclear(suffix) {
		return nil, s.refuse(text, "has the unit \"gr\", which may be grain or gram: write grain or g")
	}
	if found := s.family.named(suffix); found != nil {
		return found, nil
	}
	if strings.HasPrefix(suffix, ",") {
		return nil, s.refuse(text, "has a comma: write the decimal point as a point")
	}
	if s.family.names() == "" {
		return nil, s.refuse(text, fmt.Sprintf("has a unit %q where a plain number is asked for", printable(suffix)))
	}
	return nil, s.refuse(text, fmt.Sprintf("has an unknown unit %q", printable(suffix)))
}

// refuse words the refusal once, for all of Parse.
func (s *Scale) refuse(text, why string) error {
	return fmt.Errorf("%w: %q %s; %s", ErrNotQuantity, printable(text), why, s.wanted())
}

// wanted says what can be typed, with the units there are.
func (s *Scale) wanted() string {
	names := s.family.names()
	if names == "" {
		if s.whole {
			return "give a whole number"
		}
		return "give a number"
	}
	if s.Name == "" {
		return "give a bare number, or one in " + strings.TrimPrefix(names, ", ")
	}
	return fmt.Sprintf("give a %s in %s (bare numbers are %s)", s.Dimension, names, s.Name)
}

// printable keeps control characters and endless text out of messages.
func printable(s string) string {
	const most = 40
	var b strings.Builder
	for i, r := range s {
		if i >= most {
			b.WriteString("...")
			break
		}
		if unicode.IsPrint(r) {
			b.WriteRune(r)
			continue
		}
		b.WriteByte('?')
	}
	return b.String()
}

// fast reads a plain decimal of up to 18 digits whose steps are whole; it is
// what nearly every figure in a file is.
func (s *Scale) fast(number string) (int64, bool) {
	if s.den != 1 || s.offset != 0 || len(number) == 0 || len(number) > 19 {
		return 0, false
	}
	negative := number[0] == '-'
	digits := strings.TrimPrefix(number, "-")
	var mantissa int64
	decimals, seen := -1, 0
	for i := 0; i < len(digits); i++ {
		c := digits[i]
		if c == '.' && decimals < 0 {
			decimals = 0
			continue
		}
		if c < '0' || c > '9' || seen == 17 {
			return 0, false
		}
		mantissa = mantissa*10 + int64(c-'0')
		seen++
		if decimals >= 0 {
			decimals++
		}
	}
	if seen == 0 || s.whole && decimals >= 0 {
		return 0, false
	}
	num := s.num
	for ; decimals > 0; decimals-- {
		if num%10 != 0 {
			return 0, false
		}
		num /= 10
	}
	if mantissa > math.MaxInt64/4/num {
		return 0, false
	}
	if negative {
		mantissa = -mantissa
	}
	return mantissa * num, true
}

// rational reads a decimal, a fraction or a mixed number exactly.
func rational(number string) (*big.Rat, error) {
	if len(number) > maxDigits+10 {
		return nil, errors.New("has too many digits")
	}
	whole, fraction, mixed := mixedParts(number)
	if !mixed {
		return plain(number)
	}
	r, err := plain(fraction)
	if err != nil || whole == "" {
		return r, err
	}
	w, err := plain(whole)
	if err != nil {
		return nil, err
	}
	if !w.IsInt() || r.Sign() < 0 {
		return nil, errors.New("is not a mixed number")
	}
	if w.Sign() < 0 || strings.HasPrefix(whole, "-") {
		return w.Sub(w, r), nil
	}
	return w.Add(w, r), nil
}

// mixedParts splits "1 1/2" and "1-1/2" into the whole and the fraction.
func mixedParts(number string) (whole, fraction string, ok bool) {
	slash := strings.IndexByte(number, '/')
	if slash < 0 {
		return "", "", false
	}
	head := strings.TrimRight(number[:slash], " ")
	cut := strings.LastIndexAny(head, " -")
	if cut <= 0 {
		return "", number, true
	}
	return strings.TrimSpace(head[:cut]), strings.TrimSpace(head[cut+1:]) + number[slash:], true
}

// plain reads one decimal or one fraction. A space between digits is refused:
// "3 5" may be two values, or 35, or 3.5.
func plain(number string) (*big.Rat, error) {
	if above, below, ok := strings.Cut(number, "/"); ok {
		return fraction(strings.TrimSpace(above), strings.TrimSpace(below))
	}
	if strings.Contains(number, " ") {
		return nil, errors.New("has a space between digits")
	}
	if _, exponent, ok := strings.Cut(strings.ToLower(number), "e"); ok {
		e, err := strconv.Atoi(exponent)
		if err != nil || e > maxExponent || e < -maxExponent {
			return nil, errors.New("has an exponent out of range")
		}
	}
	r, ok := new(big.Rat).SetString(number)
	if !ok {
		return nil, errors.New("is not a number")
	}
	return r, nil
}

// fraction reads a fraction of whole decimal numbers. (big.Rat would take 010/16
// for octal.)
func fraction(above, below string) (*big.Rat, error) {
	num, ok := new(big.Int).SetString(above, 10)
	den, ok2 := new(big.Int).SetString(below, 10)
	if !ok || !ok2 || den.Sign() <= 0 {
		return nil, errors.New("is not a fraction")
	}
	return new(big.Rat).SetFrac(num, den), nil
}

// steps converts a value in the scale's unit to steps, half to even.
func (s *Scale) steps(text string, value *big.Rat) (int64, error) {
	if s.whole && !value.IsInt() {
		return 0, s.refuse(text, "is not a whole number")
	}
	value = new(big.Rat).Mul(value, big.NewRat(s.num, s.den))
	if s.offset != 0 {
		value.Add(value, big.NewRat(s.offset, s.den))
	}
	whole := halfToEven(value)
	if !whole.IsInt64() || whole.Int64() > math.MaxInt64/4 || whole.Int64() < -math.MaxInt64/4 {
		return 0, s.refuse(text, "is too large")
	}
	return whole.Int64(), nil
}

func halfToEven(value *big.Rat) *big.Int {
	quotient, rest := new(big.Int).DivMod(value.Num(), value.Denom(), new(big.Int))
	twice := new(big.Int).Lsh(rest, 1)
	switch twice.Cmp(value.Denom()) {
	case 1:
		quotient.Add(quotient, big.NewInt(1))
	case 0:
		if quotient.Bit(0) == 1 {
			quotient.Add(quotient, big.NewInt(1))
		}
	}
	return quotient
}
