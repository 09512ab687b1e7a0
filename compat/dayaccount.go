package compat

import (
	"cmp"
	"slices"

	"rangebox/compat/pack"
	"rangebox/inventory"
)

// DayAccount is what became of what was packed, and what is known since.
type DayAccount struct {
	Lots        []LotAccount
	Reliability []Reliability
}

// LotAccount is the account of one lot.
type LotAccount struct {
	Lot *inventory.Lot
	Tally
}

// Reliability is what the whole ledger says of an igniter type on a family, with
// the exact (Clopper-Pearson) interval that holds the chance it fires with.
type Reliability struct {
	Igniter *inventory.Igniter
	Family  string // empty for tests on the bench, that name no motor
	pack.Record
	Low, High float64
}

// intervalConfidence is that of the interval (ours).
const intervalConfidence = 0.95

// AccountOf makes up a day's account, by kind and item of the lots.
func AccountOf(q *PackQuestion) (*DayAccount, error) {
	x, err := Learn(q.Box)
	if err != nil {
		return nil, err
	}
	out := &DayAccount{}
	flown := map[ID]*inventory.Igniter{}
	for id, tally := range LedgerOf(q.Box, q.Day).ByLot() {
		lot, ok := inventory.Follow[*inventory.Lot](q.Box, inventory.Ref{ID: id})
		if !ok || tally == (Tally{}) {
			continue
		}
		out.Lots = append(out.Lots, LotAccount{lot, tally})
		if ig, ok := inventory.Follow[*inventory.Igniter](q.Box, lot.Item); ok {
			flown[ig.ID] = ig
		}
	}
	slices.SortFunc(out.Lots, func(a, b LotAccount) int {
		return cmp.Or(cmp.Compare(a.Lot.Of, b.Lot.Of), cmp.Compare(a.Lot.Item.Handle, b.Lot.Item.Handle), cmp.Compare(a.Lot.ID.String(), b.Lot.ID.String()))
	})
	for _, ig := range flown {
		for _, family := range x.Families(ig.ID) {
			r, _ := x.Of(ig.ID, family)
			low, high := pack.Interval(r.Fired, r.Fired+r.Misfired, intervalConfidence)
			out.Reliability = append(out.Reliability, Reliability{ig, family, r, low, high})
		}
	}
	slices.SortFunc(out.Reliability, func(a, b Reliability) int {
		return cmp.Or(cmp.Compare(a.Igniter.Handle, b.Igniter.Handle), cmp.Compare(a.Family, b.Family))
	})
	return out, nil
}
