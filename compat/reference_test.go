package compat_test

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"testing"

	"rangebox/compat"
	"rangebox/importers/archive"
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// lineCase is one case of testdata/ngspice/expected.json: ngspice 39.3,
// operating points, date unknown.
type lineCase struct {
	Line, Igniter  string
	Count          int
	NominalA       float64 `json:"nominal_a"`
	WorstA         float64 `json:"worst_a"`
	Ratio          float64
	NominalSupplyV float64 `json:"nominal_supply_v"`
	WorstSupplyV   float64 `json:"worst_supply_v"`
}

func referenceBox(t *testing.T) (*inventory.Box, []lineCase) {
	t.Helper()
	file, err := os.Open(filepath.Join("testdata", "ngspice", "archive.json"))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	batch, err := archive.Read(file, "archive.json")
	if err != nil {
		t.Fatal(err)
	}
	box, err := inventory.BoxOf(batch)
	if err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(filepath.Join("testdata", "ngspice", "expected.json"))
	if err != nil {
		t.Fatal(err)
	}
	var cases []lineCase
	if err := json.Unmarshal(data, &cases); err != nil {
		t.Fatal(err)
	}
	if len(cases) != 24 {
		t.Fatalf("%d cases, not 24", len(cases))
	}
	return box, cases
}

// circuitOf follows the records of a case, as the archive refers to them.
func circuitOf(t *testing.T, box *inventory.Box, c lineCase) *compat.Circuit {
	t.Helper()
	line, err := inventory.Find[*inventory.Line](box, inventory.KindLine, c.Line)
	if err != nil {
		t.Fatal(err)
	}
	igniter, err := inventory.Find[*inventory.Igniter](box, inventory.KindIgniter, c.Igniter)
	if err != nil {
		t.Fatal(err)
	}
	battery, _ := inventory.Follow[*inventory.Battery](box, line.Battery)
	controller, _ := inventory.Follow[*inventory.Controller](box, line.Controller)
	return &compat.Circuit{Line: line, Battery: battery, Controller: controller, Groups: []compat.Group{{Igniter: igniter, Count: c.Count}}}
}

// TestLinesAgainstNgspice holds CheckLine to an independent circuit simulator:
// figures within 0.1 %, the verdict exactly.
func TestLinesAgainstNgspice(t *testing.T) {
	box, cases := referenceBox(t)
	seen := map[compat.Verdict]int{}
	for _, c := range cases {
		t.Run(c.Line, func(t *testing.T) {
			circuit := circuitOf(t, box, c)
			report := compat.CheckLine(circuit, compat.Defaults())
			g := report.Groups[0]
			within(t, "nominal_a", g.Nominal.Or(0).Amps(), c.NominalA)
			within(t, "worst_a", g.Worst.Or(0).Amps(), c.WorstA)
			within(t, "ratio", g.Ratio.Or(0), c.Ratio)
			within(t, "nominal_supply_v", report.NominalSupply.Or(0).Volts(), c.NominalSupplyV)
			within(t, "worst_supply_v", report.WorstSupply.Or(0).Volts(), c.WorstSupplyV)
			f := firingOf(t, report.List)
			seen[f.Verdict]++
			if want := verdictOf(c.Ratio, f.Assumed != 0); f.Verdict != want {
				t.Errorf("%s at a ratio of %v, not %s", f.Verdict, c.Ratio, want)
			}
			if known := circuit.Battery.AgedInternal.Known(); known != (f.Assumed.String() == "") {
				t.Errorf("worn resistance known: %v, assumed %q", known, f.Assumed)
			}
		})
	}
	for _, v := range []compat.Verdict{compat.Go, compat.Caution, compat.Unknown} {
		if seen[v] == 0 {
			t.Errorf("no case is %s: %v", v, seen)
		}
	}
}

// verdictOf is the rule in terms of the ratio (docs/rules.md, firing-current).
func verdictOf(ratio float64, assumed bool) compat.Verdict {
	switch {
	case ratio >= 1.5:
		return compat.Go
	case ratio >= 1:
		return compat.Caution
	case assumed:
		return compat.Unknown
	}
	return compat.NoGo
}

func firingOf(t *testing.T, list []compat.Finding) compat.Finding {
	t.Helper()
	for _, f := range list {
		if f.Rule == compat.FiringCurrent {
			return f
		}
	}
	t.Fatal("no finding on the firing current")
	return compat.Finding{}
}

func within(t *testing.T, what string, got, want float64) {
	t.Helper()
	const relative = 0.001 // the project's own mark; rounding to uA and uV is all that differs
	if want == 0 || math.Abs(got-want) > relative*math.Abs(want) {
		t.Errorf("%s %v, not %v", what, got, want)
	}
}

// TestNgspiceCasesHold: with the worn resistance recorded at what the bound
// assumes, the same lines that were unknown are a no-go.
func TestNgspiceCasesHold(t *testing.T) {
	box, cases := referenceBox(t)
	noGo := 0
	for _, c := range cases {
		circuit := circuitOf(t, box, c)
		if !circuit.Battery.AgedInternal.Known() {
			measured := *circuit.Battery
			measured.AgedInternal = quantity.Some(measured.Internal.Or(0) * 3 / 2)
			circuit.Battery = &measured
		}
		f := firingOf(t, compat.CheckLine(circuit, compat.Defaults()).List)
		if want := verdictOf(c.Ratio, false); f.Verdict != want || f.Assumed.String() != "" {
			t.Errorf("%s: %s, assumed %q, not %s", c.Line, f.Verdict, f.Assumed, want)
		}
		if f.Verdict == compat.NoGo {
			noGo++
		}
	}
	if noGo == 0 {
		t.Error("no case is a no-go")
	}
}
