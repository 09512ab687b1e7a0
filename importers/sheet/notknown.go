package sheet

import (
	"strings"

	"rangebox/inventory"
)

// notKnown is what people write into a cell whose figure they do not know.
var notKnown = map[string]bool{"-": true, "--": true, "\u2013": true, "\u2014": true, "?": true, "??": true,
	"n/a": true, "na": true, "n.a.": true, "tbd": true, "unknown": true, "k.a.": true}

// saysNothing tells a cell below a number or a date that says that its value is not
// known: it is read as an empty one. Words and handles may mean it as it stands, and how
// many there are is asked about.
func (b *binding) saysNothing(c cell) bool {
	col := b.columns[0]
	measured := col.numeric() && col.key != "quantity" || col.f.Type == inventory.TypeDate
	return measured && (c.form == bare || c.form == literal) && notKnown[strings.ToLower(c.trimmed())]
}
