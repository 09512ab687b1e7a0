package report

import (
	"fmt"
	"io"
	"strings"
	"time"
	"unicode/utf8"

	"rangebox/cmd/rangebox/answer"
)

// Calendar writes last days as a calendar file (RFC 5545): an event of a whole day
// for each. An event's name comes from its lot alone, so that the same lot read in
// again takes the place of what was there.
func Calendar(w io.Writer, days []answer.LastDay, written time.Time) error {
	var b strings.Builder
	line := func(name, value string) { b.WriteString(folded(name + ":" + value)) }
	line("BEGIN", "VCALENDAR")
	line("VERSION", "2.0")
	line("PRODID", "-//rangebox//stock due//EN")
	line("CALSCALE", "GREGORIAN")
	for _, d := range days {
		line("BEGIN", "VEVENT")
		line("UID", d.Lot+"-last-day@rangebox")
		line("DTSTAMP", written.UTC().Format("20060102T150405Z"))
		line("DTSTART;VALUE=DATE", compact(d.Day.Year, d.Day.Month, d.Day.Day))
		line("DTEND;VALUE=DATE", compact(d.Day.Year, d.Day.Month, d.Day.Day+1))
		line("SUMMARY", calendarText(fmt.Sprintf("last day of %s, lot %s (%s)", d.Item, d.Tail, amountOf(d))))
		line("DESCRIPTION", calendarText(fmt.Sprintf("%s %s, lot %s: %s on hand when this was written.", d.Kind, d.Item, d.Lot, amountOf(d))))
		if d.Place != "" {
			line("LOCATION", calendarText(d.Place))
		}
		line("TRANSP", "TRANSPARENT")
		line("END", "VEVENT")
	}
	line("END", "VCALENDAR")
	if _, err := io.WriteString(w, b.String()); err != nil {
		return fmt.Errorf("writing the calendar: %w", err)
	}
	return nil
}

// compact is a date as calendars write it; a day past the month's end is the next
// month's first.
func compact(year, month, day int) string {
	return time.Date(year, time.Month(month), day, 0, 0, 0, 0, time.UTC).Format("20060102")
}

func amountOf(d answer.LastDay) string {
	return strings.TrimSpace(d.Quantity.String() + " " + d.Unit)
}

// calendarText escapes text as RFC 5545, 3.3.11 has it; control characters are
// not allowed in it.
func calendarText(s string) string {
	return strings.NewReplacer(`\`, `\\`, ";", `\;`, ",", `\,`).Replace(Clean(s))
}

// mostOctets is the longest line of a calendar file, without its end (RFC 5545,
// 3.1).
const mostOctets = 75

// folded breaks a line into several, none of which cuts a character; each further
// one begins with a space, which counts.
func folded(line string) string {
	var b strings.Builder
	room := mostOctets
	for len(line) > room {
		cut := room
		for cut > 0 && !utf8.RuneStart(line[cut]) {
			cut--
		}
		b.WriteString(line[:cut] + "\r\n ")
		line, room = line[cut:], mostOctets-1
	}
	return b.String() + line + "\r\n"
}
