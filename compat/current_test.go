package compat

import "testing"

// 12 V over 0.2 + 0.2 + 0.1 + 1.0 ohm: 8 A.
var currentRows = []row{
	{name: "well above", verdict: Go, reason: fires, value: "8A", limit: "1.5A", from: fromFiring},
	{name: "just above 150 %", set: "igniter.all_fire_a=5.333332", verdict: Go, reason: fires, value: "8A", limit: "7.999998A", from: fromFiring},
	{name: "at 150 %, rounded up to the step", set: "igniter.all_fire_a=5.333333", verdict: Go, reason: fires, value: "8A", limit: "8A", from: fromFiring},
	{name: "just below 150 %", set: "igniter.all_fire_a=5.333334", verdict: Caution, reason: firesThinly, value: "8A", limit: "8.000001A", from: fromFiring},
	{name: "just above all-fire", set: "igniter.all_fire_a=7.999999", verdict: Caution, reason: firesThinly, value: "8A", limit: "11.999999A", from: fromFiring},
	{name: "at all-fire", set: "igniter.all_fire_a=8", verdict: Caution, reason: firesThinly, value: "8A", limit: "12A", from: fromFiring},
	{name: "just below all-fire", set: "igniter.all_fire_a=8.000001", verdict: NoGo, reason: firesNot, value: "8A", limit: "12.000002A", from: fromFiring},

	{name: "at the recommended current", set: "igniter.all_fire_a= igniter.recommended_a=8", verdict: Go, reason: firesRecommended, value: "8A", limit: "8A", from: fromOurs},
	{name: "just above it", set: "igniter.all_fire_a= igniter.recommended_a=7.999999", verdict: Go, reason: firesRecommended, value: "8A", limit: "7.999999A", from: fromOurs},
	{name: "just below it", set: "igniter.all_fire_a= igniter.recommended_a=8.000001", verdict: Unknown, reason: firesBelowRecommended, value: "8A", limit: "8.000001A", missing: "all_fire_a", from: fromOurs},
	{name: "all-fire goes before the recommended current", set: "igniter.all_fire_a=5 igniter.recommended_a=9", verdict: Go, reason: fires, value: "8A", limit: "7.5A", from: fromOurs},

	{name: "the low voltage counts", set: "battery.open_circuit_v=15", verdict: Go, reason: fires, value: "8A", limit: "1.5A", from: fromFiring},
	{name: "the worn resistance counts", set: "battery.aged_internal_ohm=0.7", verdict: Go, reason: fires, value: "6A", limit: "1.5A", from: fromWork},
	{name: "the upper tolerance counts", set: "igniter.bridge_tol_pct=50", verdict: Go, reason: fires, value: "6A", limit: "1.5A", from: fromWork},
	{name: "a fixed drop", set: "controller.drop_v=3", verdict: Go, reason: fires, value: "6A", limit: "1.5A", from: fromWork},
	{name: "a current limit", set: "controller.limit_a=5", verdict: Go, reason: fires, value: "5A", limit: "1.5A", from: fromWork},
	{name: "a firing lead at 40 C", set: "line.lead_m=10 line.lead_ohm_per_m=0.01", verdict: Go, reason: fires, value: "6.994148A", limit: "1.5A", from: fromWork},
	{name: "a firing lead at 20 C", set: "line.lead_m=10 line.lead_ohm_per_m=0.01 line.hot_c=20", verdict: Go, reason: fires, value: "7.058824A", limit: "1.5A", from: fromWork},
	{name: "own leads, where the bridge does not include them", set: "igniter.bridge_includes_leads=no igniter.lead_mm=1000 igniter.lead_ohm_per_m=0.25 line.hot_c=20", verdict: Go, reason: fires, value: "6A", limit: "1.5A", from: fromWork},
	{name: "a splice and its contact", set: "splice=1000mm igniter.lead_ohm_per_m=0.2 line.hot_c=20", verdict: Go, reason: fires, value: "6A", limit: "1.5A", from: fromWork},
	{name: "a firing lead by its cross-section", set: "line.lead_m=1 line.lead_mm2=0.17241 line.hot_c=20", verdict: Go, reason: fires, value: "7.058824A", limit: "1.5A", from: fromWork},
	{name: "the output's own figures", set: "controller.first.on_ohm=0.7 line.output=first", verdict: Go, reason: fires, value: "6A", limit: "1.5A", from: fromWork},

	{name: "contact at its bound passes", set: "line.contact_ohm= igniter.all_fire_a=5", verdict: Go, reason: fires, value: "7.5A", limit: "7.5A", assumed: "contact_ohm", from: fromBounds},
	{name: "contact at its bound is thin", set: "line.contact_ohm= igniter.all_fire_a=7.5", verdict: Caution, reason: firesThinly, value: "7.5A", limit: "11.25A", assumed: "contact_ohm", from: fromBounds},
	{name: "contact at its bound fails", set: "line.contact_ohm= igniter.all_fire_a=7.500001", verdict: Unknown, reason: firesNot, value: "7.5A", limit: "11.250002A", assumed: "contact_ohm", missing: "contact_ohm", from: fromBounds},
	{name: "controller at its bound passes", set: "controller.on_ohm=", verdict: Go, reason: fires, value: "8A", limit: "1.5A", assumed: "on_ohm", from: fromBounds},
	{name: "controller at its bound fails", set: "controller.on_ohm= igniter.all_fire_a=8.000001", verdict: Unknown, reason: firesNot, value: "8A", limit: "12.000002A", assumed: "on_ohm", missing: "on_ohm", from: fromBounds},
	{name: "tolerance at its bound passes", set: "igniter.bridge_tol_pct=", verdict: Go, reason: fires, value: "6.857143A", limit: "1.5A", assumed: "bridge_tol_pct", from: fromBounds},
	{name: "tolerance at its bound fails", set: "igniter.bridge_tol_pct= igniter.all_fire_a=6.857144", verdict: Unknown, reason: firesNot, value: "6.857143A", limit: "10.285716A", assumed: "bridge_tol_pct", missing: "bridge_tol_pct", from: fromBounds},
	{name: "worn resistance at its bound passes", set: "battery.aged_internal_ohm=", verdict: Go, reason: fires, value: "7.5A", limit: "1.5A", assumed: "aged_internal_ohm", from: fromBounds},
	{name: "worn resistance at its bound fails", set: "battery.aged_internal_ohm= igniter.all_fire_a=7.500001", verdict: Unknown, reason: firesNot, value: "7.5A", limit: "11.250002A", assumed: "aged_internal_ohm", missing: "aged_internal_ohm", from: fromBounds},
	{name: "all bounds together", set: "line.contact_ohm= controller.on_ohm= igniter.bridge_tol_pct= battery.aged_internal_ohm=", verdict: Go, reason: fires, value: "6.153846A", limit: "1.5A", assumed: "bridge_tol_pct, aged_internal_ohm, on_ohm, contact_ohm", from: fromBounds},
	{name: "below the recommended current at a bound", set: "line.contact_ohm= igniter.all_fire_a= igniter.recommended_a=7.500001", verdict: Unknown, reason: firesBelowRecommended, value: "7.5A", limit: "7.500001A", assumed: "contact_ohm", missing: "all_fire_a", from: fromBounds},

	{name: "no all-fire", set: "igniter.all_fire_a=", verdict: Unknown, reason: cannotJudge, missing: "all_fire_a", from: fromKept},
	{name: "no bridge", set: "igniter.bridge_ohm=", verdict: Unknown, reason: cannotJudge, missing: "bridge_ohm", from: fromKept},
	{name: "no own lead", set: "igniter.bridge_includes_leads= igniter.lead_awg=24", verdict: Unknown, reason: cannotJudge, missing: "lead_mm", from: fromKept},
	{name: "no own wire", set: "igniter.bridge_includes_leads= igniter.lead_mm=300", verdict: Unknown, reason: cannotJudge, missing: "lead_awg", from: fromKept},
	{name: "no wire for the splice", set: "splice=100mm", verdict: Unknown, reason: cannotJudge, missing: "splice_awg", from: fromKept},
	{name: "a gauge for the splice", set: "splice=1000mm splice_awg=24 line.hot_c=20", verdict: Go, reason: fires, value: "6.785694A", limit: "1.5A", from: fromWork},
	{name: "no battery", set: "battery=none", verdict: Unknown, reason: cannotJudge, missing: "battery", from: fromKept},
	{name: "no low voltage", set: "battery.low_v=", verdict: Unknown, reason: cannotJudge, missing: "low_v", from: fromKept},
	{name: "no open-circuit voltage does not matter", set: "battery.open_circuit_v=", verdict: Go, reason: fires, value: "8A", limit: "1.5A", from: fromKept},
	{name: "no internal resistance, but the worn one", set: "battery.internal_ohm=", verdict: Go, reason: fires, value: "8A", limit: "1.5A", from: fromKept},
	{name: "no internal resistance at all", set: "battery.internal_ohm= battery.aged_internal_ohm=", verdict: Unknown, reason: cannotJudge, missing: "internal_ohm", from: fromKept},
	{name: "no controller", set: "controller=none", verdict: Unknown, reason: cannotJudge, missing: "controller", from: fromKept},
	{name: "no firing lead", set: "line.lead_m=", verdict: Unknown, reason: cannotJudge, missing: "lead_m, lead_awg of the line", from: fromKept},
	{name: "no wire of the firing lead", set: "line.lead_m=10", verdict: Unknown, reason: cannotJudge, missing: "lead_awg of the line", from: fromKept},
	{name: "nothing recorded", set: "splice=100mm battery=none controller=none igniter.all_fire_a= igniter.bridge_ohm= igniter.bridge_includes_leads= line.lead_m= line.contact_ohm=", verdict: Unknown, reason: cannotJudge, missing: "lead_mm, lead_awg, all_fire_a, bridge_ohm, battery, controller, lead_m, lead_awg of the line, splice_awg", from: fromKept},
	{name: "no voltages", set: "battery.low_v= battery.open_circuit_v= battery.internal_ohm= battery.aged_internal_ohm=", verdict: Unknown, reason: cannotJudge, missing: "low_v, internal_ohm", from: fromKept},
	{name: "a battery read below its low voltage", set: "battery.open_circuit_v=11.9", verdict: Unknown, reason: contradicts, from: fromKept},

	// A capacitor of 1000 uF at 12 V: C V^2/(2 R) = 0.048 A2s.
	{name: "capacitor at twice the impulse", set: capacitor + "igniter.firing_impulse_a2s=0.024", verdict: Go, reason: fires, value: "8A", limit: "1.5A", from: fromOurs},
	{name: "capacitor just below twice the impulse", set: capacitor + "igniter.firing_impulse_a2s=0.024001", verdict: Caution, reason: dischargeThin, value: "0.048A2s", limit: "0.048002A2s", from: fromOurs},
	{name: "capacitor at the impulse", set: capacitor + "igniter.firing_impulse_a2s=0.048", verdict: Caution, reason: dischargeThin, value: "0.048A2s", limit: "0.096A2s", from: fromOurs},
	{name: "capacitor just below the impulse", set: capacitor + "igniter.firing_impulse_a2s=0.048001", verdict: NoGo, reason: dischargeNot, value: "0.048A2s", limit: "0.096002A2s", from: fromOurs},
	{name: "capacitor below the impulse at a bound", set: capacitor + "igniter.firing_impulse_a2s=0.048 line.contact_ohm=", verdict: Unknown, reason: dischargeNot, value: "0.045A2s", limit: "0.096A2s", assumed: "contact_ohm", missing: "contact_ohm", from: fromBounds},
	{name: "capacitor whose peak is thin", set: capacitor + "igniter.firing_impulse_a2s=0.001 igniter.all_fire_a=8", verdict: Caution, reason: firesThinly, value: "8A", limit: "12A", from: fromOurs},
	{name: "capacitor of which both are thin", set: capacitor + "igniter.firing_impulse_a2s=0.04 igniter.all_fire_a=8", verdict: Caution, reason: dischargeThin, value: "0.048A2s", limit: "0.08A2s", from: fromOurs},
	{name: "capacitor whose peak is too low", set: capacitor + "igniter.firing_impulse_a2s=0.001 igniter.all_fire_a=8.000001", verdict: NoGo, reason: firesNot, value: "8A", limit: "12.000002A", from: fromOurs},
	{name: "capacitor without the impulse", set: capacitor, verdict: Unknown, reason: cannotJudge, missing: "firing_impulse_a2s", from: fromKept},
	{name: "capacitor with the recommended current but without the impulse", set: capacitor + "igniter.all_fire_a= igniter.recommended_a=4", verdict: Unknown, reason: cannotJudge, missing: "firing_impulse_a2s", from: fromKept},
	{name: "capacitor below the recommended current, with impulse enough", set: capacitor + "igniter.all_fire_a= igniter.recommended_a=9 igniter.firing_impulse_a2s=0.03", verdict: Unknown, reason: firesBelowRecommended, value: "8A", limit: "9A", missing: "all_fire_a", from: fromOurs},
	{name: "capacitor without capacitance", set: capacitor + "controller.cap_uf= igniter.firing_impulse_a2s=0.001", verdict: Unknown, reason: cannotJudge, missing: "cap_uf", from: fromKept},
	{name: "capacitor without voltage", set: capacitor + "controller.cap_v=", verdict: Unknown, reason: cannotJudge, missing: "cap_v", from: fromKept},
	{name: "capacitor without its resistance", set: capacitor + "controller.cap_ohm=", verdict: Unknown, reason: cannotJudge, missing: "cap_ohm", from: fromKept},
	{name: "capacitor needs no battery", set: capacitor + "battery=none igniter.firing_impulse_a2s=0.024", verdict: Go, reason: fires, value: "8A", limit: "1.5A", from: fromOurs},
}

const capacitor = "controller.source=capacitor controller.cap_uf=1000 controller.cap_v=12 controller.cap_ohm=0.2 "

func TestFiringCurrent(t *testing.T) { checkCircuitRows(t, FiringCurrent, currentRows) }
