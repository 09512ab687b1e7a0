package compat

import (
	"math/bits"
	"strings"
)

// Fact names a recorded figure that a rule rests on.
type Fact uint8

// The facts, named as in files.
const (
	factThroat Fact = iota
	factHead
	factLeadPair
	factOutput
	factPropellant
	factPropellantMass
	factDepth
	factCore
	factLead
	factLeadWire
	factAllFire
	factNoFire
	factBridge
	factBridgeTolerance
	factFiringImpulse
	factBattery
	factOpenCircuit
	factLowV
	factInternal
	factAged
	factController
	factOn
	factHoldup
	factCap
	factCapV
	factCapResistance
	factFiringLead
	factFiringWire
	factContact
	factSpliceWire
	factCertifiedUntil
	factRail
	factDiameter
	factLength
	factBore
	factDryMass
	factDrag
	factMountWidth
	factMotor
	factHeadEnd
	factDelay
	factIgnition
	factAt
	factGap
	factMotorMass
	factCurve
	factLag
	factTimerTolerance
	factDetectTime
	factRecovery
	factPowderMass
	factPinForce
	factIgniter
	factPlace
	factLineOutput
	factPins
	factFireLine
	factTrigger
	factAtHeight

	// From here on they only refine: without them a question is not asked, and no
	// verdict rests on them. No set holds these.
	firstRefinement
)

const (
	factPulseA Fact = firstRefinement + iota
	factMaxA
	factPulse
	factContinuity
	factSupply
	factBrownout
	factExpires
	factMountLength
	factStep
	factDetect
	factArming
	factWind
	factJoint
)

// factTable says for each fact its name in files and how to come by it.
var factTable = [...]struct{ name, how string }{
	factThroat:          {"throat_mm", "find the largest pin gauge that passes the nozzle of a new motor, without force"},
	factHead:            {"head_mm", "measure the head over its coating with a caliper, gently, at its widest"},
	factLeadPair:        {"lead_pair_mm", "measure the width of the insulated pair of leads"},
	factOutput:          {"output", "note whether its flame is low, medium or high, from the maker or a test firing"},
	factPropellant:      {"propellant", "read it on the motor's sheet; or record what ignition it asks for"},
	factPropellantMass:  {"propellant_g", "read the propellant mass on the motor's sheet"},
	factDepth:           {"depth_mm", "measure from the exit of the nozzle to the propellant with a soft rod, or read it on the motor's drawing"},
	factCore:            {"core_mm", "measure the core with a soft rod, or read it on the motor's drawing"},
	factLead:            {"lead_mm", "measure the leads from head to end"},
	factLeadWire:        {"lead_awg", "gauge the igniter's wire, or measure a metre of it with an ohm meter"},
	factAllFire:         {"all_fire_a", "read it on the igniter's sheet; or test-fire a sample"},
	factNoFire:          {"no_fire_a", "read it on the igniter's sheet"},
	factBridge:          {"bridge_ohm", "measure it behind a shield, with a meter whose test current is known to be harmless"},
	factBridgeTolerance: {"bridge_tol_pct", "measure ten of a lot behind a shield and note the spread"},
	factFiringImpulse:   {"firing_impulse_a2s", "read it on the igniter's sheet"},
	factBattery:         {"battery", "say which battery the line is fired from"},
	factOpenCircuit:     {"open_circuit_v", "measure the battery fresh, at rest"},
	factLowV:            {"low_v", "decide the voltage at rest below which you would not fly"},
	factInternal:        {"internal_ohm", "take two readings of the battery, at rest and under a known load"},
	factAged:            {"aged_internal_ohm", "take the two readings with a worn battery on a cold day"},
	factPulseA:          {"pulse_a", "read the greatest pulse current on the battery's sheet"},
	factController:      {"controller", "say which controller switches the line, and by which of its outputs"},
	factOn:              {"on_ohm", "measure the controller's voltage drop at a known current"},
	factMaxA:            {"max_a", "read the greatest output current in the controller's manual"},
	factPulse:           {"pulse_s", "read in the manual how long the output stays on"},
	factContinuity:      {"continuity_a", "measure the continuity current through a short, with a fresh battery and no igniter"},
	factSupply:          {"supply", "say whether the controller's electronics run from the firing battery (shared) or their own"},
	factBrownout:        {"brownout_v", "read in the manual the voltage at which the electronics fail"},
	factHoldup:          {"holdup_s", "read in the manual how long the electronics bridge a lost supply"},
	factCap:             {"cap_uf", "read the capacitance on the capacitor"},
	factCapV:            {"cap_v", "measure the voltage the capacitor is charged to"},
	factCapResistance:   {"cap_ohm", "read the capacitor's series resistance on its sheet"},
	factFiringLead:      {"lead_m", "measure the firing lead, one way"},
	factFiringWire:      {"lead_awg of the line", "gauge the wire of the firing lead"},
	factContact:         {"contact_ohm", "measure the clip pair closed on itself, and take off the meter's own leads"},
	factSpliceWire:      {"splice_awg", "gauge the wire that is spliced on"},
	factExpires:         {"expires", "read the date on the pack, or mark the lot as keeping for ever"},
	factCertifiedUntil:  {"certified_until", "look the motor up in the certification body's list"},
	factRail:            {"rail_m", "measure from the foot of the rail to its end, less the way from the lower guide to the upper"},
	factDiameter:        {"diameter_mm", "measure it with a caliper at its widest"},
	factLength:          {"length_mm", "measure a motor over all, a compartment only as far as it is free"},
	factBore:            {"bore_mm", "measure the inside of the compartment with a caliper"},
	factDryMass:         {"dry_mass_g", "weigh the stage without motors, with recovery, electronics, batteries and charges"},
	factDrag:            {"cd", "compare the height of a flight with an altimeter aboard, and change the figure until they agree"},
	factMountWidth:      {"mount_mm", "measure the inside of the mount with a caliper"},
	factMountLength:     {"mount_length_mm", "measure the mount from its aft end to the stop"},
	factMotor:           {"motor", "say which motor flies in the mount"},
	factHeadEnd:         {"head_end", "look at the forward end of the motor: delay, open or plugged"},
	factDelay:           {"delay_s", "read the delay on the motor"},
	factIgnition:        {"ignition", "say what lights the motor: the pad, a timer or the booster's flame"},
	factAt:              {"at_s", "read the setting back from the timer"},
	factGap:             {"gap_mm", "measure from the top of the booster's motor to the nozzle above it"},
	factMotorMass:       {"mass_g", "weigh the loaded motor"},
	factCurve:           {"curve", "attach the motor's thrust curve"},
	factLag:             {"lag_s", "time it on video, from current to thrust, over some firings"},
	factTimerTolerance:  {"tol_pct", "time the timer against a clock, over some runs, warm and cold"},
	factDetect:          {"detect_g", "read in the manual the acceleration that starts it"},
	factDetectTime:      {"detect_s", "read in the manual how long the acceleration must last"},
	factStep:            {"step_s", "read in the manual the step of its timer"},
	factArming:          {"arming", "say how it is kept safe on the way to the pad: switch, pin or none"},
	factRecovery:        {"recovery", "record what brings the stage down: what opens it and when, with line and igniter for a charge"},
	factPowderMass:      {"powder_g", "weigh the powder"},
	factPinForce:        {"pin_n", "pull one pin apart on a scale, some times, and note the greatest force"},
	factIgniter:         {"igniter", "say which igniter goes in"},
	factPlace:           {"place", "say where the controller sits: pad, onboard or bench"},
	factLineOutput:      {"output of the line", "say which of the controller's outputs the line hangs on"},
	factPins:            {"pins", "count the shear pins that hold the joint"},
	factFireLine:        {"line", "say which line fires it"},
	factTrigger:         {"trigger", "say when the charge fires: at apogee, on tilt, at a height or by a timer"},
	factAtHeight:        {"at_m", "read the height back from the controller"},
	factJoint:           {"joint", "say how the stage is joined to the one above: slip, friction or pinned"},
	factWind:            {"wind_m_s", "measure the wind on the day, at the rail"},
}

// String is the fact's name in files.
func (f Fact) String() string { return factTable[f].name }

// How says how to come by the fact.
func (f Fact) How() string { return factTable[f].how }

// Facts is a set of facts.
type Facts uint64

func one(f Fact) Facts {
	if f >= firstRefinement {
		panic("compat: a verdict rests on " + f.String() + ", which only refines")
	}
	return 1 << f
}

// Has tells whether the set holds a fact.
func (s Facts) Has(f Fact) bool { return s&one(f) != 0 }

// List is the facts of the set.
func (s Facts) List() []Fact {
	var list []Fact
	for ; s != 0; s &= s - 1 {
		list = append(list, Fact(bits.TrailingZeros64(uint64(s))))
	}
	return list
}

// Names is the names of the facts, as in files.
func (s Facts) Names() []string {
	names := []string{}
	for _, f := range s.List() {
		names = append(names, f.String())
	}
	return names
}

// String is the names, joined.
func (s Facts) String() string { return strings.Join(s.Names(), ", ") }

// how says how to come by the facts.
func (s Facts) how() string {
	var ways []string
	for _, f := range s.List() {
		ways = append(ways, f.How())
	}
	return strings.Join(ways, "; ")
}
