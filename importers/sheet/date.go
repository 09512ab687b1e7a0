package sheet

import (
	"fmt"
	"strconv"
	"time"

	"rangebox/inventory"
)

// dateOrder is what a whole column says about 03/04/2027.
type dateOrder uint8

const (
	orderOpen dateOrder = iota
	dayFirst
	monthFirst
	orderBoth // 13/04/2027 and 04/13/2027 in one column
)

var (
	isoDate    = lazy(`^(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?:[T ][0-9:.]+(?:Z|[+-][0-9:]+)?)?$`)
	numbersDMY = lazy(`^(\d{1,2})([-/.])(\d{1,2})[-/.](\d{4})(?: 0{1,2}:00(?::00)?)?$`)
	dayWordDMY = lazy(`^(\d{1,2})(?:st|nd|rd|th|er|º|°)?[-./ ]+(?:de )?(\pL+)\.?[-./, ]+(?:del? )?(\d{4})$`)
	wordDayMDY = lazy(`^(\pL+)\.?[-./ ]+(\d{1,2})(?:st|nd|rd|th)?[-./, ]+(\d{4})$`)
	monthYear  = lazy(`^(\pL+)\.?[-./, ]+(?:del? )?(\d{4})$`)
	numbersMY  = lazy(`^(\d{1,2})[-/.](\d{4})$`)
	shortYear  = lazy(`^\d{1,2}[-/. ]+(?:\d{1,2}|\pL+\.?)[-/. ]+\d{2}$`)
)

// orderOf looks for days that can be no months, in the whole column. A date with
// points is day first wherever it is written (CLDR, from memory).
func orderOf(l *layout, column int) dateOrder {
	order := orderOpen
	for i := range l.data {
		c := l.data[i].at(column)
		m := numbersDMY().FindStringSubmatch(c.trimmed())
		if m == nil || m[2] == "." {
			continue
		}
		seen := orderOpen
		switch one, two := atoi(m[1]), atoi(m[3]); {
		case one > 12:
			seen = dayFirst
		case two > 12:
			seen = monthFirst
		default:
			continue
		}
		if order != orderOpen && order != seen {
			return orderBoth
		}
		order = seen
	}
	return order
}

// swappedBy is a date that stands as text in a column whose real dates could all
// have their day and month exchanged: the sign of a program of another country,
// which takes 03/04/2027 for a day of March and leaves 17/04/2027 alone. Empty
// where nothing speaks for that.
func swappedBy(l *layout, column int) string {
	left := ""
	for i := range l.data {
		c := l.data[i].at(column)
		if c.form == day {
			if d, err := time.Parse(time.DateOnly, c.trimmed()); err == nil && d.Day() > 12 {
				return ""
			}
			continue
		}
		if m := numbersDMY().FindStringSubmatch(c.trimmed()); m != nil && left == "" {
			left = c.trimmed()
		}
	}
	return left
}

// exchangeable tells whether a real date reads otherwise with day and month
// exchanged.
func exchangeable(date string) bool {
	d, err := time.Parse(time.DateOnly, date)
	return err == nil && d.Day() <= 12 && d.Day() != int(d.Month())
}

func atoi(s string) int {
	n, _ := strconv.Atoi(s) // the pattern has seen to it
	return n
}

// setDate reads a day in any form that can be read one way only.
func (l *layout) setDate(rec any, b *binding, c cell) error {
	f, text := b.columns[0].f, c.trimmed()
	if c.form == day {
		if left := l.marks.swapped[b.index]; left != "" && exchangeable(text) {
			return refuse(text, f.Expected(), "%s may have its day and month exchanged, since %s of the column was left as text; write both as 2027-04-17", text, quoted(left))
		}
		return setAs(rec, f, text)
	}
	if c.form == number {
		return l.setSerial(rec, f, text)
	}
	date, err := readDate(text, l.marks.order[b.index])
	if err != nil {
		return err
	}
	return setAs(rec, f, date)
}

// Serial numbers that are taken for days though no style says so: the years 1954
// to 2119 (ours). Smaller and larger ones are years, or 20270417.
const firstSerial, lastSerial = 20_000, 80_000

func (l *layout) setSerial(rec any, f *inventory.Field, text string) error {
	t, ok := l.serialDay(text)
	n, err := strconv.ParseFloat(text, 64)
	if !ok || err != nil || n < firstSerial || n > lastSerial {
		return refuse(text, f.Expected(), "the number %s is not a date; write 2027-04-17, or format the cell as a date", inventory.Printable(text))
	}
	return setAs(rec, f, t.Format(time.DateOnly))
}

// readDate gives the date as a file of ours has it.
func readDate(text string, order dateOrder) (string, error) {
	if _, err := inventory.ParseDate(text); err == nil {
		return text, nil
	}
	if m := isoDate().FindStringSubmatch(text); m != nil {
		return dated(text, m[1], m[2], m[3])
	}
	if m := dayWordDMY().FindStringSubmatch(text); m != nil {
		return dated(text, m[3], month(m[2]), m[1])
	}
	if m := wordDayMDY().FindStringSubmatch(text); m != nil {
		return dated(text, m[3], month(m[1]), m[2])
	}
	if m := monthYear().FindStringSubmatch(text); m != nil && month(m[1]) != "0" {
		return monthOf(text, m[2], month(m[1]))
	}
	if m := numbersMY().FindStringSubmatch(text); m != nil {
		return monthOf(text, m[2], m[1])
	}
	if m := numbersDMY().FindStringSubmatch(text); m != nil {
		return ordered(text, m, order)
	}
	if shortYear().MatchString(text) {
		return "", refuse(quoted(text), "a date, 2027-04-17", "%s has a year of two digits; write all four", quoted(text))
	}
	return "", refuse(quoted(text), "a date, 2027-04-17", "%s is not a date; write 2027-04-17, 17 Apr 2027, or 2027-04 for the last day of the month", quoted(text))
}

// ordered settles day and month by the column, or refuses with both readings.
func ordered(text string, m []string, order dateOrder) (string, error) {
	one, two := atoi(m[1]), atoi(m[3])
	switch {
	case m[2] == "." || one > 12 || one == two || order == dayFirst:
		return dated(text, m[4], m[3], m[1])
	case two > 12 || order == monthFirst:
		return dated(text, m[4], m[1], m[3])
	}
	either := fmt.Sprintf("%s or %s", m[4]+"-"+pad(two)+"-"+pad(one), m[4]+"-"+pad(one)+"-"+pad(two))
	if order == orderBoth {
		return "", refuse(quoted(text), "dates in one order", "%s may be %s, and the column has both orders; write %s", quoted(text), either, "2027-04-17")
	}
	return "", refuse(quoted(text), "a date that can only be read one way", "%s may be %s, and no date of the column decides; write it as one of these", quoted(text), either)
}

func monthOf(text, year, month string) (string, error) {
	date := year + "-" + two(month)
	if _, err := inventory.ParseDate(date); err != nil {
		return "", refuse(quoted(text), "a date, 2027-04", "%s is not a month that exists", quoted(text))
	}
	return date, nil
}

func dated(text, year, month, day string) (string, error) {
	date := year + "-" + two(month) + "-" + two(day)
	if _, err := inventory.ParseDate(date); err != nil {
		return "", refuse(quoted(text), "a date, 2027-04-17", "%s is not a day that exists", quoted(text))
	}
	return date, nil
}

func two(s string) string {
	if len(s) == 1 {
		return "0" + s
	}
	return s
}

func pad(n int) string { return two(strconv.Itoa(n)) }
