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
}
