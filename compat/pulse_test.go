package compat

import "testing"

// A fresh battery gives 8 A.
var batteryPulseRows = []row{
	{name: "no rating", silent: true, skipped: "pulse_a", from: fromKept},
	{name: "no controller", set: "controller=none battery.pulse_a=10", silent: true, from: fromKept},
	{name: "just below 0.8 x", set: "battery.pulse_a=10.000002", verdict: Go, reason: pulseWithin, value: "8A", limit: "8.000001A", from: fromOurs},
	{name: "at 0.8 x", set: "battery.pulse_a=10", verdict: Go, reason: pulseWithin, value: "8A", limit: "8A", from: fromOurs},
	{name: "just above 0.8 x", set: "battery.pulse_a=9.999999", verdict: Caution, reason: pulseNear, value: "8A", limit: "7.999999A", from: fromOurs},
	{name: "at the rating", set: "battery.pulse_a=8", verdict: Caution, reason: pulseNear, value: "8A", limit: "6.4A", from: fromOurs},
	{name: "just above the rating", set: "battery.pulse_a=7.999999", verdict: NoGo, reason: pulseAbove, value: "8A", limit: "6.399999A", from: fromOurs},
	{name: "the fresh battery counts", set: "battery.pulse_a=10 battery.open_circuit_v=15", verdict: Caution, reason: pulseNear, value: "10A", limit: "8A", from: fromWork},
	{name: "the fresh resistance counts", set: "battery.pulse_a=10 battery.aged_internal_ohm=9", verdict: Go, reason: pulseWithin, value: "8A", limit: "8A", from: fromWork},
	{name: "the lower tolerance counts", set: "battery.pulse_a=20 igniter.bridge_tol_pct=30", verdict: Go, reason: pulseWithin, value: "10A", limit: "16A", from: fromWork},
	{name: "a missing contact counts as nothing", set: "battery.pulse_a=20 line.contact_ohm=", verdict: Go, reason: pulseWithin, value: "8.571429A", limit: "16A", assumed: "contact_ohm", from: fromBounds},
	{name: "at a bound it fails", set: "battery.pulse_a=8 line.contact_ohm=", verdict: Unknown, reason: pulseAbove, value: "8.571429A", limit: "6.4A", assumed: "contact_ohm", missing: "contact_ohm", from: fromBounds},
	{name: "the worn resistance does not matter", set: "battery.pulse_a=7 battery.aged_internal_ohm=", verdict: NoGo, reason: pulseAbove, value: "8A", limit: "5.6A", from: fromKept},
	{name: "no open-circuit voltage", set: "battery.pulse_a=10 battery.open_circuit_v=", verdict: Unknown, reason: cannotJudge, missing: "open_circuit_v", from: fromKept},
	{name: "a battery read below its low voltage", set: "battery.pulse_a=10 battery.open_circuit_v=11", verdict: Unknown, reason: contradicts, from: fromKept},
	{name: "a capacitor asks nothing of the battery", set: capacitor + "battery.pulse_a=1", silent: true, from: fromKept},
}

var outputRows = []row{
	{name: "no rating", silent: true, skipped: "max_a", from: fromKept},
	{name: "just under what it stands", set: "controller.max_a=8.000001", verdict: Go, reason: outputWithin, value: "8A", limit: "8.000001A", from: fromOurs},
	{name: "at what it stands", set: "controller.max_a=8", verdict: Caution, reason: outputNear, value: "8A", limit: "8A", from: fromOurs},
	{name: "just above what it stands", set: "controller.max_a=7.999999", verdict: NoGo, reason: outputAbove, value: "8A", limit: "7.999999A", from: fromOurs},
	{name: "the output's own figure", set: "controller.max_a=20 controller.first.max_a=7 line.output=first", verdict: NoGo, reason: outputAbove, value: "8A", limit: "7A", from: fromOurs},
	{name: "a current limit protects it", set: "controller.max_a=6 controller.limit_a=5", verdict: Go, reason: outputWithin, value: "5A", limit: "6A", from: fromWork},
	{name: "a capacitor's peak", set: capacitor + "controller.max_a=7", verdict: NoGo, reason: outputAbove, value: "8A", limit: "7A", from: fromWork},
	{name: "at a bound it fails", set: "controller.max_a=8 controller.on_ohm=", verdict: Unknown, reason: outputAbove, value: "9.230769A", limit: "8A", assumed: "on_ohm", missing: "on_ohm", from: fromBounds},
	{name: "no battery", set: "battery=none controller.max_a=8", verdict: Unknown, reason: cannotJudge, missing: "battery", from: fromKept},
}

func TestBatteryPulse(t *testing.T) {
	for _, of := range []struct {
		subject string
		rows    []row
	}{{"cells", batteryPulseRows}, {"box", outputRows}} {
		rows := append([]row(nil), of.rows...)
		for i := range rows {
			rows[i].subject = of.subject
		}
		t.Run(of.subject, func(t *testing.T) { checkCircuitRows(t, BatteryPulse, rows) })
	}
}
