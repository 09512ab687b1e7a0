package report

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/olekukonko/tablewriter/pkg/twwidth"

	"rangebox/cmd/rangebox/answer"
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

var update = flag.Bool("update", false, "write what the reports say now into the golden files")

func TestMain(m *testing.M) {
	time.Local = time.UTC // times of the ledger are shown as local
	os.Exit(m.Run())
}

// from reads an answer from its JSON, as scripts see it.
func from[T any](t *testing.T, text string) T {
	t.Helper()
	var v T
	dec := json.NewDecoder(strings.NewReader(text))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&v); err != nil {
		t.Fatalf("%v in %s", err, text)
	}
	return v
}

const wick = `{"motor": "heron", "nozzle": "standard", "igniter": "wick", "verdict": "go", "clearance_mm": 0.3, "on_hand": 12, "usable": 10, "findings": [], "not_checked": []}`
const fuse = `{"motor": "heron", "nozzle": "", "igniter": "fuse", "verdict": "caution", "clearance_mm": 0.15, "splice_mm": 40, "needed_lead_mm": 333, "on_hand": 0, "usable": 0,
	"findings": [{"rule": "lead-reach", "verdict": "caution", "subject": "fuse", "value": 300, "limit": 333, "unit": "mm", "assumed": [], "why": "300 mm of lead where 333 mm is needed", "source": "common practice", "remedy": "splice on 40 mm"},
		{"rule": "firing-current", "verdict": "go", "subject": "fuse", "value": 1.25, "limit": 0.75, "unit": "A", "assumed": ["bridge_tol_pct"], "why": "enough", "source": "ours", "remedy": ""}],
	"not_checked": [{"rule": "time-to-fire", "missing": "pulse_s", "how": "read it in the manual"}]}`
const thick = `{"motor": "heron", "nozzle": "standard", "igniter": "thick", "verdict": "no-go", "clearance_mm": -1.2, "on_hand": 3, "usable": 3,
	"findings": [{"rule": "throat-clearance", "verdict": "no-go", "subject": "thick", "assumed": [], "why": "too wide", "source": "common practice", "remedy": ""}], "not_checked": []}`
const rowan = `{"motor": "heron", "nozzle": "standard", "igniter": "rowan", "verdict": "unknown", "on_hand": 3, "usable": 3, "splice_mm": 0,
	"findings": [{"rule": "throat-clearance", "verdict": "unknown", "subject": "rowan", "missing": ["head_mm"], "assumed": [], "why": "cannot be judged without head_mm", "source": "common practice", "remedy": "measure it with a caliper"},
		{"rule": "ignition-energy", "verdict": "unknown", "subject": "rowan", "missing": ["output"], "assumed": [], "why": "cannot be judged without output", "source": "common practice", "remedy": "read the sheet"}], "not_checked": []}`

func fitsCase(text string) func(*testing.T, io.Writer, Look) error {
	return func(t *testing.T, w io.Writer, l Look) error { return Fits(w, l, from[answer.Fits](t, text)) }
}

func lineCase(text string) func(*testing.T, io.Writer, Look) error {
	return func(t *testing.T, w io.Writer, l Look) error { return LineCheck(w, l, from[answer.LineCheck](t, text)) }
}

const oneLine = `{"line": "pad", "igniter": "wick", "count": 3, "verdict": "caution", "nominal_a": 2.2, "worst_a": 1.1, "needed_a": 0.75, "ratio": 2.20000001,
	"nominal_supply_v": 11.2, "worst_supply_v": 9.5, "short_a": 20, "meter_ohm": [0.9, 1.1], "meter_one_missing_ohm": [1.05, 1.4],
	"most_igniters": 99, "longest_lead_m": 12.34, "smallest_wire_awg": 18, "lowest_open_circuit_v": 6.5,
	"findings": [{"rule": "continuity-current", "verdict": "caution", "subject": "wick", "value": 0.06, "limit": 0.02, "unit": "A", "assumed": ["no_fire_a"], "why": "60 mA of continuity current", "source": "ours", "remedy": "stand clear"}],
	"not_checked": [{"rule": "time-to-fire", "missing": "pulse_s", "how": "read it in the manual"}]}`
const mixedLine = `{"line": "pad", "count": 3, "verdict": "go", "igniters": [{"igniter": "wick", "count": 2, "nominal_a": 1, "worst_a": 0.9, "needed_a": 0.75, "ratio": 1.8}, {"igniter": "fuse", "count": 1}],
	"findings": [], "not_checked": []}`

// cases are the reports, by the name of their golden file.
var cases = map[string]func(*testing.T, io.Writer, Look) error{
	"fits-mixed":    fitsCase(`{"on": "2027-04-17", "motor": "heron", "line": "pad", "matches": [` + wick + "," + fuse + "," + rowan + "," + thick + "]}"),
	"fits-one-go":   fitsCase(`{"on": "2027-04-17", "motor": "heron", "matches": [` + wick + "]}"),
	"fits-nothing":  fitsCase(`{"on": "2027-04-17", "motor": "heron", "matches": [` + thick + "]}"),
	"fits-empty":    fitsCase(`{"on": "2027-04-17", "motor": "heron", "matches": []}`),
	"fits-by-motor": fitsCase(`{"on": "2027-04-17", "igniter": "wick", "matches": [` + wick + "," + rowan + "]}"),
	"line-one":      lineCase(oneLine),
	"line-mixed":    lineCase(mixedLine),
	"line-unknown":  lineCase(`{"line": "pad", "igniter": "rowan", "count": 1, "verdict": "unknown", "findings": [], "not_checked": []}`),
	"chart": func(t *testing.T, w io.Writer, l Look) error {
		return Chart(w, l, from[answer.Chart](t, `{"on": "2027-04-17", "igniters": ["fuse", "wick"], "motors": [{"motor": "heron", "nozzle": "", "verdicts": "gc"}, {"motor": "stork", "nozzle": "wide", "verdicts": "un"}]}`))
	},
	"chart-empty": func(_ *testing.T, w io.Writer, l Look) error { return Chart(w, l, answer.Chart{}) },
	"chart-in-blocks": func(_ *testing.T, w io.Writer, l Look) error {
		c := answer.Chart{Motors: []answer.ChartRow{{Motor: "heron", Verdicts: strings.Repeat("gcun", 15)}}}
		for i := range 60 {
			c.Igniters = append(c.Igniters, "wick-"+string(rune('a'+i%26))+string(rune('a'+i/26)))
		}
		return Chart(w, l, c)
	},
	"import": func(t *testing.T, w io.Writer, l Look) error {
		return Import(w, l, from[answer.Import](t, `{"dry_run": false, "new": 2, "changed": 1, "unchanged": 7,
			"records": [{"kind": "motor", "handle": "new", "id": "x", "status": "new"}, {"kind": "motor", "handle": "heron", "id": "x", "status": "changed", "changes": [{"field": "mass_g", "old": "", "new": "25"}, {"field": "notes", "old": "a", "new": ""}]},
				{"kind": "lot", "item": "igniter wick", "id": "0123456789abcdef", "status": "changed", "changes": [{"field": "unit_cost", "old": "1", "new": "3"}]},
				{"kind": "day", "id": "fedcba", "status": "changed", "changes": [{"field": "site", "old": "", "new": "moor"}]}],
			"rejected": 2, "rejected_rows": [{"row": 4, "reasons": ["no number"]}, {"sheet": "tray", "row": 5, "reasons": ["no word", "no day"]}],
			"quantities": [{"lot": "x", "item": "wick", "file": 12, "ledger": 10, "counted": false}, {"lot": "y", "item": "fuse", "file": 2, "ledger": 1, "counted": true}],
			"entries": [], "warnings": [{"kind": "motor", "record": "heron", "row": 3, "doubt": "the core is longer than the motor"}]}`))
	},
	"import-mapped": func(_ *testing.T, w io.Writer, l Look) error {
		return Import(w, l, answer.Import{DryRun: true, New: 2,
			Mapped: []answer.Mapped{{Header: "Drahtlänge cm", Field: "lead_mm", Unit: "cm"}, {Header: "Kopf (in)", Field: "head_mm", Unit: "in"}, {Header: "Strom", Field: "all_fire_a", PerCell: true}, {Header: "Art", Field: "name"}},
			Made:   []answer.Made{{Kind: "igniter", Handle: "ulme-quill", Row: 2}, {Kind: "igniter", Handle: "ulme-wick", Row: 3}}})
	},
	"import-dry": func(_ *testing.T, w io.Writer, l Look) error {
		return Import(w, l, answer.Import{DryRun: true, New: 3, PassedOver: []string{"Remarks", "Old stuff (hidden)"}, TakenBack: []answer.Entry{{ID: "e", What: "counted", Lot: "aaaaaa111111", Quantity: "20"}}})
	},
	"changed": func(t *testing.T, w io.Writer, l Look) error {
		return Changed(w, l, from[answer.Changed](t, `{"kind": "motor", "handle": "heron", "id": "x", "status": "changed",
			"changes": [{"field": "mass_g", "old": "25", "new": ""}, {"field": "curve[0].t_s", "old": "", "new": "0"}, {"field": "nozzles[0].curve[1].thrust_n", "old": "", "new": "3"}],
			"warnings": [{"kind": "motor", "record": "heron", "doubt": "the core is longer than the motor"}]}`))
	},
	"booked": func(t *testing.T, w io.Writer, l Look) error {
		return Booked(w, l, from[answer.Booked](t, `{"entries": [{"id": "e", "what": "moved", "lot": "aaaaaa111111", "quantity": 4}, {"id": "e", "what": "in", "lot": "aaaaaa222222", "quantity": 4}, {"id": "e", "what": "held", "lot": "aaaaaa111111"}],
			"lots": [{"lot": "aaaaaa111111", "item": "wick", "quantity": 7, "place": "tin"}, {"lot": "aaaaaa222222", "item": "wick", "quantity": 4}]}`))
	},
	"merge": func(t *testing.T, w io.Writer, l Look) error {
		return Merge(w, l, from[answer.Merge](t, mergeTold))
	},
	"merge-many": func(_ *testing.T, w io.Writer, l Look) error {
		m := answer.Merge{DryRun: true, New: 23}
		for n := range m.New {
			m.Records = append(m.Records, answer.Merged{Kind: "igniter", Handle: fmt.Sprintf("wick-%02d", n), Status: "new"})
		}
		return Merge(w, l, m)
	},
	"repair": func(t *testing.T, w io.Writer, l Look) error {
		r := from[answer.Repair](t, repairTold)
		two := json.Number("2")
		r.Aside[0].Entry = &answer.LogRow{What: "used", Quantity: &two, At: "2027-04-17T09:30:00Z"}
		return Repair(w, l, r)
	},
	"verify": func(_ *testing.T, w io.Writer, l Look) error {
		return Verify(w, l, answer.Verify{Change: 7, Changed: "2027-04-17T09:30:00Z", Records: map[string]int{"motors": 3, "lots": 4, "readings": 9}, Entries: new(12), Doubts: []string{"motor heron: the core is longer than the motor"}})
	},
	"verify-off": func(_ *testing.T, w io.Writer, l Look) error {
		return Verify(w, l, answer.Verify{Change: 7, Changed: "2027-04-17T09:30:00Z", Entries: new(0), Problems: []string{"lot x has 3 on hand, its entries say 4"}})
	},
	"verify-pages": func(_ *testing.T, w io.Writer, l Look) error {
		return Verify(w, l, answer.Verify{Problems: []string{"page 12 is damaged"}})
	},
	"outlook": func(t *testing.T, w io.Writer, l Look) error {
		return Outlook(w, l, from[answer.Outlook](t, outlook), true)
	},
	"outlook-need": func(t *testing.T, w io.Writer, l Look) error {
		return Outlook(w, l, from[answer.Outlook](t, outlook), false)
	},
	"outlook-nothing": func(_ *testing.T, w io.Writer, l Look) error { return Outlook(w, l, answer.Outlook{}, true) },
	"stock":           func(t *testing.T, w io.Writer, l Look) error { return stockList(t).Table(w, l) },
	"stock-csv":       func(t *testing.T, w io.Writer, _ Look) error { return stockList(t).CSV(w) },
	"stock-markdown":  func(t *testing.T, w io.Writer, _ Look) error { return stockList(t).Markdown(w) },
	"stock-empty":     func(_ *testing.T, w io.Writer, l Look) error { return Stock(nil).Table(w, l) },
	"log": func(t *testing.T, w io.Writer, l Look) error {
		return Log(from[[]answer.LogRow](t, logRows)).Table(w, l)
	},
	"log-csv": func(t *testing.T, w io.Writer, _ Look) error { return Log(from[[]answer.LogRow](t, logRows)).CSV(w) },
	"readings": func(_ *testing.T, w io.Writer, l Look) error {
		return Readings([]answer.Reading{{At: "2027-04-17T09:30:00Z", Of: "heron wide", What: "throat_mm", Value: "3.2", Notes: "3.2 passes, 3.3 does not; measured twice, in the cold, by two people"}}).Table(w, l)
	},
	"record": func(_ *testing.T, w io.Writer, l Look) error { return Record(w, l, heron()) },
	"curve": func(_ *testing.T, w io.Writer, l Look) error {
		return Curves(w, l, answer.CurvesOf(heron()))
	},
	"hostile":          func(_ *testing.T, w io.Writer, l Look) error { return hostileList().Table(w, l) },
	"hostile-csv":      func(_ *testing.T, w io.Writer, _ Look) error { return hostileList().CSV(w) },
	"hostile-markdown": func(_ *testing.T, w io.Writer, _ Look) error { return hostileList().Markdown(w) },
}

const outlook = `{"on": "2027-04-17", "due": [{"lot": "x", "kind": "igniter", "item": "wick", "quantity": 3, "promised": 0, "expires": "2027-01-31", "place": "tin", "state": "expired"}],
	"need": [{"kind": "supply", "item": "wadding", "usable": 3, "short": 17, "why": "below its reorder level"}]}`

const logRows = `[{"id": "aaaaaa333333", "at": "2027-04-17T11:00:00Z", "what": "void", "lot": "aaaaaa111111", "item": "wick", "voids": "y", "voided": false},
	{"id": "aaaaaa222222", "at": "2027-04-17T10:00:00Z", "what": "tested", "lot": "aaaaaa111111", "item": "wick", "quantity": 1, "result": "misfire", "cause": "head", "point": "sustainer/main/1", "reason": "did nothing at all, twice", "voided": true},
	{"id": "aaaaaa111111", "at": "2027-04-17T09:30:00Z", "what": "moved", "lot": "aaaaaa111111", "item": "wick", "to": "shed", "voided": false}]`

func stockList(t *testing.T) List {
	return Stock(from[[]answer.StockRow](t, `[{"lot": "x", "kind": "igniter", "item": "wick", "quantity": 12, "promised": 2, "expires": "2029-05-31", "place": "red tin, behind the jar", "state": "ok"},
		{"lot": "y", "kind": "motor", "item": "heron", "quantity": 3, "promised": 0, "state": "held", "certification": "no-go", "needs_count": true}]`))
}

func hostileList() List {
	return List{
		Columns: []Column{{Name: "name", Label: "name"}, {Name: "n", Label: "n", Right: true}},
		Rows:    [][]string{{"=cmd()|\x1b[31mred\x07", "-3"}, {"\u202egnp.exe", "4"}, {" +1", "5"}, {"a\\|b\nc", "6"}, {"<b>[x](y)\u2028", "7"}, {"@x\t\u009b2J", "8"}},
	}
}

func heron() *inventory.Motor {
	m := &inventory.Motor{Maker: "Fell and Daughter", Name: "Heron C5", Propellant: inventory.BlackPowder, Delays: []quantity.Time{3_000_000, 5_000_000}}
	m.Handle = "heron-c5"
	m.Notes = "A note that is long enough to be broken into two lines, which begin below each other in the second column."
	m.PropellantMass = quantity.Some(must(quantity.Gram.Parse("12g")))
	m.Nozzles = []inventory.Nozzle{{Name: "wide", Throat: quantity.Some(must(quantity.Millimetre.Parse("3.2")))}}
	for _, p := range [][2]string{{"0", "0"}, {"0.1", "12"}, {"0.5", "4"}, {"1.9", "4"}, {"2", "0"}} {
		m.Curve = append(m.Curve, inventory.CurvePoint{At: must(quantity.Second.Parse(p[0])), Thrust: must(quantity.Newton.Parse(p[1]))})
	}
	return m
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

// TestGolden writes every report, as a terminal of 80 columns shows it.
func TestGolden(t *testing.T) {
	for name, write := range cases {
		t.Run(name, func(t *testing.T) {
			var b bytes.Buffer
			if err := write(t, &b, Look{Width: 80}); err != nil {
				t.Fatal(err)
			}
			golden := filepath.Join("testdata", name+".golden")
			if *update {
				if err := os.WriteFile(golden, b.Bytes(), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(golden)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(string(want), b.String()); diff != "" {
				t.Errorf("not as in %s (-want +got):\n%s", golden, diff)
			}
		})
	}
}

// TestGoldensAreCases sees that no golden file is left of a case that is gone.
func TestGoldensAreCases(t *testing.T) {
	files, err := filepath.Glob("testdata/*.golden")
	if err != nil || len(files) == 0 {
		t.Fatalf("no golden files: %v", err)
	}
	for _, file := range files {
		if _, ok := cases[strings.TrimSuffix(filepath.Base(file), ".golden")]; !ok {
			t.Errorf("%s belongs to no case", file)
		}
	}
}

// TestColourAddsNothing sees that colours change no report's text, and that they
// are there where a verdict is.
func TestColourAddsNothing(t *testing.T) {
	for name, write := range cases {
		var plain, coloured bytes.Buffer
		if err := write(t, &plain, Look{Width: 80}); err != nil {
			t.Fatal(err)
		}
		if err := write(t, &coloured, Look{Width: 80, Colour: true}); err != nil {
			t.Fatal(err)
		}
		text := coloured.String()
		for _, code := range colours {
			text = strings.ReplaceAll(text, code, "")
		}
		if diff := cmp.Diff(plain.String(), strings.ReplaceAll(text, colourEnd, "")); diff != "" {
			t.Errorf("%s: colour changes the text (-plain +coloured):\n%s", name, diff)
		}
		if strings.HasPrefix(name, "fits-mixed") && !strings.Contains(coloured.String(), "\x1b[33mcaution\x1b[0m") {
			t.Errorf("%s: no colour", name)
		}
	}
}

// TestWidths lays every report out for narrow and wide terminals; what cannot be
// broken, as a column of numbers, may stand out of very narrow ones.
func TestWidths(t *testing.T) {
	machine := map[string]bool{"stock-csv": true, "stock-markdown": true, "log-csv": true, "hostile-csv": true, "hostile-markdown": true}
	for name, write := range cases {
		for _, width := range []int{72, 80, 100, 200} {
			var b bytes.Buffer
			if err := write(t, &b, Look{Width: width}); err != nil {
				t.Fatal(err)
			}
			for line := range strings.Lines(b.String()) {
				line = strings.TrimSuffix(line, "\n")
				if got := twwidth.Width(line); got > width && !machine[name] {
					t.Errorf("%s at %d columns: %d in %q", name, width, got, line)
				}
				if strings.TrimRight(line, " ") != line && !machine[name] {
					t.Errorf("%s: blanks at the end of %q", name, line)
				}
			}
		}
	}
}

// mergeTold holds one of each thing that a merge tells of.
const mergeTold = `{"new": 2, "changed": 3, "removed": 1, "entries": 9, "kept": "range.box.1.bak",
	"records": [{"kind": "igniter", "handle": "wick", "id": "x1", "status": "new"},
		{"kind": "lot", "item": "igniter wick", "id": "aaaaaa333333", "status": "new"},
		{"kind": "motor", "handle": "heron", "id": "x2", "status": "changed", "changes": [{"field": "mass_g", "old": "25", "new": ""}, {"field": "notes", "old": "", "new": "dry\u202e"}]},
		{"kind": "lot", "item": "igniter wick", "id": "aaaaaa222222", "status": "changed", "changes": [{"field": "place", "old": "tin", "new": "crate"}, {"field": "code", "old": "", "new": "7B"}]},
		{"kind": "supply", "handle": "powder", "id": "x3", "status": "changed"},
		{"kind": "day", "on": "2027-04-17", "id": "aaaaaa444444", "status": "removed"}],
	"lots": [{"lot": "aaaaaa333333", "kind": "igniter", "item": "wick", "new": true, "booked": [{"what": "in", "entries": 1, "quantity": 12}], "now": {"quantity": 12, "promised": 0, "place": "tin"}},
		{"lot": "aaaaaa111111", "kind": "igniter", "item": "wick", "booked": [{"what": "used", "entries": 2, "quantity": 2}, {"what": "promised", "entries": 1, "quantity": 3}, {"what": "void", "entries": 1}, {"what": "moved", "entries": 1, "quantity": 4}, {"what": "held", "entries": 1}],
			"before": {"quantity": 10, "promised": 0, "place": "tin"}, "now": {"quantity": 4, "promised": 3, "held": true, "place": "tin"}},
		{"lot": "aaaaaa222222", "kind": "igniter", "item": "wick", "booked": [], "before": {"quantity": 6, "promised": 0, "place": "tin"}, "now": {"quantity": 6, "promised": 0, "place": "crate"}},
		{"lot": "aaaaaa555555", "kind": "motor", "item": "heron", "booked": [{"what": "counted", "entries": 1, "quantity": 5}, {"what": "moved", "entries": 1, "to": "field tin"}],
			"before": {"quantity": 4, "promised": 0, "held": true, "place": "crate"}, "now": {"quantity": 4, "promised": 0, "place": "crate"}}],
	"conflicts": [], "count": [], "interleaved": []}`

// repairTold holds one of each thing that a repair tells of.
const repairTold = `{"problems": ["bucket x is damaged"], "lots_not_compared": 1, "aside_file": "range.box.1.aside.json", "kept": "range.box.1.bak",
	"aside": [{"kind": "event", "key": "1f", "lots": [{"lot": "aaaaaa111111", "kind": "igniter", "item": "wick"}]},
		{"kind": "event", "key": "20"},
		{"kind": "event", "key": "21", "instead": "an earlier version of it", "lots": [{"lot": "aaaaaa111111"}]},
		{"kind": "event", "key": "not known", "lost": 3, "lots": [{"lot": "aaaaaa111111", "kind": "igniter", "item": "wick"}, {"lot": "aaaaaa222222", "kind": "motor", "item": "heron"}]},
		{"kind": "motor", "key": "not known", "lost": 1}, {"kind": "battery", "key": "not known", "lost": 2},
		{"kind": "lot", "key": "aaaaaa222222", "instead": "an empty record with its id and handle", "lots": [{"lot": "aaaaaa222222", "kind": "motor", "item": "heron"}]},
		{"kind": "igniter", "key": "k", "handle": "awn"},
		{"kind": "meta", "key": "state", "why": "how many values were written is not known any more"}],
	"lots": [{"lot": "aaaaaa111111", "kind": "igniter", "item": "wick", "before": {"quantity": 2, "promised": 1, "place": "tin"}, "now": {"quantity": 4, "promised": 1, "place": "tin"}},
		{"lot": "aaaaaa222222", "kind": "motor", "item": "heron", "before": {"quantity": 3, "promised": 0, "place": "tin"}, "now": {"quantity": 1, "promised": 0, "place": ""}}]}`
