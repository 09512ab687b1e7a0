package answer

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"github.com/google/uuid"

	"rangebox/compat"
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// Sheet answers `day sheet`: all that stands on the sheet of a launch day.
type Sheet struct {
	File    string `json:"file"`
	Written string `json:"written"`
	Day     Day    `json:"day"`
	// State is "packed", "not-packed", or "changed" where packing again would
	// promise something else.
	State     string        `json:"state"`
	Points    int           `json:"points"`
	Served    int           `json:"served"`
	Changes   []SheetChange `json:"changes"`
	Boxes     []SheetBox    `json:"boxes"`
	Batteries []PackBattery `json:"batteries"` // those without a lot that can be used
	Short     []PackShort   `json:"short"`
	Flights   []SheetFlight `json:"flights"`
	// Tails are what the lots are called, by id.
	Tails map[string]string `json:"-"`
}

// SheetChange is a point where packing again would promise something else; without
// a flight it is the day's, and without a point the flight's as a whole.
type SheetChange struct {
	Flight string `json:"flight,omitempty"`
	Point  string `json:"point,omitempty"`
	Packed string `json:"packed"`
	Now    string `json:"now"`
}

// SheetBox is what to take from one place.
type SheetBox struct {
	Place string      `json:"place"`
	Items []SheetItem `json:"items"`
}

// SheetItem is so much of a lot to take, some of it as spares.
type SheetItem struct {
	PackItem
	Spares  Num    `json:"spares,omitempty"`
	Firings int    `json:"firings,omitempty"` // asked of a battery
	Expires string `json:"expires,omitempty"`
}

// SheetFlight is one flight's card.
type SheetFlight struct {
	Number   string            `json:"number"`
	Rocket   string            `json:"rocket"`
	Name     string            `json:"name,omitempty"`
	With     map[string]string `json:"with,omitempty"`
	Notes    string            `json:"notes,omitempty"`
	Flown    bool              `json:"flown"`
	Complete bool              `json:"complete"`
	Changed  bool              `json:"changed"` // packing again would promise it something else
	Stages   []SheetStage      `json:"stages"`
	Wires    []SheetWire       `json:"wires"`
	Supplies []SheetSupply     `json:"supplies"`
	Check    *RocketCheck      `json:"check,omitempty"`
}

// SheetStage is what goes into one stage.
type SheetStage struct {
	Name    string        `json:"name"`
	Motors  []SheetMotor  `json:"motors"`
	Charges []SheetCharge `json:"charges"`
	Curves  []SheetCurve  `json:"curves"`
}

// SheetMotor is a motor and what lights it.
type SheetMotor struct {
	Point   string `json:"point"`
	Motor   string `json:"motor,omitempty"`
	Lot     string `json:"motor_lot,omitempty"`
	Case    string `json:"case,omitempty"`
	Nozzle  string `json:"nozzle,omitempty"`
	HeadEnd string `json:"head_end,omitempty"`
	DelayS  Num    `json:"delay_s,omitempty"`
	LitBy   string `json:"lit_by,omitempty"`
	Line    string `json:"line,omitempty"`
	Head    bool   `json:"through_head,omitempty"` // the igniter goes in from above
	Held    string `json:"held,omitempty"`
	AtS     Num    `json:"at_s,omitempty"`
	WindowS []Num  `json:"timer_window_s,omitempty"`
	SheetIgniter
}

// SheetIgniter is the igniter of a point.
type SheetIgniter struct {
	Asks       bool   `json:"asks_igniter"`
	Igniter    string `json:"igniter,omitempty"`
	IgniterLot string `json:"igniter_lot,omitempty"`
	SpliceMM   Num    `json:"splice_mm,omitempty"`
}

// SheetCharge is an ejection charge.
type SheetCharge struct {
	Point        string      `json:"point"`
	Powder       string      `json:"powder,omitempty"`
	PowderG      Num         `json:"powder_g,omitempty"`
	RecommendedG Num         `json:"recommended_g,omitempty"`
	PowderLots   []PackShare `json:"powder_lots"`
	Container    string      `json:"container,omitempty"`
	Trigger      string      `json:"trigger,omitempty"`
	AtS          Num         `json:"at_s,omitempty"`
	AtM          Num         `json:"at_m,omitempty"`
	AfterS       Num         `json:"after_s,omitempty"`
	BacksUp      string      `json:"backs_up,omitempty"`
	Pins         Num         `json:"pins,omitempty"`
	SheetIgniter
}

// SheetCurve is the thrust curve of one of a stage's motors.
type SheetCurve struct {
	Motor string `json:"motor"`
	Analysis
	Points []inventory.CurvePoint `json:"-"`
}

// SheetWire is a wire on board: to be flagged with its part and its terminal.
type SheetWire struct {
	Flag       string `json:"flag"`
	Point      string `json:"point"`
	Fires      string `json:"fires"` // "motor" or "charge"
	Controller string `json:"controller,omitempty"`
	Output     string `json:"output,omitempty"`
	Battery    string `json:"battery,omitempty"`
	Line       string `json:"line,omitempty"`
}

// SheetSupply is what a flight uses up, and what is short of it.
type SheetSupply struct {
	Item     string      `json:"item"`
	Unit     string      `json:"unit,omitempty"`
	Quantity json.Number `json:"quantity"`
	Lots     []PackShare `json:"lots"`
	Short    Num         `json:"short,omitempty"`
}

// sheeting turns a sheet into JSON.
type sheeting struct {
	q      *compat.PackQuestion
	sheet  *compat.DaySheet
	tails  map[string]string // of lots, by id
	system quantity.System
}

// SheetOf turns a launch day's sheet into JSON; the system is that of its
// sentences, and tails are what its lots are called.
func SheetOf(q *compat.PackQuestion, sheet *compat.DaySheet, tails map[string]string, system quantity.System) Sheet {
	s := sheeting{q, sheet, tails, system}
	out := Sheet{Day: DayOf(q.Day), State: sheet.State.String(), Changes: []SheetChange{}, Batteries: []PackBattery{},
		Short: []PackShort{}, Flights: []SheetFlight{}, Boxes: s.boxes(), Tails: tails}
	for _, c := range sheet.Changes {
		out.Changes = append(out.Changes, s.change(c))
	}
	for _, b := range sheet.Plan.Batteries {
		if b.Lot == nil {
			out.Batteries = append(out.Batteries, PackBattery{Battery: b.Battery.Handle, Firings: b.Firings, Igniters: b.Igniters, Kept: b.Kept})
		}
	}
	for i := range sheet.Plan.Short {
		out.Short = append(out.Short, packShort(q, &sheet.Plan.Short[i], system))
	}
	for i := range sheet.Flights {
		out.Flights = append(out.Flights, s.flight(i, &out))
	}
	return out
}

// boxes are what to take, place by place, with what is a spare among it.
func (s *sheeting) boxes() []SheetBox {
	plan := &compat.PackPlan{Batteries: s.sheet.Plan.Batteries}
	for _, share := range s.sheet.Taken {
		plan.Allotments = append(plan.Allotments, compat.Allotment{LotShare: share})
	}
	var packed Pack
	packed.boxes(s.q, plan)
	lots := map[string]*SheetItem{}
	for _, share := range s.sheet.Spares {
		spares := plain(share.Quantity)
		lots[share.Lot.ID.String()] = &SheetItem{Spares: &spares}
	}
	for _, b := range s.sheet.Plan.Batteries {
		if b.Lot != nil {
			lots[b.Lot.ID.String()] = &SheetItem{Firings: b.Firings}
		}
	}
	out := []SheetBox{}
	for _, box := range packed.Boxes {
		b := SheetBox{Place: box.Place}
		for _, item := range box.Items {
			b.Items = append(b.Items, s.item(item, lots[item.Lot]))
		}
		out = append(out, b)
	}
	return out
}

func (s *sheeting) item(item PackItem, more *SheetItem) SheetItem {
	out := SheetItem{}
	if more != nil {
		out = *more
	}
	out.PackItem = item
	if lot, ok := inventory.Follow[*inventory.Lot](s.q.Box, inventory.Ref{ID: uuid.MustParse(item.Lot)}); ok {
		out.Expires = lot.Expires.String()
	}
	return out
}

func (s *sheeting) change(c compat.SheetChange) SheetChange {
	out := SheetChange{Packed: s.held(c.Packed), Now: s.held(c.Now)}
	if c.Flight >= 0 {
		out.Flight = FlightName(s.q, c.Flight)
	}
	out.Point, _ = compat.PointName(c.Point)
	return out
}

// held is what is promised to a point, in words.
func (s *sheeting) held(list []compat.Held) string {
	var words []string
	for _, h := range list {
		rec, _ := inventory.Follow[inventory.Record](s.q.Box, h.Lot.Item)
		word := strings.TrimSpace(fmt.Sprintf("%s %s", plain(h.Quantity), unitOf(rec)))
		word += fmt.Sprintf(" %s, lot %s", h.Lot.Item.Handle, s.tails[h.Lot.ID.String()])
		if h.RestsOn != "" {
			word += " (" + h.RestsOn + ")"
		}
		words = append(words, word)
	}
	if len(words) == 0 {
		return "nothing"
	}
	slices.Sort(words)
	return strings.Join(words, "; ")
}

func (s *sheeting) flight(i int, sheet *Sheet) SheetFlight {
	from, f := &s.sheet.Flights[i], &s.q.Flights[i]
	out := SheetFlight{Number: FlightNumber(s.q, i), Rocket: f.Rocket.Handle, Name: f.Rocket.Name, Flown: from.Flown, Complete: true,
		Stages: []SheetStage{}, Wires: []SheetWire{}, Supplies: []SheetSupply{}}
	for _, planned := range s.q.Day.Flights {
		if planned.ID == f.ID {
			out.With, out.Notes = planned.With, planned.Notes
		}
	}
	if from.Flown {
		return out
	}
	out.Changed = slices.ContainsFunc(s.sheet.Changes, func(c compat.SheetChange) bool { return c.Flight == i })
	check := RocketCheckOf(f.Rocket.Handle, from.Report, s.system)
	out.Check = &check
	for _, stage := range check.Stages {
		out.Stages = append(out.Stages, SheetStage{Name: stage.Name, Motors: []SheetMotor{}, Charges: []SheetCharge{}, Curves: []SheetCurve{}})
	}
	for k := range from.Points {
		p := &from.Points[k]
		sheet.Points++
		if p.Served() {
			sheet.Served++
		} else {
			out.Complete = false
		}
		s.point(&out, p)
	}
	out.Supplies = s.supplies(f.Rocket, from.Supplies)
	return out
}

// point adds an ignition point to its stage, and its wire.
func (s *sheeting) point(out *SheetFlight, p *compat.SheetPoint) {
	stage, check := &out.Stages[p.Stage], &out.Check.Stages[p.Stage]
	if p.Mount != nil {
		m := s.motor(p)
		if m.AtS != nil {
			m.WindowS = check.TimerWindowS
		}
		stage.Motors = append(stage.Motors, m)
		stage.curve(p)
	} else {
		c := s.charge(p)
		c.RecommendedG = check.RecommendedG[p.Way.Name]
		stage.Charges = append(stage.Charges, c)
	}
	if wire, ok := s.wire(p); ok {
		wire.Flag = fmt.Sprintf("%s%s", out.Number, letter(len(out.Wires)))
		out.Wires = append(out.Wires, wire)
	}
}

// letter is A to Z, then A2 and on.
func letter(i int) string {
	text := string(rune('A' + i%26))
	if i >= 26 {
		text += fmt.Sprint(i/26 + 1)
	}
	return text
}

// The words of a sheet for what a record says by a word of its own.
var (
	litBy    = map[inventory.LitBy]string{inventory.LitAtPad: "pad", inventory.LitByTimer: "timer", inventory.LitByBurnThrough: "burn-through"}
	headEnds = map[inventory.HeadEnd]string{inventory.EndDelay: "delay", inventory.EndOpen: "open", inventory.EndPlugged: "plugged"}
	triggers = map[inventory.Trigger]string{inventory.TriggerApogee: "apogee", inventory.TriggerTilt: "tilt", inventory.TriggerTimer: "timer",
		inventory.TriggerHeight: "height"}
)

// handle is what a reference points to, by its handle; empty where to nothing.
func (s *sheeting) handle(r inventory.Ref) string {
	rec, ok := inventory.Follow[inventory.Record](s.q.Box, r)
	if !ok {
		return ""
	}
	return rec.Base().Handle
}

func (s *sheeting) motor(p *compat.SheetPoint) SheetMotor {
	m := p.Mount
	out := SheetMotor{Point: p.Point, Motor: s.handle(m.Motor), Nozzle: m.Nozzle, HeadEnd: headEnds[m.HeadEnd],
		DelayS: num(p.Delay, quantity.Second), SheetIgniter: s.igniter(p)}
	if p.Motor != nil {
		out.Motor, out.Case = p.Motor.Handle, s.handle(p.Motor.Case)
	}
	if p.MotorLot != nil {
		out.Lot = p.MotorLot.ID.String()
	}
	if i := m.Ignition; i != nil {
		out.LitBy, out.Line, out.Held, out.Head = litBy[i.By], s.handle(i.Line), i.Held, i.Entry == inventory.EntryHead
		if i.By == inventory.LitByTimer {
			out.AtS = num(p.Timer, quantity.Second)
		}
	}
	return out
}

func (s *sheeting) igniter(p *compat.SheetPoint) SheetIgniter {
	out := SheetIgniter{Asks: p.Asks, SpliceMM: num(p.Splice, quantity.Millimetre)}
	if p.Igniter != nil {
		out.Igniter = p.Igniter.Handle
	}
	if p.IgniterLot != nil {
		out.IgniterLot = p.IgniterLot.ID.String()
	}
	return out
}

func (s *sheeting) charge(p *compat.SheetPoint) SheetCharge {
	w := p.Way
	return SheetCharge{Point: p.Point, Powder: s.handle(w.Powder), PowderG: num(w.PowderMass, quantity.Gram), PowderLots: shares(p.Powder),
		Container: w.Container, Trigger: triggers[w.Trigger], AtS: num(p.Timer, quantity.Second), AtM: num(w.AtHeight, quantity.Metre),
		AfterS: num(w.After, quantity.Second), BacksUp: w.BacksUp, Pins: num(w.Pins, quantity.Piece), SheetIgniter: s.igniter(p)}
}

// curve adds the thrust curve of a motor that the stage has not shown yet.
func (stage *SheetStage) curve(p *compat.SheetPoint) {
	if p.Motor == nil || slices.ContainsFunc(stage.Curves, func(c SheetCurve) bool { return c.Motor == p.Motor.Handle }) {
		return
	}
	points := p.Motor.CurveWith(p.Mount.Nozzle)
	if a := AnalysisOf(points, p.Motor); a != nil {
		stage.Curves = append(stage.Curves, SheetCurve{p.Motor.Handle, *a, points})
	}
}

// wire is the wire of a point that is fired on board.
func (s *sheeting) wire(p *compat.SheetPoint) (SheetWire, bool) {
	out, ref := SheetWire{Point: p.Point, Fires: "charge"}, inventory.Ref{}
	switch {
	case p.Way != nil:
		ref = p.Way.Line
	case !p.Asks || p.Mount.Ignition == nil:
		return out, false
	default:
		out.Fires, ref = "motor", p.Mount.Ignition.Line
	}
	line, ok := inventory.Follow[*inventory.Line](s.q.Box, ref)
	if !ok {
		return out, p.Way != nil || p.Mount.Ignition.By == inventory.LitByTimer
	}
	out.Line, out.Output, out.Controller, out.Battery = line.Handle, line.Output, s.handle(line.Controller), s.handle(line.Battery)
	controller, ok := inventory.Follow[*inventory.Controller](s.q.Box, line.Controller)
	return out, !ok || controller.Place == inventory.Onboard || p.Way != nil || p.Mount.Ignition.By == inventory.LitByTimer
}

// supplies are what the flight as a whole uses up, with the lots that lie ready.
func (s *sheeting) supplies(r *inventory.Rocket, ready []compat.LotShare) []SheetSupply {
	wanted := map[uuid.UUID]quantity.Number{}
	got := map[uuid.UUID]quantity.Number{}
	var order []uuid.UUID
	note := func(id uuid.UUID) {
		if !slices.Contains(order, id) {
			order = append(order, id)
		}
	}
	for _, use := range r.Supplies {
		note(use.Item.ID)
		wanted[use.Item.ID] += use.Quantity.Or(0)
	}
	for _, share := range ready {
		note(share.Lot.Item.ID)
		got[share.Lot.Item.ID] += share.Quantity
	}
	list := []SheetSupply{}
	for _, id := range order {
		if rec, ok := inventory.Follow[*inventory.Supply](s.q.Box, inventory.Ref{ID: id}); ok {
			list = append(list, supplyOf(rec, wanted[id], got[id], ready))
		}
	}
	return list
}

// supplyOf is one supply of a flight. What comes back is promised to the day, once
// for all flights, and not told as short of one.
func supplyOf(rec *inventory.Supply, wanted, got quantity.Number, ready []compat.LotShare) SheetSupply {
	out := SheetSupply{Item: rec.Handle, Unit: unitOf(rec), Quantity: plain(max(got, wanted)), Lots: []PackShare{}}
	if got < wanted && !rec.Reusable.Or(false) {
		short := plain(wanted - got)
		out.Short = &short
	}
	for _, share := range ready {
		if share.Lot.Item.ID == rec.ID {
			out.Lots = append(out.Lots, PackShare{share.Lot.ID.String(), plain(share.Quantity)})
		}
	}
	return out
}
