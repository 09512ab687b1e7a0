package answer

import (
	"strings"

	"rangebox/compat"
	"rangebox/inventory/quantity"
)

// stepWords words what is to be minded and done; {of} is what it is about,
// {ready} how a controller becomes ready, {wait} how long to wait.
var stepWords = map[compat.StepID]string{
	compat.StepWadding:          "{of}: wadding between every charge and the parachute above it, with a baffle too",
	compat.StepWaddingNotListed: "no supply of a flight of {of} is called wadding",
	compat.StepGroundTest:       "{of}: test the charge on the ground before it flies",
	compat.StepLiveMotor:        "{of}: a stage that came down unlit is a live motor with an igniter in it: power off before anybody handles it",
	compat.StepDistance:         "nobody nearer than the safety code's distance for the installed impulse",

	compat.StepBatteryOut:      "{of}: battery out, outputs shunted",
	compat.StepTestIgniter:     "{of}: test its igniter with the head behind a shield",
	compat.StepWeighPowder:     "{of}: weigh the powder away from igniters and static; head buried in it, container tied",
	compat.StepFlagWires:       "{of}: flag each wire with its part and terminal; to its named terminal; tug it; a second pair of eyes on motor against charge, since crossing them is the worst error there is",
	compat.StepUpperIgniter:    "{of}: igniter in as far as it will go, and held there",
	compat.StepClose:           "close the airframe",
	compat.StepCheckAgain:      "{of}: check that igniter again, now that it is closed",
	compat.StepBatteryIn:       "{of}: battery in with the switch off, pointing away from everybody",
	compat.StepNothingSwitched: "nothing is switched on before the rocket stands on the pad",

	compat.StepRailUp:     "rail up; hands and face clear of every nozzle",
	compat.StepSwitchOn:   "switch on {of}",
	compat.StepWaitReady:  "wait for the ready sign of {of}{ready}",
	compat.StepPadIgniter: "{of}: igniter in as far as it will go, and plugged",
	compat.StepClipsLast:  "clips last",
	compat.StepContinuity: "continuity from a distance; the launch officer's order stands above this one",

	compat.StepInterlockOut: "interlock out",
	compat.StepWait:         "wait {wait}, which is longer than any timer could still run",
	compat.StepFromTheSide:  "approach from the side; circuits on board off first",
}

// stepText is a step in words.
func stepText(s compat.Step, system quantity.System) string {
	wait := ""
	if t, ok := s.Wait.Get(); ok {
		wait = quantity.Second.Text(int64(t), system)
	}
	return strings.NewReplacer("{of}", s.Subject, "{ready}", readiness(s, system), "{wait}", wait).Replace(stepWords[s.ID])
}

// readiness tells how long a controller takes and how it shows that it is ready.
func readiness(s compat.Step, system quantity.System) string {
	t, known := s.Ready.Get()
	switch {
	case known && s.Sign != "":
		return ": " + s.Sign + ", after " + quantity.Second.Text(int64(t), system)
	case known:
		return ", after " + quantity.Second.Text(int64(t), system)
	case s.Sign != "":
		return ": " + s.Sign + "; allow 20 to 30 s"
	}
	return ", as its manual has it; allow 20 to 30 s"
}
