package compat

import (
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// backupCharge: a charge that backs up another hangs on a line of its own, fires
// by another trigger or 1 to 2 s later, and has 1.2 to 1.5 times the powder.
// Asked of charges that say what they back up. Source: ours.
func backupCharge(c *craft, r *RocketReport) {
	for i := range c.stages {
		s := &c.stages[i]
		for j := range s.ways {
			w := &s.ways[j]
			first := s.backed(w)
			if w.rec.By != inventory.RecoverByCharge || first == nil {
				continue
			}
			r.Stages[i].List = append(r.Stages[i].List, c.backs(first, w)...)
		}
	}
}

// backed is what a way backs up; nil where it backs up nothing.
func (s *craftStage) backed(w *craftWay) *craftWay {
	for i := range s.ways {
		if first := &s.ways[i]; w.rec.BacksUp != "" && first.rec.Name == w.rec.BacksUp && first != w {
			return first
		}
	}
	return nil
}

// backs says what is wrong with a backup, or that nothing is.
func (c *craft) backs(first, w *craftWay) (list []Finding) {
	if lacks := w.lacksBackup(first); lacks != 0 {
		list = append(list, lacking(EjectionCharge, w.point, lacks))
	}
	f := Finding{Rule: EjectionCharge, Verdict: Caution, Subject: w.point, own: c.l.own[EjectionCharge]}
	if first.rec.By == inventory.RecoverByCharge && w.wire.line != nil && w.wire.line == first.wire.line {
		f.reason = backupSameLine
		list = append(list, f)
	}
	if found, ok := c.backsLater(f, first, w); ok {
		list = append(list, found)
	}
	if found, ok := c.backsWith(f, first, w); ok {
		list = append(list, found)
	}
	if list == nil {
		f.Verdict, f.reason = Go, backupRight
		list = append(list, f)
	}
	return list
}

// lacksBackup is what a backup cannot be judged without: its own line, and where
// it backs up a charge both triggers and both masses of powder.
func (w *craftWay) lacksBackup(first *craftWay) (lacks Facts) {
	if w.wire.line == nil {
		lacks |= one(factFireLine)
	}
	if first.rec.By != inventory.RecoverByCharge {
		return lacks
	}
	if w.rec.Trigger == 0 || first.rec.Trigger == 0 {
		lacks |= one(factTrigger)
	}
	if !w.rec.PowderMass.Known() || !first.rec.PowderMass.Known() {
		lacks |= one(factPowderMass)
	}
	return lacks
}

// backsLater judges when a backup fires that has the trigger of what it backs up.
func (c *craft) backsLater(f Finding, first, w *craftWay) (Finding, bool) {
	a, known := first.moment()
	b, known2 := w.moment()
	same := a.timer == b.timer && a.trigger == b.trigger && a.height == b.height
	if first.rec.By != inventory.RecoverByCharge || !known || !known2 || !same {
		return f, false
	}
	later := b.at - a.at
	f.Value = amount(later, quantity.Second)
	switch {
	case later < c.l.BackupAfter:
		f.reason, f.Limit = backupTogether, amount(c.l.BackupAfter, quantity.Second)
	case later > c.l.BackupWithin:
		f.reason, f.Limit = backupLate, amount(c.l.BackupWithin, quantity.Second)
	default:
		return f, false
	}
	return f, true
}

// backsWith judges the powder of a backup by that of the charge it backs up.
func (c *craft) backsWith(f Finding, first, w *craftWay) (Finding, bool) {
	its, known := first.rec.PowderMass.Get()
	own, known2 := w.rec.PowderMass.Get()
	if first.rec.By != inventory.RecoverByCharge || !known || !known2 {
		return f, false
	}
	least, most := times(its, c.l.BackupLeast), times(its, c.l.BackupMost)
	f.Value = amount(own, quantity.Gram)
	switch {
	case own < least:
		f.reason, f.Limit = backupLight, amount(least, quantity.Gram)
	case own > most:
		f.reason, f.Limit = backupHeavy, amount(most, quantity.Gram)
	default:
		return f, false
	}
	return f, true
}
