package inventory

import (
	"fmt"
	"strings"

	"rangebox/inventory/quantity"
)

// Rocket is a rocket as it flies, stages from the lowest up.
type Rocket struct {
	Header
	Name     string
	Rail     quantity.Opt[quantity.Length]
	Supplies []SupplyUse
	Stages   []Stage
}

// SupplyUse is what one flight uses of a supply.
type SupplyUse struct {
	Item     Ref
	Quantity quantity.Opt[quantity.Number]
}

// Joint is what holds a stage to the one above.
type Joint uint8

// The joints there are.
const (
	SlipJoint Joint = iota + 1
	FrictionJoint
	PinnedJoint
)

// Stage is one stage: its body, motor mounts and ways down.
type Stage struct {
	Name     string
	Diameter quantity.Opt[quantity.Length]
	DryMass  quantity.Opt[quantity.Mass]
	Drag     quantity.Opt[quantity.Number]
	Joint    Joint
	Mounts   []Mount
	Recovery []Recovery
}

// Mount is a motor mount, or several alike.
type Mount struct {
	Name          string
	Count         quantity.Opt[quantity.Count]
	Width, Length quantity.Opt[quantity.Length]
	Motor         Ref
	Nozzle        string
	HeadEnd       HeadEnd
	Delay         quantity.Opt[quantity.Time]
	Igniter       Ref
	Ignition      *Ignition
}

// HeadEnd is what the motor in a mount has at its forward end; absent is unknown.
type HeadEnd uint8

// The head ends of a mount's motor.
const (
	EndDelay HeadEnd = iota + 1
	EndOpen
	EndPlugged
)

// LitBy is what lights a motor.
type LitBy uint8

// What lights motors.
const (
	LitAtPad LitBy = iota + 1
	LitByTimer
	LitByBurnThrough
)

// Entry is the end through which the igniter goes in; absent means aft.
type Entry uint8

// The ends of a motor.
const (
	EntryAft Entry = iota + 1
	EntryHead
)

// Ignition is how the motors of a mount are lit.
type Ignition struct {
	By                LitBy
	Line              Ref
	Entry             Entry
	Run, Tube, Splice quantity.Opt[quantity.Length]
	SpliceGauge       quantity.Opt[quantity.Gauge]
	At                quantity.Opt[quantity.Time]
	Gap               quantity.Opt[quantity.Length]
	Held              string
}

// RecoverBy is what opens a recovery device.
type RecoverBy uint8

// What opens recovery devices.
const (
	RecoverByMotor RecoverBy = iota + 1
	RecoverByCharge
	RecoverByTumble
)

// Opens is the joint that a recovery device opens.
type Opens uint8

// The joints that can open.
const (
	OpensNose Opens = iota + 1
	OpensInterstage
	OpensMid
)

// Trigger is what sets off a charge.
type Trigger uint8

// The triggers of charges.
const (
	TriggerApogee Trigger = iota + 1
	TriggerTilt
	TriggerTimer
	TriggerHeight
)

// Recovery is one way down of a stage.
type Recovery struct {
	Name                 string
	By                   RecoverBy
	Mount                string
	Opens                Opens
	Trigger              Trigger
	At                   quantity.Opt[quantity.Time]
	AtHeight             quantity.Opt[quantity.Length]
	After                quantity.Opt[quantity.Time]
	BacksUp              string
	Line                 Ref
	Run                  quantity.Opt[quantity.Length]
	Igniter              Ref
	Count                quantity.Opt[quantity.Count]
	Powder               Ref
	PowderMass           quantity.Opt[quantity.Mass]
	Container            string
	Bore, Length         quantity.Opt[quantity.Length]
	Target               quantity.Opt[quantity.Pressure]
	Pins                 quantity.Opt[quantity.Count]
	PinForce, ForceLimit quantity.Opt[quantity.Force]
}

// Kind is KindRocket.
func (*Rocket) Kind() Kind { return KindRocket }

// mostAlike is how many mounts, or igniters of one charge, are taken (ours): more
// is a slip.
const mostAlike = 99

var ignitionTable = &Table{Name: "ignition", Fields: []Field{
	word(1, "by", "what lights it", []string{"pad", "timer", "burn-through"}, func(i *Ignition) *LitBy { return &i.By }),
	ref(2, "line", "the line that fires it", []Kind{KindLine}, func(i *Ignition) *Ref { return &i.Line }),
	word(3, "entry", "end the igniter goes in", []string{"aft", "head"}, func(i *Ignition) *Entry { return &i.Entry }),
	number(4, "run_mm", quantity.Millimetre, NotNegative, "nozzle exit to terminals or clips",
		func(i *Ignition) *quantity.Opt[quantity.Length] { return &i.Run }),
	number(5, "tube_mm", quantity.Millimetre, Positive, "bore of a guide tube",
		func(i *Ignition) *quantity.Opt[quantity.Length] { return &i.Tube }),
	number(6, "splice_mm", quantity.Millimetre, NotNegative, "wire spliced on",
		func(i *Ignition) *quantity.Opt[quantity.Length] { return &i.Splice }),
	number(7, "splice_awg", quantity.AWG, NotNegative, "gauge of the spliced wire",
		func(i *Ignition) *quantity.Opt[quantity.Gauge] { return &i.SpliceGauge }).most(maxGauge),
	number(8, "at_s", quantity.Second, NotNegative, "timer setting, from lift-off",
		func(i *Ignition) *quantity.Opt[quantity.Time] { return &i.At }),
	number(9, "gap_mm", quantity.Millimetre, NotNegative, "gap a burn-through has to cross",
		func(i *Ignition) *quantity.Opt[quantity.Length] { return &i.Gap }),
	text(10, "held", "how the igniter is kept from sliding out", func(i *Ignition) *string { return &i.Held }),
}}

var mountTable = &Table{Name: "mount", Fields: []Field{
	text(1, "name", "what the mount is called, unique in its stage", func(m *Mount) *string { return &m.Name }),
	number(2, "count", quantity.Piece, Positive, "how many mounts alike", func(m *Mount) *quantity.Opt[quantity.Count] { return &m.Count }).most(mostAlike),
	number(3, "mount_mm", quantity.Millimetre, Positive, "motor diameter it takes", func(m *Mount) *quantity.Opt[quantity.Length] { return &m.Width }),
	number(4, "mount_length_mm", quantity.Millimetre, Positive, "motor length it takes",
		func(m *Mount) *quantity.Opt[quantity.Length] { return &m.Length }),
	ref(5, "motor", "the motor that flies in it", []Kind{KindMotor}, func(m *Mount) *Ref { return &m.Motor }),
	text(6, "nozzle", "the nozzle it flies with", func(m *Mount) *string { return &m.Nozzle }),
	word(7, "head_end", "what is at its forward end", headEndWords, func(m *Mount) *HeadEnd { return &m.HeadEnd }),
	number(8, "delay_s", quantity.Second, Positive, "delay it flies with", func(m *Mount) *quantity.Opt[quantity.Time] { return &m.Delay }),
	ref(9, "igniter", "the igniter that lights it", []Kind{KindIgniter}, func(m *Mount) *Ref { return &m.Igniter }),
	part(10, "ignition", "how it is lit", ignitionTable, func(m *Mount) **Ignition { return &m.Ignition }),
}}

var recoveryTable = &Table{Name: "recovery", Fields: []Field{
	text(1, "name", "what it is called", func(r *Recovery) *string { return &r.Name }),
	word(2, "by", "what opens it", []string{"motor", "charge", "tumble"}, func(r *Recovery) *RecoverBy { return &r.By }),
	text(3, "mount", "the mount whose motor ejects", func(r *Recovery) *string { return &r.Mount }),
	word(4, "opens", "the joint it opens", []string{"nose", "interstage", "mid"}, func(r *Recovery) *Opens { return &r.Opens }),
	word(5, "trigger", "what sets it off", []string{"apogee", "tilt", "timer", "height"}, func(r *Recovery) *Trigger { return &r.Trigger }),
	number(6, "at_s", quantity.Second, NotNegative, "timer setting, from lift-off", func(r *Recovery) *quantity.Opt[quantity.Time] { return &r.At }),
	number(7, "at_m", quantity.Metre, Positive, "height at which it fires", func(r *Recovery) *quantity.Opt[quantity.Length] { return &r.AtHeight }),
	number(8, "after_s", quantity.Second, NotNegative, "time after its trigger", func(r *Recovery) *quantity.Opt[quantity.Time] { return &r.After }),
	text(9, "backs_up", "the recovery it stands in for", func(r *Recovery) *string { return &r.BacksUp }),
	ref(10, "line", "the line that fires it", []Kind{KindLine}, func(r *Recovery) *Ref { return &r.Line }),
	number(11, "run_mm", quantity.Millimetre, NotNegative, "charge to terminals", func(r *Recovery) *quantity.Opt[quantity.Length] { return &r.Run }),
	ref(12, "igniter", "the igniter in the charge", []Kind{KindIgniter}, func(r *Recovery) *Ref { return &r.Igniter }),
	number(13, "count", quantity.Piece, Positive, "how many igniters in it", func(r *Recovery) *quantity.Opt[quantity.Count] { return &r.Count }).most(mostAlike),
	ref(14, "powder", "the powder, a supply", []Kind{KindSupply}, func(r *Recovery) *Ref { return &r.Powder }),
	number(15, "powder_g", quantity.Gram, Positive, "powder in the charge", func(r *Recovery) *quantity.Opt[quantity.Mass] { return &r.PowderMass }),
	text(16, "container", "what holds the powder", func(r *Recovery) *string { return &r.Container }),
	number(17, "bore_mm", quantity.Millimetre, Positive, "bore of the compartment", func(r *Recovery) *quantity.Opt[quantity.Length] { return &r.Bore }),
	number(18, "length_mm", quantity.Millimetre, Positive, "free length of the compartment",
		func(r *Recovery) *quantity.Opt[quantity.Length] { return &r.Length }),
	number(19, "target_kpa", quantity.Kilopascal, Positive, "pressure wanted", func(r *Recovery) *quantity.Opt[quantity.Pressure] { return &r.Target }),
	number(20, "pins", quantity.Piece, NotNegative, "shear pins", func(r *Recovery) *quantity.Opt[quantity.Count] { return &r.Pins }),
	number(21, "pin_n", quantity.Newton, Positive, "force that shears one pin, measured", func(r *Recovery) *quantity.Opt[quantity.Force] { return &r.PinForce }),
	number(22, "force_limit_n", quantity.Newton, Positive, "force not to be exceeded", func(r *Recovery) *quantity.Opt[quantity.Force] { return &r.ForceLimit }),
}}

var stageTable = refusing(&Table{Name: "stage", Fields: []Field{
	text(1, "name", "what the stage is called", func(s *Stage) *string { return &s.Name }),
	number(2, "diameter_mm", quantity.Millimetre, Positive, "largest body diameter", func(s *Stage) *quantity.Opt[quantity.Length] { return &s.Diameter }),
	number(3, "dry_mass_g", quantity.Gram, Positive, "all but motors: with recovery, electronics, batteries, charges",
		func(s *Stage) *quantity.Opt[quantity.Mass] { return &s.DryMass }),
	number(4, "cd", quantity.One, Positive, "drag coefficient", func(s *Stage) *quantity.Opt[quantity.Number] { return &s.Drag }),
	word(5, "joint", "what holds it to the stage above", []string{"slip", "friction", "pinned"}, func(s *Stage) *Joint { return &s.Joint }),
	parts(6, "mounts", "its motor mounts", mountTable, func(s *Stage) *[]Mount { return &s.Mounts }),
	parts(7, "recovery", "its ways down", recoveryTable, func(s *Stage) *[]Recovery { return &s.Recovery }),
}}, checkStage)

var supplyUseTable = &Table{Name: "supply of a flight", Fields: []Field{
	ref(1, "item", "a supply", []Kind{KindSupply}, func(u *SupplyUse) *Ref { return &u.Item }),
	number(2, "quantity", quantity.Amount, Positive, "how much of it a flight uses", func(u *SupplyUse) *quantity.Opt[quantity.Number] { return &u.Quantity }),
}}

var rocketTable = doubting(refusing(table("rocket", func(r *Rocket) *Header { return &r.Header }, true,
	text(10, "name", "what it is called", func(r *Rocket) *string { return &r.Name }),
	number(11, "rail_m", quantity.Metre, Positive, "free travel until the upper guide leaves the rail",
		func(r *Rocket) *quantity.Opt[quantity.Length] { return &r.Rail }),
	parts(12, "supplies", "what one flight uses up", supplyUseTable, func(r *Rocket) *[]SupplyUse { return &r.Supplies }),
	parts(13, "stages", "its stages, lowest first", stageTable, func(r *Rocket) *[]Stage { return &r.Stages }),
), checkRocket), doubtRocket)

func checkStage(s *Stage) []error {
	mounts := make([]string, len(s.Mounts))
	for i := range s.Mounts {
		mounts[i] = s.Mounts[i].Name
	}
	ways := make([]string, len(s.Recovery))
	for i := range s.Recovery {
		ways[i] = s.Recovery[i].Name
	}
	errs := append(repeated("mount", mounts), repeated("recovery", ways)...)
	for _, way := range s.Recovery {
		if way.Mount != "" && position(mounts, way.Mount) == 0 {
			errs = append(errs, fmt.Errorf("%w: recovery %q names a mount %q that the stage does not have", ErrInvalid, way.Name, way.Mount))
		}
		if way.BacksUp != "" && position(ways, way.BacksUp) == 0 {
			errs = append(errs, fmt.Errorf("%w: recovery %q backs up %q, which the stage does not have", ErrInvalid, way.Name, way.BacksUp))
		}
	}
	return errs
}

func checkRocket(r *Rocket) []error {
	names := make([]string, len(r.Stages))
	for i := range r.Stages {
		names[i] = r.Stages[i].Name
	}
	return repeated("stage", names)
}

// widest is the largest circle of which n fit into a circle of width 1 (optimal
// packings of 1 to 7 equal circles, published; from memory). Beyond seven the
// covered area is taken as at most nine tenths (ours).
var widest = []float64{1, 1, 1 / 2.0, 1 / 2.1547, 1 / 2.4142, 1 / 2.7013, 1 / 3.0, 1 / 3.0}

func doubtRocket(r *Rocket) []string {
	var doubts []string
	for _, s := range r.Stages {
		if d, ok := s.Diameter.Get(); ok && !mountsFit(s.Mounts, d) {
			doubts = append(doubts, fmt.Sprintf("the mounts of stage %q do not fit its body", strings.TrimSpace(s.Name)))
		}
	}
	return doubts
}

// mountsFit judges alike mounts by packing and mixed ones by their area.
func mountsFit(mounts []Mount, body quantity.Length) bool {
	var area, most float64
	n := 0
	for _, m := range mounts {
		w, ok := m.Width.Get()
		if !ok {
			continue
		}
		count := int(m.Count.Or(1))
		n += count
		share := w.Metres() / body.Metres()
		area += float64(count) * share * share
		most = max(most, share)
	}
	if len(mounts) == 1 && n < len(widest) {
		return most <= widest[n]*1.0001
	}
	return most <= 1 && area <= 0.9
}
