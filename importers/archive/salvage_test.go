package archive

import (
	"bytes"
	"errors"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rangebox/inventory"
)

// TestSalvageWhole: of an archive that is whole everything is taken, in its
// order and from its rows.
func TestSalvageWhole(t *testing.T) {
	for _, file := range []string{"../../seed/box.json", "testdata/ascent.json", "testdata/circuits.json"} {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		want, err := Read(bytes.NewReader(data), file)
		if err != nil {
			t.Fatal(err)
		}
		got, rejected, err := Salvage(data, file)
		if err != nil || len(rejected) > 0 {
			t.Fatalf("%s: %v %+v", file, err, rejected)
		}
		if d := cmp.Diff(want, got, exact); d != "" {
			t.Errorf("%s:\n%s", file, d)
		}
	}
}

// TestSalvage damages an archive of three igniters, a rocket and a supply in one
// way at a time.
func TestSalvage(t *testing.T) {
	const whole = top + `"igniters": [
{"handle": "a", "head_mm": 2},
{"handle": "b", "notes": "{\"handle\": \"no\"}", "head_mm": 3},
{"handle": "c"}
],
"rockets": [
{"handle": "r", "supplies": [{"item": "s", "quantity": 2}], "stages": [{"name": "one"}]},
{"handle": "q"}
],
"supplies": [
{"handle": "s"}
],
"settings": {"currency": "EUR"}
}
`
	all := []string{"a", "b", "c", "r", "q", "s", ""}
	without := func(gone ...string) []string {
		return strings.Fields(strings.NewReplacer(gone[0], "").Replace("a b c r q s")) // handles are single letters
	}
	for _, c := range []struct {
		name, old, new string
		lost           string
		settingsLost   bool
		row            int
		section, why   string
	}{
		{"a value that is none", `"head_mm": 3`, `"head_mm": -3`, "b", false, 4, "igniters", "must be above 0"},
		{"an unknown field", `"head_mm": 3`, `"had_mm": 3`, "b", false, 4, "igniters", "did you mean"},
		{"no handle", `{"handle": "c"}`, `{}`, "c", false, 5, "igniters", "is not a handle"},
		{"a quote lost", `"b", "notes"`, `"b, "notes"`, "b", false, 4, "igniters", "invalid character"},
		{"a brace lost at the end", `"head_mm": 3}`, `"head_mm": 3`, "b", false, 4, "igniters", "invalid character"},
		{"a brace lost at the beginning", `{"handle": "b"`, `"handle": "b"`, "b", false, 4, "igniters", "no record"},
		{"bytes that are no text", `"b", "notes": "`, "\"b\", \"notes\": \"\xff", "b", false, 4, "igniters", "UTF-8"},
		{"a rocket broken before its supplies", `{"handle": "r", `, `{"handle": "r" `, "r", false, 8, "rockets", "invalid character"},
		{"the head lost", top, ``, "", false, 0, "", ""},
		{"the settings broken", `"EUR"}`, `EUR}`, "", true, 14, "settings", "invalid character"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if strings.Count(whole, c.old) != 1 {
				t.Fatalf("%q stands there %d times", c.old, strings.Count(whole, c.old))
			}
			batch, rejected, err := Salvage([]byte(strings.Replace(whole, c.old, c.new, 1)), "box.json")
			if err != nil {
				t.Fatal(err)
			}
			want := all
			if c.lost != "" {
				want = append(without(c.lost), "")
			}
			if c.settingsLost {
				want = want[:len(want)-1]
			}
			var got []string
			for _, item := range batch.Items {
				got = append(got, item.Record.Base().Handle)
			}
			if d := cmp.Diff(want, got); d != "" {
				t.Errorf("taken:\n%s\nrejected: %+v", d, rejected)
			}
			if c.why == "" {
				if len(rejected) > 0 {
					t.Errorf("rejected %+v", rejected)
				}
				return
			}
			if len(rejected) == 0 || rejected[0].Row != c.row || rejected[0].Section != c.section || !strings.Contains(rejected[0].Why, c.why) {
				t.Errorf("rejected %+v", rejected)
			}
		})
	}
}

// TestSalvageCut: of an archive cut anywhere, all that stands whole before the
// cut is taken, and nothing that was not there.
func TestSalvageCut(t *testing.T) {
	data, err := os.ReadFile("testdata/circuits.json")
	if err != nil {
		t.Fatal(err)
	}
	whole, err := Read(bytes.NewReader(data), "")
	if err != nil {
		t.Fatal(err)
	}
	before := 0
	for cut := 0; cut < len(data); cut += 97 {
		batch, _, err := Salvage(data[:cut], "box.json")
		if err != nil {
			if !errors.Is(err, inventory.ErrInvalid) || before > 0 {
				t.Fatalf("cut at %d: %v", cut, err)
			}
			continue
		}
		n := len(batch.Items)
		if d := cmp.Diff(whole.Items[:n], batch.Items, exact); d != "" || n < before {
			t.Fatalf("cut at %d: %d records, %d before\n%s", cut, n, before, d)
		}
		before = n
	}
	if before < len(whole.Items)-1 {
		t.Errorf("only %d of %d records at the last cut", before, len(whole.Items))
	}
}

// TestSalvageEnds: a file made to begin records without end takes no time.
func TestSalvageEnds(t *testing.T) {
	doc := top + `"igniters": [{"handle": "a"}, ` + strings.Repeat(`{"a": [`, 200_000)
	batch, rejected, err := Salvage([]byte(doc), "box.json")
	if err != nil || len(batch.Items) != 1 || len(rejected) != 1 {
		t.Errorf("%v, %d rejected", err, len(rejected))
	}
}

func TestSalvageRefuses(t *testing.T) {
	for doc, class := range map[string]error{
		"":                      inventory.ErrInvalid,
		"no archive at all":     inventory.ErrInvalid,
		top + `"motors": [{}]}`: inventory.ErrInvalid,
		`{"format": "rangebox-archive", "version": 2, "motors": [{"handle": "a"}]}`: inventory.ErrNewer,
	} {
		if _, _, err := Salvage([]byte(doc), "box.json"); !errors.Is(err, class) {
			t.Errorf("%q: %v", doc, err)
		}
	}
}

// FuzzSalvage: whatever stands in the file, it comes to an end, and what it
// takes can be written and read again.
func FuzzSalvage(f *testing.F) {
	f.Add([]byte(top + `"igniters": [{"handle": "a"}, {"handle" "b"}]}`))
	f.Add([]byte(`"rockets": [{"handle": "r" "supplies": [{"item": "s"}]}, {"handle": "q"}]`))
	f.Fuzz(func(t *testing.T, data []byte) {
		batch, rejected, err := Salvage(data, "box.json")
		if err != nil {
			return
		}
		for _, r := range rejected {
			if r.Row < 1 || r.Row > bytes.Count(data, []byte("\n"))+1 || !bytes.Contains(data, []byte(r.Text)) {
				t.Fatalf("a piece that is not there: %+v", r)
			}
		}
		for _, item := range batch.Items {
			if item.Record.Kind() == inventory.KindSettings {
				return // several may have stood there
			}
		}
		var out bytes.Buffer
		if err := Write(&out, FromBatch(batch)); err != nil {
			t.Fatal(err)
		}
		if _, err := Read(&out, ""); err != nil {
			t.Fatal(err)
		}
	})
}
