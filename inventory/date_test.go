package inventory

import (
	"errors"
	"testing"
	"time"
)

func TestParseDate(t *testing.T) {
	rows := []struct {
		text string
		want Date // zero: refused
	}{
		{"2027-04-17", Date{2027, 4, 17}},
		{"2027-04", Date{2027, 4, 30}}, // a month means its last day (contract)
		{"2027-12", Date{2027, 12, 31}},
		{"2027-02", Date{2027, 2, 28}},
		{"2028-02", Date{2028, 2, 29}},
		{"2000-02", Date{2000, 2, 29}},
		{"2100-02", Date{2100, 2, 28}},
		{"2028-02-29", Date{2028, 2, 29}},
		{"0001-01-01", Date{1, 1, 1}},
		{"9999-12", Date{9999, 12, 31}},
		{"2027-02-29", Date{}},
		{"2100-02-29", Date{}},
		{"2027-04-31", Date{}},
		{"2027-04-00", Date{}},
		{"2027-13", Date{}},
		{"2027-00", Date{}},
		{"0000-01-01", Date{}},
		{"0000-01", Date{}},
		{"2027", Date{}},
		{"27-04-17", Date{}},
		{"2027-4-17", Date{}},
		{"2027/04/17", Date{}},
		{"17.04.2027", Date{}},
		{"2027-04-17T10:00:00Z", Date{}},
		{" 2027-04-17", Date{}},
		{"2027-04-17 ", Date{}},
		{"", Date{}},
		{"tomorrow", Date{}},
	}
	for _, row := range rows {
		got, err := ParseDate(row.text)
		if got != row.want || (err != nil) != row.want.IsZero() {
			t.Errorf("%q: %v, %v", row.text, got, err)
		}
		if err != nil && !errors.Is(err, ErrInvalid) {
			t.Errorf("%q: %v", row.text, err)
		}
		if again, err := ParseDate(got.String()); err == nil && again != got || err != nil && !got.IsZero() {
			t.Errorf("%q: reads back as %v, %v", row.text, again, err)
		}
	}
	if (Date{}).String() != "" {
		t.Error("no date is written as one")
	}
}

func TestDateOrder(t *testing.T) {
	days := []Date{{2026, 12, 31}, {2027, 1, 1}, {2027, 2, 28}, {2027, 3, 1}, {2028, 2, 28}, {2028, 2, 29}, {2028, 3, 1}}
	apart := []int{1, 58, 1, 364, 1, 1} // from each to the next
	for i, d := range days {
		sum := 0
		for j := i; j < len(days); j++ {
			if d.Before(days[j]) != (j > i) || days[j].Before(d) {
				t.Errorf("%s and %s", d, days[j])
			}
			if got := d.DaysUntil(days[j]); got != sum || days[j].DaysUntil(d) != -sum {
				t.Errorf("%s to %s: %d days, not %d", d, days[j], got, sum)
			}
			if j < len(apart) {
				sum += apart[j]
			}
		}
	}
}

// TestDateOfIsLocal: the day is that of the place, not of Greenwich.
func TestDateOfIsLocal(t *testing.T) {
	late := time.Date(2027, 4, 17, 23, 30, 0, 0, time.FixedZone("west", -8*3600))
	if got := DateOf(late); got != (Date{2027, 4, 17}) {
		t.Errorf("%s", got)
	}
	if got := DateOf(late.UTC()); got != (Date{2027, 4, 18}) {
		t.Errorf("%s in UTC", got)
	}
}
