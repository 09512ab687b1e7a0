package archive

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"

	"rangebox/importers"
	"rangebox/inventory"
)

// seeds are the reference archives and every document of the table of complaints.
func seeds(t testing.TB) [][]byte {
	t.Helper()
	files, err := filepath.Glob("testdata/*.json")
	if err != nil || len(files) == 0 {
		t.Fatalf("no seeds in testdata: %v", err)
	}
	var list [][]byte
	for _, name := range files {
		doc, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		list = append(list, doc)
	}
	for _, c := range complaints {
		if len(c.doc) < 10_000 {
			list = append(list, []byte(c.doc))
		}
	}
	return list
}

func FuzzRead(f *testing.F) {
	for _, doc := range seeds(f) {
		f.Add(doc)
	}
	f.Add(everything())
	f.Fuzz(func(t *testing.T, doc []byte) {
		batch, err := Read(bytes.NewReader(doc), "box.json")
		if err != nil {
			complaintsAreInside(t, err, bytes.Count(doc, []byte("\n"))+1)
			return
		}
		once := rewritten(t, batch)
		again, err := Read(bytes.NewReader(once), "again.json")
		if err != nil {
			t.Fatalf("what was written is refused: %v", err)
		}
		if diff := cmp.Diff(inOrder(batch), inOrder(again), exact); diff != "" {
			t.Fatal(diff)
		}
		if twice := rewritten(t, again); !bytes.Equal(once, twice) {
			t.Fatalf("written twice differs:\n%s\n%s", once, twice)
		}
	})
}

func rewritten(t *testing.T, batch *inventory.Batch) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := Write(&out, FromBatch(batch)); err != nil {
		t.Fatalf("what was read cannot be written: %v", err)
	}
	return out.Bytes()
}

func complaintsAreInside(t *testing.T, err error, lines int) {
	t.Helper()
	issues, ok := importers.AsIssues(err)
	if !ok || len(issues) == 0 || len(issues) > maxIssues+1 {
		t.Fatalf("no complaint, or too many: %v", err)
	}
	if !errors.Is(err, inventory.ErrInvalid) && !errors.Is(err, inventory.ErrNewer) {
		t.Fatalf("of no class: %v", err)
	}
	for i, issue := range issues {
		if issue.Row > lines || issue.Row < 1 && i < maxIssues || issue.Error() == "" {
			t.Fatalf("a file of %d lines has row %d: %v", lines, issue.Row, issue)
		}
	}
}

// everything is a document with a field of every type, for the fuzzer to start from.
func everything() []byte {
	return []byte(top + `"supplies": [{"handle": "pin", "unit": "piece", "reusable": false, "level": 2.5}],
"igniters": [{"handle": "wick", "notes": "a\u0000\ud83d\ude80", "head_mm": 1e0}],
"motors": [{"handle": "a-8", "head_ends": ["delay"], "delays_s": [3, 5], "case": "pin", "igniter_supplied": "wick", "certified_until": "2027-04",
 "nozzles": [{"name": "n", "throat_mm": 2.4, "measured_on": "new", "curve": [{"t_s": 0, "thrust_n": 0}]}]}],
"rockets": [{"handle": "r", "supplies": [{"item": "pin", "quantity": 1}],
 "stages": [{"name": "s", "mounts": [{"name": "m", "motor": "a-8", "ignition": {"by": "pad", "run_mm": 0}}]}]}],
"lots": [{"id": "00000000-0000-7000-8000-000000000001", "kind": "motor", "item": "a-8", "quantity": 3, "no_expiry": true}],
"events": [{"id": "00000000-0000-7000-8000-000000000002", "at": "2027-04-17T10:30:00.5+02:00", "what": "in", "lot": "00000000-0000-7000-8000-000000000001", "quantity": 3}],
"readings": [{"of": {"kind": "motor", "handle": "a-8"}, "what": "mass_g", "value": -1.5}],
"days": [{"date": "2027-04-17", "altitude_m": -3, "flights": [{"rocket": "r", "with": {"s/m.delay_s": 5}}]}],
"settings": {"user_level": 0, "priors": {"composite": "9,1"}}}`)
}
