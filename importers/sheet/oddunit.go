package sheet

import (
	"fmt"
	"slices"
	"strings"

	"rangebox/inventory"
)

// partsOfUnit is how people say that they count parts of a unit: 64ths, 1/32 in.
var partsOfUnit = lazy(`(?i)(^|\D)1\s*[/⁄]\s*(2|4|8|10|16|32|64|100|128|1000)(\D|$)|(^|\D)(4ths|8ths|10ths|100ths|1000ths|16ths?|32(nds?|ths)|64ths?|128ths?|(16|32|64)tel)(\W|_|$)|(eigh|sixteen|sixty-four|ten|hundred|thousand)ths|thirty-seconds`)

// oddUnit says of a header what is wrong with its unit for a column, and what to write:
// bare numbers below Throat (64ths) are no millimetres, and gr may be two units.
func (c *column) oddUnit(header string) (why, mend string) {
	words := inventory.Printable(wordsOf(header))
	switch {
	case !c.numeric():
	case slices.ContainsFunc(strings.FieldsFunc(header, inHeader), c.f.Scale.Unclear):
		return `has the unit "gr", which may be grain or gram`,
			fmt.Sprintf("write its unit in brackets, as in %q or %q, or in the cells", words+" (grain)", words+" (g)")
	case c.f.Scale.Name != "" && ofParts(header):
		own := fmt.Sprintf("%s (%s)", words, c.f.Scale.Name)
		if c.f.Scale.Dimension == "length" {
			return "speaks of parts of a unit", fmt.Sprintf(`write fractions of an inch below %q, as in 3/32, or decimals below %q`, words+" (in)", own)
		}
		return "speaks of parts of a unit", fmt.Sprintf("write the whole values below %q", own)
	}
	return "", ""
}

// ofParts tells whether a header's unit, or all of it where none is in brackets, speaks
// of parts of one.
func ofParts(header string) bool {
	if _, inside, bracketed := splitUnit(header); bracketed {
		header = inside
	}
	return partsOfUnit().MatchString(header)
}

// inHeader parts the words of a header.
func inHeader(r rune) bool { return strings.ContainsRune(" _-,:;()[]/\u00a0", r) }

// wordsOf is a header without its unit.
func wordsOf(header string) string {
	words, _, bracketed := splitUnit(header)
	if !bracketed {
		words, _ = lastWord(strings.TrimSpace(words))
	}
	return strings.TrimRight(words, unitsFollow)
}

// noFields are what motors are described by that no field holds, as plain headers. A field
// in the same unit is not meant by them: a curve tells how long a motor burns.
var noFields = []string{"burn time", "burn duration", "burning time", "thrust duration", "brenndauer", "brennzeit"}

// ofNoField tells of a header that means none of the fields.
func ofNoField(header string) bool {
	return slices.ContainsFunc(noFields, func(words string) bool {
		return strings.HasPrefix(plain(header), plain(words))
	})
}
