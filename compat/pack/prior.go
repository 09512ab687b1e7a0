package pack

import "math"

// Prior is a Beta distribution of the chance that an igniter fires: what is
// expected before a firing is known, or after. As if A had fired and B had not.
// Both must be above zero.
type Prior struct {
	A, B float64
}

// What is expected of an igniter type before the ledger holds any firing, by
// what it lights (ours).
var (
	OnBlackPowder = Prior{19, 1}
	OnComposite   = Prior{9, 1}
	OnCharges     = Prior{19, 1}
)

// Uniform is the prior that expects nothing.
var Uniform = Prior{1, 1}

// The families that have a prior of their own, as they are written in records.
const (
	BlackPowder = "black-powder"
	Composite   = "composite"
	Charge      = "charge"
)

// PriorOf is the prior of a family. Another propellant gets that of composites,
// which asks for more spares.
func PriorOf(family string) Prior {
	switch family {
	case BlackPowder:
		return OnBlackPowder
	case Charge:
		return OnCharges
	}
	return OnComposite
}

// After is what is expected once fired and misfired are known.
func (p Prior) After(fired, misfired int) Prior {
	return Prior{p.A + float64(fired), p.B + float64(misfired)}
}

// Mean is the chance that the next one fires.
func (p Prior) Mean() float64 { return p.A / (p.A + p.B) }

// AllFire is the chance that the next k all fire.
func (p Prior) AllFire(k int) float64 {
	return math.Exp(p.logAll(k))
}

// logAll is the logarithm of AllFire: log B(a+k, b) - log B(a, b).
func (p Prior) logAll(k int) float64 {
	n := float64(k)
	return lgamma(p.A+n) - lgamma(p.A) + lgamma(p.A+p.B) - lgamma(p.A+p.B+n)
}

func lgamma(x float64) float64 {
	v, _ := math.Lgamma(x)
	return v
}
