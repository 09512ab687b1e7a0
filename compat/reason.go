package compat

// reason is which line of a rule decided; it becomes text only when shown.
type reason uint8

const (
	cannotJudge reason = iota
	contradicts
	// throat-clearance
	clears
	clearsTightly
	clearsWorn
	tooWide
	// ignition-energy
	heatMeets
	heatSupplied
	heatFarAbove
	heatSmallComposite
	heatUnderInferred
	heatUnder
	heatLowComposite
	// lead-reach
	reaches
	reachesSpliced
	reachTooShort
	// firing-current
	fires
	firesRecommended
	firesBelowRecommended
	firesThinly
	firesNot
	dischargeThin
	dischargeNot
	// cluster-firing
	clusterFires
	clusterBlackPowder
	clusterThin
	clusterUnder
	clusterMixedPropellants
	clusterSeries
	clusterMixedSeries
	// continuity-current
	testHarmless
	testMaker
	testHigh
	testDangerous
	// supply-voltage
	supplyHolds
	supplyBridged
	supplyOutlasted
	supplyThin
	supplyShorted
	supplyFails
	supplyUnbridged
	// battery-pulse
	pulseWithin
	pulseNear
	pulseAbove
	outputWithin
	outputNear
	outputAbove
	// time-to-fire
	timeEnough
	timeThin
	timeShort
	timeNever
	// shelf-life
	shelfGood
	shelfForever
	shelfUndated
	shelfPast
	// certification
	certifiedGood
	certifiedPast
	certifiedOther
	// shared-battery
	sharedBoth
	sharedShorted
	sharedIdle
	// motor-mount
	mountFits
	mountAdapter
	mountLonger
	mountLarger
	mountHeadEnd
	mountDelay
	mountEntry
	// thrust-to-weight and rail-speed
	thrustEnough
	thrustThin
	thrustLittle
	neverLeaves
	railFast
	railSlow
	railWind
	railTooSlow
	// delay
	delaySoft
	delayFast
	delayTooFast
	// burn-through
	burnsThrough
	burnStopped
	burnComposite
	burnClosed
	burnFar
	burnEarly
	// staging-window
	stagingRight
	stagingOverlaps
	stagingSlow
	stagingUninhibited
	stagingUninhibitedPropellant
	stagingGround
	stagingOffStep
	stagingSlips
	stagingEarly
	stagingLate
	stagingTooSlow
	stagingNoStep
	// timer-start
	timerStarts
	timerStartsNot
	// way-down
	wayOpens
	wayOpensFast
	wayTumbles
	wayTumblesHeavy
	wayNone
	wayLate
	wayPushed
	wayElsewhere
	wayCarries
	wayLow
	wayTumblesLive
	// ejection-charge
	chargeEnough
	chargeThin
	chargeOver
	chargeLittle
	chargeForce
	pinsShear
	pinsThin
	pinsHold
	backupRight
	backupSameLine
	backupTogether
	backupLate
	backupLight
	backupHeavy
	// arming
	armingSafe
	armingModel
	armingNone
	// safety-distance
	distanceFor
	distanceUnnamed
	distanceBeyond
	// output-use
	outputRight
	outputMoments
	outputForMotor
	outputForCharge
	outputLines
)

// reasons holds the words. Remedies never touch a nozzle, a motor or a head.
var reasons = [...]struct{ why, remedy string }{
	cannotJudge: {"cannot be judged without {missing}", ""},
	contradicts: {"the figures of the line contradict each other, such as a battery that was read below its low_v", "recharge or replace the battery and read it again; or compare the figures of the line"},

	clears:        {"{value} to spare; {limit} is asked", ""},
	clearsTightly: {"only {value} to spare; {limit} is asked", "measure this very throat and this very head; or take a thinner igniter"},
	clearsWorn:    {"{value} to spare, but in the throat of a fired motor, which has worn", "measure the throat of a new motor"},
	tooWide:       {"{over} too wide for the passage", "take a thinner igniter"},

	heatMeets:          {"{value} output; {limit} is asked", ""},
	heatSupplied:       {"it is the igniter that comes with the motor", ""},
	heatFarAbove:       {"{value} output on black powder that asks for {limit}", "a cooler igniter does"},
	heatSmallComposite: {"high output on a small composite motor that does not ask for it", "a medium output does"},
	heatUnderInferred:  {"{value} output; a motor of this kind is thought to ask for {limit}", "take a hotter igniter, or record what ignition the motor asks for"},
	heatUnder:          {"{value} output, but the motor asks for {limit}", "take a hotter igniter"},
	heatLowComposite:   {"a low output does not light composite propellant", "take a hotter igniter"},

	reaches:        {"{value} of lead; {limit} is needed", ""},
	reachesSpliced: {"{value} of lead where {limit} is needed", "splice on {extra}, solder and insulate it, and measure the whole"},
	reachTooShort:  {"{value} of own lead; the splice would lie in the nozzle or core, {limit} is the least", "take an igniter with longer leads"},

	fires:                 {"{value} on a bad day; {limit} is asked", ""},
	firesRecommended:      {"{value} on a bad day; the maker's firing current is {limit}", ""},
	firesBelowRecommended: {"{value} on a bad day, below the maker's firing current of {limit}; how much that lacks of all-fire is not known", "use a stronger battery or a shorter or thicker lead"},
	firesThinly:           {"{value} on a bad day; it fires at {extra}, but {limit} is asked", "use a stronger battery, a shorter or thicker lead, or fewer igniters"},
	firesNot:              {"{value} on a bad day; it needs {extra} to fire, and {limit} is asked", "use a stronger battery, a shorter or thicker lead, or fewer igniters"},
	dischargeThin:         {"the capacitor gives {value} through the igniter; {limit} is asked", "use an igniter that asks for less, or a larger capacitor"},
	dischargeNot:          {"the capacitor gives {value} through the igniter, which is less than it takes; {limit} is asked", "use an igniter that asks for less, or a larger capacitor"},

	clusterFires:            {"{value} through the least favoured; {limit} is asked of a cluster", ""},
	clusterBlackPowder:      {"{value} through the least favoured; enough for black powder, {limit} would serve composites", ""},
	clusterThin:             {"{value} through the least favoured; {limit} is asked of a cluster", "use a stronger battery, a shorter or thicker lead, or fewer igniters"},
	clusterUnder:            {"{value} through the least favoured, which may stay unlit; {limit} is asked of a cluster", "use a stronger battery, a shorter or thicker lead, or fewer igniters"},
	clusterMixedPropellants: {"black powder and composite lit together: the composite comes up later, and the rocket leaves on the others", "use one propellant, or light the composites first"},
	clusterSeries:           {"in series the first igniter to open takes the current from the others", "wire them in parallel"},
	clusterMixedSeries:      {"igniters of different types in series: the quick one opens before the slow one fires", "wire them in parallel, or use one type"},

	testHarmless:  {"{value} of continuity current at most; up to {limit} is harmless", ""},
	testMaker:     {"{value} of continuity current at most; the maker allows {limit}", ""},
	testHigh:      {"{value} of continuity current; {limit} is asked", "stand clear as for a launch while continuity is shown, or use another controller"},
	testDangerous: {"{value} of continuity current comes near what can fire it; {limit} is asked", "do not connect it to this controller: checking continuity may fire it"},

	supplyHolds:     {"the supply falls to {value}; {limit} is asked", ""},
	supplyOutlasted: {"the electronics bridge a lost supply for longer than the pulse", ""},
	supplyBridged:   {"the supply falls to {value}, and the electronics bridge the pulse", ""},
	supplyThin:      {"the supply falls to {value}; {limit} is asked", "use a stronger battery, or give the electronics their own"},
	supplyShorted:   {"the supply falls to {value}, and to {extra} if an igniter shorts after firing; {limit} is asked", "limit the current, or give the electronics their own battery"},
	supplyFails:     {"the supply falls to {value}, below what the electronics need, for longer than they bridge; {limit} is asked", "use a stronger battery, or give the electronics their own"},
	supplyUnbridged: {"the supply falls to {value}, below what the electronics need; {limit} is asked", "give the electronics their own battery"},

	pulseWithin:  {"{value} at most; up to {limit} is asked", ""},
	pulseNear:    {"{value} at most, near what the battery can give; up to {limit} is asked", "use a battery for a greater pulse current"},
	pulseAbove:   {"{value} is more than the battery can give; up to {limit} is asked", "use a battery for a greater pulse current, or fewer igniters"},
	outputWithin: {"{value} at most through the output; less than {limit} is asked", ""},
	outputNear:   {"{value} is just what the output stands; less than {limit} is asked", "use fewer igniters, or another output"},
	outputAbove:  {"{value} harms the output; less than {limit} is asked", "use fewer igniters, or another output"},

	timeEnough: {"fires after {value}; up to {limit} is asked", ""},
	timeThin:   {"fires after {value}, late in the pulse; up to {limit} is asked", "use a longer pulse or more current"},
	timeShort:  {"would fire after {value}, when the pulse of {extra} is over", "use a longer pulse or more current"},
	timeNever:  {"the current is too small ever to fire it within the pulse of {extra}", "use more current"},

	shelfGood:    {"good to its last day", ""},
	shelfForever: {"keeps for ever, as recorded", ""},
	shelfUndated: {"has no last day", "read the date on the pack, or mark the lot as keeping for ever"},
	shelfPast:    {"is past its last day", "do not fly it; ask the maker or your club how to dispose of it"},

	certifiedGood:  {"certified to its last day", ""},
	certifiedPast:  {"its certification has ended", "ask the certification body whether it may still be flown"},
	certifiedOther: {"certified by another body", "ask the certification body whether it may be flown"},

	sharedBoth:    {"{value} on a bad day, whatever the other line on its battery does; {limit} is asked", ""},
	sharedShorted: {"{value} on a bad day if the other line on its battery is shorted after firing; {limit} is asked", "give it a battery of its own, or outputs that end their pulse"},
	sharedIdle:    {"{value} on a bad day, even with the other line on its battery idle; {limit} is asked", "use a stronger battery, or give it one of its own"},

	mountFits:    {"a motor of {value} in a mount of {limit}", ""},
	mountAdapter: {"a motor of {value} is loose in a mount of {limit}", "use an adapter that is made for it"},
	mountLonger:  {"the motor is {value} long, the mount {limit}", "see that it sticks out aft and that its hook or retainer still holds"},
	mountLarger:  {"a motor of {value} does not go into a mount of {limit}", "take a motor of the mount's size"},
	mountHeadEnd: {"the motor cannot be had with the forward end that the mount asks for", "take a motor that can be had so"},
	mountDelay:   {"the motor cannot be had with a delay of {value}", "record a delay that it comes with"},
	mountEntry:   {"the igniter goes in through the head, where this motor has its delay and ejection charge", "put it in through the nozzle, or take a plugged motor made for it"},

	thrustEnough: {"average thrust {value} times the weight; {limit} is asked", ""},
	thrustThin:   {"average thrust {value} times the weight; {limit} is asked", "take a stronger motor or fly lighter, and only in calm air from a long rail"},
	thrustLittle: {"average thrust only {value} times the weight; {extra} is the least", "take a stronger motor, or fly lighter"},
	neverLeaves:  {"thrust does not exceed weight by enough: the rocket does not leave the pad", "take a stronger motor, or fly lighter"},
	railFast:     {"{value} off the rail; {limit} is asked", ""},
	railSlow:     {"{value} off the rail; {limit} is asked", "use a longer rail or a stronger motor, and wait for calm air"},
	railWind:     {"{value} off the rail; in this wind {limit} is asked", "wait for less wind, or use a longer rail"},
	railTooSlow:  {"{value} off the rail: the fins do not steer yet; {extra} is the least", "use a longer rail or a stronger motor"},

	delaySoft:    {"ejects at {value} at most, early or late; up to {limit} is asked", ""},
	delayFast:    {"ejects at up to {value}, early or late, and {extra} on time; up to {limit} is asked", "take the delay that comes nearest to the top"},
	delayTooFast: {"ejects at {value}, even on time; up to {limit} is asked", "take the delay that comes nearest to the top"},

	burnsThrough:  {"black powder to black powder over {value}; up to {limit} is asked", ""},
	burnStopped:   {"an igniter is recorded for the upper motor: its nozzle must be free for the booster's flame", "leave the igniter out, and hold the stages together with tape"},
	burnComposite: {"a booster's flame does not light composite, nor does composite burn through", "light the upper motor by a timer"},
	burnClosed:    {"no motor below is of the open kind: no flame comes through", "take a booster motor without delay, or light the upper motor by a timer"},
	burnEarly:     {"the flame comes through after {value}, while other motors below push on until {limit}", "take motors that burn out together, or light the upper motor by a timer"},
	burnFar:       {"the flame has {value} to cross; up to {limit} is known to work", "bring the motors together, with a vented tube between"},

	stagingOffStep:               {"the timer goes in steps of {limit}: it cannot be set to {value}", "record a setting that it has"},
	stagingRight:                 {"thrust begins at {value}, lift-off detection included, between burnout and the booster's ejection, with every tolerance against it", ""},
	stagingOverlaps:              {"thrust begins at {value}; with every tolerance against it that is {extra} outside the window", "set the timer into its window, or give the booster a longer delay"},
	stagingSlow:                  {"thrust may begin at only {value}; {limit} is asked", "light it earlier: slow, it leans into the wind"},
	stagingUninhibited:           {"nothing keeps the timer from lighting the upper motor of a rocket that leans, and this one weighs {value}; up to {limit} that is tolerated", "use a timer with a tilt, height or speed inhibit"},
	stagingUninhibitedPropellant: {"nothing keeps the timer from lighting the upper motor of a rocket that leans, and this one holds {value} of propellant; up to {limit} that is tolerated", "use a timer with a tilt, height or speed inhibit"},
	stagingGround:                {"its controller stays on the ground: it lights nothing in the air", "light it from a controller on board"},
	stagingSlips:                 {"a slip joint with {value} of coast: drag may part the stages early", "hold the joint by friction or pins"},
	stagingEarly:                 {"thrust begins at {value}, before the booster has burnt out at {limit}", "set the timer later"},
	stagingLate:                  {"thrust begins at {value}, after the booster has ejected or the top is reached at {limit}", "set the timer earlier, or give the booster a longer delay"},
	stagingTooSlow:               {"thrust begins at only {value}; {extra} is the least", "light it earlier"},
	stagingNoStep:                {"the timer goes in steps of {value}, and none of them lies in the window", "take another delay for the booster, or a finer timer"},

	timerStarts:    {"{value} for as long as it takes to start the timer; {limit} is asked", ""},
	timerStartsNot: {"{value} for as long as it takes to start the timer; {limit} is asked", "set the timer to start at less, or take a stronger motor"},

	wayOpens:        {"opens at {value}", ""},
	wayOpensFast:    {"opens at {value}, faster than {limit}: it may tear off", "bring the opening nearer to the top, or use what stands the shock"},
	wayTumbles:      {"tumbles down with {value}", "see that it is unstable and that nobody stands below"},
	wayTumblesHeavy: {"{value} is too heavy to tumble down; up to {limit} is allowed", "give it a parachute"},
	wayNone:         {"nothing brings it down", "add a charge on a line of its own that fires when the rocket tips over"},
	wayPushed:       {"opens at {value} before its motors have burnt out: it tears off, or turns the rocket over", "open it later"},
	wayElsewhere:    {"the controller that opens it also opens another part after they have come apart: it cannot go with both", "give each part a controller of its own"},
	wayCarries:      {"hangs whole on what brings down a stage of it, at {value}", "see that it is made for the whole, or part the stages first"},
	wayLow:          {"opens only {value} above the ground; {limit} is asked", "open it higher"},
	wayTumblesLive:  {"tumbles down with a motor in it that did not light", "add a charge on a line of its own that fires when the rocket tips over"},
	wayLate:         {"it reaches the ground at {value} before anything opens", "open it earlier"},

	chargeEnough: {"the powder makes {value}; {limit} is asked", ""},
	chargeThin:   {"the powder makes only {value}; {limit} is asked", "use more powder, and test it on the ground"},
	chargeOver:   {"{value} of powder is much; up to {limit} is asked", "use less powder, and test it on the ground"},
	chargeLittle: {"the powder makes only {value}, too little to open a joint; {limit} is asked", "use more powder, and test it on the ground"},
	chargeForce:  {"the powder pushes with {value}; your limit is {limit}", "use less powder, and fewer or weaker pins"},
	pinsShear:    {"the powder pushes with {value}; the pins ask for {limit}", ""},
	pinsThin:     {"the powder pushes with only {value}; the pins ask for {limit}", "use more powder, and test it on the ground"},
	pinsHold:     {"the powder pushes with only {value}, less than the pins hold; {limit} is asked", "use more powder or fewer pins, and test it on the ground"},

	backupRight:    {"on a line of its own; by another trigger or as much later, and as much stronger, as is asked", ""},
	backupSameLine: {"hangs on the line of what it backs up: one fault takes both", "give it a line and an output of its own"},
	backupTogether: {"fires {value} after what it backs up; {limit} is asked, or another trigger", "fire it later, so that both never push at once"},
	backupLate:     {"fires {value} after what it backs up; up to {limit} is asked", "fire it sooner, before the fall is fast"},
	backupLight:    {"{value} of powder; {limit} is asked of a backup", "use more powder than in what it backs up, and test it on the ground"},
	backupHeavy:    {"{value} of powder; up to {limit} is asked of a backup", "use less powder, and test it on the ground"},

	armingSafe:  {"kept safe by a switch or pin until it stands on the pad", ""},
	armingModel: {"live as soon as its battery is in", "put a switch in, and turn it on at the pad only"},
	armingNone:  {"live as soon as its battery is in, in a high-power rocket", "put a switch or pin in that is opened at the pad only"},

	distanceFor:     {"nobody nearer than {value}, by the table in use", ""},
	distanceUnnamed: {"there is no table of the name in your settings; the greatest distance of those there are is {value}", "name one of the tables there are in the settings"},
	distanceBeyond:  {"the impulse is beyond the table in use", "ask the launch officer and the authority"},

	outputRight:     {"what hangs on the output is what it is for, and fires at one moment", ""},
	outputMoments:   {"what hangs on its output is to fire at different moments, but an output fires once, and all of it", "give each an output and a line of its own"},
	outputForMotor:  {"a charge hangs on an output that is for a motor", "move it to an output for charges, and check both wires by their flags"},
	outputForCharge: {"a motor's igniter hangs on an output that is for a charge", "move it to an output for motors, and check both wires by their flags"},
	outputLines:     {"another line hangs on the same output: what both draw together is not worked out", "record them as one line"},
}
