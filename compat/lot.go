package compat

import "rangebox/inventory"

// LotUse is a lot on the day it is to be used.
type LotUse struct {
	Lot *inventory.Lot
	// Motor is set for lots of motors.
	Motor *inventory.Motor
	On    inventory.Date
	// Body is the certification body of the settings, empty where none is set.
	Body string
}

// CheckLot applies the lot rules. A lot on hold is the ledger's matter.
func CheckLot(u *LotUse, l *Limits, out *Findings) {
	for _, rule := range lotRules {
		rule(u, l, out)
	}
}

// shelfLife: go to the last day, no-go after, caution without a date.
func shelfLife(u *LotUse, _ *Limits, out *Findings) {
	f := Finding{Rule: ShelfLife, Subject: u.Lot.Item.Handle}
	switch {
	case u.Lot.Expired(u.On):
		f.Verdict, f.reason = NoGo, shelfPast
	case !u.Lot.Expires.IsZero():
		f.Verdict, f.reason = Go, shelfGood
	case u.Lot.NoExpiry.Or(false):
		f.Verdict, f.reason = Go, shelfForever
	default:
		f.Verdict, f.reason = Caution, shelfUndated
	}
	out.add(f)
}

// certification: of the body in the settings, to its last day. Asked only when
// a body is set, of motors only.
func certification(u *LotUse, _ *Limits, out *Findings) {
	if u.Body == "" || u.Motor == nil {
		return
	}
	f := Finding{Rule: Certification, Subject: u.Motor.Handle}
	switch {
	case u.Motor.CertifiedBy == "" || u.Motor.CertifiedUntil.IsZero():
		out.add(lacking(Certification, u.Motor.Handle, one(factCertifiedUntil)))
		return
	case u.Motor.CertifiedBy != u.Body:
		f.Verdict, f.reason, f.Missing = Unknown, certifiedOther, one(factCertifiedUntil)
	case u.Motor.CertifiedUntil.Before(u.On):
		f.Verdict, f.reason = NoGo, certifiedPast
	default:
		f.Verdict, f.reason = Go, certifiedGood
	}
	out.add(f)
}
