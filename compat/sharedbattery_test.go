package compat

import (
	"math"
	"testing"

	"rangebox/inventory/quantity"
)

// Two lines of one battery: 7.4 V behind 0.2 ohm, each output 0.1 ohm, contact
// 0.03 ohm, the igniter 0.88 ohm at its greatest. Idle 7.4 / 1.21 A; the other
// shorted 7.4 x 0.1/0.3 V behind 0.2/3 ohm.
const (
	sharing = "line:up.lead_m=0 line:out.lead_m=0 "
	staysOn = sharing + "controller:tick.pulse_s= "
)

var sharedRows = []flightRow{
	{name: "pulses that end", rocket: "two", set: sharing, subject: "up", verdict: Go, reason: sharedBoth, value: "6.115702A", limit: "1.2A", from: fromWork},
	{name: "the other stays on, and is shorted", rocket: "two", set: staysOn, subject: "up", verdict: Go, reason: sharedBoth, value: "2.291021A", limit: "1.2A", from: fromWork},
	{name: "passes idle, fails shorted", rocket: "two", set: staysOn + "igniter:glow.all_fire_a=1.6", subject: "up", verdict: Caution, reason: sharedShorted, value: "2.291021A", limit: "2.4A", from: fromOurs},
	{name: "fires neither way, but barely idle", rocket: "two", set: staysOn + "igniter:glow.all_fire_a=3", subject: "up", verdict: Caution, reason: sharedShorted, value: "2.291021A", limit: "4.5A", from: fromOurs},
	{name: "fails idle", rocket: "two", set: staysOn + "igniter:glow.all_fire_a=7", subject: "up", verdict: NoGo, reason: sharedIdle, value: "6.115702A", limit: "10.5A", from: fromOurs},
	{name: "the other holds its current", rocket: "two", set: staysOn + "controller:tick.charge.limit_a=5", subject: "up", verdict: Go, reason: sharedBoth, value: "5.289256A", limit: "1.2A", from: fromWork},
	{name: "the other has a drop", rocket: "two", set: staysOn + "controller:tick.charge.drop_v=0.7", subject: "up", verdict: Go, reason: sharedBoth, value: "2.724457A", limit: "1.2A", from: fromWork},
	{name: "worn resistance not known: 1.5 x", rocket: "two", set: staysOn + "battery:small.aged_internal_ohm=", subject: "up", verdict: Go, reason: sharedBoth, value: "2.766355A", limit: "1.2A", assumed: "aged_internal_ohm", from: fromKept},
	{name: "the other drops all there is", rocket: "two", set: staysOn + "controller:tick.charge.drop_v=9", subject: "up", verdict: Go, reason: sharedBoth, value: "6.115702A", limit: "1.2A", from: fromWork},
	{name: "a type that lacks more than another", rocket: "two", set: sharing + "sustainer/main.count=2 sustainer/backup.line=up sustainer/main.delay_s=6 igniter:wick.all_fire_a=50", subject: "up", silent: true, from: fromOurs},
	{name: "what is not known", rocket: "two", set: staysOn + "battery:small.low_v=", subject: "up", verdict: Unknown, reason: cannotJudge, missing: "low_v", from: fromKept},
	{name: "another battery", rocket: "two", set: staysOn + "line:out.battery=big", subject: "up", silent: true, from: fromOurs},
	{name: "on the ground and on board", rocket: "two", set: staysOn + "line:out.battery=big line:up.battery=big", subject: "pad", silent: true, from: fromOurs},
	{name: "one line: nothing to share", rocket: "flame", set: staysOn, subject: "out", silent: true, from: fromOurs},
}

func TestSharedBattery(t *testing.T) { checkFlightRows(t, SharedBattery, sharedRows) }

// TestPulsesThatOverlap: the other line counts as on where it fires at about the
// same time, or nobody knows when.
func TestPulsesThatOverlap(t *testing.T) {
	pulse := quantity.Some(parse(t, "1", quantity.Second))
	none := quantity.Opt[quantity.Time]{}
	for _, row := range []struct {
		at, other float64
		pulse     quantity.Opt[quantity.Time]
		want      bool
	}{
		{10, 3, pulse, false},
		{3, 10, pulse, false},
		{3, 3, pulse, true},
		{5, 4.5, pulse, true},
		{5, 3.1, pulse, true}, // over at 4.1 s, but a fifth of 5 s late at 5.1 s
		{5, 2.9, pulse, false},
		{5, 5.9, pulse, true},
		{10, 3, none, true},
		{math.NaN(), 3, pulse, true},
		{3, math.NaN(), pulse, true},
	} {
		s := newScene(t, baseCircuit)
		c := s.circuit(t)
		c.Controller.Pulse = row.pulse
		u, other := &lineUse{at: row.at}, &lineUse{Circuit: *c, at: row.other}
		if got := u.overlaps(other, Defaults().DelayTolerance); got != row.want {
			t.Errorf("%+v: %v", row, got)
		}
	}
}
