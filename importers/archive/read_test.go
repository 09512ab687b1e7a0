package archive

import (
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"testing"
	"testing/iotest"

	"rangebox/importers"
	"rangebox/inventory"
)

// TestReferenceArchives reads the two invented boxes and has them taken.
func TestReferenceArchives(t *testing.T) {
	for _, c := range []struct {
		file  string
		items int
		last  int // row of the last record
	}{
		{"testdata/circuits.json", 96, 1030},
		{"testdata/ascent.json", 18, 1128},
	} {
		t.Run(c.file, func(t *testing.T) {
			f, err := os.Open(c.file)
			if err != nil {
				t.Fatal(err)
			}
			defer f.Close()
			batch, err := Read(f, c.file)
			if err != nil {
				t.Fatal(err)
			}
			for _, p := range batch.Prepare(inventory.Nothing{}) {
				t.Errorf("row %d: %v", batch.Items[p.Item].Row, p.Err)
			}
			if len(batch.Items) != c.items || batch.Items[len(batch.Items)-1].Row != c.last {
				t.Errorf("%d records, the last in row %d; want %d and %d", len(batch.Items), batch.Items[len(batch.Items)-1].Row, c.items, c.last)
			}
		})
	}
}

// TestAllComplaintsTogether sees that reading goes on after each complaint that
// allows it.
func TestAllComplaintsTogether(t *testing.T) {
	doc := top + `"motors": [
{"handle": "a-8", "mass_g": "16", "colour": "red"},
7,
{"handle": "B", "curve": [{"t_s": 0}, null], "delays_s": [0, 3, "x"]}
],
"settings": {"user_level": [], "priors": {"a": {}}},
"igniters": [{"head_mm": 2.4, "output": "mild"}]}`
	_, err := Read(strings.NewReader(doc), "box.json")
	issues, _ := importers.AsIssues(err)
	var got []string
	for _, i := range issues {
		got = append(got, fmt.Sprint(i.Row, " ", i.Column))
	}
	want := []string{"3 motors[0].mass_g", "3 motors[0].colour", "4 motors[1]", "5 motors[2].handle", "5 motors[2].curve[0].thrust_n",
		"5 motors[2].curve[1]", "5 motors[2].delays_s[0]", "5 motors[2].delays_s[2]", "7 settings.user_level", "7 settings.priors.a", "8 igniters[0].output"}
	if strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

func TestComplaintsAreCounted(t *testing.T) {
	doc := top + `"motors": [` + strings.Repeat("1,\n", 250) + "{}]}"
	_, err := Read(strings.NewReader(doc), "box.json")
	issues, _ := importers.AsIssues(err)
	if len(issues) != maxIssues+1 || issues[maxIssues-1].Row != 101 {
		t.Fatalf("%d issues, want %d and one that counts", len(issues), maxIssues)
	}
	if got := issues[maxIssues].Error(); !strings.Contains(got, "150 more complaints are not listed") {
		t.Errorf("the last says %q", got)
	}
	if got := err.Error(); !strings.HasSuffix(got, "\nand 96 more") {
		t.Errorf("the text ends with %q", got[len(got)-40:])
	}
}

func TestReadTakes(t *testing.T) {
	for _, c := range []struct{ name, doc, kind, key, want string }{
		{"a byte order mark", "\ufeff" + top + `"motors": [{"maker": "é"}]}`, "motor", "maker", "é"},
		{"the head behind the records", `{"motors": [{"maker": "x"}], "version": 1.0, "format": "rangebox-archive"}`, "motor", "maker", "x"},
		{"empty arrays", top + `"igniters": [], "motors": [{"maker": "x", "curve": [], "delays_s": []}]}`, "motor", "maker", "x"},
		{"an exponent", top + `"motors": [{"mass_g": 1.625E1}]}`, "motor", "mass_g", "16.25"},
		{"exact in the ninth place", top + `"motors": [{"mass_g": 0.1234567895}]}`, "motor", "mass_g", "0.12345679"},
		{"what float64 would miss", top + `"lots": [{"quantity": 9007199.254740993}]}`, "lot", "quantity", "9007199.254740993"},
		{"minus zero", top + `"lots": [{"quantity": -0}]}`, "lot", "quantity", "0"},
		{"a month for its last day", top + `"lots": [{"expires": "2028-02"}]}`, "lot", "expires", "2028-02-29"},
		{"a character in two escapes", top + `"motors": [{"notes": "\ud83d\ude80\u0000\\ud800"}]}`, "motor", "notes", "🚀\x00\\ud800"},
		{"the longest text, all escaped", top + `"motors": [{"notes": "` + strings.Repeat(`\u0001`, 64<<10) + `"}]}`, "motor", "notes", strings.Repeat("\x01", 64<<10)},
		{"pairs of all types", top + `"settings": {"priors": {"a": 0.10, "b": true, "c": "x", "": ""}}}`, "settings", "priors", "= a=0.10 b=true c=x"},
	} {
		t.Run(c.name, func(t *testing.T) {
			for _, in := range []io.Reader{strings.NewReader(c.doc), iotest.OneByteReader(strings.NewReader(c.doc)), iotest.DataErrReader(strings.NewReader(c.doc))} {
				batch, err := Read(in, "box.json")
				if err != nil || len(batch.Items) != 1 {
					t.Fatalf("got %v, %v", batch, err)
				}
				info := inventory.Kind(c.kind).Info()
				f, _ := info.Table.Field(c.key)
				if got, _ := f.Text(batch.Items[0].Record); got != c.want {
					t.Errorf("got %.80q, want %.80q", got, c.want)
				}
			}
		})
	}
}

// TestComplaintsOfSlowFiles sees that places do not depend on how a file arrives.
func TestComplaintsOfSlowFiles(t *testing.T) {
	for _, c := range complaints {
		if len(c.doc) > 10_000 {
			continue
		}
		_, fast := Read(strings.NewReader(c.doc), "box.json")
		_, slow := Read(iotest.OneByteReader(strings.NewReader(c.doc)), "box.json")
		if fast.Error() != slow.Error() {
			t.Errorf("%s: at once %q, byte by byte %q", c.name, fast, slow)
		}
	}
}

// TestFailingFile sees that a file that cannot be read is no complaint about it.
func TestFailingFile(t *testing.T) {
	broken := errors.New("disk on fire")
	_, err := Read(io.MultiReader(strings.NewReader(top), iotest.ErrReader(broken)), "box.json")
	if !errors.Is(err, broken) || errors.Is(err, inventory.ErrInvalid) {
		t.Errorf("got %v", err)
	}
}
