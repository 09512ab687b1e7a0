package sheet

import (
	"fmt"
	"slices"
	"sort"
	"strconv"
	"strings"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// binding is what a column of a file was taken for.
type binding struct {
	index   int    // of the column, from 0
	header  string // as it stands there
	columns []*column
	// unit is that of bare numbers; nil where none is known.
	unit *quantity.Scale
	// part counts the columns that go on with a text, from 2.
	part int
	// of is the kind of item that the header names: Motor, Igniter.
	of string
	// money is the currency in the header.
	money string
	// why says why it was not taken for anything, mend what to write instead.
	why, mend string
	// likely are the fields that why names; loose tells that a last word, which is no
	// unit, was passed over for them.
	likely []*column
	loose  bool
	// asks is why, where only cells without a unit cannot be read.
	asks   string
	ignore bool
	mapped bool
}

func (b *binding) known() bool { return len(b.columns) > 0 }

func (b *binding) place() string { return place(letter(b.index), b.header) }

// read takes a header for a column of the lexicon.
func (lex *lexicon) read(header string) binding {
	b := binding{header: header}
	if c := lex.keys[plain(header)]; c != nil {
		b.columns, b.unit = []*column{c}, c.f.Scale
		return b
	}
	words, unit, bracketed := splitUnit(header)
	if found := lex.words[plain(header)]; len(found) > 0 && (!bracketed || !someUnit(unit)) {
		return lex.bare(b, found) // Bought for (each)
	}
	if unit == "" {
		words, unit = lastWord(header)
	}
	found := lex.words[plain(words)]
	if before, last := lastWord(words); len(found) == 0 && bareUnit(last+" "+unit) == unit {
		words = before // lead length in cm
		found = lex.words[plain(words)]
	}
	if c := lex.keys[plain(words)]; c != nil && !slices.Contains(found, c) {
		if other, ok := otherUnit(c, unit); ok {
			b.why = fmt.Sprintf("says two units, %q and %q", c.f.Scale.Name, inventory.Printable(other))
			b.mend = "write one of them"
			return b
		}
		found = append(slices.Clip(found), c)
	}
	if unit == "" || len(found) == 0 {
		return b
	}
	return b.withUnit(unit, bracketed, found).noLeast(words, unit)
}

// otherUnit tells of a key with its unit, diameter_mm, that is followed by another.
func otherUnit(c *column, unit string) (string, bool) {
	if !c.numeric() || c.base() == c.key {
		return "", false
	}
	scale, ok := unitNamed(c.f.Scale, unit)
	return unit, ok && scale != c.f.Scale
}

// noLeast asks about Delay (min): the least delay, or one in minutes.
func (b binding) noLeast(words, unit string) binding {
	if !b.known() || b.unit == nil || b.unit.Name != "min" || !strings.EqualFold(unit, "min") {
		return b
	}
	c := b.columns[0]
	return binding{header: b.header, likely: []*column{c}, why: fmt.Sprintf("looks like %s, but %q may be minutes or the least", c.key, unit), mend: bracketsFor(strings.TrimSpace(words), c, "minutes")}
}

// bare takes a header without a unit: bare numbers below it mean something only
// where the field knows no other unit.
func (lex *lexicon) bare(b binding, found []*column) binding {
	if len(found) > 1 && !distinct(found) {
		b.why, b.likely = fmt.Sprintf("may be %s", strings.Join(keysOf(found), " or ")), found
		return b
	}
	b.columns = found
	if c := found[0]; len(found) == 1 && c.numeric() && c.f.Scale.Unmistakable() || c.f.Scale == quantity.Amount.Scale {
		b.unit = c.f.Scale
	}
	if lex.kind == inventory.KindLot && found[0].key == "item" {
		if info, ok := inventory.KindNamed(strings.ToLower(strings.TrimSpace(b.header))); ok {
			b.of = string(info.Kind)
		}
	}
	return b
}

// withUnit takes a header whose words are followed by a unit, or by a remark in
// brackets where the field has none.
func (b binding) withUnit(unit string, remark bool, found []*column) binding {
	var fits, remarked []*column
	for _, c := range found {
		if n, err := strconv.Atoi(unit); err == nil && n > 1 && c.long() {
			b.part, fits = n, append(fits, c)
			continue
		}
		if !c.numeric() {
			remarked = append(remarked, c)
			continue
		}
		if scale, ok := unitNamed(c.f.Scale, unit); ok {
			b.unit, fits = scale, append(fits, c)
		} else if c.key == "unit_cost" && currency(unit) != "" {
			b.unit, b.money, fits = c.f.Scale, currency(unit), append(fits, c)
		}
	}
	for _, c := range found {
		if why, mend := c.oddUnit(b.header); len(fits) == 0 && why != "" {
			b.why, b.mend, b.likely = why, mend, found
			return b
		}
	}
	if remark && len(remarked) == len(found) && (someUnit(unit) || partsOfUnit().MatchString(unit)) && unit != "s" { // Motor(s) are several
		b.why = fmt.Sprintf("looks like %s, which is no number, but %q is a unit", strings.Join(keysOf(found), " or "), inventory.Printable(unit))
		return b
	}
	if len(fits) == 0 && remark {
		fits = remarked
	}
	switch {
	case len(fits) == 1:
		b.columns = fits
	case len(fits) > 1:
		b.why, b.likely = fmt.Sprintf("may be %s", strings.Join(keysOf(fits), " or ")), fits
	case len(remarked) < len(found):
		b.why, b.likely = fmt.Sprintf("looks like %s, but %q is no unit of it", strings.Join(keysOf(found), " or "), inventory.Printable(unit)), found
		if someUnit(unit) {
			b.mend = unitToWrite(b.header, found)
		}
		b.loose = b.mend == "" && strings.HasSuffix(b.header, unit)
	}
	return b
}

// splitUnit splits `Throat (in)`, `All-fire [mA]` and `Lead length, ft`.
func splitUnit(header string) (words, unit string, bracketed bool) {
	header = strings.TrimSpace(header)
	for _, pair := range []string{"()", "[]"} {
		begin := strings.LastIndexByte(header, pair[0])
		if begin > 0 && strings.HasSuffix(header, pair[1:]) {
			return header[:begin], bareUnit(strings.TrimSpace(header[begin+1 : len(header)-1])), true
		}
	}
	if comma := strings.LastIndexByte(header, ','); comma > 0 {
		return header[:comma], bareUnit(strings.TrimSpace(header[comma+1:])), false
	}
	return header, "", false
}

// lastWord splits `Throat in` and `notes_2`.
func lastWord(header string) (words, unit string) {
	header = strings.TrimSpace(header)
	if i := strings.LastIndexAny(header, " _"); i > 0 {
		return header[:i], header[i+1:]
	}
	return header, ""
}

// distinct tells whether the unit of a cell says which of the fields it means.
func distinct(found []*column) bool {
	seen := map[string]bool{}
	for _, c := range found {
		if !c.numeric() || seen[c.f.Scale.Dimension] {
			return false
		}
		seen[c.f.Scale.Dimension] = true
	}
	return true
}

func keysOf(list []*column) []string {
	keys := make([]string, len(list))
	for i, c := range list {
		keys[i] = c.key
	}
	return keys
}

// mostCandidates is how many fields a doubt names (ours).
const mostCandidates = 3

// candidates are the fields that a header may mean, the likeliest first.
func (lex *lexicon) candidates(header string) []string {
	words, unit, _ := splitUnit(header)
	if ofNoField(header) {
		return nil
	}
	if found := lex.words[plain(words)]; len(found) > 0 {
		if unit != "" && unit != "s" && someUnit(unit) && !slices.ContainsFunc(found, (*column).numeric) {
			return nil // another field, in that unit
		}
		return keysOf(found)
	}
	var known []string
	for word := range lex.words {
		known = append(known, word)
	}
	sort.Strings(known)
	var keys []string
	for len(keys) < mostCandidates {
		near, ok := inventory.Nearest(plain(words), known)
		if !ok {
			break
		}
		for _, c := range lex.words[near] {
			keys = appendNew(keys, c.key)
		}
		known = without(known, near)
	}
	if len(keys) == 0 && unit != "" {
		keys = lex.inUnit(unit)
	}
	return keys
}

// inUnit lists fields that the unit could be of.
func (lex *lexicon) inUnit(unit string) []string {
	var keys []string
	for i := range lex.columns {
		c := &lex.columns[i]
		if !c.numeric() {
			continue
		}
		if _, ok := c.f.Scale.In(unit); ok && len(keys) < mostCandidates {
			keys = append(keys, c.key)
		}
	}
	return keys
}

func appendNew(list []string, s string) []string {
	if slices.Contains(list, s) {
		return list
	}
	return append(list, s)
}

func without(list []string, s string) []string {
	var out []string
	for _, have := range list {
		if have != s {
			out = append(out, have)
		}
	}
	return out
}

// currency knows a mark of money: a sign, or three capital letters. Which dollar
// is meant does not matter as long as it is one.
func currency(s string) string {
	switch s = strings.TrimSpace(s); s {
	case "$":
		return "USD"
	case "€":
		return "EUR"
	case "£":
		return "GBP"
	}
	if len(s) != 3 || strings.Trim(s, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") != "" {
		return ""
	}
	return s
}
