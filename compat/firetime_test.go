package compat

import "testing"

// K / I^2 = 0.64 / 64 = 10 ms.
const adiabatic = "igniter.firing_impulse_a2s=0.64 igniter.no_fire_a= "

var timeRows = []row{
	{name: "no firing impulse", set: "controller.pulse_s=1", silent: true, skipped: "firing_impulse_a2s", from: fromKept},
	{name: "no pulse", set: adiabatic, silent: true, skipped: "pulse_s", from: fromKept},
	{name: "no controller", set: adiabatic + "controller=none", silent: true, from: fromKept},
	{name: "a capacitor has no pulse", set: adiabatic + capacitor + "controller.pulse_s=1", silent: true, from: fromKept},
	{name: "just within half the pulse", set: adiabatic + "controller.pulse_s=0.020002", verdict: Go, reason: timeEnough, value: "10ms", limit: "10.001ms", from: fromOurs},
	{name: "half the pulse", set: adiabatic + "controller.pulse_s=0.02", verdict: Go, reason: timeEnough, value: "10ms", limit: "10ms", from: fromOurs},
	{name: "just over half the pulse", set: adiabatic + "controller.pulse_s=0.019999", verdict: Caution, reason: timeThin, value: "10ms", limit: "9.999ms", from: fromOurs},
	{name: "the whole pulse", set: adiabatic + "controller.pulse_s=0.01", verdict: Caution, reason: timeThin, value: "10ms", limit: "5ms", from: fromOurs},
	{name: "just over the pulse", set: adiabatic + "controller.pulse_s=0.009999", verdict: NoGo, reason: timeShort, value: "10ms", limit: "4.999ms", from: fromOurs},
	// -(K/Inf^2) ln(1 - (Inf/I)^2) = 0.04 x ln(4/3).
	{name: "with no-fire known it takes longer", set: adiabatic + "igniter.no_fire_a=4 controller.pulse_s=1", verdict: Go, reason: timeEnough, value: "11.507ms", limit: "500ms", from: fromWork},
	{name: "at no-fire it never fires", set: adiabatic + "igniter.no_fire_a=8 igniter.all_fire_a=9 controller.pulse_s=1", verdict: NoGo, reason: timeNever, limit: "500ms", from: fromWork},
	{name: "it never fires at a bound", set: adiabatic + "igniter.no_fire_a=8 igniter.all_fire_a=9 controller.pulse_s=1 controller.on_ohm=", verdict: Unknown, reason: timeNever, limit: "500ms", assumed: "on_ohm", missing: "on_ohm", from: fromBounds},
	{name: "the output's own pulse", set: adiabatic + "controller.pulse_s=1 controller.first.pulse_s=0.01 line.output=first", verdict: Caution, reason: timeThin, value: "10ms", limit: "5ms", from: fromOurs},
	{name: "contact at its bound passes", set: adiabatic + "controller.pulse_s=1 line.contact_ohm=", verdict: Go, reason: timeEnough, value: "11.378ms", limit: "500ms", assumed: "contact_ohm", from: fromBounds},
	{name: "contact at its bound fails", set: adiabatic + "controller.pulse_s=0.011 line.contact_ohm=", verdict: Unknown, reason: timeShort, value: "11.378ms", limit: "5.5ms", assumed: "contact_ohm", missing: "contact_ohm", from: fromBounds},
	{name: "no bridge", set: adiabatic + "controller.pulse_s=1 igniter.bridge_ohm=", verdict: Unknown, reason: cannotJudge, missing: "bridge_ohm", from: fromKept},
	{name: "a battery read below its low voltage", set: adiabatic + "controller.pulse_s=1 battery.open_circuit_v=11", verdict: Unknown, reason: contradicts, from: fromKept},
}

func TestTimeToFire(t *testing.T) { checkCircuitRows(t, TimeToFire, timeRows) }
