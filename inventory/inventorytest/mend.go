package inventorytest

import (
	"sort"

	"github.com/google/uuid"
	"pgregory.net/rapid"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// mend makes a record keep the rules that several of its fields share.
func (m *maker) mend(rec inventory.Record) {
	switch r := rec.(type) {
	case *inventory.Motor:
		mendMotor(r)
	case *inventory.Igniter:
		allFire, known := r.AllFire.Get()
		if noFire, both := r.NoFire.Get(); known && both && noFire >= allFire {
			r.NoFire = quantity.Opt[quantity.Current]{}
		}
	case *inventory.Battery:
		r.OpenCircuit, r.LowV = descending(r.OpenCircuit, r.LowV)
	case *inventory.Rocket:
		for i := range r.Stages {
			m.mendStage(&r.Stages[i])
		}
	case *inventory.Supply:
		m.weighed[r.Handle] = r.Unit == inventory.InGrams
	case *inventory.Lot:
		m.mendLot(r)
	case *inventory.Event:
		m.mendEvent(r)
	case *inventory.Reading:
		m.mendReading(r)
	}
}

func mendMotor(r *inventory.Motor) {
	r.Curve = rising(r.Curve)
	for i := range r.Nozzles {
		r.Nozzles[i].Curve = rising(r.Nozzles[i].Curve)
	}
	r.DelayMax, r.DelayMin = descending(r.DelayMax, r.DelayMin)
}

// rising sorts the points of a curve and drops those at one time.
func rising(curve []inventory.CurvePoint) []inventory.CurvePoint {
	sort.Slice(curve, func(i, j int) bool { return curve[i].At < curve[j].At })
	var kept []inventory.CurvePoint
	for i, p := range curve {
		if i == 0 || p.At > curve[i-1].At {
			kept = append(kept, p)
		}
	}
	return kept
}

// descending swaps two values where the first is the smaller.
func descending[Q quantity.Quantity](high, low quantity.Opt[Q]) (quantity.Opt[Q], quantity.Opt[Q]) {
	h, known := high.Get()
	if l, both := low.Get(); known && both && l > h {
		return low, high
	}
	return high, low
}

// mendStage points recoveries to mounts and recoveries that the stage has.
func (m *maker) mendStage(s *inventory.Stage) {
	for i := range s.Recovery {
		r := &s.Recovery[i]
		if r.Mount != "" {
			r.Mount = ""
			if len(s.Mounts) > 0 {
				r.Mount = rapid.SampledFrom(s.Mounts).Draw(m.t, "mount").Name
			}
		}
		if r.BacksUp != "" {
			r.BacksUp = s.Recovery[0].Name
		}
	}
}

// mendLot gives a lot its kind and an item of it.
func (m *maker) mendLot(r *inventory.Lot) {
	if r.Of == 0 {
		r.Of = inventory.LotOfMotors
	}
	r.Item = inventory.Ref{Handle: m.reference([]inventory.Kind{r.Of.Item()})}
	if r.NoExpiry.Or(false) {
		r.Expires = inventory.Date{}
	}
	m.weighed[r.ID.String()] = r.Of == inventory.LotOfSupplies && m.weighed[r.Item.Handle]
	r.Quantity = m.whole(r.Quantity, r.ID)
}

// whole makes a quantity one of whole pieces, unless the lot is weighed.
func (m *maker) whole(q quantity.Opt[quantity.Number], lot uuid.UUID) quantity.Opt[quantity.Number] {
	const piece = 1_000_000_000
	n, known := q.Get()
	if !known || m.weighed[lot.String()] {
		return q
	}
	return quantity.Some(n / piece * piece)
}

func (m *maker) mendEvent(r *inventory.Event) {
	if r.What == 0 {
		r.What = inventory.Counted
	}
	if r.At.IsZero() {
		r.At = days.Draw(m.t, "at")
	}
	if r.What != inventory.Void {
		r.Voids = uuid.Nil
	} else if r.Voids == uuid.Nil {
		r.Voids = uuid.MustParse(ids.Draw(m.t, "voids"))
	}
	if r.Lot.IsZero() {
		r.Lot = inventory.Ref{ID: uuid.MustParse(rapid.SampledFrom(m.lots).Draw(m.t, "lot"))}
	}
	if r.Quantity = m.whole(r.Quantity, r.Lot.ID); r.Quantity.Or(0) == 0 {
		r.Quantity = quantity.Some(quantity.Number(1_000_000_000))
	}
}

// mendReading makes the reading one of a type, by kind and handle, or of a lot.
func (m *maker) mendReading(r *inventory.Reading) {
	if r.Of == nil {
		r.Of = &inventory.ReadingOf{}
	}
	if r.Of.Lot.IsZero() {
		kind := rapid.SampledFrom([]inventory.Kind{inventory.KindMotor, inventory.KindIgniter, inventory.KindBattery}).Draw(m.t, "kind read")
		*r.Of = inventory.ReadingOf{Kind: string(kind), Item: inventory.Ref{Handle: m.reference([]inventory.Kind{kind})}}
	} else {
		*r.Of = inventory.ReadingOf{Lot: r.Of.Lot}
	}
	if r.What == "" {
		r.What = rapid.SampledFrom([]string{"bridge_ohm", "head_mm", "open_circuit_v"}).Draw(m.t, "what")
	}
	if !r.Value.Known() {
		r.Value = quantity.Some(quantity.Number(rapid.Int64Range(-1<<60, 1<<60).Draw(m.t, "value")))
	}
}
