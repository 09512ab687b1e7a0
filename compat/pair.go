package compat

import (
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// Pair is an igniter in a motor with one of its nozzles, and what is known of
// how it is to be fitted.
type Pair struct {
	Motor *inventory.Motor
	// Nozzle is the one that is flown; nil where the motor has none recorded.
	Nozzle  *inventory.Nozzle
	Igniter *inventory.Igniter
	// Tube is the bore of a guide tube.
	Tube quantity.Opt[quantity.Length]
	// Run is the way from the nozzle exit to the clips or terminals.
	Run quantity.Opt[quantity.Length]
	// Splice is wire already spliced on.
	Splice quantity.Length
}

// noNozzle stands for a nozzle of which nothing is recorded.
var noNozzle inventory.Nozzle

func (p *Pair) nozzle() *inventory.Nozzle {
	if p.Nozzle == nil {
		return &noNozzle
	}
	return p.Nozzle
}

// CheckPair applies the pair rules.
func CheckPair(p *Pair, l *Limits, out *Findings) {
	for _, rule := range pairRules {
		rule(p, l, out)
	}
}

// Clearance is the room the igniter has in the narrowest recorded passage,
// negative where it is too wide; unknown without throat or head.
func (p *Pair) Clearance() (quantity.Length, bool) {
	passage, missing := p.passage()
	item, lacks := p.item()
	return passage - item, missing|lacks == 0
}
