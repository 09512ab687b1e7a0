package compat

import (
	"testing"

	"rangebox/inventory"
)

var energyRows = []row{
	{name: "black powder, low", verdict: Go, reason: heatMeets, value: "low", limit: "low", from: fromPractice},
	{name: "black powder, one level above", set: "igniter.output=medium", verdict: Go, reason: heatMeets, value: "medium", limit: "low", from: fromPractice},
	{name: "black powder, two levels above", set: "igniter.output=high", verdict: Caution, reason: heatFarAbove, value: "high", limit: "low", from: fromPractice},
	{name: "black powder that asks for medium", set: "motor.ignition=medium igniter.output=high", verdict: Go, reason: heatMeets, value: "high", limit: "medium", from: fromPractice},
	{name: "black powder under a recorded demand", set: "motor.ignition=medium", verdict: NoGo, reason: heatUnder, value: "low", limit: "medium", from: fromPractice},

	{name: "composite, medium", set: "motor.propellant=composite motor.core_mm=80mm igniter.output=medium", verdict: Go, reason: heatMeets, value: "medium", limit: "medium", from: fromPractice},
	{name: "composite, low", set: "motor.propellant=composite motor.core_mm=80mm", verdict: NoGo, reason: heatLowComposite, value: "low", limit: "medium", from: fromPractice},
	{name: "composite, low, though it asks for low", set: "motor.propellant=composite motor.ignition=low", verdict: NoGo, reason: heatLowComposite, value: "low", limit: "low", from: fromPractice},
	{name: "composite under a recorded demand", set: "motor.propellant=composite motor.ignition=high igniter.output=medium", verdict: NoGo, reason: heatUnder, value: "medium", limit: "high", from: fromPractice},
	{name: "core just under 250 mm", set: "motor.propellant=composite motor.core_mm=249.999999mm igniter.output=medium", verdict: Go, reason: heatMeets, value: "medium", limit: "medium", from: fromPractice},
	{name: "core of 250 mm", set: "motor.propellant=composite motor.core_mm=250mm igniter.output=medium", verdict: Caution, reason: heatUnderInferred, value: "medium", limit: "high", from: fromPractice},
	{name: "core just above 250 mm", set: "motor.propellant=composite motor.core_mm=250.000001mm igniter.output=medium", verdict: Caution, reason: heatUnderInferred, value: "medium", limit: "high", from: fromPractice},
	{name: "core of 250 mm, high", set: "motor.propellant=composite motor.core_mm=250mm igniter.output=high", verdict: Go, reason: heatMeets, value: "high", limit: "high", from: fromPractice},
	{name: "a recorded demand goes before the core", set: "motor.propellant=composite motor.core_mm=400mm motor.ignition=medium igniter.output=medium", verdict: Go, reason: heatMeets, value: "medium", limit: "medium", from: fromPractice},

	{name: "high just under 60 g", set: "motor.propellant=composite motor.core_mm=80mm motor.propellant_g=59.999g igniter.output=high", verdict: Caution, reason: heatSmallComposite, value: "high", limit: "medium", from: fromPractice},
	{name: "high at 60 g", set: "motor.propellant=composite motor.core_mm=80mm motor.propellant_g=60g igniter.output=high", verdict: Go, reason: heatMeets, value: "high", limit: "medium", from: fromPractice},
	{name: "high above 60 g", set: "motor.propellant=composite motor.core_mm=80mm motor.propellant_g=60.001g igniter.output=high", verdict: Go, reason: heatMeets, value: "high", limit: "medium", from: fromPractice},
	{name: "high under 60 g that asks for it", set: "motor.propellant=composite motor.propellant_g=20g motor.ignition=high igniter.output=high", verdict: Go, reason: heatMeets, value: "high", limit: "high", from: fromPractice},
	{name: "high under 60 g with a long core", set: "motor.propellant=composite motor.propellant_g=20g motor.core_mm=250mm igniter.output=high", verdict: Go, reason: heatMeets, value: "high", limit: "high", from: fromPractice},
	{name: "high on a composite of unknown mass", set: "motor.propellant=composite motor.core_mm=80mm igniter.output=high", verdict: Caution, reason: heatSmallComposite, value: "high", limit: "medium", assumed: "propellant_g", from: fromKept},

	{name: "the igniter that comes with the motor", set: "motor.igniter_supplied=wick motor.propellant=composite", verdict: Go, reason: heatSupplied, from: fromPractice},
	{name: "the same without any output", set: "motor.igniter_supplied=wick motor.propellant= igniter.output=", verdict: Go, reason: heatSupplied, from: fromPractice},
	{name: "another comes with the motor", set: "motor.igniter_supplied=fuse motor.propellant=composite", verdict: NoGo, reason: heatLowComposite, value: "low", limit: "medium", from: fromPractice},

	{name: "other propellant", set: "motor.propellant=hybrid", verdict: Unknown, reason: cannotJudge, missing: "propellant", from: fromKept},
	{name: "other propellant whose demand is recorded", set: "motor.propellant=hybrid motor.ignition=low", verdict: Go, reason: heatMeets, value: "low", limit: "low", from: fromPractice},
	{name: "other propellant under its demand", set: "motor.propellant=hybrid motor.ignition=high", verdict: NoGo, reason: heatUnder, value: "low", limit: "high", from: fromPractice},
	{name: "no propellant", set: "motor.propellant=", verdict: Unknown, reason: cannotJudge, missing: "propellant", from: fromKept},
	{name: "no output", set: "igniter.output=", verdict: Unknown, reason: cannotJudge, missing: "output", from: fromKept},
	{name: "neither", set: "igniter.output= motor.propellant=", verdict: Unknown, reason: cannotJudge, missing: "output, propellant", from: fromKept},

	{name: "core not known", set: "motor.propellant=composite igniter.output=medium", verdict: Go, reason: heatMeets, value: "medium", limit: "medium", skipped: "core_mm", from: fromKept},
	{name: "core not known of a short motor", set: "motor.propellant=composite motor.length_mm=249mm igniter.output=medium", verdict: Go, reason: heatMeets, value: "medium", limit: "medium", from: fromKept},
	{name: "core not known of a motor of 250 mm", set: "motor.propellant=composite motor.length_mm=250mm igniter.output=medium", verdict: Go, reason: heatMeets, value: "medium", limit: "medium", skipped: "core_mm", from: fromKept},
	{name: "core not known, output high", set: "motor.propellant=composite motor.propellant_g=90g igniter.output=high", verdict: Go, reason: heatMeets, value: "high", limit: "medium", from: fromKept},
}

func TestIgnitionEnergy(t *testing.T) { checkPairRows(t, IgnitionEnergy, energyRows) }

// TestSuppliedIgniter: the reference may hold a handle, an id, or both.
func TestSuppliedIgniter(t *testing.T) {
	mine, other := inventory.DerivedID(inventory.KindIgniter, "wick"), inventory.DerivedID(inventory.KindIgniter, "fuse")
	for _, row := range []struct {
		ref  inventory.Ref
		want bool
	}{
		{inventory.Ref{}, false},
		{inventory.Ref{Handle: "wick"}, true},
		{inventory.Ref{Handle: "fuse"}, false},
		{inventory.Ref{ID: mine}, true},
		{inventory.Ref{ID: other}, false},
		{inventory.Ref{ID: mine, Handle: "wick"}, true},
		{inventory.Ref{ID: other, Handle: "fuse"}, false},
	} {
		s := newScene(t, basePair)
		s.igniter.ID, s.motor.IgniterSupplied = mine, row.ref
		if got := s.pair(t).supplied(); got != row.want {
			t.Errorf("%+v: %v", row.ref, got)
		}
	}
	// Two records without a name are not the same igniter.
	if (&Pair{Motor: &inventory.Motor{}, Igniter: &inventory.Igniter{}}).supplied() {
		t.Error("nothing comes with the motor, and is it")
	}
}

// TestInferredDemandIsNeverNoGo: a rule that stands on an inferred demand goes
// no further than caution, low output on composite apart.
func TestInferredDemandIsNeverNoGo(t *testing.T) {
	for _, propellant := range []string{"black-powder", "composite", "hybrid", ""} {
		for _, core := range []string{"", "80mm", "300mm"} {
			for _, output := range []string{"low", "medium", "high", ""} {
				words := "motor.propellant=" + propellant + " motor.core_mm=" + core + " igniter.output=" + output
				var f Findings
				ignitionEnergy(newScene(t, basePair, words).pair(t), Defaults(), &f)
				low := propellant == "composite" && output == "low"
				if (f.List[0].Verdict == NoGo) != low {
					t.Errorf("%s: %s", words, f.List[0].Verdict)
				}
			}
		}
	}
}
