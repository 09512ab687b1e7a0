package compat

import (
	"strings"
	"testing"

	"rangebox/inventory/quantity"
)

var mountRows = []flightRow{
	{name: "the mount's own size", rocket: "solo", subject: "body/main", verdict: Go, reason: mountFits, value: "24mm", limit: "24mm", from: fromHabit},
	{name: "1 mm larger", rocket: "solo", set: "motor:soot.diameter_mm=25", subject: "body/main", verdict: Go, reason: mountFits, value: "25mm", limit: "24mm", from: fromHabit},
	{name: "a step more", rocket: "solo", set: "motor:soot.diameter_mm=25.000001", subject: "body/main", verdict: NoGo, reason: mountLarger, value: "25.000001mm", limit: "24mm", from: fromHabit},
	{name: "1 mm smaller", rocket: "solo", set: "motor:soot.diameter_mm=23", subject: "body/main", verdict: Go, reason: mountFits, value: "23mm", limit: "24mm", from: fromHabit},
	{name: "a step less", rocket: "solo", set: "motor:soot.diameter_mm=22.999999", subject: "body/main", verdict: Caution, reason: mountAdapter, value: "22.999999mm", limit: "24mm", from: fromHabit},
	{name: "as long as the mount", rocket: "solo", set: "motor:soot.length_mm=75", subject: "body/main", verdict: Go, reason: mountFits, value: "24mm", limit: "24mm", from: fromHabit},
	{name: "longer", rocket: "solo", set: "motor:soot.length_mm=75.000001", subject: "body/main", verdict: Caution, reason: mountLonger, value: "75.000001mm", limit: "75mm", from: fromHabit},
	{name: "larger and longer", rocket: "solo", set: "motor:soot.length_mm=80 motor:soot.diameter_mm=29", subject: "body/main", verdict: NoGo, reason: mountLarger, value: "29mm", limit: "24mm", from: fromHabit},
	{name: "a forward end it cannot be had with", rocket: "two", set: "sustainer/main.head_end=open", subject: "sustainer/main", verdict: NoGo, reason: mountHeadEnd, from: fromFlight},
	{name: "no list of forward ends: not asked", rocket: "two", set: "sustainer/main.head_end=open motor:amber.head_ends=", subject: "sustainer/main", verdict: Go, reason: mountFits, value: "24mm", limit: "24mm", from: fromKept},
	{name: "an igniter through the head, where the delay is", rocket: "solo", set: "body/main.entry=head", subject: "body/main", verdict: Caution, reason: mountEntry, from: fromDesign},
	{name: "an igniter through the head of a plugged motor", rocket: "solo", set: "body/main.entry=head body/main.head_end=plugged", subject: "body/main", verdict: Go, reason: mountFits, value: "24mm", limit: "24mm", from: fromDesign},
	{name: "a delay it cannot be had with", rocket: "solo", set: "body/main.delay_s=6", subject: "body/main", verdict: NoGo, reason: mountDelay, value: "6s", from: fromFlight},
	{name: "no list of delays: not asked", rocket: "solo", set: "body/main.delay_s=6 motor:soot.delays_s=", subject: "body/main", verdict: Go, reason: mountFits, value: "24mm", limit: "24mm", from: fromKept},
	{name: "a delay between, to be had by shortening", rocket: "solo", set: "body/main.delay_s=6 motor:soot.delays_s= motor:soot.delay_min_s=4 motor:soot.delay_max_s=10", subject: "body/main", verdict: Go, reason: mountFits, value: "24mm", limit: "24mm", from: fromFlight},
	{name: "a delay between two steps", rocket: "solo", set: "body/main.delay_s=5.5 motor:soot.delays_s= motor:soot.delay_min_s=4 motor:soot.delay_max_s=10 motor:soot.delay_step_s=2", subject: "body/main", verdict: NoGo, reason: mountDelay, value: "5.5s", from: fromFlight},
	{name: "a delay longer than the longest", rocket: "solo", set: "body/main.delay_s=10.2 motor:soot.delays_s= motor:soot.delay_min_s=4 motor:soot.delay_max_s=10", subject: "body/main", verdict: NoGo, reason: mountDelay, value: "10.2s", from: fromFlight},
	{name: "no motor", rocket: "solo", set: "body/main.motor=", subject: "body/main", verdict: Unknown, reason: cannotJudge, missing: "motor", from: fromKept},
	{name: "no diameter", rocket: "solo", set: "motor:soot.diameter_mm=", subject: "body/main", verdict: Unknown, reason: cannotJudge, missing: "diameter_mm", from: fromKept},
	{name: "no mount", rocket: "solo", set: "body/main.mount_mm=", subject: "body/main", verdict: Unknown, reason: cannotJudge, missing: "mount_mm", from: fromKept},
	{name: "no length", rocket: "solo", set: "motor:soot.length_mm=", subject: "body/main", verdict: Go, reason: mountFits, value: "24mm", limit: "24mm", skipped: "length_mm", from: fromKept},
	{name: "no length of the mount", rocket: "solo", set: "body/main.mount_length_mm=", subject: "body/main", verdict: Go, reason: mountFits, value: "24mm", limit: "24mm", skipped: "mount_length_mm", from: fromKept},
}

func TestMotorMount(t *testing.T) { checkFlightRows(t, MotorMount, mountRows) }

var weightRows = []flightRow{
	{name: "enough", rocket: "solo", subject: "solo", verdict: Go, reason: thrustEnough, value: "*", limit: "5", from: fromHabit},
	{name: "little", rocket: "solo", set: "body.dry_mass_g=400", subject: "solo", verdict: Caution, reason: thrustThin, value: "*", limit: "5", from: fromHabit},
	{name: "too little", rocket: "solo", set: "body.dry_mass_g=700", subject: "solo", verdict: NoGo, reason: thrustLittle, value: "*", limit: "5", from: fromCode},
	{name: "too heavy to leave the pad", rocket: "solo", set: "body.dry_mass_g=2500", subject: "solo", verdict: NoGo, reason: neverLeaves, value: "*", limit: "5", from: fromDesign},
	{name: "no curve", rocket: "solo", set: "motor:soot.curve=", subject: "solo", verdict: Unknown, reason: cannotJudge, missing: "curve", from: fromKept},
	{name: "no mass", rocket: "solo", set: "motor:soot.mass_g=", subject: "solo", verdict: Unknown, reason: cannotJudge, missing: "mass_g", from: fromKept},
	{name: "no dry mass", rocket: "two", set: "sustainer.dry_mass_g=", subject: "two", verdict: Unknown, reason: cannotJudge, missing: "dry_mass_g", from: fromKept},
	{name: "no motor", rocket: "solo", set: "body/main.motor=", subject: "solo", verdict: Unknown, reason: cannotJudge, missing: "motor", from: fromKept},
	{name: "nothing says what lights it", rocket: "solo", set: "body/main.by=", subject: "solo", verdict: Unknown, reason: cannotJudge, missing: "ignition", from: fromKept},
	{name: "without drag it is said all the same", rocket: "solo", set: "body.cd=", subject: "solo", verdict: Go, reason: thrustEnough, value: "*", limit: "5", from: fromKept},
	{name: "an upper stage's motor does not count", rocket: "two", set: "booster.dry_mass_g=250", subject: "two", verdict: Caution, reason: thrustThin, value: "*", limit: "5", from: fromHabit},
	{name: "of two single mounts one unlit", rocket: "solo", set: twoMotors + "body/second.motor=soot body/second.line=pad body.dry_mass_g=400", branch: "body/main does not light", subject: "solo", verdict: Caution, reason: thrustThin, value: "*", limit: "5", from: fromDesign},
	{name: "one of a cluster unlit: a caution at most", rocket: "trio", set: "body.dry_mass_g=1300", branch: "one of 3 motors in body/ring does not light", subject: "trio", verdict: Caution, reason: thrustLittle, value: "*", limit: "5", from: fromDesign},
}

func TestThrustToWeight(t *testing.T) { checkFlightRows(t, ThrustToWeight, weightRows) }

var railRows = []flightRow{
	{name: "fast", rocket: "solo", set: "rail_m=2", subject: "solo", verdict: Go, reason: railFast, value: "*", limit: "15m/s", skipped: "wind_m_s", from: fromHabit},
	{name: "slow", rocket: "solo", set: "wind=0", subject: "solo", verdict: Caution, reason: railSlow, value: "*", limit: "15m/s", from: fromHabit},
	{name: "too slow", rocket: "solo", set: "rail_m=0.5 wind=0", subject: "solo", verdict: NoGo, reason: railTooSlow, value: "*", limit: "15m/s", from: fromHabit},
	{name: "enough in little wind", rocket: "solo", set: "rail_m=2 wind=3.75", subject: "solo", verdict: Go, reason: railFast, value: "*", limit: "15m/s", from: fromHabit},
	{name: "under four times the wind", rocket: "solo", set: "rail_m=2 wind=5", subject: "solo", verdict: Caution, reason: railWind, value: "*", limit: "20m/s", from: fromHabit},
	{name: "too heavy to leave the pad", rocket: "solo", set: "body.dry_mass_g=2500 wind=0", subject: "solo", verdict: NoGo, reason: neverLeaves, limit: "15m/s", from: fromDesign},
	{name: "no rail", rocket: "solo", set: "rail_m= wind=0", subject: "solo", verdict: Unknown, reason: cannotJudge, missing: "rail_m", from: fromKept},
	{name: "no drag", rocket: "solo", set: "body.cd= wind=0", subject: "solo", verdict: Unknown, reason: cannotJudge, missing: "cd", from: fromKept},
	{name: "no curve, no rail", rocket: "solo", set: "rail_m= motor:soot.curve= wind=0", subject: "solo", verdict: Unknown, reason: cannotJudge, missing: "rail_m, curve", from: fromKept},
	{name: "no propellant mass", rocket: "solo", set: "motor:soot.propellant_g= wind=0", subject: "solo", verdict: Unknown, reason: cannotJudge, missing: "propellant_g", from: fromKept},
	{name: "no diameter", rocket: "solo", set: "body.diameter_mm= wind=0", subject: "solo", verdict: Unknown, reason: cannotJudge, missing: "diameter_mm", from: fromKept},
	{name: "one of a cluster unlit", rocket: "trio", set: "wind=0", branch: "one of 3 motors in body/ring does not light", subject: "trio", verdict: Caution, reason: railSlow, value: "*", limit: "15m/s", from: fromDesign},
	{name: "one of a cluster unlit: a caution at most", rocket: "trio", set: "wind=0 rail_m=1", branch: "one of 3 motors in body/ring does not light", subject: "trio", verdict: Caution, reason: railTooSlow, value: "*", limit: "15m/s", from: fromDesign},
}

func TestRailSpeed(t *testing.T) { checkFlightRows(t, RailSpeed, railRows) }

var delayRows = []flightRow{
	{name: "soft", rocket: "solo", set: "limit:bound.delay_tol_pct=5", subject: "body/main", verdict: Go, reason: delaySoft, value: "*", limit: "10m/s", from: fromFlight},
	{name: "soft on time only", rocket: "solo", subject: "body/main", verdict: Caution, reason: delayFast, value: "*", limit: "10m/s", from: fromFlight},
	{name: "up to 20 m/s on time", rocket: "solo", set: "body/main.delay_s=7", subject: "body/main", verdict: Caution, reason: delayFast, value: "*", limit: "10m/s", from: fromFlight},
	{name: "beyond 20 m/s on time, on the way up", rocket: "solo", set: "body/main.delay_s=3", subject: "body/main", verdict: NoGo, reason: delayTooFast, value: "*", limit: "20m/s", from: fromFlight},
	{name: "beyond 20 m/s on time, on the way down", rocket: "solo", set: "body/main.delay_s=9", subject: "body/main", verdict: NoGo, reason: delayTooFast, value: "*", limit: "20m/s", from: fromFlight},
	{name: "of a booster that was left behind", rocket: "two", subject: "booster/main", verdict: Caution, reason: delayFast, value: "*", limit: "10m/s", from: fromDesign},
	{name: "of two single mounts one unlit", rocket: "solo", set: twoMotors + "body/second.motor=soot body/second.line=pad body/second.head_end=delay body/second.delay_s=2", branch: "body/main does not light", subject: "body/second", verdict: Caution, reason: delayTooFast, value: "*", limit: "20m/s", from: fromDesign},
	{name: "no delay recorded", rocket: "solo", set: "body/main.delay_s=", subject: "body/main", verdict: Unknown, reason: cannotJudge, missing: "delay_s", from: fromKept},
	{name: "no head end, but a delay", rocket: "solo", set: "body/main.head_end=", subject: "body/main", verdict: Unknown, reason: cannotJudge, missing: "head_end", from: fromKept},
	{name: "no head end, but relied on", rocket: "solo", set: "body/main.head_end= body/main.delay_s=", subject: "body/main", verdict: Unknown, reason: cannotJudge, missing: "head_end", from: fromKept},
	{name: "no head end, and nobody asks", rocket: "solo", set: "body/main.head_end= body/main.delay_s= body/chute.by=charge", subject: "body/main", silent: true, from: fromKept},
	{name: "plugged: not asked", rocket: "solo", set: "body/main.head_end=plugged", subject: "body/main", silent: true, from: fromKept},
	{name: "no motor: not asked", rocket: "solo", set: "body/main.motor=", subject: "body/main", silent: true, from: fromKept},
	{name: "no curve", rocket: "solo", set: "motor:soot.curve=", subject: "body/main", verdict: Unknown, reason: cannotJudge, missing: "curve", from: fromKept},
	{name: "does not leave the pad: not asked", rocket: "solo", set: "body.dry_mass_g=2500", subject: "body/main", silent: true, from: fromKept},
	{name: "one of a cluster unlit", rocket: "trio", branch: "one of 3 motors in body/ring does not light", subject: "body/ring", verdict: Caution, reason: delayFast, value: "*", limit: "10m/s", from: fromDesign},
	{name: "one of a cluster unlit: a caution at most", rocket: "trio", set: "body/ring.delay_s=2", branch: "one of 3 motors in body/ring does not light", subject: "body/ring", verdict: Caution, reason: delayTooFast, value: "*", limit: "20m/s", from: fromDesign},
}

func TestDelay(t *testing.T) { checkFlightRows(t, Delay, delayRows) }

var burnRows = []flightRow{
	{name: "black powder to black powder", rocket: "flame", subject: "sustainer/main", verdict: Go, reason: burnsThrough, value: "20mm", limit: "300mm", from: fromHabit},
	{name: "300 mm apart", rocket: "flame", set: "sustainer/main.gap_mm=300", subject: "sustainer/main", verdict: Go, reason: burnsThrough, value: "300mm", limit: "300mm", from: fromHabit},
	{name: "further", rocket: "flame", set: "sustainer/main.gap_mm=300.000001", subject: "sustainer/main", verdict: Unknown, reason: burnFar, value: "300.000001mm", limit: "300mm", missing: "gap_mm", from: fromHabit},
	{name: "no gap", rocket: "flame", set: "sustainer/main.gap_mm=", subject: "sustainer/main", verdict: Unknown, reason: cannotJudge, missing: "gap_mm", from: fromKept},
	{name: "an igniter in the upper nozzle", rocket: "flame", set: "sustainer/main.igniter=wick", subject: "sustainer/main", verdict: Caution, reason: burnStopped, value: "20mm", limit: "300mm", from: fromHabit},
	{name: "composite above", rocket: "flame", set: "sustainer/main.motor=amber", subject: "sustainer/main", verdict: NoGo, reason: burnComposite, from: fromHabit},
	{name: "composite below", rocket: "flame", set: "booster/main.motor=amber", subject: "sustainer/main", verdict: NoGo, reason: burnComposite, from: fromHabit},
	{name: "composite below, plugged", rocket: "flame", set: "booster/main.motor=amber booster/main.head_end=plugged", subject: "sustainer/main", verdict: NoGo, reason: burnComposite, from: fromHabit},
	{name: "a plugged booster", rocket: "flame", set: "booster/main.head_end=plugged", subject: "sustainer/main", verdict: NoGo, reason: burnClosed, from: fromHabit},
	{name: "a delayed booster", rocket: "flame", set: "booster/main.head_end=delay booster/main.delay_s=3", subject: "sustainer/main", verdict: NoGo, reason: burnClosed, from: fromHabit},
	{name: "nobody knows the booster's head end", rocket: "flame", set: "booster/main.head_end=", subject: "sustainer/main", verdict: Unknown, reason: cannotJudge, missing: "head_end", from: fromKept},
	{name: "another propellant", rocket: "flame", set: "motor:soot.propellant=sugar", subject: "sustainer/main", verdict: Unknown, reason: cannotJudge, missing: "propellant", from: fromKept},
	{name: "no motor", rocket: "flame", set: "sustainer/main.motor=", subject: "sustainer/main", verdict: Unknown, reason: cannotJudge, missing: "motor", from: fromKept},
	{name: "nothing below", rocket: "solo", set: "body/main.by=burn-through", subject: "body/main", verdict: Unknown, reason: cannotJudge, missing: "ignition", from: fromKept},
	{name: "without any curve it is said all the same", rocket: "flame", set: "motor:soot.curve=", subject: "sustainer/main", verdict: Go, reason: burnsThrough, value: "20mm", limit: "300mm", from: fromKept},
	{name: "beside a plugged motor that is out before", rocket: "flame", set: sideBySide, subject: "sustainer/main", verdict: Go, reason: burnsThrough, value: "20mm", limit: "300mm", from: fromDesign},
	{name: "beside a plugged motor that burns on", rocket: "flame", set: sideBySide + "motor:amber.lag_s=0.5", subject: "sustainer/main", verdict: NoGo, reason: burnEarly, value: "*", limit: "*", from: fromDesign},
}

func TestBurnThrough(t *testing.T) { checkFlightRows(t, BurnThrough, burnRows) }

// The timer lights at 3 s, detection 0.1 s, lag 0.1 s, the timer 2 % off; the
// booster burns out at 1.216 s.
var stagingRows = []flightRow{
	{name: "right", rocket: "two", subject: "sustainer/main", verdict: Go, reason: stagingRight, value: "3.2s", from: fromFlight},
	{name: "before burnout", rocket: "two", set: "sustainer/main.at_s=0.9", subject: "sustainer/main", verdict: NoGo, reason: stagingEarly, value: "1.1s", limit: "*", from: fromFlight},
	{name: "at nominal just after burnout", rocket: "two", set: "sustainer/main.at_s=1.02", subject: "sustainer/main", verdict: Caution, reason: stagingOverlaps, value: "1.22s", limit: "*", from: fromFlight},
	{name: "before burnout, but lag is not recorded", rocket: "two", set: "sustainer/main.at_s=0.9 motor:amber.lag_s=", subject: "sustainer/main", verdict: Unknown, reason: stagingEarly, value: "1s", limit: "*", assumed: "lag_s", missing: "lag_s", from: fromKept},
	{name: "before burnout at any lag", rocket: "two", set: "sustainer/main.at_s=0.1 motor:amber.lag_s=", subject: "sustainer/main", verdict: NoGo, reason: stagingEarly, value: "0.2s", limit: "*", from: fromKept},
	{name: "after the booster's ejection", rocket: "two", set: "booster/main.delay_s=1.9", subject: "sustainer/main", verdict: NoGo, reason: stagingLate, value: "3.2s", limit: "*", from: fromFlight},
	{name: "an open booster vents at burnout", rocket: "two", set: "booster/main.head_end=open booster/main.delay_s=", subject: "sustainer/main", verdict: NoGo, reason: stagingLate, value: "3.2s", limit: "*", from: fromFlight},
	{name: "tolerances overlap", rocket: "two", set: "booster/main.delay_s=2.5", subject: "sustainer/main", verdict: Caution, reason: stagingOverlaps, value: "3.2s", limit: "*", from: fromFlight},
	{name: "a plugged booster ejects nothing", rocket: "two", set: "booster/main.head_end=plugged", subject: "sustainer/main", verdict: Go, reason: stagingRight, value: "3.2s", from: fromFlight},
	{name: "slow", rocket: "two", set: "sustainer/main.at_s=4.8", subject: "sustainer/main", verdict: Caution, reason: stagingSlow, value: "*", limit: "20m/s", from: fromFlight},
	{name: "too slow", rocket: "two", set: "sustainer/main.at_s=5.4", subject: "sustainer/main", verdict: NoGo, reason: stagingTooSlow, value: "*", from: fromFlight},
	{name: "after the top", rocket: "two", set: "sustainer/main.at_s=7 booster/main.head_end=plugged", subject: "sustainer/main", verdict: NoGo, reason: stagingLate, value: "7.2s", limit: "*", from: fromFlight},
	{name: "no step inside", rocket: "two", set: "controller:tick.step_s=9", subject: "sustainer/main", verdict: NoGo, reason: stagingNoStep, value: "9s", from: fromFlight},
	{name: "step not known", rocket: "two", set: "controller:tick.step_s=", subject: "sustainer/main", verdict: Go, reason: stagingRight, value: "3.2s", skipped: "step_s", from: fromKept},
	{name: "bounds for tolerance, detection and lag", rocket: "two", set: "controller:tick.tol_pct= controller:tick.detect_s= motor:amber.lag_s=", subject: "sustainer/main", verdict: Go, reason: stagingRight, value: "3s", assumed: "lag_s, tol_pct, detect_s", from: fromKept},
	{name: "failing at a bound", rocket: "two", set: "booster/main.delay_s=3 motor:amber.lag_s=", subject: "sustainer/main", verdict: Caution, reason: stagingOverlaps, value: "3.1s", limit: "*", assumed: "lag_s", from: fromKept},
	{name: "slip joint with a coast", rocket: "two", set: "booster.joint=slip", subject: "sustainer/main", verdict: Caution, reason: stagingSlips, value: "*", from: fromFlight},
	{name: "no inhibit, 1500 g", rocket: "two", set: "controller:tick.inhibit= booster.dry_mass_g=1295 motor:soot.curve=8 booster/main.head_end=plugged", subject: "sustainer/main", verdict: Go, reason: stagingRight, value: "3.2s", from: fromClass1},
	{name: "no inhibit, above 1500 g", rocket: "two", set: "controller:tick.inhibit= booster.dry_mass_g=1295.000001 motor:soot.curve=8 booster/main.head_end=plugged", subject: "sustainer/main", verdict: Caution, reason: stagingUninhibited, value: "1500.000001g", limit: "1500g", from: fromClass1},
	{name: "no inhibit, above 125 g of propellant", rocket: "two", set: "controller:tick.inhibit= motor:soot.propellant_g=110 motor:soot.mass_g=120 booster/main.head_end=plugged", subject: "sustainer/main", verdict: Caution, reason: stagingUninhibitedPropellant, value: "126g", limit: "125g", from: fromClass1},
	{name: "a controller on the ground", rocket: "two", set: "controller:tick.place=pad", subject: "sustainer/main", verdict: NoGo, reason: stagingGround, from: fromDesign},
	{name: "a controller on the bench", rocket: "two", set: "controller:tick.place=bench", subject: "sustainer/main", verdict: NoGo, reason: stagingGround, from: fromDesign},
	{name: "a controller nobody knows where", rocket: "two", set: "controller:tick.place=", subject: "sustainer/main", verdict: Unknown, reason: cannotJudge, missing: "place", from: fromKept},
	{name: "no inhibit, 125 g", rocket: "two", set: "controller:tick.inhibit= motor:soot.propellant_g=109 motor:soot.mass_g=120 booster/main.head_end=plugged", subject: "sustainer/main", verdict: Go, reason: stagingRight, value: "3.2s", from: fromClass1},
	{name: "no setting", rocket: "two", set: "sustainer/main.at_s=", subject: "sustainer/main", verdict: Unknown, reason: cannotJudge, missing: "at_s", from: fromKept},
	{name: "no delay", rocket: "two", set: "booster/main.delay_s=", subject: "sustainer/main", verdict: Unknown, reason: cannotJudge, missing: "delay_s", from: fromKept},
	{name: "no head end", rocket: "two", set: "booster/main.head_end=", subject: "sustainer/main", verdict: Unknown, reason: cannotJudge, missing: "head_end", from: fromKept},
	{name: "a setting that the timer does not have", rocket: "two", set: "sustainer/main.at_s=3.05", subject: "sustainer/main", verdict: Caution, reason: stagingOffStep, value: "3.05s", limit: "0.1s", from: fromDesign},
	{name: "how it is joined, nobody says", rocket: "two", set: "booster.joint=", subject: "sustainer/main", verdict: Go, reason: stagingRight, value: "3.2s", skipped: "joint", from: fromKept},
	{name: "in the lowest stage, by what stays on the ground", rocket: "solo", set: twoMotors + "body/second.motor=soot body/second.by=timer body/second.at_s=1 body/second.line=pad", subject: "body/second", verdict: NoGo, reason: stagingGround, from: fromDesign},
	{name: "in the lowest stage, from on board: nothing is staged", rocket: "solo", set: twoMotors + "body/second.motor=soot body/second.by=timer body/second.at_s=1 body/second.line=up", subject: "body/second", silent: true, from: fromDesign},
	{name: "slow, for a charge parted the stages", rocket: "two", set: "booster/pop.by=charge booster/pop.opens=interstage booster/pop.trigger=timer booster/pop.at_s=2 booster/pop.line=out booster/pop.igniter=wick sustainer/main.at_s=5.1", subject: "sustainer/main", verdict: NoGo, reason: stagingTooSlow, value: "*", from: fromFlight},
	{name: "no controller", rocket: "two", set: "line:up.controller=", subject: "sustainer/main", verdict: Unknown, reason: cannotJudge, missing: "controller", from: fromKept},
	{name: "no curve", rocket: "two", set: "motor:soot.curve=", subject: "sustainer/main", verdict: Unknown, reason: cannotJudge, missing: "curve", skipped: "", from: fromKept},
	{name: "does not leave the pad: not asked", rocket: "two", set: "booster.dry_mass_g=2500", subject: "sustainer/main", silent: true, from: fromKept},
}

func TestStagingWindow(t *testing.T) { checkFlightRows(t, StagingWindow, stagingRows) }

var startRows = []flightRow{
	{name: "starts", rocket: "two", subject: "tick", verdict: Go, reason: timerStarts, value: "*", limit: "3g", from: fromFlight},
	{name: "does not start", rocket: "two", set: "controller:tick.detect_g=12", subject: "tick", verdict: NoGo, reason: timerStartsNot, value: "*", limit: "18g", from: fromFlight},
	{name: "not for as long as it must", rocket: "two", set: "controller:tick.detect_s=1.3", subject: "tick", verdict: NoGo, reason: timerStartsNot, value: "*", limit: "3g", from: fromFlight},
	{name: "for how long is not known", rocket: "two", set: "controller:tick.detect_s=", subject: "tick", verdict: Go, reason: timerStarts, value: "*", limit: "3g", assumed: "detect_s", from: fromKept},
	{name: "failing at the bound", rocket: "two", set: "controller:tick.detect_s= controller:tick.detect_g=12", subject: "tick", verdict: Unknown, reason: timerStartsNot, value: "*", limit: "18g", assumed: "detect_s", missing: "detect_s", from: fromKept},
	{name: "what starts it is not known", rocket: "two", set: "controller:tick.detect_g=", subject: "tick", silent: true, skipped: "detect_g", from: fromKept},
	{name: "no curve", rocket: "two", set: "motor:soot.curve=", subject: "tick", verdict: Unknown, reason: cannotJudge, missing: "curve", from: fromKept},
	{name: "a charge by time", rocket: "flame", set: "sustainer/backup.trigger=timer sustainer/backup.at_s=8", subject: "tick", verdict: Go, reason: timerStarts, value: "*", limit: "3g", from: fromFlight},
	{name: "a charge on tilt waits for lift-off too", rocket: "two", set: "sustainer/main.by=pad", subject: "tick", verdict: Go, reason: timerStarts, value: "*", limit: "3g", from: fromFlight},
	{name: "nothing on board fires anything: not asked", rocket: "solo", subject: "tick", silent: true, from: fromFlight},
	{name: "what is lit later does not count", rocket: "two", set: "controller:tick.detect_g=6 motor:amber.curve=3", subject: "tick", verdict: NoGo, reason: timerStartsNot, value: "*", limit: "9g", from: fromFlight},
	{name: "does not leave the pad: not asked", rocket: "two", set: "booster.dry_mass_g=2500", subject: "tick", silent: true, from: fromKept},
}

func TestTimerStart(t *testing.T) { checkFlightRows(t, TimerStart, startRows) }

const (
	right = "everything right"
	unlit = "sustainer/main does not light"
	dead  = "controller tick is dead"
	flat  = "battery small is flat"
)

// popped: a charge of the booster instead of its motor's ejection.
const popped = "drop=booster/chute drop=sustainer/chute booster/pop.by=charge booster/pop.opens=interstage booster/pop.trigger=tilt booster/pop.after_s=1 booster/pop.line=out booster/pop.igniter=wick"

// sideBySide: a plugged composite beside the booster's open motor.
const sideBySide = "booster/side.mount_mm=24 booster/side.motor=amber booster/side.head_end=plugged booster/side.by=pad "

var wayRows = []flightRow{
	{name: "a motor's own ejection", rocket: "solo", branch: right, subject: "body", verdict: Go, reason: wayOpens, value: "*", from: fromFlight},
	{name: "however fast: that is the delay's matter", rocket: "solo", set: "body/main.delay_s=2", branch: right, subject: "body", verdict: Go, reason: wayOpens, value: "*", from: fromFlight},
	{name: "nothing recorded", rocket: "solo", set: "drop=body/chute", branch: right, subject: "body", verdict: Unknown, reason: cannotJudge, missing: "recovery", from: fromKept},
	{name: "not said by what", rocket: "solo", set: "body/chute.by=", branch: right, subject: "body", verdict: Unknown, reason: cannotJudge, missing: "recovery", from: fromKept},
	{name: "a charge without anything", rocket: "solo", set: "body/chute.by=charge", branch: right, subject: "body", verdict: Unknown, reason: cannotJudge, missing: "igniter, line, trigger", from: fromKept},
	{name: "a plugged motor ejects nothing", rocket: "solo", set: "body/main.head_end=plugged", branch: right, subject: "body", verdict: NoGo, reason: wayNone, from: fromFlight},
	{name: "head end not known", rocket: "solo", set: "body/main.head_end=", branch: right, subject: "body", verdict: Unknown, reason: cannotJudge, missing: "head_end", from: fromKept},
	{name: "delay not known", rocket: "solo", set: "body/main.delay_s=", branch: right, subject: "body", verdict: Unknown, reason: cannotJudge, missing: "delay_s", from: fromKept},
	{name: "it hits the ground first", rocket: "solo", set: "body/main.delay_s=20", branch: right, subject: "body", verdict: NoGo, reason: wayLate, value: "*", from: fromFlight},
	{name: "no curve", rocket: "solo", set: "motor:soot.curve=", branch: right, subject: "body", verdict: Unknown, reason: cannotJudge, missing: "curve", from: fromKept},
	{name: "no curve, and none at all", rocket: "solo", set: "motor:soot.curve= body/main.head_end=plugged", branch: right, subject: "body", verdict: NoGo, reason: wayNone, from: fromKept},
	{name: "no drag of a part that comes off", rocket: "two", set: "sustainer.cd=", branch: unlit, subject: "sustainer", verdict: Unknown, reason: cannotJudge, missing: "cd", from: fromDesign},
	{name: "tumbling, 250 g", rocket: "flame", set: "booster.dry_mass_g=229", branch: right, subject: "booster", verdict: Caution, reason: wayTumbles, value: "250g", limit: "250g", from: fromFlight},
	{name: "tumbling, more", rocket: "flame", set: "booster.dry_mass_g=229.000001", branch: right, subject: "booster", verdict: NoGo, reason: wayTumblesHeavy, value: "250.000001g", limit: "250g", from: fromFlight},
	{name: "tumbling, nobody knows with what", rocket: "flame", set: "booster.dry_mass_g=", branch: right, subject: "booster", verdict: Unknown, reason: cannotJudge, missing: "dry_mass_g", from: fromKept},
	{name: "a stack does not tumble", rocket: "flame", set: "drop=sustainer/backup", branch: unlit, subject: "booster+sustainer", verdict: NoGo, reason: wayNone, from: fromFlight},
	{name: "unlit, with a backup: the booster", rocket: "two", branch: unlit, subject: "booster", verdict: Go, reason: wayOpens, value: "*", from: fromFlight},
	{name: "unlit, with a backup: the sustainer", rocket: "two", branch: unlit, subject: "sustainer", verdict: Go, reason: wayOpens, value: "*", from: fromFlight},
	{name: "unlit, without a backup", rocket: "two", set: "drop=sustainer/backup", branch: unlit, subject: "sustainer", verdict: NoGo, reason: wayNone, from: fromFlight},
	{name: "unlit, opened fast", rocket: "two", set: "booster/main.delay_s=2", branch: unlit, subject: "booster", verdict: Caution, reason: wayOpensFast, value: "*", limit: "20m/s", from: "ours: what the delay rule allows at most"},
	{name: "controller dead", rocket: "two", branch: dead, subject: "sustainer", verdict: Caution, reason: wayNone, from: fromFlight},
	{name: "battery flat", rocket: "two", branch: flat, subject: "sustainer", verdict: Caution, reason: wayNone, from: fromFlight},
	{name: "controller dead, opened too late", rocket: "two", set: "booster/main.delay_s=30", branch: dead, subject: "booster+sustainer", verdict: Caution, reason: wayLate, value: "*", from: fromFlight},
	{name: "a charge by height", rocket: "two", set: "sustainer/backup.trigger=height sustainer/backup.at_m=100 sustainer/backup.after_s=", branch: unlit, subject: "sustainer", verdict: Caution, reason: wayOpensFast, value: "*", limit: "20m/s", from: fromFlight},
	{name: "a charge by a height it never reaches", rocket: "two", set: "sustainer/backup.trigger=height sustainer/backup.at_m=500 sustainer/backup.after_s=", branch: unlit, subject: "sustainer", verdict: Go, reason: wayOpens, value: "0m/s", from: fromDesign},
	{name: "a charge by no height", rocket: "two", set: "sustainer/backup.trigger=height", branch: unlit, subject: "sustainer", verdict: Unknown, reason: cannotJudge, missing: "at_m", from: fromKept},
	{name: "a charge by time", rocket: "two", set: "sustainer/backup.trigger=timer sustainer/backup.at_s=5.5", branch: unlit, subject: "sustainer", verdict: Go, reason: wayOpens, value: "*", from: fromFlight},
	{name: "a charge by no time", rocket: "two", set: "sustainer/backup.trigger=timer", branch: unlit, subject: "sustainer", verdict: Unknown, reason: cannotJudge, missing: "at_s", from: fromKept},
	{name: "a charge at apogee", rocket: "two", set: "sustainer/backup.trigger=apogee sustainer/backup.after_s=", branch: unlit, subject: "sustainer", verdict: Go, reason: wayOpens, value: "0m/s", from: fromFlight},
	{name: "a charge without a trigger", rocket: "two", set: "sustainer/backup.trigger=", branch: unlit, subject: "sustainer", verdict: Unknown, reason: cannotJudge, missing: "trigger", from: fromKept},
	{name: "its line does not fire it", rocket: "two", set: "igniter:wick.all_fire_a=20", branch: unlit, subject: "sustainer", verdict: NoGo, reason: wayNone, from: fromDesign},
	{name: "its pulse is too short to fire it", rocket: "two", set: "igniter:wick.firing_impulse_a2s=900", branch: unlit, subject: "sustainer", verdict: NoGo, reason: wayNone, from: fromDesign},
	{name: "nobody knows whether its line fires it", rocket: "two", set: "igniter:wick.all_fire_a=", branch: unlit, subject: "sustainer", verdict: Unknown, reason: cannotJudge, missing: "all_fire_a", from: fromKept},
	{name: "its line has no battery", rocket: "two", set: "line:out.battery=", branch: unlit, subject: "sustainer", verdict: Unknown, reason: cannotJudge, missing: "battery", from: fromKept},
	{name: "its controller stays on the ground", rocket: "two", set: "line:out.controller=box line:out.output=", branch: unlit, subject: "sustainer", verdict: NoGo, reason: wayNone, from: fromDesign},
	{name: "its controller is nobody knows where", rocket: "two", set: "controller:tick.place=", branch: unlit, subject: "sustainer", verdict: Unknown, reason: cannotJudge, missing: "place", from: fromKept},
	{name: "nobody knows where, and dead", rocket: "two", set: "controller:tick.place=", branch: dead, subject: "sustainer", verdict: Caution, reason: wayNone, from: fromKept},
	{name: "opened while its motor burns", rocket: "two", set: "sustainer/backup.trigger=timer sustainer/backup.at_s=3.5 sustainer/backup.after_s=", branch: right, subject: "sustainer", verdict: NoGo, reason: wayPushed, value: "*", from: fromDesign},
	{name: "opened before its motor lights", rocket: "two", set: "sustainer/backup.trigger=timer sustainer/backup.at_s=3.1 sustainer/backup.after_s=", branch: right, subject: "sustainer", verdict: NoGo, reason: wayPushed, value: "*", from: fromDesign},
	{name: "tumbling, with a charge that opens later", rocket: "flame", set: "booster.dry_mass_g=300 booster/pop.by=charge booster/pop.opens=nose booster/pop.trigger=tilt booster/pop.after_s=1 booster/pop.line=out booster/pop.igniter=wick", branch: right, subject: "booster", verdict: Go, reason: wayOpens, value: "*", from: fromDesign},
	{name: "tumbling, with a charge that is dead", rocket: "flame", set: "booster/pop.by=charge booster/pop.opens=nose booster/pop.trigger=tilt booster/pop.after_s=1 booster/pop.line=out booster/pop.igniter=wick", branch: dead, subject: "booster", verdict: Caution, reason: wayTumbles, value: "*", limit: "250g", from: fromDesign},
	{name: "fired on board by what also opens the booster, after they came apart", rocket: "two", set: popped, branch: right, subject: "sustainer", verdict: NoGo, reason: wayElsewhere, value: "*", from: fromDesign},
	{name: "the same of the booster", rocket: "two", set: popped, branch: right, subject: "booster", verdict: NoGo, reason: wayElsewhere, value: "*", from: fromDesign},
	{name: "a charge that parts the stages may hang on it", rocket: "two", set: popped + " booster/pop.trigger=timer booster/pop.at_s=2 booster/pop.after_s=", branch: right, subject: "sustainer", verdict: Go, reason: wayOpens, value: "*", from: fromDesign},
	{name: "the whole hangs on the middle of the booster", rocket: "two", set: "drop=sustainer/backup booster/chute.opens=mid", branch: unlit, subject: "booster+sustainer", verdict: Caution, reason: wayCarries, value: "*", from: fromDesign},
	{name: "a booster's nose is the interstage", rocket: "two", set: "drop=sustainer/backup booster/chute.opens=nose", branch: unlit, subject: "sustainer", verdict: NoGo, reason: wayNone, from: fromDesign},
	{name: "so is what a booster's charge opens, where nobody says", rocket: "two", set: "drop=sustainer/backup drop=booster/chute booster/pop.by=charge booster/pop.trigger=tilt booster/pop.line=out booster/pop.igniter=wick", branch: unlit, subject: "sustainer", verdict: NoGo, reason: wayNone, from: fromDesign},
	{name: "low", rocket: "solo", set: "limit:way-down.least_m=5000", branch: right, subject: "body", verdict: Caution, reason: wayLow, value: "*", limit: "5000m", from: fromDesign},
	{name: "tumbling with a live motor", rocket: "two", set: "drop=sustainer/backup sustainer/chute.by=tumble", branch: unlit, subject: "sustainer", verdict: NoGo, reason: wayTumblesLive, from: fromDesign},
	{name: "tumbling with a live motor since a controller is dead", rocket: "two", set: "drop=sustainer/backup sustainer/chute.by=tumble", branch: dead, subject: "sustainer", verdict: Caution, reason: wayTumblesLive, from: fromDesign},
	{name: "the only open motor of the booster unlit", rocket: "flame", set: sideBySide, branch: "booster/main does not light", subject: "booster+sustainer", verdict: Go, reason: wayOpens, value: "*", from: fromDesign},
	{name: "the others of a cluster eject", rocket: "trio", branch: "one of 3 motors in body/ring does not light", subject: "body", verdict: Go, reason: wayOpens, value: "*", from: fromFlight},
}

func TestWayDown(t *testing.T) { checkFlightRows(t, WayDown, wayRows) }

// The backup charge: bore 47 mm, 150 mm long, 0.25 g. 1 g makes 841.2 kPa there.
var chargeRows = []flightRow{
	{name: "enough", rocket: "two", subject: "sustainer/backup", verdict: Go, reason: chargeEnough, value: "*", limit: "68.947573kPa", from: fromFlight},
	{name: "under 10 psi", rocket: "two", set: "sustainer/backup.powder_g=0.08", subject: "sustainer/backup", verdict: Caution, reason: chargeThin, value: "*", limit: "68.947573kPa", from: fromFlight},
	{name: "under 5 psi", rocket: "two", set: "sustainer/backup.powder_g=0.04", subject: "sustainer/backup", verdict: NoGo, reason: chargeLittle, value: "*", limit: "68.947573kPa", from: fromFlight},
	{name: "twice what is recommended: 0.2 g is the least", rocket: "two", set: "sustainer/backup.powder_g=0.4", subject: "sustainer/backup", verdict: Go, reason: chargeEnough, value: "*", limit: "68.947573kPa", from: fromFlight},
	{name: "more than twice", rocket: "two", set: "sustainer/backup.powder_g=0.400001", subject: "sustainer/backup", verdict: Caution, reason: chargeOver, value: "0.400001g", limit: "0.4g", from: fromFlight},
	{name: "more force than the user's limit", rocket: "two", set: "sustainer/backup.force_limit_n=300", subject: "sustainer/backup", verdict: NoGo, reason: chargeForce, value: "*", limit: "300N", from: fromFlight},
	{name: "pins shear", rocket: "two", set: "sustainer/backup.pins=2 sustainer/backup.pin_n=60", subject: "sustainer/backup", verdict: Go, reason: pinsShear, value: "*", limit: "180N", from: fromFlight},
	{name: "pins shear thinly", rocket: "two", set: "sustainer/backup.pins=3 sustainer/backup.pin_n=100", subject: "sustainer/backup", verdict: Caution, reason: pinsThin, value: "*", limit: "450N", from: fromFlight},
	{name: "pins hold", rocket: "two", set: "sustainer/backup.pins=4 sustainer/backup.pin_n=100", subject: "sustainer/backup", verdict: NoGo, reason: pinsHold, value: "*", limit: "600N", from: fromFlight},
	{name: "pins shear, with much powder", rocket: "two", set: "sustainer/backup.pins=2 sustainer/backup.pin_n=20 sustainer/backup.powder_g=0.400001", subject: "sustainer/backup", verdict: Caution, reason: chargeOver, value: "0.400001g", limit: "0.4g", from: fromDesign},
	{name: "pin force not measured", rocket: "two", set: "sustainer/backup.pins=2", subject: "sustainer/backup", verdict: Unknown, reason: cannotJudge, missing: "pin_n", from: fromFlight},
	{name: "number of pins not known, but measured", rocket: "two", set: "sustainer/backup.pin_n=60", subject: "sustainer/backup", verdict: Unknown, reason: cannotJudge, missing: "pins", from: fromKept},
	{name: "a pinned joint without a word of its pins", rocket: "two", set: "booster.joint=pinned sustainer/backup.opens=interstage", subject: "sustainer/backup", verdict: Unknown, reason: cannotJudge, missing: "pin_n, pins", from: fromKept},
	{name: "no pins, in a pinned joint", rocket: "two", set: "booster.joint=pinned sustainer/backup.opens=interstage sustainer/backup.pins=0", subject: "sustainer/backup", verdict: Unknown, reason: cannotJudge, missing: "pin_n, pins", from: fromKept},
	{name: "no pins, in a joint that is not pinned", rocket: "two", set: "sustainer/backup.pins=0", subject: "sustainer/backup", verdict: Go, reason: chargeEnough, value: "*", limit: "68.947573kPa", from: fromFlight},
	{name: "no powder", rocket: "two", set: "sustainer/backup.powder_g=", subject: "sustainer/backup", verdict: Unknown, reason: cannotJudge, missing: "powder_g", from: fromKept},
	{name: "no bore", rocket: "two", set: "sustainer/backup.bore_mm=", subject: "sustainer/backup", verdict: Unknown, reason: cannotJudge, missing: "bore_mm", from: fromKept},
	{name: "no length", rocket: "two", set: "sustainer/backup.length_mm=", subject: "sustainer/backup", verdict: Unknown, reason: cannotJudge, missing: "length_mm", from: fromKept},
	{name: "no curve: said all the same", rocket: "two", set: "motor:soot.curve= motor:amber.curve=", subject: "sustainer/backup", verdict: Go, reason: chargeEnough, value: "*", limit: "68.947573kPa", from: fromKept},
	{name: "no charge: not asked", rocket: "solo", silent: true, from: fromFlight},
}

func TestEjectionCharge(t *testing.T) { checkFlightRows(t, EjectionCharge, chargeRows) }

var armingRows = []flightRow{
	{name: "a switch", rocket: "two", subject: "tick", verdict: Go, reason: armingSafe, from: fromArming},
	{name: "a pin", rocket: "two", set: "controller:tick.arming=pin", subject: "tick", verdict: Go, reason: armingSafe, from: fromArming},
	{name: "none, in a model", rocket: "two", set: "controller:tick.arming=none", subject: "tick", verdict: Caution, reason: armingModel, from: fromArming},
	{name: "none, above 1500 g", rocket: "two", set: "controller:tick.arming=none booster.dry_mass_g=1295.1", subject: "tick", verdict: NoGo, reason: armingNone, from: fromClass1},
	{name: "none, a motor of 160 N s", rocket: "two", set: "controller:tick.arming=none motor:soot.curve=6.55", subject: "tick", verdict: Caution, reason: armingModel, from: fromClass1},
	{name: "none, a motor above G", rocket: "two", set: "controller:tick.arming=none motor:soot.curve=6.7", subject: "tick", verdict: NoGo, reason: armingNone, from: fromClass1},
	{name: "none, and nobody knows the mass", rocket: "two", set: "controller:tick.arming=none booster.dry_mass_g=", subject: "tick", verdict: Unknown, reason: cannotJudge, missing: "dry_mass_g", from: fromKept},
	{name: "none, nobody knows where, in a model", rocket: "two", set: "controller:tick.arming=none controller:tick.place=", subject: "tick", verdict: Caution, reason: armingModel, assumed: "place", from: fromKept},
	{name: "none, nobody knows where, above 1500 g", rocket: "two", set: "controller:tick.arming=none controller:tick.place= booster.dry_mass_g=1295.1", subject: "tick", verdict: Unknown, reason: armingNone, assumed: "place", missing: "place", from: fromKept},
	{name: "not known", rocket: "two", set: "controller:tick.arming=", subject: "tick", silent: true, skipped: "arming", from: fromKept},
	{name: "at the pad: not asked", rocket: "two", set: "controller:box.arming=none", subject: "box", silent: true, from: fromArming},
}

func TestArming(t *testing.T) { checkFlightRows(t, Arming, armingRows) }

var distanceRows = []flightRow{
	{name: "a single motor", rocket: "solo", subject: "solo", verdict: Go, reason: distanceFor, value: "100ft", from: fromTable},
	{name: "a cluster", rocket: "trio", subject: "trio", verdict: Go, reason: distanceFor, value: "200ft", from: fromTable},
	{name: "staged", rocket: "two", subject: "two", verdict: Go, reason: distanceFor, value: "200ft", from: fromTable},
	{name: "another table", rocket: "solo", set: "settings.distance_table=19-ccr-1036", subject: "solo", verdict: Go, reason: distanceFor, value: "30ft", from: fromTable},
	{name: "a table there is none of", rocket: "solo", set: "settings.distance_table=mine", subject: "solo", verdict: Caution, reason: distanceUnnamed, value: "200ft", from: fromTable},
	{name: "beyond the table", rocket: "solo", set: "settings.distance_table=other-national-body motor:soot.curve=60", subject: "solo", verdict: Unknown, reason: distanceBeyond, from: fromTable},
	{name: "no curve", rocket: "solo", set: "motor:soot.curve=", subject: "solo", verdict: Unknown, reason: cannotJudge, missing: "curve", from: fromKept},
}

func TestSafetyDistance(t *testing.T) { checkFlightRows(t, SafetyDistance, distanceRows) }

// TestDistanceTables: the edges of each table as published (docs/sources.md, quoted).
func TestDistanceTables(t *testing.T) {
	for _, row := range []struct {
		table, impulse string
		single, many   string // empty: beyond
	}{
		{"national-body", "0.1", "100ft", "200ft"},
		{"national-body", "1280", "100ft", "200ft"},
		{"national-body", "1280.001", "200ft", "300ft"},
		{"national-body", "2560", "200ft", "300ft"},
		{"national-body", "5120", "300ft", "500ft"},
		{"national-body", "5120.001", "500ft", "1000ft"},
		{"national-body", "10240", "500ft", "1000ft"},
		{"national-body", "20480", "1000ft", "1500ft"},
		{"national-body", "40960", "1500ft", "2000ft"},
		{"national-body", "40960.1", "", ""},
		{"model-rocket-code", "20", "15ft", "15ft"},
		{"model-rocket-code", "20.001", "30ft", "30ft"},
		{"model-rocket-code", "160", "30ft", "30ft"},
		{"model-rocket-code", "160.001", "", ""},
		{"other-national-body", "1280", "200ft", "250ft"},
		{"other-national-body", "1281", "", ""},
		{"19-ccr-1036", "320", "30ft", "30ft"},
		{"19-ccr-1036", "320.001", "150ft", "150ft"},
		{"19-ccr-1036", "1280", "150ft", "150ft"},
		{"19-ccr-1036", "2560", "200ft", "200ft"},
		{"19-ccr-1036", "5120", "300ft", "300ft"},
		{"19-ccr-1036", "10240", "500ft", "500ft"},
		{"19-ccr-1036", "20480", "1000ft", "1000ft"},
		{"19-ccr-1036", "20481", "", ""},
	} {
		table, ok := distanceTable(row.table)
		if !ok {
			t.Fatalf("there is no table %s", row.table)
		}
		for many, want := range map[bool]string{false: row.single, true: row.many} {
			got, ok := table.At(parse(t, row.impulse, quantity.One).Float(), many)
			if ok != (want != "") || ok && got != parse(t, want, quantity.Metre) {
				t.Errorf("%s, %s N s, %v: %d, not %s", row.table, row.impulse, many, got, want)
			}
		}
	}
	if table, ok := distanceTable(""); !ok || table.Name != "national-body" {
		t.Error("the default is not the first")
	}
	if _, ok := distanceTable("mine"); ok {
		t.Error("there is a table that there is not")
	}
}

// TestDistanceSaysWhichTable: the finding cites the table that spoke.
func TestDistanceSaysWhichTable(t *testing.T) {
	for set, want := range map[string]string{"": "as tabulated by a club", "settings.distance_table=19-ccr-1036": "19 CCR 1036"} {
		r := checkScene(t, "solo", set)
		f, ok := findingOf(said(&r, ""), SafetyDistance, "solo")
		if !ok || !strings.Contains(f.Source(), want) {
			t.Errorf("%q: %s", set, f.Source())
		}
	}
}
