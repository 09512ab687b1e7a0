package compat

import "testing"

const second = "sustainer/late.by=charge sustainer/late.backs_up=backup sustainer/late.opens=nose sustainer/late.igniter=wick "

var outputUseRows = []flightRow{
	{name: "a motor on an output for motors", rocket: "two", subject: "up", verdict: Go, reason: outputRight, from: fromFlight},
	{name: "a charge on an output for charges", rocket: "two", subject: "out", verdict: Go, reason: outputRight, from: fromFlight},
	{name: "a charge on an output for motors", rocket: "two", set: "line:out.output=motor line:up.output=charge", subject: "out", verdict: NoGo, reason: outputForMotor, from: fromFlight},
	{name: "a motor on an output for charges", rocket: "two", set: "line:out.output=motor line:up.output=charge", subject: "up", verdict: NoGo, reason: outputForCharge, from: fromFlight},
	{name: "a timer's motor and a charge on one line", rocket: "two", set: "sustainer/backup.line=up", subject: "up", verdict: NoGo, reason: outputMoments, from: fromFlight},
	{name: "motors at the pad and in the air on one line", rocket: "two", set: "sustainer/main.line=pad", subject: "pad", verdict: NoGo, reason: outputMoments, from: fromFlight},
	{name: "two charges, one later, on one line", rocket: "two", set: second + "sustainer/late.line=out sustainer/late.trigger=tilt sustainer/late.after_s=2", subject: "out", verdict: NoGo, reason: outputMoments, from: fromFlight},
	{name: "two charges by two triggers on one line", rocket: "two", set: second + "sustainer/late.line=out sustainer/late.trigger=apogee sustainer/late.after_s=1", subject: "out", verdict: NoGo, reason: outputMoments, from: fromFlight},
	{name: "two charges by two heights on one line", rocket: "two", set: second + "sustainer/backup.trigger=height sustainer/backup.at_m=100 sustainer/late.line=out sustainer/late.trigger=height sustainer/late.at_m=80 sustainer/late.after_s=1", subject: "out", verdict: NoGo, reason: outputMoments, from: fromFlight},
	{name: "two charges at one moment on one line", rocket: "two", set: second + "sustainer/late.line=out sustainer/late.trigger=tilt sustainer/late.after_s=1", subject: "out", verdict: Go, reason: outputRight, from: fromFlight},
	{name: "two charges, one at a moment nobody knows", rocket: "two", set: second + "sustainer/late.line=out", subject: "out", verdict: Go, reason: outputRight, from: fromKept},
	{name: "two lines on one output at two moments", rocket: "two", set: "line:pad.controller=tick line:pad.output=motor", subject: "pad", verdict: NoGo, reason: outputMoments, from: fromFlight},
	{name: "two lines on one output at one moment", rocket: "two", set: "line:pad.controller=tick line:pad.output=charge sustainer/late.by=charge sustainer/late.line=pad sustainer/late.igniter=wick sustainer/late.trigger=tilt sustainer/late.after_s=1 booster/main.line=", subject: "pad", verdict: Unknown, reason: outputLines, from: fromKept},
	{name: "which output, nobody says", rocket: "two", set: "line:out.output=", subject: "out", verdict: Unknown, reason: cannotJudge, missing: "output of the line", from: fromKept},
	{name: "outputs without a word what for", rocket: "two", set: "controller:tick.motor.role= controller:tick.charge.role=", subject: "out", silent: true, from: fromKept},
	{name: "a cluster on one line", rocket: "trio", subject: "pad", silent: true, from: fromFlight},
	{name: "no controller", rocket: "two", set: "line:out.controller=", subject: "out", silent: true, from: fromKept},
}

func TestOutputUse(t *testing.T) { checkFlightRows(t, OutputUse, outputUseRows) }

var togetherRows = []flightRow{
	{name: "black powder and composite by two lines", rocket: "solo", set: twoMotors + "body/second.motor=amber body/second.line=up", subject: "body", verdict: Caution, reason: clusterMixedPropellants, from: fromFlight},
	{name: "and one of them by no line yet", rocket: "solo", set: twoMotors + "body/second.motor=amber", subject: "body", verdict: Caution, reason: clusterMixedPropellants, from: fromFlight},
	{name: "black powder alone", rocket: "solo", set: twoMotors + "body/second.motor=soot body/second.line=up", subject: "body", silent: true, from: fromFlight},
	{name: "one propellant not known", rocket: "solo", set: twoMotors + "body/second.motor=amber body/second.line=up motor:amber.propellant=", subject: "body", silent: true, from: fromKept},
	{name: "at different moments", rocket: "two", subject: "sustainer", silent: true, from: fromFlight},
	{name: "on one line: said there", rocket: "solo", set: twoMotors + "body/second.motor=amber body/second.line=pad", subject: "body", silent: true, from: fromFlight},
}

const twoMotors = "body/second.mount_mm=24 body/second.by=pad body/second.igniter=wick "

func TestLitTogether(t *testing.T) { checkFlightRows(t, ClusterFiring, togetherRows) }

// The backup fires 1 s after the rocket tips over, with 0.25 g; late backs it up.
var backupRows = []flightRow{
	{name: "a charge behind a motor's own", rocket: "two", subject: "sustainer/backup", verdict: Go, reason: backupRight, from: fromFlight},
	{name: "another trigger, 1.2 times the powder", rocket: "two", set: own + "sustainer/late.trigger=apogee sustainer/late.powder_g=0.3", subject: "sustainer/late", verdict: Go, reason: backupRight, from: fromFlight},
	{name: "1 s later", rocket: "two", set: own + "sustainer/late.trigger=tilt sustainer/late.after_s=2 sustainer/late.powder_g=0.3", subject: "sustainer/late", verdict: Go, reason: backupRight, from: fromFlight},
	{name: "less than 1 s later", rocket: "two", set: own + "sustainer/late.trigger=tilt sustainer/late.after_s=1.999999 sustainer/late.powder_g=0.3", subject: "sustainer/late", verdict: Caution, reason: backupTogether, value: "0.999999s", limit: "1s", from: fromFlight},
	{name: "sooner", rocket: "two", set: own + "sustainer/late.trigger=tilt sustainer/late.powder_g=0.3", subject: "sustainer/late", verdict: Caution, reason: backupTogether, value: "-1s", limit: "1s", from: fromFlight},
	{name: "2 s later", rocket: "two", set: own + "sustainer/late.trigger=tilt sustainer/late.after_s=3 sustainer/late.powder_g=0.3", subject: "sustainer/late", verdict: Go, reason: backupRight, from: fromFlight},
	{name: "more than 2 s later", rocket: "two", set: own + "sustainer/late.trigger=tilt sustainer/late.after_s=3.000001 sustainer/late.powder_g=0.3", subject: "sustainer/late", verdict: Caution, reason: backupLate, value: "2.000001s", limit: "2s", from: fromFlight},
	{name: "two timers at one moment", rocket: "two", set: own + "sustainer/backup.trigger=timer sustainer/backup.at_s=9 sustainer/late.trigger=timer sustainer/late.at_s=10 sustainer/late.powder_g=0.3", subject: "sustainer/late", verdict: Caution, reason: backupTogether, value: "0s", limit: "1s", from: fromFlight},
	{name: "under 1.2 times the powder", rocket: "two", set: own + "sustainer/late.trigger=apogee sustainer/late.powder_g=0.299999", subject: "sustainer/late", verdict: Caution, reason: backupLight, value: "0.299999g", limit: "0.3g", from: fromFlight},
	{name: "1.5 times the powder", rocket: "two", set: own + "sustainer/late.trigger=apogee sustainer/late.powder_g=0.375", subject: "sustainer/late", verdict: Go, reason: backupRight, from: fromFlight},
	{name: "above 1.5 times the powder", rocket: "two", set: own + "sustainer/late.trigger=apogee sustainer/late.powder_g=0.375001", subject: "sustainer/late", verdict: Caution, reason: backupHeavy, value: "0.375001g", limit: "0.375g", from: fromFlight},
	{name: "on the same line", rocket: "two", set: second + "sustainer/late.line=out sustainer/late.trigger=apogee sustainer/late.powder_g=0.3", subject: "sustainer/late", verdict: Caution, reason: backupSameLine, from: fromFlight},
	{name: "nobody says which line", rocket: "two", set: second + "sustainer/late.trigger=apogee sustainer/late.powder_g=0.3 sustainer/late.bore_mm=47 sustainer/late.length_mm=150", subject: "sustainer/late", verdict: Unknown, reason: cannotJudge, missing: "line", from: fromKept},
	{name: "nobody says when", rocket: "two", set: own + "sustainer/late.powder_g=0.3", subject: "sustainer/late", verdict: Unknown, reason: cannotJudge, missing: "trigger", from: fromKept},
	{name: "behind a motor's own, nobody says which line", rocket: "two", set: "sustainer/backup.line=", subject: "sustainer/backup", verdict: Unknown, reason: cannotJudge, missing: "line", from: fromKept},
	{name: "nobody knows the powder", rocket: "two", set: own + "sustainer/late.trigger=apogee", subject: "sustainer/late", verdict: Unknown, reason: cannotJudge, missing: "powder_g", from: fromKept},
	{name: "it backs up nothing", rocket: "two", set: "sustainer/backup.backs_up=", subject: "sustainer/backup", verdict: Go, reason: chargeEnough, value: "*", limit: "68.947573kPa", from: fromFlight},
}

const own = second + "sustainer/late.line=pad sustainer/late.bore_mm=47 sustainer/late.length_mm=150 "

func TestBackupCharge(t *testing.T) { checkFlightRows(t, EjectionCharge, backupRows) }

// TestChargeWithPinsNotKnown: nothing is recommended for a joint whose pins nobody
// has counted, and the margin of the settings is what is recommended by.
func TestChargeWithPinsNotKnown(t *testing.T) {
	powder := func(set string) (float64, bool) {
		r := checkScene(t, "two", set)
		for _, s := range r.Stages {
			for _, c := range s.Charges {
				if p, ok := c.Computed.Get(); ok && c.Recovery == "backup" {
					return p.Kilograms(), true
				}
			}
		}
		return 0, false
	}
	if _, ok := powder("booster.joint=pinned sustainer/backup.opens=interstage"); ok {
		t.Error("powder is recommended for pins that nobody knows of")
	}
	const pins = "sustainer/backup.pins=3 sustainer/backup.pin_n=100 "
	once, _ := powder(pins)
	twice, ok := powder(pins + "limit:ejection-charge.pin_margin=3")
	if !ok || twice < 2*once*(1-1e-6) || twice > 2*once*(1+1e-6) {
		t.Errorf("twice the margin asks for %g kg, once for %g kg", twice, once)
	}
}
