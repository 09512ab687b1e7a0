package compat

import "testing"

var continuityRows = []row{
	{name: "not known", silent: true, skipped: "continuity_a", from: fromKept},
	{name: "no controller", set: "controller=none", silent: true, from: fromKept},
	{name: "none at all", set: "controller.continuity_a=0", verdict: Go, reason: testHarmless, value: "0A", limit: "40mA", from: fromTesting},
	{name: "just below a tenth", set: "controller.continuity_a=39.999mA", verdict: Go, reason: testHarmless, value: "39.999mA", limit: "40mA", from: fromTesting},
	{name: "a tenth", set: "controller.continuity_a=40mA", verdict: Go, reason: testHarmless, value: "40mA", limit: "40mA", from: fromTesting},
	{name: "just above a tenth", set: "controller.continuity_a=40.001mA", verdict: Caution, reason: testHigh, value: "40.001mA", limit: "40mA", from: fromTesting},
	{name: "50 mA where a tenth is more", set: "igniter.no_fire_a=0.9 controller.continuity_a=50mA", verdict: Go, reason: testHarmless, value: "50mA", limit: "50mA", from: fromNasa},
	{name: "just below 50 mA", set: "igniter.no_fire_a=0.9 controller.continuity_a=49.999mA", verdict: Go, reason: testHarmless, value: "49.999mA", limit: "50mA", from: fromNasa},
	{name: "just above 50 mA where a tenth is more", set: "igniter.no_fire_a=0.9 controller.continuity_a=50.001mA", verdict: Caution, reason: testHigh, value: "50.001mA", limit: "50mA", from: fromNasa},
	{name: "a tenth and 50 mA are the same", set: "igniter.no_fire_a=0.5 controller.continuity_a=50mA", verdict: Go, reason: testHarmless, value: "50mA", limit: "50mA", from: fromNasa},
	{name: "just under half", set: "controller.continuity_a=199.999mA", verdict: Caution, reason: testHigh, value: "199.999mA", limit: "40mA", from: fromOurs},
	{name: "half", set: "controller.continuity_a=200mA", verdict: NoGo, reason: testDangerous, value: "200mA", limit: "40mA", from: fromOurs},
	{name: "above half", set: "controller.continuity_a=200.001mA", verdict: NoGo, reason: testDangerous, value: "200.001mA", limit: "40mA", from: fromOurs},
	{name: "under half of an odd figure", set: "igniter.no_fire_a=400.001mA controller.continuity_a=200mA", verdict: Caution, reason: testHigh, value: "200mA", limit: "40mA", from: fromOurs},
	{name: "above half of an odd figure", set: "igniter.no_fire_a=400.001mA controller.continuity_a=200.001mA", verdict: NoGo, reason: testDangerous, value: "200.001mA", limit: "40mA", from: fromOurs},

	{name: "at the maker's test current", set: "igniter.max_test_a=150mA controller.continuity_a=150mA", verdict: Go, reason: testMaker, value: "150mA", limit: "150mA", from: fromOurs},
	{name: "just above the maker's test current", set: "igniter.max_test_a=150mA controller.continuity_a=150.001mA", verdict: Caution, reason: testHigh, value: "150.001mA", limit: "40mA", from: fromOurs},
	{name: "the maker's test current needs no no-fire", set: "igniter.no_fire_a= igniter.all_fire_a= igniter.recommended_a=2 igniter.max_test_a=5mA controller.continuity_a=5mA", verdict: Go, reason: testMaker, value: "5mA", limit: "5mA", from: fromOurs},
	{name: "the output's own current", set: "controller.first.continuity_a=41mA controller.continuity_a=1mA line.output=first", verdict: Caution, reason: testHigh, value: "41mA", limit: "40mA", from: fromOurs},
	{name: "never divided by the count", set: "count=4 controller.continuity_a=41mA", verdict: Caution, reason: testHigh, value: "41mA", limit: "40mA", from: fromOurs},

	// No-fire not known: a quarter of all-fire, 250 mA.
	{name: "no-fire at its bound passes", set: "igniter.no_fire_a= controller.continuity_a=25mA", verdict: Go, reason: testHarmless, value: "25mA", limit: "25mA", assumed: "no_fire_a", from: fromBounds},
	{name: "no-fire at its bound is thin", set: "igniter.no_fire_a= controller.continuity_a=25.001mA", verdict: Caution, reason: testHigh, value: "25.001mA", limit: "25mA", assumed: "no_fire_a", from: fromBounds},
	{name: "no-fire at its bound fails", set: "igniter.no_fire_a= controller.continuity_a=125mA", verdict: Unknown, reason: testDangerous, value: "125mA", limit: "25mA", assumed: "no_fire_a", missing: "no_fire_a", from: fromBounds},
	{name: "neither no-fire nor all-fire", set: "igniter.no_fire_a= igniter.all_fire_a= controller.continuity_a=1mA", verdict: Unknown, reason: cannotJudge, missing: "no_fire_a", from: fromKept},
}

func TestContinuityCurrent(t *testing.T) { checkCircuitRows(t, ContinuityCurrent, continuityRows) }
