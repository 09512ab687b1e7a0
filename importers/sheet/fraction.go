package sheet

import (
	"slices"
	"strings"
	"unicode"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

var (
	inchFraction = lazy(`^(\d+[ -])?\d+/\d+\D*$`)
	twoByTwo     = lazy(`^[^\d]*\d+\s*/\s*\d+\D*$`)
	halvedInch   = lazy(`^(\d+)/(2|4|8|16|32|64)\D*$`)
)

// tightSlashes takes away the blanks around slashes between digits: 3 / 32 is the same
// fraction, or the same two values, as 3/32.
func tightSlashes(text string) string {
	parts := strings.Split(text, "/")
	for i := 1; i < len(parts); i++ {
		before, after := strings.TrimRightFunc(parts[i-1], unicode.IsSpace), strings.TrimLeftFunc(parts[i], unicode.IsSpace)
		if unicode.IsDigit(lastRune(before)) && after != "" && unicode.IsDigit(rune(after[0])) {
			parts[i-1], parts[i] = before, after
		}
	}
	return strings.Join(parts, "/")
}

// properFraction tells whether a word is a part of an inch as rules are divided.
func properFraction(word string) bool {
	m := halvedInch().FindStringSubmatch(word)
	return m != nil && (len(m[1]) < len(m[2]) || len(m[1]) == len(m[2]) && m[1] < m[2])
}

// inches tells whether a text, or else its column, is in inches or feet.
func (b *binding) inches(text string) bool {
	unit := unitIn(b.columns[0].f.Scale, text)
	if unit == nil {
		unit = b.unit
	}
	return unit != nil && (unit.Name == "in" || unit.Name == "ft")
}

// maybeInches tells whether a value of a column of lengths in other units looks like
// the fraction of an inch: 3/32 is hardly 3 and 32 mm. 5/4 are two values.
func (b *binding) maybeInches(one, text string) bool {
	return properFraction(one) && b.columns[0].f.Scale == quantity.Millimetre.Scale && !b.inches(text) && !b.inches(one)
}

// bareFraction tells a fraction without a unit below millimetres or centimetres, of
// which nobody writes such.
func (b *binding) bareFraction(text string) bool {
	return b.unit != nil && (b.unit.Name == "mm" || b.unit.Name == "cm") &&
		strings.Contains(text, "/") && quantity.Bare(text)
}

func maybeTwo(text string, f *inventory.Field) error {
	return refuse(quoted(text), f.Expected(), "%s may be a fraction or two values; write decimals", quoted(text))
}

// maybeTwo tells a fraction that may as well be two values: people divide inches, feet,
// ounces and pounds, by halves, while 24/2 is a cable of two wires, 9/6 two batteries
// and 11/22 two lengths.
func (b *binding) maybeTwo(text string) bool {
	if !strings.Contains(text, "/") || !twoByTwo().MatchString(text) || b.bareFraction(text) {
		return false
	}
	unit := b.unit
	for _, c := range b.columns {
		if own := unitIn(c.f.Scale, text); own != nil {
			unit = own
		}
	}
	return unit == nil || !slices.Contains([]string{"in", "ft", "oz", "lb"}, unit.Name) || oddFraction(text)
}

// oddFraction tells a fraction that no rule shows: 11/22, 24/16.
func oddFraction(text string) bool {
	return twoByTwo().MatchString(text) && !properFraction(strings.ReplaceAll(text, " ", ""))
}

// slashes splits at slashes, but for the fraction of an inch.
func (b *binding) slashes(text string) []string {
	if !strings.Contains(text, "/") || inchFraction().MatchString(text) && b.inches(text) {
		return []string{text}
	}
	var out []string
	for _, part := range strings.Split(text, "/") {
		if part = strings.TrimSpace(part); part != "" {
			out = append(out, part)
		}
	}
	return out
}
