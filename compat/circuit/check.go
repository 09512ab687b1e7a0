package circuit

import (
	"errors"
	"fmt"
)

// The range within which no product of figures overflows; ours, far outside
// anything on a launch pad.
const (
	mostFigure      = 1e9
	leastAheadClips = Ohms(1e-9)
)

// What Check finds, beside figures that are out of their range.
var (
	// ErrNoIgniter is a network without branches.
	ErrNoIgniter = errors.New("no igniter on the line")
	// ErrUnbounded is a network in which a short has no finite current.
	ErrUnbounded = errors.New("neither source, controller nor firing lead has a resistance, and there is no current limit: a short would draw an unbounded current")
	// ErrRange is a figure that no line can have; the message names it.
	ErrRange = errors.New("figure out of range")
)

// Check reports every figure that no line can have: negative, not a number or
// above 1e9; a low voltage above the open-circuit one; a tolerance above 1; a
// temperature at which copper would have no resistance; no igniter; nothing
// that bounds the current into a short. A network that passes gives finite
// answers to every question. nil: nothing found.
func (n Network) Check() error {
	errs := n.checkSupply()
	if len(n.Branches) == 0 {
		errs = append(errs, ErrNoIgniter)
	}
	for i := range n.Branches {
		errs = append(errs, n.Branches[i].check(i)...)
	}
	if len(errs) == 0 && n.Limit == 0 && n.leastAhead() < leastAheadClips {
		errs = append(errs, ErrUnbounded)
	}
	return errors.Join(errs...)
}

// leastAhead is the least resistance ahead of the clips.
func (n Network) leastAhead() Ohms {
	return min(n.Internal, n.AgedInternal) + n.On + n.FiringLead.Resistance(Room)
}

func (n Network) checkSupply() []error {
	errs := positives([]figure{
		{"open-circuit voltage", float64(n.OpenCircuit)},
		{"low voltage", float64(n.Low)},
		{"internal resistance", float64(n.Internal)},
		{"worn internal resistance", float64(n.AgedInternal)},
		{"capacitance", float64(n.Capacitance)},
		{"controller resistance", float64(n.On)},
		{"controller drop", float64(n.Drop)},
		{"current limit", float64(n.Limit)},
		{"firing lead length", float64(n.FiringLead.Length)},
		{"firing lead resistance per metre", float64(n.FiringLead.PerMetre20)},
	})
	if n.Low > n.OpenCircuit {
		errs = append(errs, fmt.Errorf("low voltage %g above open-circuit voltage %g: %w", n.Low, n.OpenCircuit, ErrRange))
	}
	if !(copperFactor(n.Hot) > 0) || n.Hot > mostFigure {
		errs = append(errs, fmt.Errorf("hot temperature %g: %w", n.Hot, ErrRange))
	}
	return errs
}

func (b *Branch) check(i int) []error {
	prefix := fmt.Sprintf("igniter %d: ", i+1)
	errs := positives([]figure{
		{prefix + "bridge", float64(b.Bridge)},
		{prefix + "tolerance", b.Tolerance},
		{prefix + "lead length", float64(b.Lead.Length)},
		{prefix + "lead resistance per metre", float64(b.Lead.PerMetre20)},
		{prefix + "splice length", float64(b.Splice.Length)},
		{prefix + "splice resistance per metre", float64(b.Splice.PerMetre20)},
		{prefix + "splices", float64(b.Splices)},
		{prefix + "contact", float64(b.Contact)},
	})
	if b.Tolerance > 1 {
		errs = append(errs, fmt.Errorf("%stolerance %g above 1: %w", prefix, b.Tolerance, ErrRange))
	}
	return errs
}

type figure struct {
	name  string
	value float64
}

func positives(figures []figure) []error {
	var errs []error
	for _, f := range figures {
		if !(f.value >= 0 && f.value <= mostFigure) {
			errs = append(errs, fmt.Errorf("%s %g: %w", f.name, f.value, ErrRange))
		}
	}
	return errs
}
