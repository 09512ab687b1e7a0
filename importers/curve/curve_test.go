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
		"commas and header":   "time,thrust\n0,0\n0.1,12.5\n1.2,0\n",
		"semicolons":          "0;0\n0.1;12.5\n1.2;0",
		"tabs, comments":      "# from the stand\n; second comment\n0\t0\n0.1\t12.5\n1.2\t0\n",
		"spaces, CRLF, mark":  "\ufeff0 0\r\n 0.1   12.5\r\n1.2 0\r\n",
		"units in each cell":  "0s,0N\n100ms,12.5N\n1.2s,0N\n",
		"decimal commas":      "Zeit;Schub\n0;0\n0,1;12,5\n1,2;0\n",
		"commas and spaces":   "0,0 0,0\n0,1 12,5\n1,2 0,0\n",
		"commas and tabs":     "0\t0\n0,1\t12,5\n1,2\t0\n",
		"comma and space":     "0, 0\n0.1, 12.5\n1.2, 0\n",
		"old line ends":       "0 0\r0.1 12.5\r1.2 0\r",
		"three decimals":      "0.000;0.000\n0.100;12.500\n1.200;0.000\n",
		"ms":                  "Time (ms),Thrust (N)\n0,0\n100,12.5\n1200,0\n",
		"ms as the last word": "time_ms thrust_n\n0 0\n100 12.5\n1200 0\n",
		"quotes":              "\"t\",\"F\"\n\"0\",\"0\"\n\"0.1\",\"12.5\"\n\"1.2\",\"0\"\n",
		"a cell too many":     "0;0;\n0.1;12.5;\n1.2;0;\n",
		"UTF-16":              "\xff\xfe0\x00,\x000\x00\n\x000\x00.\x001\x00,\x001\x002\x00.\x005\x00\n\x001\x00.\x002\x00,\x000\x00",
		"old Western text":    "# gemessen von B\xf6hm\n0,0\n0.1,12.5\n1.2,0\n",
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

// TestUnits: pound-force and kilogram-force to the millinewton, from their definition (4.4482216152605 N and 9.80665 N).
func TestUnits(t *testing.T) {
	for text, want := range map[string]quantity.Force{
		"Time (s),Thrust (lbf)\n0,0\n0.1,2\n1,0\n":                       8_896,
		"t [ms];F [kgf]\n0;0\n100;2,5\n1000;0\n":                         24_517,
		"time thrust_lbf\n0 0\n0.1 2\n1 0\n":                             8_896,
		"Time (s),Thrust (lbf)\n0,0\n0.1,12 N\n1,0\n":                    12_000,
		"Time,Thrust lbs\n0,0\n0.1,2\n1,0\n":                             8_896,
		"Seconds,Pounds\n0,0\n0.1,2\n1,0\n":                              8_896,
		"Time;Thrust (lbf) filtered\n0;0\n0.1;2\n1;0\n":                  8_896,
		"Time msec,Thrust\n0,0\n100,2\n1000,0\n":                         2_000,
		"Thrust,Time\n0,0\n2,0.1\n0,1\n":                                 2_000,
		"Thrust (N),Time (s)\n0,0\n2,0.1\n0,1\n":                         2_000,
		"Time s Thrust lbs\n0 0\n0.1 2\n1 0\n":                           8_896,
		"Time (ms) Thrust (lbf)\n0 0\n100 2\n1000 0\n":                   8_896,
		"Thrust (lbf) Time (ms)\n0 0\n2 100\n0 1000\n":                   8_896,
		"\"Time (s)\" \"Force in kilopond\"\n0 0\n0.1 2\n1 0\n":          19_613,
		"F,sec\n0,0\n2,0.1\n0,1\n":                                       2_000,
		"# time ms thrust lbf\ntime ms,thrust lbf\n0,0\n100,2\n1000,0\n": 8_896,
	} {
		got, err := Read(strings.NewReader(text), "c")
		if err != nil || len(got.Points) != 3 || got.Points[1] != (inventory.CurvePoint{At: 100_000, Thrust: want}) {
			t.Errorf("%q: got %+v, %v", text, got, err)
		}
	}
}

func TestComplaintsNameTheLine(t *testing.T) {
	for text, row := range map[string]int{
		"0,0\n0.1,5\n0.1,6\n":                   3,
		"0,0\n0.1,-5\n":                         2,
		"0,0\n-0.1,5\n":                         2,
		"0,0\nnonsense\n":                       2,
		"t,f\nx,y\n":                            2,
		"0,0\n1,2,3\n":                          2,
		"0,0\n1,\x81\n":                         2,
		"0,0\n1,\xff\n":                         2,
		"0,0\n0.1;5\n":                          2,
		"Time (h),Thrust (N)\n0,0\n1,1\n":       1,
		"Thrust (N),Force (N)\n0,0\n1,1\n":      1,
		"Time (s),Thrust (dyn)\n0,0\n1,1\n":     1,
		"Time min,Thrust\n0,0\n1,1\n":           1,
		"Time (s or ms),Thrust\n0,0\n1,1\n":     1,
		"# time ms thrust lbf\n0,0\n1,1\n":      1,
		"Time min Thrust\n0 0\n1 1\n":           1,
		"Time;Thrust;Mass\n0;0\n1;1\n":          1,
		"Time,Thrust (%)\n0,0\n1,1\n":           1,
		"Time,Thrust (10 N)\n0,0\n1,1\n":        1,
		"Time,Thrust (raw)\n0,0\n1,1\n":         1,
		"Larch of pounds\n0,0\n1,1\n":           1,
		"Time\n0,0\n1,1\n":                      1,
		"Time,Thrust\n# in lbf\n0,0\n1,1\n":     2,
		"# ms\nTime,Thrust N\n0,0\n1,1\n":       1,
		"0,0\n1,1\n# pounds\n":                  3,
		"0\t0\n1\t1,234\n2\t0\n":                2,
		"0;0\n1;1.234\n2;0\n":                   2,
		"0 0\n1 1.234 N\n2 0\n":                 2,
		"0.50\t1,234\n1.0\t0\n":                 1,
		"0,50;1.234\n1,0;0\n":                   1,
		"0;0\n0,5;10\n1.5;0\n":                  3,
		"0,0\n0.1,x\n":                          2,
		"0,x\n0,0\n1,1\n":                       1,
		"0,0\n":                                 0,
		"":                                      0,
		strings.Repeat("9", 70<<10) + "\n0,0\n": 1,
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
	f.Add("Time (ms);Thrust (lbf)\r0;0\r100;12,5\r")
	f.Add("\xff\xfe0\x00 \x000\x00")
	f.Fuzz(func(t *testing.T, text string) {
		got, err := Read(strings.NewReader(text), "c")
		if err != nil {
			var issue importers.Issue
			if !errors.As(err, &issue) || issue.Row > len(text)+1 {
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
