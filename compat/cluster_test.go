package compat

import (
	"testing"

	"rangebox/inventory/quantity"
)

// Two alike at 12 V: 0.2 + 0.2 ohm ahead of 1.2 ohm each, 12 A, 6 A each.
const two = "count=2 line.contact_ohm=0.2 "

var clusterRows = []row{
	{name: "one igniter is no cluster", silent: true, from: fromKept},
	{name: "just above twice", set: two + "igniter.all_fire_a=2.999999", verdict: Go, reason: clusterFires, value: "6A", limit: "5.999998A", from: fromOurs},
	{name: "at twice", set: two + "igniter.all_fire_a=3", verdict: Go, reason: clusterFires, value: "6A", limit: "6A", from: fromOurs},
	{name: "just below twice, composite", set: two + "igniter.all_fire_a=3.000001 propellants=composite", verdict: Caution, reason: clusterThin, value: "6A", limit: "6.000002A", from: fromOurs},
	{name: "just below twice, black powder", set: two + "igniter.all_fire_a=3.000001 propellants=black-powder", verdict: Go, reason: clusterBlackPowder, value: "6A", limit: "6.000002A", from: fromOurs},
	{name: "just below twice, propellant not known", set: two + "igniter.all_fire_a=3.000001", verdict: Caution, reason: clusterThin, value: "6A", limit: "6.000002A", assumed: "propellant", from: fromKept},
	{name: "propellant and contact not known", set: two + "line.contact_ohm= igniter.all_fire_a=3.000001", verdict: Caution, reason: clusterThin, value: "6A", limit: "6.000002A", assumed: "propellant, contact_ohm", from: fromKept},
	{name: "at 1.5 x, black powder", set: two + "igniter.all_fire_a=4 propellants=black-powder", verdict: Go, reason: clusterBlackPowder, value: "6A", limit: "8A", from: fromOurs},
	{name: "just below 1.5 x, black powder", set: two + "igniter.all_fire_a=4.000001 propellants=black-powder", verdict: Caution, reason: clusterThin, value: "6A", limit: "8.000002A", from: fromOurs},
	{name: "at all-fire", set: two + "igniter.all_fire_a=6 propellants=composite", verdict: Caution, reason: clusterThin, value: "6A", limit: "12A", from: fromOurs},
	{name: "below all-fire", set: two + "igniter.all_fire_a=6.000001 propellants=composite", verdict: NoGo, reason: clusterUnder, value: "6A", limit: "12.000002A", from: fromOurs},
	{name: "black powder and composite together", set: two + "propellants=composite,black-powder", verdict: Caution, reason: clusterMixedPropellants, value: "6A", limit: "2A", from: fromOurs},
	{name: "in series", set: two + "line.wiring=series", verdict: Caution, reason: clusterSeries, from: fromOurs},
	{name: "different types in series", set: two + "others=1 other.handle=fuse line.wiring=series", verdict: NoGo, reason: clusterMixedSeries, from: fromOurs},
	{name: "two lots of one type in series", set: two + "others=1 other.handle=wick line.wiring=series", verdict: Caution, reason: clusterSeries, from: fromOurs},
	{name: "no all-fire", set: two + "igniter.all_fire_a= igniter.recommended_a=3", verdict: Unknown, reason: cannotJudge, missing: "all_fire_a", from: fromKept},
	{name: "no battery and no all-fire", set: two + "battery=none igniter.all_fire_a=", verdict: Unknown, reason: cannotJudge, missing: "all_fire_a, battery", from: fromKept},
	{name: "no battery", set: two + "battery=none", verdict: Unknown, reason: cannotJudge, missing: "battery", from: fromKept},
	{name: "a battery read below its low voltage", set: two + "battery.open_circuit_v=11", verdict: Unknown, reason: contradicts, from: fromKept},
	{name: "contact at its bound passes", set: two + "line.contact_ohm=", verdict: Go, reason: clusterFires, value: "6A", limit: "2A", assumed: "contact_ohm", from: fromBounds},
	{name: "contact at its bound fails", set: two + "line.contact_ohm= igniter.all_fire_a=6.000001", verdict: Unknown, reason: clusterUnder, value: "6A", limit: "12.000002A", assumed: "contact_ohm", missing: "contact_ohm", from: fromBounds},
}

func TestClusterFiring(t *testing.T) { checkCircuitRows(t, ClusterFiring, clusterRows) }

// TestClusterNamesTheLeastFavoured: of two types on one line the one with the
// least margin, whichever stands first.
func TestClusterNamesTheLeastFavoured(t *testing.T) {
	const both = two + "others=1 other.handle=fuse other.bridge_ohm=1 other.bridge_tol_pct=0 other.bridge_includes_leads=yes "
	for _, row := range []struct{ set, least string }{
		{"igniter.all_fire_a=0.5 other.all_fire_a=0.6", "fuse"}, // both go
		{"igniter.all_fire_a=0.6 other.all_fire_a=0.5", "wick"},
		{"igniter.all_fire_a=2.5 other.all_fire_a=2.6", "fuse"}, // both caution
		{"igniter.all_fire_a=2.6 other.all_fire_a=2.5", "wick"},
		{"igniter.all_fire_a=0.5 other.all_fire_a=0.5", "fuse"}, // alike: by name
	} {
		c := newScene(t, baseCircuit, both+row.set).circuit(t)
		turned := &Circuit{Line: c.Line, Battery: c.Battery, Controller: c.Controller, Groups: []Group{c.Groups[1], c.Groups[0]}}
		for _, c := range []*Circuit{c, turned} {
			var f Findings
			clusterFiring(c, Defaults(), &f)
			if len(f.List) != 1 || f.List[0].Subject != row.least {
				t.Errorf("%s: %+v", row.set, f.List)
			}
		}
	}
}

// TestContactThatIsNotMeasuredHelpsNoCluster: a contact in every branch evens out
// the shares, so that its bound may lie at nothing. Nine volts behind 1.7 ohm,
// three igniters of 1 ohm and 25 %: not measuring the contact never gives more
// than contacts of nothing, nor than contacts of 0.2 ohm (worked out by hand with
// the same network).
func TestContactThatIsNotMeasuredHelpsNoCluster(t *testing.T) {
	const block = "battery.open_circuit_v=9 battery.low_v=9 battery.internal_ohm=1.7 battery.aged_internal_ohm=1.7 igniter.bridge_tol_pct=25 "
	for _, n := range []int{1, 2, 3, 6} {
		worst := func(contact string) quantity.Current {
			c := newScene(t, baseCircuit, block+"line.contact_ohm="+contact).circuit(t)
			c.Groups[0].Count = n
			r := CheckLine(c, Defaults())
			return r.Groups[0].Worst.Or(0)
		}
		unknown := worst("")
		if most := min(worst("0"), worst("0.2")); unknown > most || unknown == 0 {
			t.Errorf("%d igniters: %d uA without the contact, %d uA at the worse of its bounds", n, unknown, most)
		}
	}
}
