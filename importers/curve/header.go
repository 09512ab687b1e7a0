package curve

import (
	"fmt"
	"strings"
	"unicode"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// role is what a column holds.
type role uint8

const (
	noRole role = iota
	timeColumn
	thrustColumn
)

// meaning is what a word of a header tells; a unit tells the column too.
type meaning struct {
	role role
	unit string
}

// dictionary has the words of headers: what columns are called, and units. In a
// column of thrust pounds and kilograms are those of force.
var dictionary = func() map[string]meaning {
	words := map[string]meaning{}
	for _, row := range []struct {
		meaning
		words string
	}{
		{meaning{role: timeColumn}, "time t zeit temps tiempo tempo"},
		{meaning{role: thrustColumn}, "thrust force f schub schubkraft kraft poussée force empuje spinta load"},
		{meaning{timeColumn, "s"}, "s sec secs second seconds sekunden"},
		{meaning{timeColumn, "ms"}, "ms msec msecs millisecond milliseconds millisekunden"},
		{meaning{thrustColumn, "N"}, "n newton newtons"},
		{meaning{thrustColumn, "lbf"}, "lbf lb lbs pound pounds"},
		{meaning{thrustColumn, "kgf"}, "kgf kg kgs kp kilopond"},
		{meaning{}, "in en data value values measured filtered raw motor engine elapsed of the from"},
	} {
		for _, word := range strings.Fields(row.words) {
			words[word] = row.meaning
		}
	}
	return words
}()

const knownHeader = "headers such as \"Time (s)\" and \"Thrust (N)\": time in s or ms, thrust in N, lbf or kgf"

// column is what a header says of one column.
type column struct {
	role role
	unit string
}

// columnOf reads a header. A word that is not known may be a unit: it is refused
// rather than passed over.
func (in *reading) columnOf(header string) (column, error) {
	var out column
	for _, word := range words(header) {
		m, known := dictionary[word]
		switch {
		case !known,
			m.role != noRole && out.role != noRole && m.role != out.role,
			m.unit != "" && out.unit != "" && m.unit != out.unit:
			return out, in.refuse(fmt.Sprintf("%q", inventory.Printable(header)), knownHeader)
		}
		if m.role != noRole {
			out.role = m.role
		}
		if m.unit != "" {
			out.unit = m.unit
		}
	}
	return out, nil
}

// words are the letters of a text that stand together, in small letters.
func words(text string) []string {
	return strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) })
}

// units takes which column is which, and the units, from a header.
func (in *reading) units(text string) error {
	cells := in.headerCells(text)
	if len(cells) != 2 {
		return nil
	}
	first, err := in.columnOf(cells[0])
	if err != nil {
		return err
	}
	second, err := in.columnOf(cells[1])
	if err != nil {
		return err
	}
	in.swapped = first.role == thrustColumn || first.role == noRole && second.role == timeColumn
	if in.swapped {
		first, second = second, first
	}
	if first.role == thrustColumn || second.role == timeColumn {
		return in.refuse(fmt.Sprintf("%q", inventory.Printable(text)), "one column of time and one of thrust")
	}
	in.take(&in.time, first.unit)
	in.take(&in.thrust, second.unit)
	return nil
}

func (in *reading) take(scale **quantity.Scale, unit string) {
	if found, ok := (*scale).In(unit); ok {
		*scale = found
	}
}

// hints notes a comment that speaks of other units than s and N: without a header
// that says which they are, the numbers cannot be read.
func (in *reading) hints(comment string) {
	for _, word := range words(comment) {
		if m := dictionary[word]; m.unit != "" && m.unit != "s" && m.unit != "N" && in.hint == 0 {
			in.hint, in.hinted = in.row, comment
		}
	}
}

// oneMark refuses a file that has both decimal points and decimal commas.
func (in *reading) oneMark(cell string, delimiter rune) error {
	mark := byte(0)
	switch {
	case delimiter == ',':
		return nil
	case strings.Contains(cell, ","):
		mark = ','
	case strings.Contains(cell, "."):
		mark = '.'
	}
	if mark == 0 || in.mark == 0 || in.mark == mark {
		in.mark = max(in.mark, mark)
		return nil
	}
	return in.refuse(fmt.Sprintf("%q", inventory.Printable(cell)), fmt.Sprintf("a decimal %q as in the lines before", in.mark))
}
