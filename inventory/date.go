package inventory

import (
	"fmt"
	"time"
)

// Date is a calendar day; its zero value is "not known".
type Date struct {
	Year, Month, Day int
}

// ParseDate reads 2027-04-17, or 2027-04 meaning the last day of that month.
func ParseDate(text string) (Date, error) {
	if t, err := time.Parse(time.DateOnly, text); err == nil && t.Year() > 0 {
		return DateOf(t), nil
	}
	if t, err := time.Parse("2006-01", text); err == nil && t.Year() > 0 {
		return DateOf(t.AddDate(0, 1, -1)), nil
	}
	return Date{}, fmt.Errorf("%w: %q is not a date; write 2027-04-17, or 2027-04 for its last day", ErrInvalid, text)
}

// DateOf is the calendar day of t in t's own location.
func DateOf(t time.Time) Date {
	return Date{t.Year(), int(t.Month()), t.Day()}
}

// IsZero tells whether the date is not known.
func (d Date) IsZero() bool { return d == Date{} }

// String writes 2027-04-17, or nothing where the date is not known.
func (d Date) String() string {
	if d.IsZero() {
		return ""
	}
	return fmt.Sprintf("%04d-%02d-%02d", d.Year, d.Month, d.Day)
}

// Before tells whether d is an earlier day than e.
func (d Date) Before(e Date) bool { return d.time().Before(e.time()) }

// DaysUntil counts the days from d to e, negative where e is earlier.
func (d Date) DaysUntil(e Date) int {
	return int(e.time().Sub(d.time()).Hours() / 24)
}

func (d Date) time() time.Time {
	return time.Date(d.Year, time.Month(d.Month), d.Day, 0, 0, 0, 0, time.UTC)
}
