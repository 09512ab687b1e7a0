package compat

import (
	"testing"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// TestOutputThatIsNotNamed: where the outputs of a controller differ from it, a
// line that names none is unknown, never judged by the bare controller (ours: no
// quiet go).
func TestOutputThatIsNotNamed(t *testing.T) {
	c := newScene(t, baseCircuit, "").circuit(t)
	limit := quantity.Some(quantity.Current(200_000))
	c.Controller.Outputs = []inventory.Output{{Name: "m", Electrics: inventory.Electrics{Limit: limit}}}
	var f Findings
	firingCurrent(c, Defaults(), &f)
	if got := f.List[0]; got.Verdict != Unknown || !got.Missing.Has(factController) {
		t.Errorf("without an output: %v, missing %v", got.Verdict, got.Missing)
	}
	named := &Circuit{Line: c.Line, Battery: c.Battery, Controller: c.Controller, Groups: c.Groups}
	named.Line.Output = "m"
	f.Reset()
	firingCurrent(named, Defaults(), &f)
	if got := f.List[0]; got.Verdict != NoGo || got.Value.Steps != 200_000 {
		t.Errorf("with it: %v, %v", got.Verdict, got.Value)
	}
}
