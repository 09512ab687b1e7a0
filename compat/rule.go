package compat

// Rule names a rule.
type Rule uint8

// The rules, in the order in which findings are given.
const (
	ThroatClearance Rule = iota + 1
	IgnitionEnergy
	LeadReach
	FiringCurrent
	ClusterFiring
	ContinuityCurrent
	SupplyVoltage
	SharedBattery
	BatteryPulse
	TimeToFire
	ShelfLife
	Certification
	InStock
	MotorMount
	ThrustToWeight
	RailSpeed
	Delay
	BurnThrough
	StagingWindow
	TimerStart
	WayDown
	EjectionCharge
	Arming
	SafetyDistance
	OutputUse
)

// Where limits come from. CFR and NASA documents are spacecraft range rules: no
// hobby code states any, and they are adopted here as defaults.
const (
	commonPractice = "common practice"
	ours           = "ours"
	rangeFiring    = "14 CFR 417 D417.19"
	rangeTest      = "14 CFR 417 D417.21; NASA-STD-8719.24"
	highPowerCode  = "High Power Rocket Safety Code"
)

// ruleTable gives each rule its name in files, the source of its limits, and
// what is said in two words of an igniter that fails it.
var ruleTable = [...]struct{ name, source, fails string }{
	ThroatClearance:   {"throat-clearance", commonPractice, "too wide"},
	IgnitionEnergy:    {"ignition-energy", commonPractice, "too weak"},
	LeadReach:         {"lead-reach", commonPractice, "leads too short"},
	FiringCurrent:     {"firing-current", rangeFiring, "not fired by the line"},
	ClusterFiring:     {"cluster-firing", ours, "not in a cluster"},
	ContinuityCurrent: {"continuity-current", rangeTest, "unsafe to test"},
	SupplyVoltage:     {"supply-voltage", ours, "supply fails"},
	SharedBattery:     {"shared-battery", ours, ""},
	BatteryPulse:      {"battery-pulse", ours, "too much current"},
	TimeToFire:        {"time-to-fire", ours, "too slow"},
	ShelfLife:         {"shelf-life", "the lot's last day, as recorded", ""},
	Certification:     {"certification", "the body in your settings", ""},
	InStock:           {"stock", "the ledger", ""},
	MotorMount:        {"motor-mount", commonPractice, ""},
	ThrustToWeight:    {"thrust-to-weight", "5: common practice; 3: safety code (from memory)", ""},
	RailSpeed:         {"rail-speed", commonPractice, ""},
	Delay:             {"delay", ours, ""},
	BurnThrough:       {"burn-through", commonPractice, ""},
	StagingWindow:     {"staging-window", ours, ""},
	TimerStart:        {"timer-start", ours, ""},
	WayDown:           {"way-down", ours, ""},
	EjectionCharge:    {"ejection-charge", ours, ""},
	Arming:            {"arming", highPowerCode, ""},
	SafetyDistance:    {"safety-distance", "safety code, as quoted by a club", ""},
	OutputUse:         {"output-use", ours, ""},
}

// String is the rule's name in files.
func (r Rule) String() string { return ruleTable[r].name }

// RuleNames lists the names of all rules.
func RuleNames() []string {
	names := make([]string, 0, len(ruleTable)-1)
	for _, r := range ruleTable[1:] {
		names = append(names, r.name)
	}
	return names
}

// Fails says in two words what is wrong with an igniter that fails the named
// rule, empty where nothing short can be said.
func Fails(name string) string {
	for _, r := range ruleTable {
		if r.name == name {
			return r.fails
		}
	}
	return ""
}
