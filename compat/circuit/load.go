package circuit

// load is the branches taken together. In parallel they are weighed against
// the least of them, so that branches of zero resistance need no special case:
// they have weight 1 and all others 0.
type load struct {
	whole   Ohms    // all branches together
	least   Ohms    // the least branch, in parallel
	weights float64 // sum of the weights, in parallel
}

// fraction is one branch's part of the total current.
type fraction float64

func (f fraction) of(i Amps) Amps {
	if f == 0 {
		return 0 // also of an infinite current
	}
	return Amps(f) * i
}

func (n Network) branch(c corner, i int) Ohms {
	share := c.others
	if i == c.under {
		share = c.own
	}
	r := n.Branches[i].Resistance(share, c.at)
	if i == c.shorted && !n.Branches[i].ShortedBridge {
		b := n.Branches[i]
		b.ShortedBridge = true
		r = b.Resistance(share, c.at)
	}
	return r
}

func (n Network) load(c corner) load {
	switch {
	case len(n.Branches) == 0:
		return load{}
	case n.Series:
		return n.inSeries(c)
	default:
		return n.inParallel(c)
	}
}

func (n Network) inSeries(c corner) load {
	var l load
	for i := range n.Branches {
		l.whole += n.branch(c, i)
	}
	return l
}

// inParallel adds the igniter under test first and the others in their order,
// so that equal branches give equal bits whichever of them is under test.
func (n Network) inParallel(c corner) load {
	l := load{least: n.branch(c, 0)}
	for i := 1; i < len(n.Branches); i++ {
		l.least = min(l.least, n.branch(c, i))
	}
	if c.under >= 0 && c.under < len(n.Branches) {
		l.weights = l.weight(n.branch(c, c.under))
	}
	for i := range n.Branches {
		if i != c.under {
			l.weights += l.weight(n.branch(c, i))
		}
	}
	l.whole = l.least / Ohms(l.weights)
	return l
}

func (l load) weight(r Ohms) float64 {
	if r == l.least {
		return 1
	}
	return float64(l.least / r)
}

func (n Network) share(c corner, l load, i int) fraction {
	if n.Series {
		return 1
	}
	return fraction(l.weight(n.branch(c, i)) / l.weights)
}
