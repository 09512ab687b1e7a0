package compat

import (
	"rangebox/compat/pack"
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// packSlot is an ignition point that is to be served.
type packSlot struct {
	// named tells that the flight names the igniter that it is to get.
	named  bool
	c      *craft
	mount  *craftMount // or
	way    *craftWay
	point  string
	asks   bool   // for an igniter
	family string // of what the igniter lights
	aboard bool   // fired by a line on board
	loads  []*inventory.Motor
	said   map[*inventory.Igniter]slotVerdict

	motorLot, igniterLot *packLot
}

// slotVerdict is what is said of an igniter in a slot.
type slotVerdict struct {
	Findings
	ok       bool
	cautions int
	splice   quantity.Length
}

func (s *packSlot) take(motor *inventory.Motor, w *wire) {
	s.aboard = w.onboard() || s.way != nil || s.mount.By == inventory.LitByTimer
	switch {
	case s.way != nil:
		s.family = pack.Charge
	case motor != nil:
		s.family = motor.Propellant
	}
}

func (s *packSlot) wire() *wire {
	if s.way != nil {
		return &s.way.wire
	}
	return &s.mount.wire
}

// cluster is what fires at once: all that hangs on one line; where none is
// recorded all that is lit on the pad, else the mount or the charge alone.
func (s *packSlot) cluster() string {
	switch line := s.wire().line; {
	case line != nil:
		return "line " + line.Handle
	case s.way != nil:
		return s.way.point
	case s.mount.By == inventory.LitAtPad || s.mount.By == 0 && s.mount.stage == 0:
		return "the pad"
	}
	return s.mount.point
}

// wants is the igniter that is recorded.
func (s *packSlot) wants() inventory.Ref {
	if s.way != nil {
		return s.way.rec.Igniter
	}
	return s.mount.rec.Igniter
}

// judge applies the pair and circuit rules to an igniter in the slot, with the
// same in every other place of its cluster.
func (s *packSlot) judge(ig *inventory.Igniter, l *Limits) slotVerdict {
	if said, ok := s.said[ig]; ok {
		return said
	}
	if s.said == nil {
		s.said = map[*inventory.Igniter]slotVerdict{}
	}
	defer s.c.fill(s, ig)()
	var worst slotVerdict
	loads := s.loads
	if len(loads) == 0 {
		loads = []*inventory.Motor{nil}
	}
	for i, motor := range loads {
		said := s.judgeWith(ig, motor, l)
		if i == 0 || severity[worstOr(Go, said.List)] > severity[worstOr(Go, worst.List)] {
			worst = said
		}
	}
	worst.cautions, worst.ok = reserved(worst.List)
	s.said[ig] = worst
	return worst
}

func (s *packSlot) judgeWith(ig *inventory.Igniter, motor *inventory.Motor, l *Limits) slotVerdict {
	p := PointReport{Igniter: ig}
	var splice quantity.Length
	if s.way != nil {
		leadReach(s.way.pair(), l, &p.Findings)
		splice = s.c.chargeSplice(s.way)
	} else {
		m := *s.mount
		m.load(motor, m.rec.Nozzle)
		s.c.checkMotorPair(&m, &p.Findings)
		splice = s.c.spliceOf(&m)
	}
	if w := s.wire(); w.line != nil {
		var line Findings
		CheckCircuit(s.c.circuitOf(w), l, &line)
		p.take(&line)
	}
	return slotVerdict{Findings: p.Findings, splice: splice}
}

// fill puts an igniter into every place of a slot's cluster; what it returns
// puts back what was there.
func (c *craft) fill(s *packSlot, ig *inventory.Igniter) (undo func()) {
	var places []**inventory.Igniter
	line := s.wire().line
	for i := range c.stages {
		for j := range c.stages[i].mounts {
			m := &c.stages[i].mounts[j]
			if m == s.mount || line != nil && m.wire.line == line && m.motor != nil {
				places = append(places, &m.igniter)
			}
		}
		for j := range c.stages[i].ways {
			w := &c.stages[i].ways[j]
			if w == s.way || line != nil && w.wire.line == line && w.rec.By == inventory.RecoverByCharge {
				places = append(places, &w.igniter)
			}
		}
	}
	before := make([]*inventory.Igniter, len(places))
	for i, place := range places {
		before[i], *place = *place, ig
	}
	return func() {
		for i, place := range places {
			*place = before[i]
		}
	}
}

// circuitOf is a line with all that hangs on it.
func (c *craft) circuitOf(w *wire) *Circuit {
	circuits := c.circuits()
	for i := range circuits {
		if circuits[i].Line == w.line {
			return &circuits[i].Circuit
		}
	}
	return nil
}
