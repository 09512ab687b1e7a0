package compat

import (
	"fmt"
	"math"
	"math/bits"
	"sort"
	"strings"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// Limits are the thresholds of the rules and the bounds that stand in for
// missing figures. Defaults gives ours; the user's own come from the settings.
type Limits struct {
	Clearance      quantity.Length
	ClearanceShare quantity.Percent
	SmallComposite quantity.Mass
	LongCore       quantity.Length
	Slack          quantity.Length
	BeyondSeat     quantity.Length

	FiringMargin  quantity.Number
	ClusterMargin quantity.Number
	TestShare     quantity.Percent
	TestMost      quantity.Current
	TestDanger    quantity.Percent
	SupplyMargin  quantity.Number
	PulseShare    quantity.Percent
	FireTimeShare quantity.Percent
	ImpulseMargin quantity.Number

	Contact         quantity.Resistance
	On              quantity.Resistance
	BridgeTolerance quantity.Percent
	AgedRatio       quantity.Number
	NoFireShare     quantity.Percent

	MountPlay      quantity.Length
	ThrustAsked    quantity.Number
	ThrustLeast    quantity.Number
	RailAsked      quantity.Speed
	RailLeast      quantity.Speed
	RailWind       quantity.Number
	EjectSoft      quantity.Speed
	EjectMost      quantity.Speed
	BurnGap        quantity.Length
	StagingAsked   quantity.Speed
	StagingLeast   quantity.Speed
	StartMargin    quantity.Number
	TumbleMost     quantity.Mass
	OpenLeast      quantity.Length
	ChargeAsked    quantity.Pressure
	ChargeLeast    quantity.Pressure
	ChargeOver     quantity.Number
	ChargeOverMass quantity.Mass
	PinMargin      quantity.Number
	BackupLeast    quantity.Number
	BackupMost     quantity.Number
	BackupAfter    quantity.Time
	BackupWithin   quantity.Time

	DelayTolerance quantity.Percent
	TimerTolerance quantity.Percent
	Detection      quantity.Time
	Lag            quantity.Time

	own [len(ruleTable)]bool
}

// Threshold is one row of the table of limits.
type Threshold struct {
	// Name is how the settings call it, the rule's name first.
	Name string
	Help string
	Rule Rule
	// Default is ours, as text in the unit of the name.
	Default string
	scale   *quantity.Scale
	set     func(*Limits, int64)
	get     func(*Limits) int64
}

func threshold[Q quantity.Quantity](r Rule, name string, u quantity.Unit[Q], standard, help string, p func(*Limits) *Q) Threshold {
	return Threshold{
		Name: name, Help: help, Rule: r, Default: standard, scale: u.Scale,
		set: func(l *Limits, n int64) { *p(l) = Q(n) },
		get: func(l *Limits) int64 { return int64(*p(l)) },
	}
}

// Thresholds is the one place for limits and bounds; where each comes from
// stands with its rule (rule.go), bounds are ours.
var Thresholds = []Threshold{
	threshold(ThroatClearance, "throat-clearance.least_mm", quantity.Millimetre, "0.2", "room around the head, at least",
		func(l *Limits) *quantity.Length { return &l.Clearance }),
	threshold(ThroatClearance, "throat-clearance.share_pct", quantity.PerCent, "5", "room around the head, as a share of the passage",
		func(l *Limits) *quantity.Percent { return &l.ClearanceShare }),
	threshold(IgnitionEnergy, "ignition-energy.small_g", quantity.Gram, "60", "composite propellant below which a high output is too much",
		func(l *Limits) *quantity.Mass { return &l.SmallComposite }),
	threshold(IgnitionEnergy, "ignition-energy.long_core_mm", quantity.Millimetre, "250", "core from which a composite is thought to ask for a high output",
		func(l *Limits) *quantity.Length { return &l.LongCore }),
	threshold(LeadReach, "lead-reach.slack_mm", quantity.Millimetre, "25", "lead beyond seat and run",
		func(l *Limits) *quantity.Length { return &l.Slack }),
	threshold(LeadReach, "lead-reach.beyond_seat_mm", quantity.Millimetre, "20", "own lead beyond the seat, before any splice",
		func(l *Limits) *quantity.Length { return &l.BeyondSeat }),
	threshold(FiringCurrent, "firing-current.margin", quantity.One, "1.5", "current on a bad day, times all-fire",
		func(l *Limits) *quantity.Number { return &l.FiringMargin }),
	threshold(FiringCurrent, "firing-current.impulse_margin", quantity.One, "2", "a capacitor's discharge, times the firing impulse",
		func(l *Limits) *quantity.Number { return &l.ImpulseMargin }),
	threshold(ClusterFiring, "cluster-firing.margin", quantity.One, "2", "the same in a cluster",
		func(l *Limits) *quantity.Number { return &l.ClusterMargin }),
	threshold(ContinuityCurrent, "continuity-current.share_pct", quantity.PerCent, "10", "continuity current, as a share of no-fire",
		func(l *Limits) *quantity.Percent { return &l.TestShare }),
	threshold(ContinuityCurrent, "continuity-current.most_a", quantity.Ampere, "0.05", "continuity current, at most",
		func(l *Limits) *quantity.Current { return &l.TestMost }),
	threshold(ContinuityCurrent, "continuity-current.danger_pct", quantity.PerCent, "50", "share of no-fire at which it is a no-go",
		func(l *Limits) *quantity.Percent { return &l.TestDanger }),
	threshold(SupplyVoltage, "supply-voltage.margin", quantity.One, "1.2", "lowest supply, times brown-out",
		func(l *Limits) *quantity.Number { return &l.SupplyMargin }),
	threshold(BatteryPulse, "battery-pulse.share_pct", quantity.PerCent, "80", "greatest current, as a share of the battery's pulse rating",
		func(l *Limits) *quantity.Percent { return &l.PulseShare }),
	threshold(TimeToFire, "time-to-fire.share_pct", quantity.PerCent, "50", "time to fire, as a share of the pulse",
		func(l *Limits) *quantity.Percent { return &l.FireTimeShare }),
	threshold(FiringCurrent, "bound.contact_ohm", quantity.Ohm, "0.2", "contact pair that was not measured",
		func(l *Limits) *quantity.Resistance { return &l.Contact }),
	threshold(FiringCurrent, "bound.on_ohm", quantity.Ohm, "0.2", "controller that was not measured",
		func(l *Limits) *quantity.Resistance { return &l.On }),
	threshold(FiringCurrent, "bound.bridge_tol_pct", quantity.PerCent, "25", "bridge tolerance that is not known",
		func(l *Limits) *quantity.Percent { return &l.BridgeTolerance }),
	threshold(FiringCurrent, "bound.aged_ratio", quantity.One, "1.5", "worn internal resistance that is not known, times the fresh one",
		func(l *Limits) *quantity.Number { return &l.AgedRatio }),
	threshold(ContinuityCurrent, "bound.no_fire_pct", quantity.PerCent, "25", "no-fire current that is not known, as a share of all-fire",
		func(l *Limits) *quantity.Percent { return &l.NoFireShare }),
	threshold(MotorMount, "motor-mount.play_mm", quantity.Millimetre, "1", "motor and mount differ by, at most",
		func(l *Limits) *quantity.Length { return &l.MountPlay }),
	threshold(ThrustToWeight, "thrust-to-weight.asked", quantity.One, "5", "average thrust, times the weight",
		func(l *Limits) *quantity.Number { return &l.ThrustAsked }),
	threshold(ThrustToWeight, "thrust-to-weight.least", quantity.One, "3", "the same, below which it is a no-go",
		func(l *Limits) *quantity.Number { return &l.ThrustLeast }),
	threshold(RailSpeed, "rail-speed.asked_m_s", quantity.MetrePerSecond, "15", "speed off the rail",
		func(l *Limits) *quantity.Speed { return &l.RailAsked }),
	threshold(RailSpeed, "rail-speed.least_m_s", quantity.MetrePerSecond, "10", "the same, below which it is a no-go",
		func(l *Limits) *quantity.Speed { return &l.RailLeast }),
	threshold(RailSpeed, "rail-speed.wind_ratio", quantity.One, "4", "speed off the rail, times the wind",
		func(l *Limits) *quantity.Number { return &l.RailWind }),
	threshold(Delay, "delay.soft_m_s", quantity.MetrePerSecond, "10", "speed at ejection, at most",
		func(l *Limits) *quantity.Speed { return &l.EjectSoft }),
	threshold(Delay, "delay.most_m_s", quantity.MetrePerSecond, "20", "the same, beyond which it is a no-go; what else opens faster is a caution",
		func(l *Limits) *quantity.Speed { return &l.EjectMost }),
	threshold(BurnThrough, "burn-through.gap_mm", quantity.Millimetre, "300", "gap a booster's flame has to cross, at most",
		func(l *Limits) *quantity.Length { return &l.BurnGap }),
	threshold(StagingWindow, "staging-window.asked_m_s", quantity.MetrePerSecond, "20", "speed at which an upper stage is lit",
		func(l *Limits) *quantity.Speed { return &l.StagingAsked }),
	threshold(StagingWindow, "staging-window.least_m_s", quantity.MetrePerSecond, "10", "the same, below which it is a no-go",
		func(l *Limits) *quantity.Speed { return &l.StagingLeast }),
	threshold(TimerStart, "timer-start.margin", quantity.One, "1.5", "acceleration after lift-off, times what starts the timer",
		func(l *Limits) *quantity.Number { return &l.StartMargin }),
	threshold(WayDown, "way-down.tumble_g", quantity.Gram, "250", "a part that may tumble down, at most",
		func(l *Limits) *quantity.Mass { return &l.TumbleMost }),
	threshold(WayDown, "way-down.least_m", quantity.Metre, "15", "height at which a part opens, at least",
		func(l *Limits) *quantity.Length { return &l.OpenLeast }),
	threshold(EjectionCharge, "ejection-charge.asked_kpa", quantity.Kilopascal, "10 psi", "pressure the powder makes, without pins",
		func(l *Limits) *quantity.Pressure { return &l.ChargeAsked }),
	threshold(EjectionCharge, "ejection-charge.least_kpa", quantity.Kilopascal, "5 psi", "the same, below which it is a no-go",
		func(l *Limits) *quantity.Pressure { return &l.ChargeLeast }),
	threshold(EjectionCharge, "ejection-charge.over", quantity.One, "2", "powder, times what is recommended, at most",
		func(l *Limits) *quantity.Number { return &l.ChargeOver }),
	threshold(EjectionCharge, "ejection-charge.over_g", quantity.Gram, "0.3", "powder that is never too much",
		func(l *Limits) *quantity.Mass { return &l.ChargeOverMass }),
	threshold(EjectionCharge, "ejection-charge.pin_margin", quantity.One, "1.5", "force of the powder, times that of all pins",
		func(l *Limits) *quantity.Number { return &l.PinMargin }),
	threshold(EjectionCharge, "ejection-charge.backup_least", quantity.One, "1.2", "powder of a backup, times that of what it backs up",
		func(l *Limits) *quantity.Number { return &l.BackupLeast }),
	threshold(EjectionCharge, "ejection-charge.backup_most", quantity.One, "1.5", "the same, at most",
		func(l *Limits) *quantity.Number { return &l.BackupMost }),
	threshold(EjectionCharge, "ejection-charge.backup_after_s", quantity.Second, "1", "a backup of the same trigger fires later by",
		func(l *Limits) *quantity.Time { return &l.BackupAfter }),
	threshold(EjectionCharge, "ejection-charge.backup_within_s", quantity.Second, "2", "the same, at most",
		func(l *Limits) *quantity.Time { return &l.BackupWithin }),
	threshold(Delay, "bound.delay_tol_pct", quantity.PerCent, "20", "how far a delay may be off",
		func(l *Limits) *quantity.Percent { return &l.DelayTolerance }),
	threshold(StagingWindow, "bound.timer_tol_pct", quantity.PerCent, "5", "timer tolerance that is not known",
		func(l *Limits) *quantity.Percent { return &l.TimerTolerance }),
	threshold(StagingWindow, "bound.detect_s", quantity.Second, "0.2", "lift-off detection that is not known, at most",
		func(l *Limits) *quantity.Time { return &l.Detection }),
	threshold(StagingWindow, "bound.lag_s", quantity.Second, "1", "time from current to thrust that is not known, at most",
		func(l *Limits) *quantity.Time { return &l.Lag }),
}

// Defaults are the limits before any setting.
func Defaults() *Limits {
	l := &Limits{}
	for _, t := range Thresholds {
		n, err := t.scale.Parse(t.Default)
		if err != nil {
			panic(fmt.Sprintf("compat: default of %s: %v", t.Name, err))
		}
		t.set(l, n)
	}
	return l
}

// LimitsFrom are the defaults with the user's own thresholds in their place.
// An unknown name or a value that is not above zero wraps inventory.ErrInvalid.
func LimitsFrom(s *inventory.Settings) (*Limits, error) {
	l := Defaults()
	names := make([]string, 0, len(s.Thresholds))
	for name := range s.Thresholds {
		names = append(names, name)
	}
	sort.Strings(names)
	for _, name := range names {
		if err := l.override(name, s.Thresholds[name]); err != nil {
			return nil, err
		}
	}
	return l, nil
}

func (l *Limits) override(name, value string) error {
	for _, t := range Thresholds {
		if t.Name != name {
			continue
		}
		n, err := t.scale.Parse(value)
		if err != nil {
			return fmt.Errorf("%w: the setting %s: %w", inventory.ErrInvalid, name, err)
		}
		if n <= 0 {
			return fmt.Errorf("%w: the setting %s is %s; it must be above 0", inventory.ErrInvalid, name, value)
		}
		t.set(l, n)
		l.own[t.Rule] = l.own[t.Rule] || !t.bound()
		return nil
	}
	return fmt.Errorf("%w: there is no threshold %q", inventory.ErrInvalid, name)
}

// bound tells that it stands in for a missing figure: it is no limit of a rule.
func (t Threshold) bound() bool { return strings.HasPrefix(t.Name, "bound.") }

// Show is the threshold's value within some limits, for a person.
func (t Threshold) Show(l *Limits, system quantity.System) string {
	return t.scale.Text(t.get(l), system)
}

// times multiplies exactly and rounds up, so that "at least" is decided exactly
// on whole steps.
func times[Q quantity.Quantity](q Q, ratio quantity.Number) Q {
	return Q(scaled(int64(q), int64(ratio), 1_000_000_000, true))
}

// share takes a share exactly and rounds down, for "at most".
func share[Q quantity.Quantity](q Q, p quantity.Percent) Q {
	return Q(scaled(int64(q), int64(p), 1_000_000, false))
}

// shareUp takes a share exactly and rounds up, for "at least" and "under".
func shareUp[Q quantity.Quantity](q Q, p quantity.Percent) Q {
	return Q(scaled(int64(q), int64(p), 1_000_000, true))
}

// scaled is q*num/den without overflow, for q and num not below zero.
func scaled(q, num, den int64, up bool) int64 {
	hi, lo := bits.Mul64(uint64(q), uint64(num))
	if hi >= uint64(den) {
		return math.MaxInt64
	}
	quotient, rest := bits.Div64(hi, lo, uint64(den))
	if up && rest > 0 {
		quotient++
	}
	if quotient > math.MaxInt64 {
		return math.MaxInt64
	}
	return int64(quotient)
}
