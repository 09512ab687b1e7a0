package circuit

import (
	"math"
	"sort"
)

// The bounds within which the inverse answers are sought; ours.
const (
	// MostBranches is the most igniters that MostIgniters tries.
	MostBranches = 99
	// MaxLead bounds LongestLead, in m; as an answer it means at least that.
	MaxLead Metres = 10000
	// MaxVoltage bounds LowestVoltage, in V.
	MaxVoltage Volts = 10000
	// ThickestGauge and ThinnestGauge (AWG) bound SmallestWire.
	ThickestGauge Gauge = 8
	ThinnestGauge Gauge = 32
)

const (
	perMetre = 100  // steps of LongestLead in a metre
	perVolt  = 1000 // steps of LowestVoltage in a volt

	// slack lets "at least" hold where both sides are equal as decimals but
	// not as float64: 5 A from 12 V over (0.1 + 0.2 + 2.1) ohm, say. Inputs
	// carry six decimals, so that it is far below anything measured.
	slack = 1e-12
)

// Need is the current in A that each branch needs at its worst corner, margin
// included, in the order of Network.Branches. A figure that is not known is
// NaN or +Inf; those, and any that is not above zero, are never met.
type Need []Amps

// NeedImpulse is the firing impulse in A2 s that each branch needs from a
// capacitor, margin included, in the order of Network.Branches. A figure that
// is not known is treated as in Need.
type NeedImpulse []AmpSquaredSeconds

// Meets says whether a current (or an impulse) is at least what is needed, as
// everything here compares them: equal decimals are equal. A need that is not a
// positive finite figure is never met.
func Meets[T Amps | AmpSquaredSeconds](got, need T) bool {
	return need > 0 && !math.IsInf(float64(need), 0) && got >= need*(1-slack)
}

// Holds says whether every igniter gets at least its need at its worst corner.
// impulse... is a NeedImpulse or nothing; it is asked of capacitors only. False
// where there is no igniter, or not one need for each.
func (n Network) Holds(need Need, impulse ...AmpSquaredSeconds) bool {
	asked := n.Capacitor && len(impulse) > 0
	if len(n.Branches) == 0 || len(need) != len(n.Branches) || asked && len(impulse) != len(need) {
		return false
	}
	for i := range n.Branches {
		if i > 0 && n.Branches[i] == n.Branches[i-1] && need[i] == need[i-1] && (!asked || impulse[i] == impulse[i-1]) {
			continue // the same question, to the bit; see inParallel
		}
		if !Meets(n.worstOf(i), need[i]) {
			return false
		}
		if asked && !Meets(n.CapacitorImpulse(i), impulse[i]) {
			return false
		}
	}
	return true
}

// MostIgniters is how many igniters like the first, on the same wiring, hold
// the first need: 1 to MostBranches. false where not even one does.
func (n Network) MostIgniters(need Need, impulse ...AmpSquaredSeconds) (int, bool) {
	if len(n.Branches) == 0 || len(need) == 0 {
		return 0, false
	}
	branches := repeat(n.Branches[0], MostBranches)
	needs := repeat(need[0], MostBranches)
	var impulses NeedImpulse
	if len(impulse) > 0 {
		impulses = repeat(impulse[0], MostBranches)
	}
	most := sort.Search(MostBranches, func(i int) bool {
		n.Branches = branches[:i+1]
		return !n.Holds(needs[:i+1], impulses[:min(i+1, len(impulses))]...)
	})
	return most, most > 0
}

func repeat[T any](v T, count int) []T {
	all := make([]T, count)
	for i := range all {
		all[i] = v
	}
	return all
}

// LongestLead is the longest firing lead of the present wire, one way, that
// holds: rounded down to 0.01 m, at most MaxLead. false where even 0 m does not.
func (n Network) LongestLead(need Need, impulse ...AmpSquaredSeconds) (Metres, bool) {
	steps := sort.Search(int(MaxLead*perMetre)+1, func(cm int) bool {
		n.FiringLead.Length = Metres(cm) / perMetre
		return !n.Holds(need, impulse...)
	})
	if steps == 0 {
		return 0, false
	}
	return Metres(steps-1) / perMetre, true
}

// SmallestWire is the thinnest copper wire of an even gauge, from
// ThickestGauge to ThinnestGauge, that holds at the present length of the
// firing lead. false where none does.
func (n Network) SmallestWire(need Need, impulse ...AmpSquaredSeconds) (Gauge, bool) {
	for g := ThinnestGauge; g >= ThickestGauge; g -= 2 {
		n.FiringLead.PerMetre20 = g.PerMetre(Room)
		if n.Holds(need, impulse...) {
			return g, true
		}
	}
	return 0, false
}

// LowestVoltage is the least voltage of the battery at rest, standing in for
// Low, that holds: rounded up to 0.001 V. false for a capacitor, where the
// current limit forbids, and above MaxVoltage.
func (n Network) LowestVoltage(need Need) (Volts, bool) {
	if n.Capacitor {
		return 0, false
	}
	most := int(MaxVoltage * perVolt)
	steps := sort.Search(most+1, func(mv int) bool {
		n.Low = Volts(mv) / perVolt
		return n.Holds(need)
	})
	if steps > most {
		return 0, false
	}
	return Volts(steps) / perVolt, true
}
