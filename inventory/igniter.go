package inventory

import (
	"rangebox/inventory/quantity"
)

// Igniter is a type of igniter or electric match.
type Igniter struct {
	Header
	Maker, Name                           string
	Head, HeadLength, LeadPair            quantity.Opt[quantity.Length]
	Output                                Level
	AllFire, NoFire, Recommended, MaxTest quantity.Opt[quantity.Current]
	FiringImpulse                         quantity.Opt[quantity.FiringImpulse]
	Bridge                                quantity.Opt[quantity.Resistance]
	BridgeTolerance                       quantity.Opt[quantity.Percent]
	BridgeIncludesLeads                   quantity.Opt[bool]
	Lead                                  quantity.Opt[quantity.Length]
	LeadWire                              Wire
}

// Wire is a conductor given by gauge, by cross-section or by resistance.
type Wire struct {
	Gauge    quantity.Opt[quantity.Gauge]
	Area     quantity.Opt[quantity.Area]
	PerMetre quantity.Opt[quantity.LinearResistance]
}

// Known tells whether the wire is given in any way.
func (w Wire) Known() bool { return w.Gauge.Known() || w.Area.Known() || w.PerMetre.Known() }

// Kind is KindIgniter.
func (*Igniter) Kind() Kind { return KindIgniter }

// maxGauge is the greatest wire gauge number taken, 40 AWG (ours).
const maxGauge = 40

// wireFields are the three ways to give the conductor of a lead; one is enough.
func wireFields[R any](first int, p func(*R) *Wire) []Field {
	return []Field{
		number(first, "lead_awg", quantity.AWG, NotNegative, "gauge of one conductor of the lead",
			func(r *R) *quantity.Opt[quantity.Gauge] { return &p(r).Gauge }).most(maxGauge),
		number(first+1, "lead_mm2", quantity.SquareMM, Positive, "cross-section of one conductor, instead of a gauge",
			func(r *R) *quantity.Opt[quantity.Area] { return &p(r).Area }),
		number(first+2, "lead_ohm_per_m", quantity.OhmPerMetre, Positive, "resistance of one conductor, instead of a gauge",
			func(r *R) *quantity.Opt[quantity.LinearResistance] { return &p(r).PerMetre }),
	}
}

var igniterTable = doubting(table("igniter", func(g *Igniter) *Header { return &g.Header }, true, append([]Field{
	text(10, "maker", "who makes it", func(g *Igniter) *string { return &g.Maker }),
	text(11, "name", "what the maker calls it", func(g *Igniter) *string { return &g.Name }),
	number(12, "head_mm", quantity.Millimetre, Positive, "largest diameter over the coating, without shroud",
		func(g *Igniter) *quantity.Opt[quantity.Length] { return &g.Head }).most(maxGap),
	number(13, "head_length_mm", quantity.Millimetre, Positive, "length of the head",
		func(g *Igniter) *quantity.Opt[quantity.Length] { return &g.HeadLength }),
	number(14, "lead_pair_mm", quantity.Millimetre, Positive, "width of the insulated pair of leads",
		func(g *Igniter) *quantity.Opt[quantity.Length] { return &g.LeadPair }).most(maxGap),
	word(15, "output", "heat it gives", levelWords, func(g *Igniter) *Level { return &g.Output }),
	number(16, "all_fire_a", quantity.Ampere, Positive, "current that fires every one",
		func(g *Igniter) *quantity.Opt[quantity.Current] { return &g.AllFire }),
	number(17, "no_fire_a", quantity.Ampere, Positive, "current that fires none",
		func(g *Igniter) *quantity.Opt[quantity.Current] { return &g.NoFire }),
	number(18, "recommended_a", quantity.Ampere, Positive, "the maker's firing current, margin included",
		func(g *Igniter) *quantity.Opt[quantity.Current] { return &g.Recommended }),
	number(19, "max_test_a", quantity.Ampere, Positive, "the maker's greatest test current",
		func(g *Igniter) *quantity.Opt[quantity.Current] { return &g.MaxTest }),
	number(20, "firing_impulse_a2s", quantity.AmpSquareSecond, Positive, "current squared times time that fires it",
		func(g *Igniter) *quantity.Opt[quantity.FiringImpulse] { return &g.FiringImpulse }),
	number(21, "bridge_ohm", quantity.Ohm, Positive, "resistance of the bridge wire",
		func(g *Igniter) *quantity.Opt[quantity.Resistance] { return &g.Bridge }),
	number(22, "bridge_tol_pct", quantity.PerCent, NotNegative, "tolerance of that resistance",
		func(g *Igniter) *quantity.Opt[quantity.Percent] { return &g.BridgeTolerance }).most(99 * 10_000),
	flag(23, "bridge_includes_leads", "whether the bridge figure includes the leads",
		func(g *Igniter) *quantity.Opt[bool] { return &g.BridgeIncludesLeads }),
	number(24, "lead_mm", quantity.Millimetre, Positive, "length of the leads",
		func(g *Igniter) *quantity.Opt[quantity.Length] { return &g.Lead }),
}, wireFields(25, func(g *Igniter) *Wire { return &g.LeadWire })...)...), doubtIgniter)

func doubtIgniter(g *Igniter) []string {
	var doubts []string
	allFire, okA := g.AllFire.Get()
	noFire, okN := g.NoFire.Get()
	test, okT := g.MaxTest.Get()
	if okA && okN && noFire >= allFire {
		doubts = append(doubts, "the current that fires none is not below the one that fires all")
	}
	if recommended, ok := g.Recommended.Get(); ok && okA && recommended < allFire {
		doubts = append(doubts, "the maker's firing current is below the one that fires all")
	}
	if okT && (okN && test >= noFire || okA && test >= allFire) {
		doubts = append(doubts, "the maker's test current is not below the one that fires none")
	}
	if okA && allFire > hungriest {
		doubts = append(doubts, "hardly any igniter asks for so much current to fire")
	}
	return doubts
}

// hungriest is more current than an igniter asks for to fire (ours): it finds
// milliamperes entered as amperes.
const hungriest = quantity.Current(50_000_000)
