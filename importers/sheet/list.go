package sheet

import (
	"strings"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// setNumbers reads several quantities into a field that holds several.
func (l *layout) setNumbers(rec any, b *binding, c cell) error {
	list, err := l.amounts(b, c)
	if err != nil {
		return err
	}
	f := b.columns[0].f
	items := make([]string, len(list))
	for i, q := range list {
		if q.steps == 0 && f.Key == "delays_s" {
			return headEnd(f, q.text)
		}
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
		if err := noDelays(b, c.trimmed()); err != nil {
			return nil, err
		}
		q, err := b.measure(c.trimmed(), c.trimmed())
		return []amount{q}, err
	}
	if err := noDelays(b, c.trimmed()); err != nil {
		return nil, err
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

func headEnd(f *inventory.Field, word string) error {
	return refuse(quoted(word), f.Expected(), "%s is no delay but a head end; write it in a column head_ends (plugged, or open for a booster), and delays alone here", quoted(word))
}

// noDelays refuses what people write among delays or throats that is none: P for what
// the head end is instead, and numbers with dashes between them.
func noDelays(b *binding, text string) error {
	f := b.columns[0].f
	for _, word := range strings.FieldsFunc(text, isSeparator) {
		if f.Key == "delays_s" && headEnds().MatchString(word) {
			return headEnd(f, word)
		}
		if !strings.Contains(text, "/") && dashed().MatchString(word) { // 1-1/4 is a mixed number
			return refuse(quoted(text), f.Expected(), "%s is not a number; separate several with spaces, as in %q", quoted(word), strings.ReplaceAll(word, "-", " "))
		}
	}
	return nil
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

// several splits a cell into quantities: at bars, semicolons, commas that are not
// decimal, blanks and slashes that are not of a fraction. A unit behind a blank
// stays with its number.
func (l *layout) several(b *binding, text string) ([]string, error) {
	text = tightSlashes(strings.NewReplacer("|", " | ", ";", " | ").Replace(text))
	for _, word := range strings.FieldsFunc(text, isSeparator) {
		if err := l.unclearPoint(word); err != nil {
			return nil, err
		}
	}
	if strings.Contains(text, ",") {
		if !l.commaIsDecimal() && l.marks.comma != commaRefused || l.eitherComma(b, text) {
			return nil, refuse(quoted(text), "values that can only be read one way", "%s may be one value with a decimal comma or several; separate several with spaces, or write the one with a decimal point", quoted(text))
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

// eitherComma tells whether a comma may be decimal or between two values. Nothing says
// of 3,5 in a workbook or a file with tabs or bars; where the comma separates cells, 3,5
// in quotes are two delays, but of a throat more likely a decimal comma, unless points
// are decimal there. 3,5/7,5 may be two values or four anywhere.
func (l *layout) eitherComma(b *binding, text string) bool {
	if l.marks.comma != commaRefused || decimalPoint().MatchString(text) || !tightComma().MatchString(text) {
		return false
	}
	if otherParts().MatchString(text) {
		return l.grid.delimiter != ',' || !allFractions(text)
	}
	oneThroat := b.columns[0].nozzle && !l.marks.points
	return strings.Count(text, ",") == 1 && (l.grid.delimiter != ',' || oneThroat)
}

// allFractions tells whether what stands between commas are parts of an inch.
func allFractions(text string) bool {
	for _, part := range strings.Split(text, ",") {
		if !properFraction(strings.TrimSpace(part)) {
			return false
		}
	}
	return true
}

func (l *layout) spreadCommas(text string) string {
	if !l.commaIsDecimal() {
		return strings.ReplaceAll(text, ",", " | ")
	}
	text = strings.ReplaceAll(text, ", ", " | ")
	return strings.ReplaceAll(text, ",", ".")
}

var (
	wholeNumber = lazy(`^\d+$`)
	headEnds    = lazy(`^(?i:p|plug|plugged|b|booster)$`)
	dashed      = lazy(`^\d[\d.,]*(-\d[\d.,]*)+[a-z]*$`)
	tightComma  = lazy(`\d,\d`)
	otherParts  = lazy(`\d\s*[^\d\s,;|/]*(,\s+|\s*[/;|]\s*|\s+)\d`) // a unit may stand before them
)
