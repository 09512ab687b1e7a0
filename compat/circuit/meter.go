package circuit

// Meter is the range in ohm that a meter should read across the controller's
// end of the firing lead, source and controller disconnected: from all igniters
// at -tolerance with wires at 20 C to all at +tolerance with wires at Hot. Where
// Hot is below 20 C the two temperatures change places. 0, 0 where there is no
// branch to read.
func (n Network) Meter() (lo, hi Ohms) {
	return n.reading(-1, min(Room, n.Hot)), n.reading(+1, max(Room, n.Hot))
}

// MeterOneMissing is the range in ohm that the meter reads of a parallel line
// with one igniter not connected, whichever it is. false in series, where it
// reads open, and for fewer than two igniters. The range may overlap Meter's:
// then the meter cannot tell.
func (n Network) MeterOneMissing() (lo, hi Ohms, ok bool) {
	if n.Series || len(n.Branches) < 2 {
		return 0, 0, false
	}
	for i := range n.Branches {
		l, h := n.without(i).Meter()
		if i == 0 {
			lo, hi = l, h
		}
		lo, hi = min(lo, l), max(hi, h)
	}
	return lo, hi, true
}

func (n Network) reading(share float64, at Celsius) Ohms {
	if len(n.Branches) == 0 {
		return 0
	}
	c := corner{at: at, under: nobody, others: share, shorted: nobody}
	return n.FiringLead.Resistance(at) + n.load(c).whole
}

func (n Network) without(missing int) Network {
	rest := make([]Branch, 0, len(n.Branches)-1)
	rest = append(rest, n.Branches[:missing]...)
	n.Branches = append(rest, n.Branches[missing+1:]...)
	return n
}
