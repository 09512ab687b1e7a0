package sheet

import (
	"regexp"
	"strings"
	"sync"

	"rangebox/inventory"
)

// marks is what all cells of a sheet together say about how it is written.
type marks struct {
	comma   commaMark
	points  bool              // a number shows that the point is decimal
	order   map[int]dateOrder // by column
	swapped map[int]string    // by column: a date left as text where others may have been exchanged
	money   string
	follows map[string][]int // columns that go on with a text, by key
}

// commaMark is what a comma within a number means.
type commaMark uint8

const (
	commaRefused  commaMark = iota // numbers have points, or no commas
	commaDecimal                   // 2,4 is 2.4
	commaUnclear                   // 1,234 or 1.234 and nothing that decides
	pointUnclear                   // 1.234 where commas are to be expected
	commaConflict                  // 2,4 and 2.4
)

// lazy compiles a pattern when it is first used: most commands read no sheet.
func lazy(pattern string) func() *regexp.Regexp {
	return sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(pattern) })
}

var (
	decimalComma   = lazy(`^[^\d]*\d+,\d+(\D.*)?$`)
	thousandsComma = lazy(`^[^\d]*[1-9]\d{0,2},\d{3}(\D.*)?$`)
	manyThousands  = lazy(`^[^\d]*\d{1,3}(,\d{3}(,\d{3})+(\D.*)?|(,\d{3})+\.\d.*)$`)
	decimalPoint   = lazy(`\d\.\d`)
	thousandsPoint = lazy(`^[^\d]*[1-9]\d{0,2}(\.\d{3})+([^\d.].*)?$`)
)

// readMarks looks through the columns whose cells decide together.
func (l *layout) readMarks() marks {
	m := marks{order: map[int]dateOrder{}, swapped: map[int]string{}, follows: map[string][]int{}}
	var seen commas
	for i := range l.bindings {
		b := &l.bindings[i]
		switch {
		case b.part > 0:
			key := b.columns[0].key
			m.follows[key] = append(m.follows[key], b.index)
		case !b.known():
		case b.columns[0].numeric():
			seen.look(l, b)
		case b.columns[0].f.Type == inventory.TypeDate:
			m.order[b.index] = orderOf(l, b.index)
			m.swapped[b.index] = swappedBy(l, b.index)
		}
		if b.money != "" {
			m.money = b.money
		}
	}
	m.comma, m.points = seen.mark(l.grid.delimiter), seen.points
	return m
}

// commas counts what the numbers of a sheet are written with.
type commas struct{ decimal, thousands, points, thousandsPoints bool }

func (s *commas) look(l *layout, b *binding) {
	for i := range l.data {
		c := l.data[i].at(b.index)
		if c.form != bare && c.form != literal || len(c.text) > longestHeader {
			continue
		}
		s.lookForPoint(b, c.text)
		if !b.columns[0].many() {
			s.lookForComma(b, c.text)
		}
	}
}

// lookForComma parts commas that are decimal from those that may be of thousands.
func (s *commas) lookForComma(b *binding, text string) {
	switch {
	case strings.IndexByte(text, ',') < 0:
	case thousandsComma().MatchString(text) && b.upToThousands(strings.Replace(text, ",", "", 1)):
		s.thousands = true
	case decimalComma().MatchString(text):
		s.decimal = true
	}
}

// lookForPoint does the same with points.
func (s *commas) lookForPoint(b *binding, text string) {
	switch {
	case strings.IndexByte(text, '.') < 0:
	case thousandsPoint().MatchString(text) && b.upToThousands(strings.ReplaceAll(text, ".", "")):
		s.thousandsPoints = true
	case decimalPoint().MatchString(text):
		s.points = true
	}
}

// upToThousands tells whether a column may hold such a number, read as one of
// thousands. Throats and delays, which a cell has several of, never are; nor is what
// is more than its field takes.
func (b *binding) upToThousands(text string) bool {
	f := b.columns[0].f
	if b.columns[0].many() {
		return false
	}
	if f.Max == 0 || b.unit == nil {
		return true
	}
	steps, err := b.unit.Parse(text)
	return err != nil || steps <= f.Max
}

// mark decides what a comma means. Files with semicolons have them because the
// comma is taken: there it is decimal, unless all numbers have points.
func (s commas) mark(delimiter rune) commaMark {
	switch {
	case s.decimal && (delimiter == ';' || !s.points):
		return commaDecimal
	case s.points && s.decimal:
		return commaConflict
	case s.points:
		return commaRefused
	case s.thousandsPoints && delimiter == ';':
		return pointUnclear
	case delimiter == ';':
		return commaDecimal
	case s.thousands, s.thousandsPoints && delimiter != ',':
		return commaUnclear
	}
	return commaRefused
}
