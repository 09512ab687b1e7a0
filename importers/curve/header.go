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
		{meaning{thrustColumn, "kgf"}, "kgf kg kgs kp kilopond kiloponds"},
		{meaning{}, "in en data value values measured filtered motor engine elapsed of the from"},
	} {
		for _, word := range strings.Fields(row.words) {
			words[word] = row.meaning
		}
	}
	return words
}()

const knownHeader = "headers such as \"Time (s)\" and \"Thrust (N)\": time in s or ms, thrust in N, lbf or kgf; begin the line with # where it is no header"

// column is what a header says of one column.
type column struct {
	role role
	unit string
}

// columnOf reads a header. What is not known in it may be a unit, or a factor: it is
// refused rather than passed over.
func (in *reading) columnOf(header string) (column, error) {
	var out column
	if strings.ContainsFunc(header, unknownSign) {
		return out, in.refuse(fmt.Sprintf("%q", inventory.Printable(header)), knownHeader)
	}
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

// unknownSign tells what changes the meaning of a header beside letters: digits of a
// factor, or %.
func unknownSign(r rune) bool {
	return !unicode.IsLetter(r) && !unicode.IsSpace(r) && !strings.ContainsRune(`()[]{}_/,.:;-"`, r)
}

// words are the letters of a text that stand together, in small letters.
func words(text string) []string {
	return strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) })
}

// inTwo parts a header whose cells hold several words, with blanks between them, at
// the word that begins another column.
func inTwo(header string) []string {
	role, at := noRole, 0
	for _, word := range strings.Fields(header) {
		at += strings.Index(header[at:], word)
		for _, w := range words(word) {
			switch m := dictionary[w]; {
			case m.role == noRole || m.role == role:
			case role == noRole:
				role = m.role
			default:
				return []string{header[:at], header[at:]}
			}
		}
		at += len(word)
	}
	return []string{header}
}

// units takes which column is which, and the units, from a header.
func (in *reading) units(text string) error {
	cells := in.headerCells(text)
	if len(cells) != 2 {
		cells = inTwo(text)
	}
	columns := make([]column, 2)
	for i, cell := range cells {
		var err error
		if columns[i], err = in.columnOf(cell); err != nil {
			return err
		}
	}
	first, second := columns[0], columns[1]
	in.swapped = first.role == thrustColumn || first.role == noRole && second.role == timeColumn
	if in.swapped {
		first, second = second, first
	}
	if len(cells) != 2 || first.role == thrustColumn || second.role == timeColumn {
		return in.refuse(fmt.Sprintf("%q", inventory.Printable(text)), "one column of time and one of thrust")
	}
	in.take(&in.time, first.unit)
	in.take(&in.thrust, second.unit)
	in.stated[timeColumn], in.stated[thrustColumn] = first.unit != "", second.unit != ""
	return nil
}

func (in *reading) take(scale **quantity.Scale, unit string) {
	if found, ok := (*scale).In(unit); ok {
		*scale = found
	}
}

// hints notes a comment that speaks of another unit than s or N: where no header
// says which it is, the numbers cannot be read.
func (in *reading) hints(comment string) {
	for _, word := range words(comment) {
		if m := dictionary[word]; m.unit != "" && m.unit != "s" && m.unit != "N" && in.hinted[m.role].row == 0 {
			in.hinted[m.role] = spot{in.row, comment}
		}
	}
}

// oneMark refuses a file that has both decimal points and decimal commas, and notes
// whether they can be marks of thousands.
func (in *reading) oneMark(cell string, delimiter rune) error {
	mark := byte(0)
	switch {
	case delimiter == ',':
		return nil
	case strings.Contains(cell, ","):
		mark = ','
	case strings.Contains(cell, "."):
		mark = '.'
	default:
		return nil
	}
	if in.mark != 0 && in.mark != mark {
		return in.refuse(fmt.Sprintf("%q", inventory.Printable(cell)), fmt.Sprintf("a decimal %q as in the lines before", in.mark))
	}
	in.mark = mark
	switch {
	case !maybeThousands(cell, mark):
		in.settled = true
	case in.unclear.row == 0:
		in.unclear = spot{in.row, cell}
	}
	return nil
}

// maybeThousands tells a number such as 1,234, which may be 1234.
func maybeThousands(cell string, mark byte) bool {
	whole, rest, _ := strings.Cut(cell, string(mark))
	digits := len(rest) - len(strings.TrimLeft(rest, "0123456789"))
	return len(whole) <= 3 && digits == 3 && !strings.HasPrefix(whole, "0")
}

// openQuestions refuses what no line of the file has settled.
func (in *reading) openQuestions() error {
	for _, role := range []role{timeColumn, thrustColumn} {
		if said := in.hinted[role]; said.row > 0 && !in.stated[role] {
			in.row = said.row
			return in.refuse(fmt.Sprintf("%q", inventory.Printable(said.text)), "the units in a header line without # or ;, such as \"Time (ms),Thrust (lbf)\"")
		}
	}
	if in.unclear.row > 0 && !in.settled {
		in.row = in.unclear.row
		return in.refuse(fmt.Sprintf("%q", inventory.Printable(in.unclear.text)), "a number that can only be read one way: without the mark, or with another number of decimals")
	}
	return nil
}
