package sheet

import (
	"fmt"
	"slices"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// Mapped is what a mapped column was taken for.
type Mapped struct {
	Sheet, Header, Field string
	// Unit is that of bare numbers; PerCell tells that there are none, and each
	// cell has its own.
	Unit    string
	PerCell bool
}

func (b *binding) told(sheet string) Mapped {
	c := b.columns[0]
	m := Mapped{Sheet: sheet, Header: b.header, Field: c.key, PerCell: c.numeric() && b.unit == nil}
	switch {
	case b.money != "":
		m.Unit = b.money
	case c.numeric() && b.unit != nil:
		m.Unit = b.unit.Name
	}
	return m
}

// mappedTo takes a header for the field that the person names. Its unit counts as
// in a header that is recognised; without one, bare numbers are in the field's own.
func (lex *lexicon) mappedTo(c *column, header string) binding {
	b := binding{header: header, columns: []*column{c}, unit: c.f.Scale, mapped: true}
	if !c.numeric() {
		return b.partOf(c)
	}
	if read := lex.read(header); len(read.columns) == 1 && read.columns[0] == c && read.unit != nil {
		read.mapped = true
		return read
	}
	if why, mend := c.oddUnit(header); why != "" {
		b.unit, b.asks, b.mend = nil, why, mend
		return b
	}
	if slices.Contains(lex.words[plain(header)], c) {
		return b // "delay min" is the field, not minutes
	}
	return b.inUnitOf(strings.TrimRight(strings.Join(strings.Fields(header), " "), " .:;*"))
}

// partOf knows the further columns of a long text.
func (b binding) partOf(c *column) binding {
	if _, unit, _ := splitUnit(b.header); unit != "" {
		if named := b.withUnit(unit, true, []*column{c}); named.known() {
			return named
		}
	}
	return b
}

// inUnitOf gives a mapped column the unit that its header ends in.
func (b binding) inUnitOf(header string) binding {
	words, inside, bracketed := splitUnit(header)
	if bracketed {
		if b.unitIs(inside) {
			return b.take(inside)
		}
		for _, word := range headerWords(inside) {
			if !slices.Contains(prepositions, word) && someUnit(word) {
				return b.ask(words, word)
			}
		}
		return b.inUnitOf(strings.TrimSpace(words)) // what is in brackets is a remark
	}
	if strings.IndexFunc(header, unicode.IsLetter) < 0 && !b.unitIs(header) {
		return b // a sign alone
	}
	for i := range header {
		if i > 0 && !strings.ContainsRune(unitsFollow, lastRune(header[:i])) {
			continue
		}
		words, unit := header[:i], strings.TrimSpace(header[i:])
		switch own := b.unitIs(unit); {
		case own && (b.ownUnit(unit) || !mayBeWord(unit)):
			return b.take(unit)
		case own, someUnit(unit) && !strings.EqualFold(unit, "min"):
			return b.ask(words, unit)
		}
	}
	for _, word := range headerWords(header) { // a unit amidst words
		inBrackets := strings.Contains(header, "("+word+")") || strings.Contains(header, "["+word+"]")
		if b.unitIs(word) && !b.ownUnit(word) && (inBrackets || !mayBeWord(word)) {
			return b.ask(header, word)
		}
	}
	return b
}

// unitsFollow is what stands between a header's words and its unit.
const unitsFollow = " _-/,:"

func lastRune(s string) rune {
	r, _ := utf8.DecodeLastRuneInString(s)
	return r
}

func headerWords(s string) []string {
	return strings.FieldsFunc(s, func(r rune) bool { return strings.ContainsRune(" _-,:;()[]", r) })
}

func (b *binding) unitIs(unit string) bool {
	c := b.columns[0]
	_, ok := unitNamed(c.f.Scale, unit)
	return ok || c.key == "unit_cost" && currency(unit) != ""
}

func (b *binding) ownUnit(unit string) bool {
	scale, ok := unitNamed(b.columns[0].f.Scale, unit)
	return ok && scale == b.columns[0].f.Scale
}

func (b binding) take(unit string) binding { return b.withUnit(unit, false, b.columns) }

// ask leaves a column without a unit: only cells with their own can be read.
func (b binding) ask(words, unit string) binding {
	c := b.columns[0]
	b.unit = nil
	b.asks = fmt.Sprintf("may be in %q or not, and is mapped to %s", inventory.Printable(unit), c.key)
	b.mend = bracketsFor(words, c, unit)
	if !b.unitIs(unit) {
		b.asks = fmt.Sprintf("says %q, which is no unit of %s that it is mapped to", inventory.Printable(unit), c.key)
		b.mend = bracketsFor(words, c, "")
	}
	return b
}

// bracketsFor says how to write a unit so that it can only be one.
func bracketsFor(words string, c *column, unit string) string {
	words = inventory.Printable(strings.TrimRight(words, unitsFollow))
	if c.f.Scale.Name == "" {
		return fmt.Sprintf("head it %q, without a unit", words)
	}
	example := fmt.Sprintf("%q", strings.TrimSpace(fmt.Sprintf("%s (%s)", words, c.f.Scale.Name)))
	if unit != "" {
		example = fmt.Sprintf("%q or ", strings.TrimSpace(fmt.Sprintf("%s (%s)", words, inventory.Printable(unit)))) + example
	}
	return fmt.Sprintf("write its unit in brackets, as in %s, or in the cells", example)
}

// mayBeWord tells of what is a unit and a word, or the letter of something else.
func mayBeWord(unit string) bool {
	switch strings.ToLower(unit) {
	case "in", "min", "grain", "grains":
		return true
	}
	r, size := utf8.DecodeRuneInString(unit)
	return size == len(unit) && (r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z')
}

// prepositions stand before a unit in English, German, French and Spanish.
var prepositions = []string{"in", "en", "a", "min"}

// bareUnit takes a preposition off a unit: in mA.
func bareUnit(unit string) string {
	word, rest, ok := strings.Cut(unit, " ")
	if ok && slices.Contains(prepositions[:3], strings.ToLower(word)) {
		return strings.TrimSpace(rest)
	}
	return unit
}

// spelt are units in words that quantities are not written with: German, and
// inch and foot in French, Spanish and Italian (from memory).
var spelt = map[string]string{
	"zoll": "in", "pouce": "in", "pouces": "in", "pulgada": "in", "pulgadas": "in", "pollice": "in", "pollici": "in",
	"fuß": "ft", "fuss": "ft", "pied": "ft", "pieds": "ft", "pie": "ft", "pies": "ft", "piede": "ft", "piedi": "ft",
	"zentimeter": "cm", "kilometer": "km", "mikrometer": "um",
	"gramm": "g", "milligramm": "mg", "kilogramm": "kg", "kilogram": "kg", "kilograms": "kg", "milligram": "mg", "milligrams": "mg", "unze": "oz", "unzen": "oz",
	"milliampere": "mA", "milliamperes": "mA", "millivolt": "mV", "millivolts": "mV",
	"sekunde": "s", "sekunden": "s", "millisekunde": "ms", "millisekunden": "ms", "msec": "ms", "minuten": "min", "prozent": "%",
}

// unitNamed finds the unit of a scale's dimension that a header names.
func unitNamed(s *quantity.Scale, text string) (*quantity.Scale, bool) {
	if unit, ok := spelt[strings.ToLower(text)]; ok {
		text = unit
	}
	return s.In(text)
}

// someUnit tells whether a text may be a unit of any field: MA may be mA.
func someUnit(text string) bool {
	for _, s := range dimensions() {
		for _, spelling := range []string{text, strings.ToLower(text)} {
			if _, ok := unitNamed(s, spelling); ok {
				return true
			}
		}
	}
	return false
}

// dimensions is one scale of each dimension that fields are in, but for those
// whose units are words: pieces, levels.
var dimensions = sync.OnceValue(func() []*quantity.Scale {
	seen := map[string]bool{"": true, "count": true, "amount": true, "number": true, "heat": true}
	var list []*quantity.Scale
	for _, lex := range lexicons() {
		for i := range lex.columns {
			if c := &lex.columns[i]; c.numeric() && !seen[c.f.Scale.Dimension] {
				seen[c.f.Scale.Dimension] = true
				list = append(list, c.f.Scale)
			}
		}
	}
	return list
})

// unitToWrite says how to mend a recognised header whose unit is none of its field:
// --map would not make it one.
func unitToWrite(header string, found []*column) string {
	for _, c := range found {
		if c.numeric() {
			return bracketsFor(wordsOf(header), c, "")
		}
	}
	return ""
}
