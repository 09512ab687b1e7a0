package circuit

// State is one operating point of a line.
type State struct {
	Each   []Amps // A, through each branch, in the order of Network.Branches
	Total  Amps   // A, out of the source
	Supply Volts  // V, at the source's terminals
}

// corner is one choice of everything that can vary.
type corner struct {
	voltage     Volts
	internal    Ohms
	at          Celsius // of all wires
	under       int     // the igniter under test, or nobody
	own, others float64 // shares of the tolerance, -1 to +1
	shorted     int     // the igniter whose bridge is at zero, or nobody
}

const nobody = -1

func (n Network) nominal() corner {
	return corner{n.OpenCircuit, n.Internal, Room, nobody, 0, 0, nobody}
}

func (n Network) worst(under int) corner {
	if n.Series {
		return corner{n.Low, n.AgedInternal, n.Hot, under, +1, +1, nobody}
	}
	return corner{n.Low, n.AgedInternal, n.Hot, under, +1, -1, nobody}
}

func (n Network) sag() corner {
	return corner{n.Low, n.AgedInternal, Room, nobody, -1, -1, nobody}
}

func (n Network) greatest() corner {
	return corner{n.OpenCircuit, n.Internal, Room, nobody, -1, -1, nobody}
}

// Nominal is the line as recorded: open-circuit voltage, fresh internal
// resistance, all wires at 20 C, bridges without tolerance.
func (n Network) Nominal() State { return n.solve(n.nominal()) }

// Worst is the line when the igniter at index under gets least: the source at
// Low and worn, all wires at Hot, in parallel that igniter at +tolerance and
// all others at -tolerance, in series all at +tolerance. Only Each[under] is a
// worst figure. Of all corners of the tolerances at that temperature this is
// the exact worst one, with and without a current limit. Of the temperatures it
// need not be: in parallel, colder wires in the other branches take a little
// more. An index outside the branches puts none under test.
func (n Network) Worst(under int) State { return n.solve(n.worst(under)) }

// WorstEach is Worst(i).Each[i] for every igniter i: the least current in A
// that each can be counted on to get.
func (n Network) WorstEach() []Amps {
	each := make([]Amps, len(n.Branches))
	for i := range each {
		each[i] = n.worstOf(i)
	}
	return each
}

func (n Network) worstOf(i int) Amps {
	c := n.worst(i)
	l := n.load(c)
	return n.share(c, l, i).of(n.current(c, l))
}

// Sag is the line when the supply falls lowest: the source at Low and worn,
// all igniters at -tolerance, all wires at 20 C. State.Supply is the figure.
func (n Network) Sag() State { return n.solve(n.sag()) }

// SagWithOneShorted is Sag with the bridge of one igniter at zero, as it may be
// after firing; of all igniters the one that pulls the supply lowest.
func (n Network) SagWithOneShorted() State {
	c := n.sag()
	least, most := nobody, Amps(-1)
	for i := range n.Branches {
		c.shorted = i
		if total := n.current(c, n.load(c)); total > most {
			least, most = i, total
		}
	}
	c.shorted = least
	return n.solve(c)
}

// Greatest is the most current that source and controller will see while the
// bridges are whole: fresh source, all igniters at -tolerance, all wires at 20 C.
func (n Network) Greatest() State { return n.solve(n.greatest()) }

// ShortCircuit is the current in A that a fresh source sends into a short at
// the clips, firing lead at 20 C, no more than the limit. Without any
// resistance and without a limit, which Check refuses, it is +Inf.
func (n Network) ShortCircuit() Amps {
	c := n.greatest()
	return n.capped(n.push(c).over(n.ahead(c)))
}

func (n Network) solve(c corner) State {
	l := n.load(c)
	total := n.current(c, l)
	each := make([]Amps, len(n.Branches))
	for i := range each {
		each[i] = n.share(c, l, i).of(total)
	}
	return State{Each: each, Total: total, Supply: c.voltage - total.through(c.internal)}
}

// push is the voltage left to drive the current once the fixed drop is off.
func (n Network) push(c corner) Volts { return max(0, c.voltage-n.Drop) }

// ahead is the resistance of everything but the load.
func (n Network) ahead(c corner) Ohms {
	return c.internal + n.On + n.FiringLead.Resistance(c.at)
}

// current is the total; nothing flows where there is no branch.
func (n Network) current(c corner, l load) Amps {
	if len(n.Branches) == 0 {
		return 0
	}
	return n.capped(n.push(c).over(n.ahead(c) + l.whole))
}

func (n Network) capped(i Amps) Amps {
	if n.Limit > 0 {
		return min(i, n.Limit)
	}
	return i
}
