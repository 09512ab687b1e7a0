package sheet

import (
	"fmt"
	"slices"
	"strings"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// setNumber reads one quantity or several.
func (l *layout) setNumber(rec any, b *binding, c cell) error {
	switch c.form {
	case day:
		return takenForDate(c.text, b.columns[0].f)
	case truth:
		return refuse(c.text, b.columns[0].f.Expected(), "found %s, expected %s", c.text, b.columns[0].f.Expected())
	}
	if b.columns[0].many() {
		return l.setNumbers(rec, b, c)
	}
	q, err := l.quantity(b, c)
	if err != nil {
		return err
	}
	return q.set(rec)
}

// amount is a quantity as a cell holds it, in steps of its field.
type amount struct {
	f     *inventory.Field
	steps int64
	text  string // as it stood
}

// set puts the amount into its field.
func (q amount) set(rec any) error {
	if q.steps == 0 && q.f.Sign == inventory.Positive {
		return refuse(quoted(q.text), "a number above 0", "0 stands here, where a number must be above 0; leave the cell empty where it is not known")
	}
	return setAs(rec, q.f, q.f.Scale.Format(q.steps))
}

// quantity reads one quantity; the cell's unit wins over the header's.
func (l *layout) quantity(b *binding, c cell) (amount, error) {
	text, err := l.point(c)
	if err != nil {
		return amount{}, err
	}
	if b.columns[0].key == "unit_cost" {
		if text, err = l.price(text); err != nil {
			return amount{}, err
		}
	}
	if c.form != number && b.maybeTwo(text) {
		return amount{}, maybeTwo(text, b.columns[0].f)
	}
	return b.measure(text, c.trimmed())
}

// measure reads a text without decimal commas in the unit of the binding.
func (b *binding) measure(text, shown string) (amount, error) {
	if b.unit == nil && quantity.Bare(text) {
		if _, err := b.columns[0].f.Scale.Parse(text); err == nil {
			return amount{}, b.unitless(shown)
		}
	}
	if b.bareFraction(text) {
		return amount{}, refuse(quoted(text), "a length with its unit", "%s may be a fraction of an inch; write its unit, or a decimal", quoted(text))
	}
	var failed error // of the last
	for _, col := range b.columns {
		scale := b.unit
		if scale == nil {
			scale = col.f.Scale
		}
		steps, err := scale.Parse(text)
		if err == nil {
			return amount{col.f, steps, shown}, nil
		}
		failed = refused(col.f, shown, err)
	}
	if len(b.columns) == 1 {
		return amount{}, failed
	}
	return amount{}, refuse(quoted(shown), "a quantity with its unit", "found %s, expected a quantity with its unit: %s", quoted(shown), unitsOf(b.columns))
}

// unitless refuses a bare number below a header that has no unit either.
func (b *binding) unitless(shown string) error {
	return refuse(quoted(shown), "a number with its unit", "%s has no unit, and neither has its header; write the unit in brackets behind the header, as in %q, or in the cell (%s)",
		quoted(shown), fmt.Sprintf("%s (%s)", inventory.Printable(b.header), b.columns[0].f.Scale.Name), unitsOf(b.columns))
}

func unitsOf(columns []*column) string {
	names := make([]string, len(columns))
	for i, c := range columns {
		names[i] = c.f.Scale.Name
	}
	return strings.Join(names, " or ")
}

// point puts a decimal point where the sheet has commas.
func (l *layout) point(c cell) (string, error) {
	text := c.trimmed()
	if c.form == number {
		return text, nil
	}
	if err := l.unclearPoint(text); err != nil || !strings.Contains(text, ",") {
		return text, err
	}
	switch {
	case l.marks.comma == commaUnclear && thousandsComma().MatchString(text):
		return "", refuse(quoted(text), "a number that can only be read one way", "%s may be %s or %s; write it without a comma",
			quoted(text), strings.Replace(text, ",", ".", 1), strings.Replace(text, ",", "", 1))
	case l.marks.comma == commaConflict:
		return "", refuse(quoted(text), "numbers written one way", "%s has a comma where others of the sheet have a point; write all of them one way", quoted(text))
	case l.commaIsDecimal() && strings.Contains(text, "."), l.commaIsDecimal() && strings.Count(text, ",") > 1:
		return "", refuse(quoted(text), "a number", "%s has marks for thousands; write it without them", quoted(text))
	case l.commaIsDecimal():
		return strings.Replace(text, ",", ".", 1), nil
	}
	return text, nil
}

func (l *layout) commaIsDecimal() bool {
	return l.marks.comma == commaDecimal || l.marks.comma == pointUnclear
}

// unclearPoint refuses a point where the comma is decimal, or may be: the point may be
// of thousands.
func (l *layout) unclearPoint(text string) error {
	if l.marks.comma == commaUnclear && l.grid.delimiter != ',' {
		return eitherPoint(text)
	}
	if !l.commaIsDecimal() || strings.Contains(text, ",") || !decimalPoint().MatchString(text) {
		return nil
	}
	if m := onePoint().FindStringSubmatch(text); m != nil && thousandsPoint().MatchString(text) {
		decimal := m[1] + strings.TrimRight("."+m[2], ".0") + m[3]
		return refuse(quoted(text), "a number that can only be read one way", "%s may be %s or %s; write it with the decimal comma, or without a mark for thousands",
			quoted(text), strings.Replace(decimal, ".", ",", 1), m[1]+m[2]+m[3])
	}
	if strings.Count(text, ".") > 1 {
		return refuse(quoted(text), "a number", "%s has marks for thousands; write it without them", quoted(text))
	}
	return refuse(quoted(text), "numbers written one way", "%s has a point where others of the sheet have a comma; write all of them one way", quoted(text))
}

// eitherPoint refuses 1.234 where no number of the sheet shows what its point is.
func eitherPoint(text string) error {
	m := onePoint().FindStringSubmatch(text)
	if m == nil || !thousandsPoint().MatchString(text) {
		return nil
	}
	return refuse(quoted(text), "a number that can only be read one way", "%s may be %s or %s; write it without the mark, or with another number of decimals",
		quoted(text), m[1]+"."+m[2]+m[3], m[1]+m[2]+m[3])
}

var onePoint = lazy(`^([^.]*)\.(\d+)([^.]*)$`)

var moneyMark = lazy(`^([$€£]|[A-Z]{3})?\s*([^$€£]*?)\s*([$€£]|[A-Z]{3})?$`)

// price takes the currency off a price, which must be one in all of a sheet: a
// box knows one.
func (l *layout) price(text string) (string, error) {
	m := moneyMark().FindStringSubmatch(text)
	if m == nil || m[1] == "" && m[3] == "" {
		return text, nil
	}
	money := currency(m[1] + m[3])
	if l.marks.money == "" {
		l.marks.money = money
	}
	if money != l.marks.money {
		return "", refuse(quoted(text), "prices in "+l.marks.money, "%s is not in %s as the others are; a box has one currency", quoted(text), l.marks.money)
	}
	return m[2], nil
}

// setNumbers reads several quantities into a field that holds several.
func (l *layout) setNumbers(rec any, b *binding, c cell) error {
	list, err := l.amounts(b, c)
	if err != nil {
		return err
	}
	f := b.columns[0].f
	items := make([]string, len(list))
	for i, q := range list {
		if q.steps == 0 && f.Sign == inventory.Positive {
			return q.set(rec)
		}
		items[i] = f.Scale.Format(q.steps)
	}
	if err := f.SetList(rec, items); err != nil {
		return refused(f, c.text, err)
	}
	return nil
}

// amounts reads the quantities of a cell that may hold several.
func (l *layout) amounts(b *binding, c cell) ([]amount, error) {
	if c.form == number {
		q, err := b.measure(c.trimmed(), c.trimmed())
		return []amount{q}, err
	}
	texts, err := l.several(b, c.trimmed())
	if err != nil {
		return nil, err
	}
	if err := b.twoUnits(texts, c.trimmed()); err != nil {
		return nil, err
	}
	list := make([]amount, len(texts))
	unit := b.unit
	for i := len(texts) - 1; i >= 0; i-- {
		// in "2.4 / 3.1 mm" the unit is of both
		one := *b
		one.unit = unit
		if list[i], err = one.measure(texts[i], texts[i]); err != nil {
			return nil, err
		}
		if found := unitIn(b.columns[0].f.Scale, texts[i]); found != nil {
			unit = found
		}
	}
	return list, nil
}

// twoUnits refuses 2.4 mm / 0.094 in: two values, or one of them said twice.
func (b *binding) twoUnits(texts []string, shown string) error {
	if len(texts) < 2 {
		return nil
	}
	var seen *quantity.Scale
	for _, text := range texts {
		unit := unitIn(b.columns[0].f.Scale, text)
		if unit == nil {
			unit = b.unit
		}
		switch {
		case seen == nil:
			seen = unit
		case unit != nil && unit != seen:
			return refuse(quoted(shown), b.columns[0].f.Expected(), "%s has two units, and may be one value said twice; write each value once, in one unit", quoted(shown))
		}
	}
	return nil
}

// unitIn is the unit that a text carries, nil where it has none of its own.
func unitIn(s *quantity.Scale, text string) *quantity.Scale {
	suffix := strings.TrimLeft(text, "0123456789./ -+")
	if found, ok := s.In(strings.TrimSpace(suffix)); ok {
		return found
	}
	return nil
}

// several splits a cell into quantities: at bars, semicolons, commas that are not
// decimal, blanks and slashes that are not of a fraction. A unit behind a blank
// stays with its number.
func (l *layout) several(b *binding, text string) ([]string, error) {
	text = strings.NewReplacer("|", " | ", ";", " | ").Replace(text)
	for _, word := range strings.FieldsFunc(text, isSeparator) {
		if err := l.unclearPoint(word); err != nil {
			return nil, err
		}
	}
	if strings.Contains(text, ",") {
		if !l.commaIsDecimal() && l.marks.comma != commaRefused || l.eitherComma(text) {
			return nil, refuse(quoted(text), "values that can only be read one way", "%s may be one value with a decimal comma or several; separate several with spaces", quoted(text))
		}
		text = l.spreadCommas(text)
	}
	var list []string
	for _, word := range strings.Fields(text) {
		switch {
		case word == "|":
			list = append(list, "")
		case len(list) > 0 && list[len(list)-1] != "" && !startsNumber(word):
			list[len(list)-1] += " " + word
		case len(list) > 0 && wholeNumber().MatchString(list[len(list)-1]) && properFraction(word) && (b.inches(text) || b.inches(word)):
			list[len(list)-1] += " " + word // a mixed number of inches
		default:
			list = append(list, word)
		}
	}
	var out []string
	for _, one := range list {
		if (b.inches(text) || b.inches(one)) && (oddFraction(one) || strings.Count(one, "/") > 1) {
			return nil, maybeTwo(text, b.columns[0].f)
		}
		if b.maybeInches(one, text) {
			return nil, refuse(quoted(text), "values that can only be read one way", "%s may be a fraction of an inch or two values; write its unit, or separate values with spaces", quoted(text))
		}
		if one != "" {
			out = append(out, b.slashes(one)...)
		}
	}
	if len(out) == 0 {
		return nil, refuse(quoted(text), b.columns[0].f.Expected(), "found %s, expected %s", quoted(text), b.columns[0].f.Expected())
	}
	return out, nil
}

func startsNumber(word string) bool {
	return word[0] >= '0' && word[0] <= '9' || strings.IndexByte("#.+-", word[0]) >= 0
}

// eitherComma tells whether a comma may be decimal or between two values: in a
// workbook or a file with tabs or bars, nothing else says of 3,5 or of 3,5 7.
func (l *layout) eitherComma(text string) bool {
	return l.marks.comma == commaRefused && l.grid.delimiter != ',' && !decimalPoint().MatchString(text) &&
		tightComma().MatchString(text) && (strings.Count(text, ",") == 1 || otherParts().MatchString(text))
}

func (l *layout) spreadCommas(text string) string {
	if !l.commaIsDecimal() {
		return strings.ReplaceAll(text, ",", " | ")
	}
	text = strings.ReplaceAll(text, ", ", " | ")
	return strings.ReplaceAll(text, ",", ".")
}

var (
	inchFraction = lazy(`^(\d+[ -])?\d+/\d+\D*$`)
	wholeNumber  = lazy(`^\d+$`)
	tightComma   = lazy(`\d,\d`)
	otherParts   = lazy(`\d(,\s+|\s*[/;|]\s*|\s+)\d`)
	twoByTwo     = lazy(`^[^\d]*\d+\s*/\s*\d+\D*$`)
	halvedInch   = lazy(`^(\d+)/(2|4|8|16|32|64)\D*$`)
)

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
