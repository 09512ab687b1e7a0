package compat

// The rules, in the order in which findings are given. To add one: its file,
// its name in rule.go, and a line here.
var (
	pairRules = []func(*Pair, *Limits, *Findings){
		throatClearance,
		ignitionEnergy,
		leadReach,
	}
	circuitRules = []func(*Circuit, *Limits, *Findings){
		firingCurrent,
		clusterFiring,
		continuityCurrent,
		supplyVoltage,
		batteryPulse,
		timeToFire,
	}
	lotRules = []func(*LotUse, *Limits, *Findings){
		shelfLife,
		certification,
	}
	flightRules = []func(*craft, *RocketReport){
		outputUse,
		litTogether,
		sharedBattery,
		motorMount,
		thrustToWeight,
		railSpeed,
		delay,
		burnThrough,
		stagingWindow,
		timerStart,
		ejectionCharge,
		backupCharge,
		arming,
		safetyDistance,
	}
)
