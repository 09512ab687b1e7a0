package compat

import (
	"rangebox/compat/circuit"
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// LineReport is everything there is to say of a line and what hangs on it.
// Figures that cannot be had are not known.
type LineReport struct {
	Findings
	Worst  Verdict
	Groups []GroupReport
	// Supply is the voltage at the battery's terminals while it fires.
	NominalSupply, WorstSupply quantity.Opt[quantity.Voltage]
	// Short is the current into a short at the clips, with a fresh battery.
	Short quantity.Opt[quantity.Current]
	// Meter is what an ohm meter reads at the controller's end of the firing
	// lead, whole and with one igniter missing.
	Meter, MeterOneMissing quantity.Opt[[2]quantity.Resistance]
	// The inverse answers hold 1.5 x all-fire at the worst corner.
	MostIgniters  quantity.Opt[int]
	LongestLead   quantity.Opt[quantity.Length]
	SmallestWire  quantity.Opt[quantity.Gauge]
	LowestVoltage quantity.Opt[quantity.Voltage]
}

// GroupReport is the currents through one igniter of a group.
type GroupReport struct {
	Igniter        *inventory.Igniter
	Count          int
	Nominal, Worst quantity.Opt[quantity.Current]
	// Needed is what each is to get on a bad day.
	Needed quantity.Opt[quantity.Current]
	// Ratio is Worst over all-fire.
	Ratio quantity.Opt[float64]
}

// CheckLine applies the circuit rules and works out the figures beside them.
func CheckLine(c *Circuit, l *Limits) LineReport {
	r := LineReport{}
	CheckCircuit(c, l, &r.Findings)
	r.Worst = r.Verdict()
	s := c.solve(l)
	r.groups(c, s, l)
	if s.invalid {
		return r
	}
	r.figures(c, s)
	if s.worstLacks == 0 {
		r.inverse(c, s, l)
	}
	return r
}

func (r *LineReport) groups(c *Circuit, s *solved, l *Limits) {
	nominal := circuit.State{}
	if s.nominalLacks == 0 && !s.invalid {
		nominal = s.weak.Nominal()
	}
	for i := range c.Groups {
		g := &c.Groups[i]
		report := GroupReport{Igniter: g.Igniter, Count: g.Count}
		if s.nominalLacks == 0 && !s.invalid {
			report.Nominal = quantity.Some(amps(nominal.Each[c.first(i)]))
		}
		if needed, ok := g.needed(l); ok {
			report.Needed = quantity.Some(needed)
		}
		report.worst(s, c, i)
		r.Groups = append(r.Groups, report)
	}
}

func (g *GroupReport) worst(s *solved, c *Circuit, i int) {
	if s.worst == nil {
		return
	}
	worst := s.leastOf(c, i)
	g.Worst = quantity.Some(amps(worst))
	if allFire, ok := g.Igniter.AllFire.Get(); ok {
		g.Ratio = quantity.Some(float64(worst) / allFire.Amps())
	}
}

// figures are those beside the currents: supply, short, meter.
func (r *LineReport) figures(c *Circuit, s *solved) {
	if !c.fromCapacitor() && s.nominalLacks == 0 {
		r.NominalSupply = quantity.Some(volts(s.weak.Nominal().Supply))
	}
	if !c.fromCapacitor() && s.worstLacks == 0 {
		r.WorstSupply = quantity.Some(volts(s.strong.Sag().Supply))
	}
	if s.nominalLacks == 0 {
		r.Short = quantity.Some(amps(s.strong.ShortCircuit()))
	}
	if (s.nominalLacks & s.worstLacks).meterLacks() {
		return
	}
	// What was not measured lies between the bounds of strong and weak.
	lo, _ := s.strong.Meter()
	_, hi := s.weak.Meter()
	r.Meter = span(lo, hi)
	if _, hi, ok := s.weak.MeterOneMissing(); ok {
		lo, _, _ := s.strong.MeterOneMissing()
		r.MeterOneMissing = span(lo, hi)
	}
}

// meterLacks tells whether a figure is missing that a meter's reading rests on;
// the battery and the controller are not part of it.
func (s Facts) meterLacks() bool {
	return s&(one(factBridge)|one(factLead)|one(factLeadWire)|one(factFiringLead)|one(factFiringWire)|one(factSpliceWire)) != 0
}

func span(lo, hi circuit.Ohms) quantity.Opt[[2]quantity.Resistance] {
	return quantity.Some([2]quantity.Resistance{
		quantity.Resistance(toSteps(float64(lo), 1e6)), quantity.Resistance(toSteps(float64(hi), 1e6))})
}

func (r *LineReport) inverse(c *Circuit, s *solved, l *Limits) {
	need, impulse, ok := c.needs(l)
	if !ok {
		return
	}
	if n, ok := s.tight.MostIgniters(need, impulse...); ok && len(c.Groups) == 1 {
		r.MostIgniters = quantity.Some(n)
	}
	if length, ok := s.tight.LongestLead(need, impulse...); ok && s.tight.FiringLead.PerMetre20 > 0 {
		r.LongestLead = quantity.Some(quantity.Length(toSteps(float64(length), 1e9)))
	}
	if gauge, ok := s.tight.SmallestWire(need, impulse...); ok {
		r.SmallestWire = quantity.Some(quantity.Gauge(gauge))
	}
	if v, ok := s.tight.LowestVoltage(need); ok {
		r.LowestVoltage = quantity.Some(volts(v))
	}
}
