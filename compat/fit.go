package compat

import (
	"sort"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// FitQuestion is what is asked of every pair of motor and igniter.
type FitQuestion struct {
	// Run and Tube are those of Pair, unknown where not asked.
	Run, Tube quantity.Opt[quantity.Length]
	// Line, Battery and Controller ask for the circuit rules; nil Line does not.
	Line       *inventory.Line
	Battery    *inventory.Battery
	Controller *inventory.Controller
	// Count is how many igniters are fired at once; 0 counts as 1.
	Count int
}

// Match is the answer for one igniter in one nozzle.
type Match struct {
	Pair
	Findings
	Worst Verdict
	// Splice is the wire to splice on; known where the run was given and the
	// leads can be judged.
	NeededSplice quantity.Opt[quantity.Length]
	// NeededLead is known where the run was given and the seat is.
	NeededLead quantity.Opt[quantity.Length]
}

// Fit answers for one pair. The splice that lead-reach asks for counts in the
// circuit.
func Fit(q *FitQuestion, m *inventory.Motor, n *inventory.Nozzle, ig *inventory.Igniter, l *Limits) Match {
	match := Match{Pair: q.pair(m, n, ig)}
	CheckPair(&match.Pair, l, &match.Findings)
	if splice, ok := match.Pair.NeededSplice(l); ok {
		match.NeededSplice = quantity.Some(splice)
	}
	if needed, lacks := match.Needed(l); lacks == 0 && q.Run.Known() {
		match.NeededLead = quantity.Some(needed)
	}
	if q.Line != nil {
		CheckCircuit(q.circuit(m, ig, match.NeededSplice.Or(0)), l, &match.Findings)
	}
	match.Worst = match.Verdict()
	return match
}

func (q *FitQuestion) pair(m *inventory.Motor, n *inventory.Nozzle, ig *inventory.Igniter) Pair {
	return Pair{Motor: m, Nozzle: n, Igniter: ig, Tube: q.Tube, Run: q.Run}
}

func (q *FitQuestion) circuit(m *inventory.Motor, ig *inventory.Igniter, splice quantity.Length) *Circuit {
	return &Circuit{
		Line: q.Line, Battery: q.Battery, Controller: q.Controller,
		Groups:      []Group{{Igniter: ig, Count: max(1, q.Count), Splice: splice}},
		Propellants: []string{m.Propellant},
	}
}

// NozzlesOf are the nozzles a motor is judged with: each it has, or one nil
// where none is recorded.
func NozzlesOf(m *inventory.Motor) []*inventory.Nozzle {
	if len(m.Nozzles) == 0 {
		return []*inventory.Nozzle{nil}
	}
	list := make([]*inventory.Nozzle, len(m.Nozzles))
	for i := range m.Nozzles {
		list[i] = &m.Nozzles[i]
	}
	return list
}

// NozzleName is the name of the pair's nozzle, empty where none is recorded.
func (p *Pair) NozzleName() string { return p.nozzle().Name }

// SortMatches puts the best first: by verdict, then what is in the box, then
// fewest reservations, then by name, so that the order is always the same.
// inBox tells whether any of an igniter can be used.
func SortMatches(list []Match, inBox func(*Match) bool) {
	usable := make(map[*inventory.Igniter]bool, len(list))
	for i := range list {
		usable[list[i].Igniter] = inBox(&list[i])
	}
	sort.SliceStable(list, func(i, j int) bool {
		a, b := &list[i], &list[j]
		if a.Worst != b.Worst {
			return severity[a.Worst] < severity[b.Worst]
		}
		if usable[a.Igniter] != usable[b.Igniter] {
			return usable[a.Igniter]
		}
		if x, y := a.reservations(), b.reservations(); x != y {
			return x < y
		}
		if a.Motor.Handle != b.Motor.Handle {
			return a.Motor.Handle < b.Motor.Handle
		}
		if a.Igniter.Handle != b.Igniter.Handle {
			return a.Igniter.Handle < b.Igniter.Handle
		}
		return a.NozzleName() < b.NozzleName()
	})
}

// reservations counts the findings that are not go.
func (m *Match) reservations() int {
	n := 0
	for i := range m.List {
		if m.List[i].Verdict != Go {
			n++
		}
	}
	return n
}

// Chart is the verdict of every igniter in every nozzle of every motor.
type Chart struct {
	Igniters []*inventory.Igniter
	Rows     []ChartRow
}

// ChartRow is one nozzle of one motor: a letter for each igniter.
type ChartRow struct {
	Motor    *inventory.Motor
	Nozzle   string
	Verdicts string
}

// MakeChart judges every pair. The circuit of an igniter is solved once for
// each splice and propellant that occurs, since nothing else of a motor enters it.
func MakeChart(q *FitQuestion, motors []*inventory.Motor, igniters []*inventory.Igniter, l *Limits) Chart {
	chart := Chart{Igniters: igniters}
	judge := &charting{q: q, l: l, circuits: map[circuitKey]Verdict{}}
	letters := make([]byte, len(igniters))
	for _, m := range motors {
		for _, n := range NozzlesOf(m) {
			for i, ig := range igniters {
				letters[i] = judge.pair(m, n, ig).Letter()
			}
			row := ChartRow{Motor: m, Verdicts: string(letters)}
			if n != nil {
				row.Nozzle = n.Name
			}
			chart.Rows = append(chart.Rows, row)
		}
	}
	return chart
}

// circuitKey is all that a circuit's verdict depends on within one question.
type circuitKey struct {
	igniter    *inventory.Igniter
	splice     quantity.Length
	propellant string
}

type charting struct {
	q        *FitQuestion
	l        *Limits
	asked    Pair // one for all, so that a pair costs no memory
	findings Findings
	circuits map[circuitKey]Verdict
}

func (ch *charting) pair(m *inventory.Motor, n *inventory.Nozzle, ig *inventory.Igniter) Verdict {
	ch.asked = ch.q.pair(m, n, ig)
	ch.findings.Reset()
	CheckPair(&ch.asked, ch.l, &ch.findings)
	verdict := ch.findings.Verdict()
	if ch.q.Line == nil {
		return verdict
	}
	splice, _ := ch.asked.NeededSplice(ch.l)
	return Worse(verdict, ch.circuit(m, ig, splice))
}

func (ch *charting) circuit(m *inventory.Motor, ig *inventory.Igniter, splice quantity.Length) Verdict {
	key := circuitKey{ig, splice, m.Propellant}
	if v, ok := ch.circuits[key]; ok {
		return v
	}
	ch.findings.Reset()
	CheckCircuit(ch.q.circuit(m, ig, splice), ch.l, &ch.findings)
	ch.circuits[key] = ch.findings.Verdict()
	return ch.circuits[key]
}
