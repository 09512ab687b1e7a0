package sheet

import (
	"bytes"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rangebox/inventory"
)

// TestRejectedReadAgain: a row that is mended in the file of rejected ones gives the
// values that it would have given in its source, whose other rows are not there to show
// what a comma is.
func TestRejectedReadAgain(t *testing.T) {
	head := strings.TrimSpace(motorHead) + "\n"
	with := func(delimiter string) func(string) string {
		return func(s string) string { return strings.ReplaceAll(s, ",", delimiter) }
	}
	for _, c := range []struct {
		name, file, begins        string
		diameter, throats, delays string
	}{
		{"semicolons and decimal commas", with(";")(head) + "a-8;18,5;;;;\nb-4;24;2,1;x 3,5;;\n", "rejected because;", "24", "2.1", "3.5"},
		{"semicolons and points", with(";")(head) + "a-8;18.5;;;;\nb-4;24;2.125;x 3.5;;\n", "rejected because,", "24", "2.125", "3.5"},
		{"semicolons and points, which may be of thousands", with(";")(head) + "a-8;18.5;;;;\nb-4;1.250;2.1;x 3;;\n", "rejected because,", "1.25", "2.1", "3"},
		{"tabs and decimal commas", with("\t")(head) + "a-8\t18,5\t\t\t\t\nb-4\t24\t2,1\tx 3,5 7\t\t\n", "rejected because;", "24", "2.1", "3.5 7"},
		{"tabs and a comma that another row shows", with("\t")(head) + "a-8\t18,5\t\t\t\t\nb-4\t1,250\t2\tx 3\t\t\n", "rejected because;", "1.25", "2", "3"},
		{"tabs and points", with("\t")(head) + "a-8\t18.5\t\t\t\t\nb-4\t24.5\t2\tx 3 7\t\t\n", "rejected because\t", "24.5", "2", "3 7"},
		{"bars", with("|")(head) + "a-8|18.5||||\nb-4|24|2|x 3 7||\n", "rejected because|", "24", "2", "3 7"},
		{"commas and points", head + "a-8,18.5,,,,\nb-4,24,2.1,x 3 7,,\n", "rejected because,", "24", "2.1", "3 7"},
		{"commas and decimal commas", head + "a-8,\"18,5\",,,,\nb-4,24,\"2,1\",\"x 3,5\",,\n", "rejected because;", "24", "2.1", "3.5"},
		{"a workbook with decimal commas", rawBook(t, rawSheet{"Motors", rawHeader + textRow("a-8", "18,5") + textRow("b-4", "24", "2,1", "x 3,5 7")}), "rejected because,", "24", "2.1", "3.5 7"},
	} {
		t.Run(c.name, func(t *testing.T) {
			file := rejectedOf(t, c.file)
			if !strings.HasPrefix(file, c.begins) {
				t.Errorf("it begins %q", file)
			}
			at := strings.LastIndex(file, "x 3")
			again := readBack(t, []byte(file[:at]+file[at+2:]), Options{Kind: "motor"})
			m := again.Batch.Items[0].Record.(*inventory.Motor)
			if d, s := textOf(m, "diameter_mm"), textOf(m, "delays_s"); d != c.diameter || throatsOf(m) != c.throats || s != c.delays {
				t.Errorf("got %s, %s, %s of %s", d, throatsOf(m), s, file)
			}
		})
	}
}

// TestRejectedIsRefusedAgain: so is a number that its source does not read one way.
func TestRejectedIsRefusedAgain(t *testing.T) {
	for name, file := range map[string]string{
		"semicolons":       "handle;diameter_mm;mass_g\na-8;18,5;\nb-4;24;1.250\n",
		"a workbook":       rawBook(t, rawSheet{"Motors", rawHeader + textRow("a-8", "18,5") + textRow("b-4", "1.250")}),
		"tabs and delays":  "handle\tdiameter_mm\tdelays_s\na-8\t18\t3,5\n",
		"commas, a throat": "handle,diameter_mm,throat_mm\na-8,18,\"2,1\"\n",
	} {
		issues := issuesOf(t, rejectedOf(t, file), Options{Kind: "motor"})
		if len(issues) != 1 {
			t.Errorf("%s: %v", name, issues)
		}
	}
}

// rejectedOf is the file of the rows that were not taken.
func rejectedOf(t *testing.T, file string) string {
	t.Helper()
	got, err := Read(strings.NewReader(file), "m", Options{Kind: "motor"})
	if err != nil || len(got.Unsure) > 0 || len(got.Rejected) != 1 {
		t.Fatal(err, got)
	}
	var out bytes.Buffer
	if err := WriteRejected(&out, got.Rejected); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

// TestReasons: each row has its own reasons, once; those of other rows of its record
// name them.
func TestReasons(t *testing.T) {
	const file = "Name,diameter_mm,throat_mm,ignition\n" +
		"Birch,18,0 0,hot\n" +
		"Elm,-18,2,low\nElm,-18,3,low\n" +
		"Ash,18,2,low\nAsh,18,3,hot\n"
	const (
		below = `column B "diameter_mm": diameter_mm is -18; it must be above 0, and is left out where it is not known`
		zero  = `column C "throat_mm": 0 stands here, where a number must be above 0; leave the cell empty where it is not known`
		hot   = `column D "ignition": found "hot", expected one of low, medium, high`
	)
	got, err := Read(strings.NewReader(file), "m.csv", Options{Kind: "motor"})
	if err != nil {
		t.Fatal(err)
	}
	var why [][]string
	for _, r := range got.Rejected {
		why = append(why, r.Reasons)
	}
	want := [][]string{{hot, zero}, {below, "row 4, " + below}, {below, "row 3, " + below}, {"row 6, " + hot}, {hot}}
	if diff := cmp.Diff(want, why); diff != "" {
		t.Error(diff)
	}
}

// TestRejectedNumbers: whatever a number looks like, and whatever the other rows have
// shown, it is read from the file of rejected rows as it was, or refused.
func TestRejectedNumbers(t *testing.T) {
	cells := []string{"2", "2,1", "2.1", "1,234", "1.234", "1.250", "1,250 mm", "3,5 7", "3.5 7", "3,5", "3, 5", "3,5,7", "3,5/7,5", "1,234.5", "1.234,5", "1.234.567", "1,234,567", "3/32", "-1,5", "=1,5", "1,5 s", "0,094 in", "1.5;2"}
	refused, same := 0, 0
	for _, delimiter := range []string{",", ";", "\t", "|", ""} {
		for _, shown := range []string{"18", "18,5", "18.5", "1.250", "1,250"} {
			for _, key := range []string{"mass_g", "throat_mm", "delays_s"} {
				for _, c := range cells {
					table := func(ignition string) string {
						rows := [][]string{{"handle", "diameter_mm", "ignition", key}, {"a-8", shown, "low", ""}, {"b-4", "", ignition, c}}
						return tableOf(t, delimiter, rows)
					}
					was, read := valueOf(t, table("low"), key)
					source, err := Read(strings.NewReader(table("hot")), "m", Options{Kind: "motor"})
					if err != nil || len(source.Unsure) > 0 || len(source.Rejected) == 0 {
						t.Fatal(err, source)
					}
					var out bytes.Buffer
					if err := WriteRejected(&out, source.Rejected[len(source.Rejected)-1:]); err != nil {
						t.Fatal(err)
					}
					mended := strings.ReplaceAll(strings.ReplaceAll(out.String(), ",hot,", ",low,"), "hot"+string(source.Rejected[0].delimiter), "low"+string(source.Rejected[0].delimiter))
					is, again := valueOf(t, mended, key)
					switch {
					case again && (!read || is != was):
						t.Errorf("%q in %s beside %s, separated by %q: was %q %t, is %q in %s", c, key, shown, delimiter, was, read, is, mended)
					case again:
						same++
					case read:
						refused++
					}
				}
			}
		}
	}
	t.Logf("%d are read as they were, %d are asked about", same, refused)
}

func tableOf(t *testing.T, delimiter string, rows [][]string) string {
	t.Helper()
	if delimiter == "" {
		xml := ""
		for _, r := range rows {
			xml += textRow(r...)
		}
		return rawBook(t, rawSheet{"Motors", xml})
	}
	var out bytes.Buffer
	w := newCSVWriter(&out)
	w.delimiter = rune(delimiter[0])
	for _, r := range rows {
		w.record(r)
	}
	if err := w.close(); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

// valueOf is the field of the motor b-4, false where it is not read.
func valueOf(t *testing.T, file, key string) (string, bool) {
	t.Helper()
	got, err := Read(strings.NewReader(file), "m", Options{Kind: "motor"})
	if err != nil || len(got.Unsure) > 0 {
		t.Fatal(err, got, file)
	}
	for _, item := range got.Batch.Items {
		if m := item.Record.(*inventory.Motor); m.Handle == "b-4" {
			if key == "throat_mm" {
				return throatsOf(m), true
			}
			return textOf(m, key), true
		}
	}
	return "", false
}

// TestJoinedAgain: a number that may be of several rows is not read again for one, nor
// left out without a word.
func TestJoinedAgain(t *testing.T) {
	if got := (cell{text: "24", form: joined}).again(); got != "24?" {
		t.Errorf("%q stands in the file of rejected rows", got)
	}
}
