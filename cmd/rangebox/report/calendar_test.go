package report

import (
	"bytes"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	ics "github.com/arran4/golang-ical"
	"github.com/emersion/go-ical"
	"pgregory.net/rapid"

	"rangebox/cmd/rangebox/answer"
	"rangebox/inventory"
)

// oneDay is a day of which every text is awkward for a calendar.
func oneDay() answer.LastDay {
	return answer.LastDay{
		Lot: "019a0000-0000-7000-8000-000000000a01", Tail: "000a01", Kind: "motor", Item: "tern-e9",
		Day: inventory.Date{Year: 2028, Month: 2, Day: 29}, Quantity: "4", Unit: "g",
		Place: `shed; left, "top" \n C:\x` + "\nsecond line BEGIN:VEVENT \u202e" + strings.Repeat("äöü€𝄞", 30),
	}
}

// What place is in a calendar: on one line, without what turns the direction.
var placeShown = strings.NewReplacer("\n", " ", "\u202e", "?").Replace(oneDay().Place)

func written(t *testing.T, days ...answer.LastDay) string {
	t.Helper()
	var b bytes.Buffer
	at := time.Date(2027, 4, 17, 23, 30, 0, 0, time.FixedZone("", 2*3600))
	if err := Calendar(&b, days, at); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// TestCalendarIsReadByOthers has two independent readers read the file.
func TestCalendarIsReadByOthers(t *testing.T) {
	next := oneDay()
	next.Lot, next.Day, next.Place = "019a0000-0000-7000-8000-000000000a02", inventory.Date{Year: 2028, Month: 12, Day: 31}, ""
	file := written(t, oneDay(), next)
	want := []map[string]string{
		{"UID": "019a0000-0000-7000-8000-000000000a01-last-day@rangebox", "DTSTAMP": "20270417T213000Z", "DTSTART": "20280229", "DTEND": "20280301",
			"SUMMARY": "last day of tern-e9, lot 000a01 (4 g)", "LOCATION": placeShown, "TRANSP": "TRANSPARENT"},
		{"UID": "019a0000-0000-7000-8000-000000000a02-last-day@rangebox", "DTSTART": "20281231", "DTEND": "20290101", "LOCATION": ""},
	}
	for name, read := range map[string]func(*testing.T, string) []map[string]string{"go-ical": readGoICal, "golang-ical": readGolangICal} {
		t.Run(name, func(t *testing.T) {
			got := read(t, file)
			if len(got) != len(want) {
				t.Fatalf("%d events, want %d", len(got), len(want))
			}
			for i := range want {
				for key, value := range want[i] {
					if got[i][key] != value {
						t.Errorf("event %d: %s is %q, want %q", i, key, got[i][key], value)
					}
				}
				if got[i]["DTSTART;VALUE"] != "DATE" || got[i]["DTEND;VALUE"] != "DATE" {
					t.Errorf("event %d is not of a whole day: %v", i, got[i])
				}
			}
		})
	}
}

func readGoICal(t *testing.T, file string) (events []map[string]string) {
	t.Helper()
	cal, err := ical.NewDecoder(strings.NewReader(file)).Decode()
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range cal.Events() {
		props := map[string]string{}
		for name, list := range e.Props {
			if len(list) != 1 {
				t.Errorf("%s stands there %d times", name, len(list))
			}
			props[name] = list[0].Value
			if list[0].ValueType() == ical.ValueText {
				if props[name], err = list[0].Text(); err != nil {
					t.Errorf("%s: %v", name, err)
				}
			}
			props[name+";VALUE"] = string(list[0].ValueType())
		}
		events = append(events, props)
	}
	var again bytes.Buffer // its writer refuses calendars that lack what must be there
	if err := ical.NewEncoder(&again).Encode(cal); err != nil {
		t.Errorf("not a whole calendar: %v", err)
	}
	return events
}

func readGolangICal(t *testing.T, file string) (events []map[string]string) {
	t.Helper()
	cal, err := ics.ParseCalendar(strings.NewReader(file))
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range cal.Events() {
		props := map[string]string{}
		for _, p := range e.Properties {
			props[p.IANAToken] = p.Value
			if v := p.ICalParameters["VALUE"]; len(v) == 1 {
				props[p.IANAToken+";VALUE"] = v[0]
			}
		}
		events = append(events, props)
	}
	return events
}

// TestCalendarLines looks at the octets (RFC 5545, 3.1): lines end in CRLF, have at
// most 75 octets, and cut no character.
func TestCalendarLines(t *testing.T) {
	file := written(t, oneDay())
	if strings.Contains(strings.ReplaceAll(file, "\r\n", ""), "\n") || strings.Contains(strings.ReplaceAll(file, "\r\n", ""), "\r") || !strings.HasSuffix(file, "\r\n") {
		t.Error("a line does not end in CRLF")
	}
	longest := 0
	for _, line := range strings.Split(file, "\r\n") {
		longest = max(longest, len(line))
		if !utf8.ValidString(line) {
			t.Errorf("a character is cut in %q", line)
		}
	}
	if longest > 75 || longest < 70 {
		t.Errorf("the longest line has %d octets", longest)
	}
}

// TestCalendarNames: the same lot has the same name each time, whatever else
// changed, and another lot another.
func TestCalendarNames(t *testing.T) {
	names := func(file string) (list []string) {
		for line := range strings.Lines(file) {
			if strings.HasPrefix(line, "UID:") {
				list = append(list, strings.TrimSpace(line))
			}
		}
		return list
	}
	changed, other := oneDay(), oneDay()
	changed.Quantity, changed.Place, changed.Day, changed.Tail = "1", "elsewhere", inventory.Date{Year: 2030, Month: 1, Day: 1}, "00000a01"
	other.Lot = "019a0000-0000-7000-8000-000000000a02"
	was, is := names(written(t, oneDay())), names(written(t, changed, other))
	if len(was) != 1 || len(is) != 2 || was[0] != is[0] || is[0] == is[1] {
		t.Errorf("names %v, then %v", was, is)
	}
}

// TestFolded: unfolded as RFC 5545, 3.1 has it, a line is what it was.
func TestFolded(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		line := rapid.StringOfN(rapid.RuneFrom([]rune("a ,;\\äß€𝄞\u0301")), 0, 200, -1).Draw(t, "line")
		out := folded(line)
		if got := strings.TrimSuffix(strings.ReplaceAll(out, "\r\n ", ""), "\r\n"); got != line {
			t.Fatalf("%q became %q", line, got)
		}
		for _, part := range strings.Split(strings.TrimSuffix(out, "\r\n"), "\r\n") {
			if len(part) > 75 || !utf8.ValidString(part) {
				t.Fatalf("a part of %d octets: %q", len(part), part)
			}
		}
	})
}
