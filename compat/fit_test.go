package compat

import (
	"strconv"
	"strings"
	"testing"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

func TestFit(t *testing.T) {
	s := newScene(t, basePair, baseCircuit, "run=12in igniter.lead_mm=6in igniter.lead_awg=26 igniter.bridge_includes_leads=no")
	q := &FitQuestion{Run: asked(t, s, "run", quantity.Millimetre)}
	m := Fit(q, &s.motor, &s.motor.Nozzles[0], &s.igniter, Defaults())
	if m.Worst != Caution {
		t.Errorf("%s", m.Worst)
	}
	// Seat 10 mm, run 304.8 mm, slack 25 mm; 152.4 mm are there.
	if m.NeededLead != quantity.Some(parse(t, "339.8mm", quantity.Millimetre)) || m.NeededSplice != quantity.Some(parse(t, "190mm", quantity.Millimetre)) {
		t.Errorf("needs %v, splice %v", m.NeededLead, m.NeededSplice)
	}
	if len(m.List) != 3 || m.NozzleName() != "main" {
		t.Errorf("%d findings with nozzle %q", len(m.List), m.NozzleName())
	}

	q.Line, q.Battery, q.Controller = &s.line, &s.battery, &s.controller
	spliced := Fit(q, &s.motor, &s.motor.Nozzles[0], &s.igniter, Defaults())
	s.igniter.Lead = quantity.Some(parse(t, "339.8mm", quantity.Millimetre))
	whole := Fit(q, &s.motor, &s.motor.Nozzles[0], &s.igniter, Defaults())
	a, _ := findingOf(&spliced.Findings, FiringCurrent, "wick")
	b, _ := findingOf(&whole.Findings, FiringCurrent, "wick")
	// The splice's contact and its length, rounded up, cost current.
	if a.Value.Steps == 0 || a.Value.Steps >= b.Value.Steps {
		t.Errorf("%d uA with a splice, %d without", a.Value.Steps, b.Value.Steps)
	}
	if whole.Worst != Go || whole.NeededSplice != quantity.Some(quantity.Length(0)) {
		t.Errorf("%s, splice %v", whole.Worst, whole.NeededSplice)
	}
}

// TestFitTellsTheCircuitWhatIsLit: black powder is content with less in a cluster.
func TestFitTellsTheCircuitWhatIsLit(t *testing.T) {
	for propellant, want := range map[string]reason{"black-powder": clusterBlackPowder, "composite": clusterThin, "": clusterThin} {
		s := newScene(t, basePair, baseCircuit, two, "igniter.all_fire_a=4 motor.propellant="+propellant)
		q := &FitQuestion{Line: &s.line, Battery: &s.battery, Controller: &s.controller, Count: 2}
		m := Fit(q, &s.motor, &s.motor.Nozzles[0], &s.igniter, Defaults())
		f, _ := findingOf(&m.Findings, ClusterFiring, "wick")
		if f.reason != want || f.Assumed.Has(factPropellant) != (propellant == "") {
			t.Errorf("%q: %s, assumed %q", propellant, f.Why(quantity.Metric), f.Assumed)
		}
	}
}

func TestFitLeavesOutWhatWasNotAsked(t *testing.T) {
	s := newScene(t, basePair)
	m := Fit(&FitQuestion{}, &s.motor, nil, &s.igniter, Defaults())
	if m.NeededLead.Known() || m.NeededSplice.Known() || len(m.List) != 2 {
		t.Errorf("%v %v, %d findings", m.NeededLead, m.NeededSplice, len(m.List))
	}
	s = newScene(t, basePair, "run=1ft nozzle.depth_mm=")
	m = Fit(&FitQuestion{Run: asked(t, s, "run", quantity.Millimetre)}, &s.motor, &s.motor.Nozzles[0], &s.igniter, Defaults())
	if m.NeededLead.Known() || m.NeededSplice.Known() || m.Worst != Unknown {
		t.Errorf("without a depth: %v %v %s", m.NeededLead, m.NeededSplice, m.Worst)
	}
}

func TestNozzlesOf(t *testing.T) {
	if list := NozzlesOf(&inventory.Motor{}); len(list) != 1 || list[0] != nil {
		t.Errorf("%v", list)
	}
	m := &inventory.Motor{Nozzles: []inventory.Nozzle{{Name: "a"}, {Name: "b"}}}
	if list := NozzlesOf(m); len(list) != 2 || list[0] != &m.Nozzles[0] || list[1] != &m.Nozzles[1] {
		t.Errorf("%v", list)
	}
}

// TestSortMatches: verdict, then what is in the box, then fewest reservations,
// then motor, igniter and nozzle by name.
func TestSortMatches(t *testing.T) {
	match := func(motor, igniter, nozzle string, findings ...Verdict) Match {
		m := Match{Pair: Pair{
			Motor: &inventory.Motor{Header: inventory.Header{Handle: motor}}, Nozzle: &inventory.Nozzle{Name: nozzle},
			Igniter: &inventory.Igniter{Header: inventory.Header{Handle: igniter}},
		}}
		for _, v := range findings {
			m.List = append(m.List, Finding{Verdict: v})
		}
		m.Worst = m.Verdict()
		return m
	}
	want := []Match{
		match("a", "in-box", "n", Go, Go),
		match("a", "b", "n", Go),
		match("a", "c", "m", Go),
		match("a", "c", "n", Go),
		match("b", "b", "n", Go),
		match("a", "in-box", "n", Caution, Caution),
		match("a", "b", "n", Caution),
		match("a", "b", "n", Caution, Caution),
		match("a", "b", "n", Unknown),
		match("a", "in-box", "n", NoGo),
		match("a", "b", "n", NoGo, Go),
	}
	names := func(list []Match) string {
		var b strings.Builder
		for _, m := range list {
			b.WriteString(m.Motor.Handle + "/" + m.NozzleName() + "/" + m.Igniter.Handle + ":" + m.Worst.String() + strconv.Itoa(len(m.List)) + " ")
		}
		return b.String()
	}
	inBox := func(m *Match) bool { return m.Igniter.Handle == "in-box" }
	for turn := range want {
		list := append(append([]Match(nil), want[turn:]...), want[:turn]...)
		for i, j := 0, len(list)-1; i < j; i, j = i+1, j-1 {
			list[i], list[j] = list[j], list[i]
		}
		SortMatches(list, inBox)
		if names(list) != names(want) {
			t.Fatalf("turned by %d:\n%s\nnot\n%s", turn, names(list), names(want))
		}
	}
}

func TestMakeChart(t *testing.T) {
	wide := newScene(t, basePair, "igniter.handle=fat igniter.head_mm=4")
	s := newScene(t, basePair, "motor.two.throat_mm=2.1mm")
	bare := &inventory.Motor{Header: inventory.Header{Handle: "bare"}}
	chart := MakeChart(&FitQuestion{}, []*inventory.Motor{&s.motor, bare}, []*inventory.Igniter{&s.igniter, &wide.igniter}, Defaults())
	want := []ChartRow{{&s.motor, "main", "gn"}, {&s.motor, "two", "cn"}, {bare, "", "uu"}}
	if len(chart.Rows) != len(want) {
		t.Fatalf("%d rows", len(chart.Rows))
	}
	for i, row := range chart.Rows {
		if row != want[i] {
			t.Errorf("%s %s %s, not %s", row.Motor.Handle, row.Nozzle, row.Verdicts, want[i].Verdicts)
		}
	}
}
