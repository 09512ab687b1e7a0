package compat

import (
	"math"
	"slices"

	"rangebox/compat/circuit"
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// Circuit is a line with what hangs on it.
type Circuit struct {
	Line *inventory.Line
	// Battery and Controller are the line's; nil where the line names none.
	Battery    *inventory.Battery
	Controller *inventory.Controller
	// Groups are the igniters, alike ones together.
	Groups []Group
	// Propellants are those of the motors lit, empty where not known.
	Propellants []string

	solved *solved
}

// Group is a number of igniters of one type.
type Group struct {
	Igniter *inventory.Igniter
	Count   int
	// Splice is wire spliced on to each; of the igniter's own wire unless
	// SpliceGauge says otherwise.
	Splice      quantity.Length
	SpliceGauge quantity.Opt[quantity.Gauge]
}

// defaultHot is the leads' temperature on the hottest day (contract).
const defaultHot = 40.0

// CheckCircuit applies the circuit rules.
func CheckCircuit(c *Circuit, l *Limits, out *Findings) {
	for _, rule := range circuitRules {
		rule(c, l, out)
	}
}

// Count is how many igniters hang on the line.
func (c *Circuit) Count() int {
	n := 0
	for _, g := range c.Groups {
		n += g.Count
	}
	return n
}

// solved is what the rules share: the network with pessimistic bounds for
// little current, and the one with bounds for much.
type solved struct {
	weak, strong circuit.Network
	tight        circuit.Network // what the worst currents come from
	assumed      Facts           // bounds that weak stands on
	assumedLeast Facts           // bounds that strong stands on
	nominalLacks Facts           // what the nominal currents lack
	worstLacks   Facts           // what the worst currents lack
	invalid      bool            // the figures do not make a circuit
	worst        []circuit.Amps
}

// solve builds the networks once for all rules.
func (c *Circuit) solve(l *Limits) *solved {
	if c.solved != nil {
		return c.solved
	}
	weak := &builder{c: c, l: l}
	strong := &builder{c: c, l: l, least: true}
	s := &solved{weak: weak.network(), strong: strong.network()}
	s.assumed, s.assumedLeast = weak.assumed, strong.assumed
	s.nominalLacks = weak.lacks | weak.lacksNominal
	s.worstLacks = weak.lacks | weak.lacksWorst
	if s.nominalLacks&s.worstLacks == 0 {
		s.invalid = s.weak.Check() != nil
	}
	if s.worstLacks == 0 && !s.invalid {
		s.worst = s.weak.WorstEach()
		s.tight = s.weak
		s.withoutContact(c)
	}
	c.solved = s
	return s
}

// withoutContact tries a contact that was not measured at nothing as well, in a
// parallel cluster: there a contact evens out the shares, and the bound may be at
// either end. The worse of the two counts, for the inverse answers too.
func (s *solved) withoutContact(c *Circuit) {
	if c.series() || c.Count() < 2 || c.Line.Contact.Known() {
		return
	}
	bare := s.weak
	bare.Branches = slices.Clone(bare.Branches)
	for i := range bare.Branches {
		bare.Branches[i].Contact = 0
	}
	if bare.Check() != nil {
		return
	}
	worst := bare.WorstEach()
	if slices.Min(worst) < slices.Min(s.worst) {
		s.tight = bare
	}
	for i := range worst {
		s.worst[i] = min(s.worst[i], worst[i])
	}
}

// electrics is what holds at the line's output.
func (c *Circuit) electrics() inventory.Electrics {
	if c.Controller == nil {
		return inventory.Electrics{}
	}
	return c.Controller.At(c.Line.Output)
}

// outputUnclear tells that the line names no output of a controller whose outputs
// differ: which figures hold is not known.
func (c *Circuit) outputUnclear() bool {
	if c.Line.Output != "" {
		return false
	}
	for i := range c.Controller.Outputs {
		if c.Controller.At(c.Controller.Outputs[i].Name) != c.Controller.Electrics {
			return true
		}
	}
	return false
}

func (c *Circuit) series() bool { return c.Line.Wiring == inventory.Series }

func (c *Circuit) fromCapacitor() bool {
	return c.Controller != nil && c.Controller.Source == inventory.FromCapacitor
}

// builder turns records into a network and notes what was missing.
type builder struct {
	c *Circuit
	l *Limits
	// least takes missing resistances at zero, for rules where much current is
	// the danger; else they are taken at their greatest.
	least                           bool
	lacks, lacksNominal, lacksWorst Facts
	assumed                         Facts
}

func (b *builder) network() circuit.Network {
	return circuit.Network{
		Source:     b.source(),
		Controller: b.controller(),
		FiringLead: b.firingLead(),
		Branches:   b.branches(),
		Series:     b.c.series(),
		Hot:        circuit.Celsius(hot(b.c.Line)),
	}
}

func hot(line *inventory.Line) float64 {
	if t, ok := line.Hot.Get(); ok {
		return t.Celsius()
	}
	return defaultHot
}

// bound is a resistance, or its bound where it was not measured.
func (b *builder) bound(r quantity.Opt[quantity.Resistance], f Fact, most quantity.Resistance) circuit.Ohms {
	if known, ok := r.Get(); ok {
		return circuit.Ohms(known.Ohms())
	}
	b.assumed |= one(f)
	if b.least {
		return 0
	}
	return circuit.Ohms(most.Ohms())
}

// need is a figure that has no bound.
func need[Q quantity.Quantity](o quantity.Opt[Q], f Fact, lacks *Facts) Q {
	q, ok := o.Get()
	if !ok {
		*lacks |= one(f)
	}
	return q
}

func (b *builder) source() circuit.Source {
	if b.c.fromCapacitor() {
		ctl := b.c.Controller
		return circuit.CapacitorOutput(
			circuit.Volts(need(ctl.CapV, factCapV, &b.lacks).Volts()),
			circuit.Ohms(need(ctl.CapResistance, factCapResistance, &b.lacks).Ohms()),
			circuit.Farads(ctl.Cap.Or(0).Farads()))
	}
	bat := b.c.Battery
	if bat == nil {
		b.lacks |= one(factBattery)
		return circuit.Source{}
	}
	s := circuit.Source{
		OpenCircuit: circuit.Volts(need(bat.OpenCircuit, factOpenCircuit, &b.lacksNominal).Volts()),
		Low:         circuit.Volts(need(bat.LowV, factLowV, &b.lacksWorst).Volts()),
		Internal:    circuit.Ohms(need(bat.Internal, factInternal, &b.lacksNominal).Ohms()),
	}
	s.AgedInternal = b.aged(bat)
	if !bat.OpenCircuit.Known() {
		s.OpenCircuit = s.Low
	}
	if !bat.LowV.Known() {
		s.Low = s.OpenCircuit
	}
	if !bat.Internal.Known() {
		s.Internal = s.AgedInternal
	}
	return s
}

// aged is the worn internal resistance, 1.5 x the fresh one where not known.
func (b *builder) aged(bat *inventory.Battery) circuit.Ohms {
	if aged, ok := bat.AgedInternal.Get(); ok {
		return circuit.Ohms(aged.Ohms())
	}
	fresh := need(bat.Internal, factInternal, &b.lacksWorst)
	b.assumed |= one(factAged)
	return circuit.Ohms(fresh.Ohms() * b.l.AgedRatio.Float())
}

func (b *builder) controller() circuit.Controller {
	if b.c.Controller == nil {
		b.lacks |= one(factController)
		return circuit.Controller{}
	}
	if b.c.outputUnclear() {
		b.lacks |= one(factController)
	}
	e := b.c.electrics()
	return circuit.Controller{
		On:    b.bound(e.On, factOn, b.l.On),
		Drop:  circuit.Volts(e.Drop.Or(0).Volts()),
		Limit: circuit.Amps(e.Limit.Or(0).Amps()),
	}
}

func (b *builder) firingLead() circuit.Lead {
	length := need(b.c.Line.Lead, factFiringLead, &b.lacks)
	if length == 0 && b.c.Line.Lead.Known() {
		return circuit.Lead{}
	}
	perMetre, ok := conductor(b.c.Line.LeadWire)
	if !ok {
		b.lacks |= one(factFiringWire)
	}
	return circuit.Lead{Length: circuit.Metres(length.Metres()), PerMetre20: perMetre}
}

// conductor is the resistance of a metre of one conductor at 20 C.
func conductor(w inventory.Wire) (circuit.OhmsPerMetre, bool) {
	if r, ok := w.PerMetre.Get(); ok {
		return circuit.OhmsPerMetre(r.OhmsPerMetre()), true
	}
	if g, ok := w.Gauge.Get(); ok {
		return circuit.Gauge(g).PerMetre(circuit.Room), true
	}
	if a, ok := w.Area.Get(); ok {
		return circuit.CopperPerMetre(circuit.SquareMillimetres(a.SquareMillimetres()), circuit.Room), true
	}
	return 0, false
}

func (b *builder) branches() []circuit.Branch {
	branches := make([]circuit.Branch, 0, b.c.Count())
	contact := b.bound(b.c.Line.Contact, factContact, b.l.Contact)
	for i := range b.c.Groups {
		branch := b.branch(&b.c.Groups[i], contact)
		for range b.c.Groups[i].Count {
			branches = append(branches, branch)
		}
	}
	return branches
}

func (b *builder) branch(g *Group, contact circuit.Ohms) circuit.Branch {
	ig := g.Igniter
	branch := circuit.Branch{
		Bridge:    circuit.Ohms(need(ig.Bridge, factBridge, &b.lacks).Ohms()),
		Tolerance: b.tolerance(ig),
		Contact:   contact,
	}
	if !ig.BridgeIncludesLeads.Or(false) {
		branch.Lead = b.ownLead(ig)
	}
	if g.Splice > 0 {
		branch.Splice = circuit.Lead{Length: circuit.Metres(g.Splice.Metres()), PerMetre20: b.spliceWire(g)}
		branch.Splices = 1
	}
	return branch
}

func (b *builder) tolerance(ig *inventory.Igniter) float64 {
	if t, ok := ig.BridgeTolerance.Get(); ok {
		return t.Fraction()
	}
	b.assumed |= one(factBridgeTolerance)
	return b.l.BridgeTolerance.Fraction()
}

func (b *builder) ownLead(ig *inventory.Igniter) circuit.Lead {
	length := need(ig.Lead, factLead, &b.lacks)
	perMetre, ok := conductor(ig.LeadWire)
	if !ok {
		b.lacks |= one(factLeadWire)
	}
	return circuit.Lead{Length: circuit.Metres(length.Metres()), PerMetre20: perMetre}
}

// spliceWire is the wire of the splice: its gauge, else the igniter's own.
func (b *builder) spliceWire(g *Group) circuit.OhmsPerMetre {
	if gauge, ok := g.SpliceGauge.Get(); ok {
		return circuit.Gauge(gauge).PerMetre(circuit.Room)
	}
	if r, ok := conductor(g.Igniter.LeadWire); ok {
		return r
	}
	b.lacks |= one(factSpliceWire)
	return 0
}

// leastOf gives the least worst-corner current of each group.
func (s *solved) leastOf(c *Circuit, group int) circuit.Amps {
	return s.worst[c.first(group)]
}

// amps turns a computed current into the step in which limits are compared.
func amps(i circuit.Amps) quantity.Current { return quantity.Current(toSteps(float64(i), 1e6)) }

func volts(v circuit.Volts) quantity.Voltage { return quantity.Voltage(toSteps(float64(v), 1e6)) }

func seconds(t circuit.Seconds) quantity.Time { return quantity.Time(toSteps(float64(t), 1e6)) }

// toSteps rounds to whole steps; what is beyond reason stays at the greatest.
func toSteps(x, perUnit float64) int64 {
	const most = 1e15
	return int64(math.Round(math.Min(most, math.Max(-most, x*perUnit))))
}
