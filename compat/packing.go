package compat

import (
	"fmt"
	"slices"

	"rangebox/compat/pack"
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// PackQuestion asks what to put into the range box for a launch day.
type PackQuestion struct {
	// Box holds everything: types, lots with their stock, the ledger, readings,
	// days and settings, linked.
	Box *inventory.Box
	Day *inventory.Day
	// Flights are the day's, in the order in which they matter; where a rocket
	// flies several times, each is one.
	Flights []PackFlight
}

// PackFlight is one flight, with the rocket as it is to fly: a record of its own,
// which PackDay changes.
type PackFlight struct {
	ID     ID
	N      int // of several flights alike, from 1
	Rocket *inventory.Rocket
	// Named are the mounts and charges, as `stage/name`, for which the flight names
	// an igniter of its own: they get no other.
	Named []string
}

// names tells whether the flight names the igniter of a mount or charge.
func (f *PackFlight) names(point string) bool { return slices.Contains(f.Named, point) }

// defaultConfidence is the chance with which spares are to suffice (contract).
const defaultConfidence = quantity.Number(950_000_000)

// PackDay says what serves which point of which flight, and what spares to take.
// What was promised to the day before counts as free, but for flights that have
// been flown, which are left as they are.
func PackDay(q *PackQuestion, l *Limits) (*PackPlan, error) {
	experience, err := Learn(q.Box)
	if err != nil {
		return nil, err
	}
	p := &packing{q: q, l: l, experience: experience, ledger: LedgerOf(q.Box, q.Day),
		types: map[ID]*inventory.Igniter{}, lots: map[string]*packLot{}, ours: map[ID]quantity.Number{}, plan: &PackPlan{}}
	p.gatherLots()
	for i := range q.Flights {
		p.addFlight(i)
	}
	packed, err := pack.Pack(&p.request)
	if err != nil {
		return nil, fmt.Errorf("pack for %s: %w", q.Day.Date, err)
	}
	p.read(packed)
	p.checkFlights()
	if err := p.addSpares(packed); err != nil {
		return nil, err
	}
	p.countFirings()
	return p.plan, nil
}

// packing is a day's packing in the making.
type packing struct {
	q          *PackQuestion
	l          *Limits
	experience *Experience
	ledger     *DayLedger
	types      map[ID]*inventory.Igniter // as measured
	lots       map[string]*packLot       // by id
	igniters   []*packLot                // those that can be used that day
	request    pack.Request
	flights    []packFlight           // as in request
	ours       map[ID]quantity.Number // promised to the day, and free to pack anew
	plan       *PackPlan
}

// packLot is a lot that can be used that day.
type packLot struct {
	*inventory.Lot
	id       string
	cautions int
	igniter  *inventory.Igniter // as measured, of the type or of the lot
}

// packFlight is what the needs of a flight stand for.
type packFlight struct {
	of    int // in the question
	craft *craft
	slots []*packSlot
	needs map[string]*packNeed
}

// packNeed is one need.
type packNeed struct {
	kind  inventory.LotKind
	item  inventory.Ref
	point string // of its promise, empty for what is for the flight as a whole
	slot  *packSlot
}

// gatherLots takes every lot of which something can be used that day.
func (p *packing) gatherLots() {
	uses := p.uses()
	for _, promise := range append(p.ledger.Loose(), p.ledger.Overdrawn()...) {
		p.ours[promise.Lot] += p.ledger.Of(promise).Open
	}
	for _, lot := range inventory.List[*inventory.Lot](p.q.Box) {
		stock := p.stock(lot)
		cautions, ok := p.judgeLot(lot)
		free := int64(stock.Usable(lot, p.q.Day.Date))
		if lot.Of == inventory.LotOfMotors || lot.Of == inventory.LotOfIgniters {
			free /= pieceSteps
		}
		if !ok || free <= 0 || lot.Of == inventory.LotOfBatteries {
			continue
		}
		p.addLot(&packLot{Lot: lot, id: lot.ID.String(), cautions: cautions}, free, uses)
	}
}

// stock is what there is of a lot once the day has given back what it may.
func (p *packing) stock(lot *inventory.Lot) inventory.Stock {
	stock := p.q.Box.Stock(lot)
	stock.Promised -= p.ours[lot.ID]
	return stock
}

func (p *packing) addLot(lot *packLot, free int64, uses map[ID]int) {
	entry := pack.Lot{ID: lot.id, Item: lot.Item.Handle, Free: free, Undated: lot.Expires.IsZero(), Uses: uses[lot.Item.ID]}
	if lot.Of == inventory.LotOfSupplies || lot.Of == inventory.LotOfMotors {
		entry.Item = string(lot.Of.Item()) + "/" + entry.Item
	}
	if !entry.Undated {
		entry.Expires = p.q.Day.Date.DaysUntil(lot.Expires)
	}
	if s, ok := inventory.Follow[*inventory.Supply](p.q.Box, lot.Item); ok {
		entry.Returns = s.Reusable.Or(false)
	}
	if ig, ok := inventory.Follow[*inventory.Igniter](p.q.Box, lot.Item); ok {
		lot.igniter = p.typeOf(ig)
		if own, measured := inventory.MeasuredLot(p.q.Box, lot.Lot, ig); measured {
			lot.igniter = own
		}
		p.igniters = append(p.igniters, lot)
	}
	p.lots[lot.id] = lot
	p.request.Lots = append(p.request.Lots, entry)
}

// typeOf is an igniter type as measured, one value for each.
func (p *packing) typeOf(ig *inventory.Igniter) *inventory.Igniter {
	if p.types[ig.ID] == nil {
		p.types[ig.ID] = inventory.Measured(p.q.Box, ig)
	}
	return p.types[ig.ID]
}

// judgeLot tells whether the lot rules let it be used that day, and the cautions.
func (p *packing) judgeLot(lot *inventory.Lot) (cautions int, ok bool) {
	return reserved(p.lotFindings(lot))
}

func (p *packing) lotFindings(lot *inventory.Lot) []Finding {
	use := LotUse{Lot: lot, On: p.q.Day.Date, Body: p.q.Box.Settings().CertificationBody}
	use.Motor, _ = inventory.Follow[*inventory.Motor](p.q.Box, lot.Item)
	var found Findings
	CheckLot(&use, p.l, &found)
	return found.List
}

// reserved counts cautions; not ok where a finding is worse than that.
func reserved(list []Finding) (cautions int, ok bool) {
	for i := range list {
		switch list[i].Verdict {
		case Go:
		case Caution:
			cautions++
		default:
			return 0, false
		}
	}
	return cautions, true
}

// uses counts, by igniter type, the motor types of the box that it could light.
func (p *packing) uses() map[ID]int {
	var motors []*inventory.Motor
	for _, m := range inventory.List[*inventory.Motor](p.q.Box) {
		motors = append(motors, inventory.Measured(p.q.Box, m))
	}
	var igniters []*inventory.Igniter
	for _, ig := range inventory.List[*inventory.Igniter](p.q.Box) {
		igniters = append(igniters, p.typeOf(ig))
	}
	counted := map[[2]ID]bool{}
	uses := map[ID]int{}
	for _, row := range MakeChart(&FitQuestion{}, motors, igniters, p.l).Rows {
		for i, ig := range igniters {
			pair := [2]ID{row.Motor.ID, ig.ID}
			if letter := row.Verdicts[i]; (letter == Go.Letter() || letter == Caution.Letter()) && !counted[pair] {
				counted[pair] = true
				uses[ig.ID]++
			}
		}
	}
	return uses
}
