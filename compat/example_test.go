package compat_test

import (
	"fmt"

	"rangebox/compat"
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// Will this igniter pass this throat and light this propellant? No store is
// needed: records are values.
func ExampleCheckPair() {
	motor := &inventory.Motor{Propellant: inventory.Composite}
	motor.PropellantMass = quantity.Some(quantity.Mass(12_500_000_000)) // ng
	motor.Core = quantity.Some(quantity.Length(60_000_000))             // nm
	throat, _ := quantity.Millimetre.Parse("3/32in")
	motor.Nozzles = []inventory.Nozzle{{Throat: quantity.Some(throat)}}

	igniter := &inventory.Igniter{Header: inventory.Header{Handle: "thin"}, Output: inventory.Medium}
	head, _ := quantity.Millimetre.Parse("2.3mm")
	igniter.Head = quantity.Some(head)

	var findings compat.Findings
	compat.CheckPair(&compat.Pair{Motor: motor, Nozzle: &motor.Nozzles[0], Igniter: igniter}, compat.Defaults(), &findings)
	for _, f := range findings.List {
		fmt.Printf("%s: %s, %s (%s)\n", f.Rule, f.Verdict, f.Why(quantity.Metric), f.Source())
	}
	for _, n := range findings.NotChecked {
		fmt.Printf("%s: not checked for want of %s\n", n.Rule, n.Missing)
	}
	fmt.Println(findings.Verdict())
	// Output:
	// throat-clearance: caution, only 0.081 mm to spare; 0.2 mm is asked (common practice)
	// ignition-energy: go, medium output; medium is asked (common practice)
	// throat-clearance: not checked for want of lead_pair_mm
	// caution
}

// Will this line fire three of them, on a bad day? The worn battery was not
// measured, and the answer says so.
func ExampleCheckLine() {
	volts := func(v float64) quantity.Opt[quantity.Voltage] { return quantity.Some(quantity.Voltage(v * 1e6)) }
	ohms := func(r float64) quantity.Opt[quantity.Resistance] {
		return quantity.Some(quantity.Resistance(r * 1e6))
	}
	line := &inventory.Line{Lead: quantity.Some(quantity.Length(10e9)), Contact: ohms(0.1)}
	line.LeadWire.Gauge = quantity.Some(quantity.Gauge(18))
	battery := &inventory.Battery{OpenCircuit: volts(12.6), LowV: volts(12), Internal: ohms(0.03)}
	controller := &inventory.Controller{}
	controller.On = ohms(0.05)
	igniter := &inventory.Igniter{Header: inventory.Header{Handle: "wick"}, Bridge: ohms(1.0)}
	igniter.BridgeTolerance = quantity.Some(quantity.Percent(10 * 10_000))
	igniter.BridgeIncludesLeads = quantity.Some(true)
	igniter.AllFire = quantity.Some(quantity.Current(1_600_000))

	report := compat.CheckLine(&compat.Circuit{
		Line: line, Battery: battery, Controller: controller,
		Groups: []compat.Group{{Igniter: igniter, Count: 3}},
	}, compat.Defaults())
	worst, _ := report.Groups[0].Worst.Get()
	fmt.Printf("%.3f A each on a bad day\n", worst.Amps())
	for _, f := range report.List {
		fmt.Printf("%s: %s, assumed: %s\n", f.Rule, f.Verdict, f.Assumed)
	}
	most, _ := report.MostIgniters.Get()
	fmt.Println("up to", most, "igniters hold the margin")
	// Output:
	// 3.922 A each on a bad day
	// firing-current: go, assumed: aged_internal_ohm
	// cluster-firing: go, assumed: aged_internal_ohm
	// up to 5 igniters hold the margin
}
