package curve

import (
	"errors"
	"strings"
	"testing"

	"rangebox/importers"
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

func TestReadsTheHabitsThereAre(t *testing.T) {
	for name, text := range map[string]string{
		"commas and header":  "time,thrust\n0,0\n0.1,12.5\n1.2,0\n",
		"semicolons":         "0;0\n0.1;12.5\n1.2;0",
		"tabs, comments":     "# from the stand\n; second comment\n0\t0\n0.1\t12.5\n1.2\t0\n",
		"spaces, CRLF, mark": "\ufeff0 0\r\n 0.1   12.5\r\n1.2 0\r\n",
		"units in each cell": "0s,0N\n100ms,12.5N\n1.2s,0N\n",
	} {
		got, err := Read(strings.NewReader(text), "c.csv")
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		want := []inventory.CurvePoint{{}, {At: 100_000, Thrust: 12_500}, {At: 1_200_000}}
		if len(got.Points) != 3 || got.Points[1] != want[1] || got.Points[2] != want[2] || got.FirstSupplied || got.LastSupplied {
			t.Errorf("%s: got %+v", name, got)
		}
	}
}

func TestSuppliesZeros(t *testing.T) {
	got, err := Read(strings.NewReader("0.05,8\n0.5,10\n"), "c.csv")
	if err != nil {
		t.Fatal(err)
	}
	if !got.FirstSupplied || !got.LastSupplied || len(got.Points) != 4 {
		t.Fatalf("got %+v", got)
	}
	if last := got.Points[3]; last.At != quantity.Time(500_001) || last.Thrust != 0 {
		t.Errorf("last point %+v", last)
	}
}

func TestComplaintsNameTheLine(t *testing.T) {
	for text, row := range map[string]int{
		"0,0\n0.1,5\n0.1,6\n":              3,
		"0,0\n0.1,-5\n":                    2,
		"0,0\n-0.1,5\n":                    2,
		"0,0\nnonsense\n":                  2,
		"t,f\nx,y\n":                       2,
		"0,0\n1,2,3\n":                     2,
		"0,0\n1,\xff\n":                    2,
		"0,0\n":                            0,
		"":                                 0,
		strings.Repeat("9", 70<<10) + "\n": 1,
	} {
		_, err := Read(strings.NewReader(text), "c.csv")
		var issue importers.Issue
		if !errors.As(err, &issue) || !errors.Is(err, inventory.ErrInvalid) {
			t.Errorf("%.20q: got %v, want an issue", text, err)
			continue
		}
		if issue.Row != row || issue.File != "c.csv" {
			t.Errorf("%.20q: complaint is about %s row %d, want row %d", text, issue.File, issue.Row, row)
		}
	}
}

func FuzzRead(f *testing.F) {
	f.Add("time,thrust\n0,0\n0.1,12.5\n1.2,0\n")
	f.Add("0;0\n0.1;12.5e1\n")
	f.Fuzz(func(t *testing.T, text string) {
		got, err := Read(strings.NewReader(text), "c")
		if err != nil {
			var issue importers.Issue
			if !errors.As(err, &issue) || issue.Row > strings.Count(text, "\n")+1 {
				t.Fatalf("complaint outside the file: %v", err)
			}
			return
		}
		m := &inventory.Motor{Header: inventory.Header{Handle: "x"}, Curve: got.Points}
		if errs := inventory.Check(m); len(errs) > 0 {
			t.Fatalf("read a curve that is refused: %v", errs)
		}
	})
}
