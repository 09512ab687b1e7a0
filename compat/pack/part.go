package pack

import (
	"encoding/binary"
	"slices"
)

// part is a piece of the day that shares no lot and no cluster with the rest, so
// that it can be looked at alone.
type part struct {
	needs   []int
	groups  []int
	classes []class
	known   map[string]int // classes by their candidates
}

// class is what needs with the same candidates have in common: to a flow they
// are one.
type class []choice

// split finds the parts, their classes and which clusters are just alike.
func (m *model) split() {
	root := m.joined()
	at := map[int]int{}
	for i := range m.needs {
		r := root.find(len(m.lots) + i)
		p, known := at[r]
		if !known {
			p = len(m.parts)
			at[r] = p
			m.parts = append(m.parts, part{known: map[string]int{}})
		}
		m.needs[i].part = p
		m.parts[p].needs = append(m.parts[p].needs, i)
		m.classify(&m.needs[i], &m.parts[p])
	}
	for g := range m.groups {
		p := &m.parts[m.needs[m.groups[g].needs[0]].part]
		p.groups = append(p.groups, g)
	}
	m.findTwins()
}

// joined joins each need with its lots and its cluster.
func (m *model) joined() sets {
	s := make(sets, len(m.lots)+len(m.needs))
	for i := range s {
		s[i] = i
	}
	for i := range m.needs {
		for _, c := range m.needs[i].from {
			s.join(len(m.lots)+i, c.lot)
		}
		if g := m.needs[i].group; g >= 0 {
			s.join(len(m.lots)+i, len(m.lots)+m.groups[g].needs[0])
		}
	}
	return s
}

// sets are disjoint sets, each member pointing towards its root.
type sets []int

func (s sets) find(i int) int {
	for s[i] != i {
		s[i] = s[s[i]]
		i = s[i]
	}
	return i
}

func (s sets) join(i, j int) { s[s.find(i)] = s.find(j) }

// classify finds the classes of a need: of all its candidates and, in a cluster,
// of those of each item.
func (m *model) classify(n *need, p *part) {
	n.class = p.intern(n.from)
	if n.group < 0 {
		return
	}
	n.typed = map[int]int{}
	for _, item := range m.groups[n.group].items {
		var of class
		for _, c := range n.from {
			if m.lots[c.lot].item == item {
				of = append(of, c)
			}
		}
		n.typed[item] = p.intern(of)
	}
}

func (p *part) intern(of class) int {
	key := make([]byte, 0, 3*len(of))
	for _, c := range of {
		key = binary.AppendUvarint(key, uint64(c.lot))
		key = binary.AppendUvarint(key, uint64(c.cautions))
	}
	k, known := p.known[string(key)]
	if !known {
		k = len(p.classes)
		p.known[string(key)] = k
		p.classes = append(p.classes, of)
	}
	return k
}

// findTwins links each cluster to the last one before it whose needs are of the
// same classes and quantities: the two may change places in any packing.
func (m *model) findTwins() {
	for p := range m.parts {
		last := map[string]int{}
		for _, g := range m.parts[p].groups {
			key := m.likeness(g)
			if twin, known := last[key]; known {
				m.groups[g].twin = twin
			}
			last[key] = g
		}
	}
}

func (m *model) likeness(g int) string {
	var all [][2]uint64
	for _, i := range m.groups[g].needs {
		all = append(all, [2]uint64{uint64(m.needs[i].class), uint64(m.needs[i].Quantity)})
	}
	slices.SortFunc(all, func(a, b [2]uint64) int { return slices.Compare(a[:], b[:]) })
	var key []byte
	for _, a := range all {
		key = binary.AppendUvarint(binary.AppendUvarint(key, a[0]), a[1])
	}
	return string(key)
}
