package compat

import "rangebox/inventory/quantity"

// continuityCurrent: what the continuity check can send, through a short and
// with a fresh battery, is at most a tenth of the no-fire current and 50 mA, or
// the maker's test current. All of it may pass through one igniter of a
// cluster: it is never divided. Sources: 14 CFR 417 appendix D, D417.21(d)
// (read); NASA-STD-8719.24 Annex 13.8.1.1.1 (read); half of no-fire: ours.
func continuityCurrent(c *Circuit, l *Limits, out *Findings) {
	if c.Controller == nil {
		return
	}
	test, known := c.electrics().Continuity.Get()
	for i := range c.Groups {
		if !known {
			out.skip(ContinuityCurrent, factContinuity, c.Groups[i].Igniter.Handle)
			continue
		}
		out.add(c.continuity(i, test, l))
	}
}

func (c *Circuit) continuity(group int, test quantity.Current, l *Limits) Finding {
	ig := c.Groups[group].Igniter
	f := Finding{Rule: ContinuityCurrent, Subject: ig.Handle, own: l.own[ContinuityCurrent], Value: amount(test, quantity.Ampere)}
	noFire, known := ig.NoFire.Get()
	if !known {
		noFire = share(ig.AllFire.Or(0), l.NoFireShare)
		f.Assumed = one(factNoFire)
	}
	asked := min(share(noFire, l.TestShare), l.TestMost)
	f.Limit = amount(asked, quantity.Ampere)
	allowed, tested := ig.MaxTest.Get()
	switch {
	case noFire > 0 && test <= asked:
		f.Verdict, f.reason = Go, testHarmless
	case tested && test <= allowed && (!known || test < shareUp(noFire, l.TestDanger)):
		f.Verdict, f.reason, f.Limit, f.Assumed = Go, testMaker, amount(allowed, quantity.Ampere), 0
	case noFire == 0:
		return lacking(ContinuityCurrent, ig.Handle, one(factNoFire))
	case test < shareUp(noFire, l.TestDanger):
		f.Verdict, f.reason = Caution, testHigh
	default:
		f.Verdict, f.reason = NoGo, testDangerous
	}
	return conclude(f)
}
