package compat

import "testing"

// 8 A from 12 V behind 0.2 ohm: 10.4 V. With an igniter shorted 24 A and 7.2 V;
// a limit of 8 A keeps that at 10.4 V too.
const (
	shared  = "controller.supply=shared "
	limited = shared + "controller.limit_a=8 "
)

var supplyRows = []row{
	{name: "own supply", set: "controller.supply=own controller.brownout_v=5", silent: true, from: fromKept},
	{name: "on board and not known", set: "controller.place=onboard", silent: true, skipped: "supply", from: fromKept},
	{name: "on the pad and not known", set: "controller.place=pad", silent: true, from: fromKept},
	{name: "no controller", set: "controller=none", silent: true, from: fromKept},
	{name: "a capacitor fires", set: shared + capacitor + "controller.brownout_v=5", silent: true, from: fromKept},
	{name: "no brown-out", set: shared, silent: true, skipped: "brownout_v", from: fromKept},

	{name: "just above 1.2 x", set: limited + "controller.brownout_v=8.666665", verdict: Go, reason: supplyHolds, value: "10.4V", limit: "10.399998V", from: fromOurs},
	{name: "at 1.2 x, rounded up to the step", set: limited + "controller.brownout_v=8.666666", verdict: Go, reason: supplyHolds, value: "10.4V", limit: "10.4V", from: fromOurs},
	{name: "just below 1.2 x", set: limited + "controller.brownout_v=8.666667", verdict: Caution, reason: supplyThin, value: "10.4V", limit: "10.400001V", from: fromOurs},
	{name: "at brown-out", set: limited + "controller.brownout_v=10.4", verdict: Caution, reason: supplyThin, value: "10.4V", limit: "12.48V", from: fromOurs},
	{name: "at brown-out, hold-up shorter", set: limited + "controller.brownout_v=10.4 controller.pulse_s=0.2 controller.holdup_s=0.1", verdict: Caution, reason: supplyThin, value: "10.4V", limit: "12.48V", from: fromOurs},
	{name: "just below brown-out, hold-up not known", set: limited + "controller.brownout_v=10.400001", verdict: Unknown, reason: supplyUnbridged, value: "10.4V", limit: "12.480002V", missing: "holdup_s", from: fromOurs},
	{name: "just below brown-out, hold-up shorter", set: limited + "controller.brownout_v=10.400001 controller.pulse_s=0.2 controller.holdup_s=0.199999", verdict: NoGo, reason: supplyFails, value: "10.4V", limit: "12.480002V", from: fromOurs},
	{name: "hold-up as long as the pulse", set: limited + "controller.brownout_v=10.400001 controller.pulse_s=0.2 controller.holdup_s=0.2", verdict: Go, reason: supplyBridged, value: "10.4V", limit: "12.480002V", from: fromOurs},
	{name: "hold-up longer than the pulse", set: limited + "controller.brownout_v=10.400001 controller.pulse_s=0.2 controller.holdup_s=0.200001", verdict: Go, reason: supplyBridged, value: "10.4V", limit: "12.480002V", from: fromOurs},
	{name: "an output that stays on outlasts any hold-up", set: limited + "controller.brownout_v=10.400001 controller.holdup_s=9", verdict: NoGo, reason: supplyFails, value: "10.4V", limit: "12.480002V", from: fromOurs},

	{name: "a shorted igniter at brown-out", set: shared + "controller.brownout_v=7.2", verdict: Go, reason: supplyHolds, value: "10.4V", limit: "8.64V", from: fromOurs},
	{name: "a shorted igniter takes it below", set: shared + "controller.brownout_v=7.200001", verdict: Caution, reason: supplyShorted, value: "10.4V", limit: "8.640002V", from: fromOurs},
	{name: "a shorted igniter, bridged", set: shared + "controller.brownout_v=7.200001 controller.pulse_s=0.2 controller.holdup_s=0.2", verdict: Go, reason: supplyBridged, value: "10.4V", limit: "8.640002V", from: fromOurs},

	{name: "the worn resistance and the low voltage count", set: limited + "battery.open_circuit_v=14 battery.internal_ohm=0.1 controller.brownout_v=5", verdict: Go, reason: supplyHolds, value: "10.4V", limit: "6V", from: fromWork},
	{name: "the lower tolerance counts", set: shared + "igniter.bridge_tol_pct=50 controller.brownout_v=7.000001", verdict: Go, reason: supplyHolds, value: "9.6V", limit: "8.400002V", from: fromWork},
	{name: "missing resistances count as nothing", set: shared + "line.contact_ohm= controller.on_ohm= controller.brownout_v=1", verdict: Caution, reason: supplyShorted, value: "10V", limit: "1.2V", assumed: "on_ohm, contact_ohm", from: fromBounds},
	{name: "at bounds it fails", set: shared + "line.contact_ohm= controller.on_ohm= controller.brownout_v=10.000001 controller.holdup_s=0.1", verdict: Unknown, reason: supplyFails, value: "10V", limit: "12.000002V", assumed: "on_ohm, contact_ohm", missing: "on_ohm, contact_ohm", from: fromBounds},
	{name: "worn resistance at its bound fails", set: limited + "battery.aged_internal_ohm= controller.brownout_v=10 controller.holdup_s=0", verdict: Unknown, reason: supplyFails, value: "9.75V", limit: "12V", assumed: "aged_internal_ohm", missing: "aged_internal_ohm", from: fromBounds},
	{name: "no low voltage, but bridged", set: shared + "controller.brownout_v=5 battery.low_v= controller.pulse_s=0.2 controller.holdup_s=0.2", verdict: Go, reason: supplyOutlasted, from: fromOurs},
	{name: "no low voltage", set: shared + "controller.brownout_v=5 battery.low_v=", verdict: Unknown, reason: cannotJudge, missing: "low_v", from: fromKept},
	{name: "a battery read below its low voltage", set: shared + "controller.brownout_v=5 battery.open_circuit_v=11", verdict: Unknown, reason: contradicts, from: fromKept},
}

func TestSupplyVoltage(t *testing.T) { checkCircuitRows(t, SupplyVoltage, supplyRows) }
