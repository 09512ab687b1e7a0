package sheet

import (
	"fmt"
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
	if b.unit == nil && quantity.Bare(text) && properFraction(text) && b.columns[0].f.Scale.Dimension == "length" {
		return amount{}, refuse(quoted(text), "a length with its unit", "%s may be a fraction of an inch; write its unit, as in %q or in brackets behind the header", quoted(text), text+" in")
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
	case manyThousands().MatchString(text):
		return "", refuse(quoted(text), "a number", "%s has marks for thousands; write it without them", quoted(text))
	case l.marks.comma == commaRefused && thousandsComma().MatchString(text):
		return "", refuse(quoted(text), "a number", "%s has a comma where others of the sheet have a point; write it without the mark for thousands, or with a decimal point", quoted(text))
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

// unitIn is the unit that a text carries, nil where it has none of its own.
func unitIn(s *quantity.Scale, text string) *quantity.Scale {
	suffix := strings.TrimLeft(text, "0123456789./ -+")
	if found, ok := s.In(strings.TrimSpace(suffix)); ok {
		return found
	}
	return nil
}
