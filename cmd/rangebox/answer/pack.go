package answer

import (
	"cmp"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"rangebox/compat"
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// Pack answers `day pack`.
type Pack struct {
	Day       string        `json:"day"`
	Date      string        `json:"date"`
	DryRun    bool          `json:"dry_run,omitempty"`
	Exact     bool          `json:"exact"`
	Points    int           `json:"points"`
	Served    int           `json:"served"`
	Flights   []PackFlight  `json:"flights"`
	Spares    []PackSpare   `json:"spares"`
	Aboard    []PackAboard  `json:"aboard"`
	Supplies  []PackSupply  `json:"supplies"`
	Batteries []PackBattery `json:"batteries"`
	Short     []PackShort   `json:"short"`
	Boxes     []PackBox     `json:"boxes"`
}

// PackFlight is one flight and what it gets. One that has been flown gets nothing
// more.
type PackFlight struct {
	ID       string `json:"id"`
	Number   string `json:"number"` // what to call it in the next command
	Rocket   string `json:"rocket"`
	N        int    `json:"n"`
	Complete bool   `json:"complete"`
	Flown    bool   `json:"flown,omitempty"`
	// Verdict is what the rules say of the rocket with what it gets.
	Verdict  string       `json:"verdict,omitempty"`
	Points   []PackPoint  `json:"points"`
	Supplies []PackUse    `json:"supplies"`
	Reasons  []PackReason `json:"reasons"`
}

// PackUse is how much of a supply a flight gets, for a charge or as a whole.
type PackUse struct {
	Item     string      `json:"item"`
	Quantity json.Number `json:"quantity"`
	Unit     string      `json:"unit,omitempty"`
	Point    string      `json:"point,omitempty"`
}

// PackReason is a rule that keeps the verdict of a rocket from go, and where.
type PackReason struct {
	Rule    string `json:"rule"`
	Verdict string `json:"verdict"`
	Of      string `json:"of,omitempty"`
}

// PackPoint is an ignition point and what it gets; the splice, the delay and the
// timer setting are what its verdict rests on.
type PackPoint struct {
	Point      string `json:"point"`
	Motor      string `json:"motor,omitempty"`
	MotorLot   string `json:"motor_lot,omitempty"`
	Igniter    string `json:"igniter,omitempty"`
	IgniterLot string `json:"igniter_lot,omitempty"`
	Verdict    string `json:"verdict"`
	SpliceMM   Num    `json:"splice_mm,omitempty"`
	DelayS     Num    `json:"delay_s,omitempty"`
	AtS        Num    `json:"at_s,omitempty"`
	// Reasons are the rules that keep it from go.
	Reasons []PackReason `json:"reasons"`
}

// PackShare is so much of a lot.
type PackShare struct {
	ID       string      `json:"id"`
	Quantity json.Number `json:"quantity"`
}

// PackSpare is how many spares of an igniter to take, and what that rests on; the
// family is empty for the one that is for the bench.
type PackSpare struct {
	Igniter  string      `json:"igniter"`
	Quantity int         `json:"quantity"`
	Lots     []PackShare `json:"lots"`
	Family   string      `json:"family,omitempty"`
	Needed   int         `json:"needed"`
	Fired    int         `json:"fired"`
	Misfired int         `json:"misfired"`
	Chance   Num         `json:"chance,omitempty"`
}

// PackAboard is an igniter at points that no spare serves.
type PackAboard struct {
	Igniter string   `json:"igniter"`
	Family  string   `json:"family"`
	Points  int      `json:"points"`
	Unlit   Num      `json:"unlit_chance"`
	Then    []string `json:"then"`
}

// PackSupply is how much of a supply to take.
type PackSupply struct {
	Item     string      `json:"item"`
	Quantity json.Number `json:"quantity"`
	Lots     []PackShare `json:"lots"`
	Unit     string      `json:"unit"`
	// Again are the flights that use the same pieces one after the other, of what
	// comes back after a flight.
	Again []string `json:"again,omitempty"`
}

// PackBattery is a battery, how often it is asked to fire, and how many igniters
// in all; without a lot where none of it can be used, or none is on record.
type PackBattery struct {
	Battery  string `json:"battery"`
	Firings  int    `json:"firings"`
	Igniters int    `json:"igniters"`
	Lot      string `json:"lot,omitempty"`
	Kept     bool   `json:"kept"`
}

// PackShort is what is short, and what would do instead.
type PackShort struct {
	Kind     string        `json:"kind"`
	Item     string        `json:"item"`
	Quantity json.Number   `json:"quantity"`
	Why      string        `json:"why"`
	Flight   string        `json:"flight,omitempty"`
	Points   []string      `json:"points,omitempty"`
	Instead  []PackInstead `json:"instead"`
	N        int           `json:"n,omitempty"`
}

// PackInstead is what would do instead: with so many cautions, so much of it left,
// and the flights that have the rest.
type PackInstead struct {
	Item     string   `json:"item"`
	Cautions int      `json:"cautions"`
	Left     int64    `json:"left"`
	Flights  []string `json:"flights,omitempty"`
}

// PackBox is what to take from one place.
type PackBox struct {
	Place string     `json:"place"`
	Items []PackItem `json:"items"`
}

// PackItem is so much of a lot to take.
type PackItem struct {
	Item     string      `json:"item"`
	Lot      string      `json:"lot"`
	Quantity json.Number `json:"quantity"`
	Unit     string      `json:"unit,omitempty"`

	steps quantity.Number
}

// PackOf turns a packing into JSON; the system is that of its sentences.
func PackOf(q *compat.PackQuestion, p *compat.PackPlan, system quantity.System) Pack {
	out := Pack{Day: q.Day.ID.String(), Date: q.Day.Date.String(), Exact: p.Exact, Points: p.Points, Served: p.Served,
		Flights: []PackFlight{}, Spares: []PackSpare{}, Aboard: []PackAboard{}, Supplies: []PackSupply{},
		Batteries: []PackBattery{}, Short: []PackShort{}, Boxes: []PackBox{}}
	out.flights(q, p)
	for i := range p.Spares {
		out.Spares = append(out.Spares, packSpare(&p.Spares[i]))
	}
	for i := range p.Aboard {
		out.Aboard = append(out.Aboard, packAboard(q, &p.Aboard[i], system))
	}
	for _, s := range p.Supplies {
		out.Supplies = append(out.Supplies, PackSupply{s.Item.Handle, plain(s.Quantity), shares(s.Lots), unitOf(s.Item), usedAgain(q, p, s.Item)})
	}
	for _, b := range p.Batteries {
		battery := PackBattery{Battery: b.Battery.Handle, Firings: b.Firings, Igniters: b.Igniters, Kept: b.Kept}
		if b.Lot != nil {
			battery.Lot = b.Lot.ID.String()
		}
		out.Batteries = append(out.Batteries, battery)
	}
	for i := range p.Short {
		out.Short = append(out.Short, packShort(q, &p.Short[i], system))
	}
	out.boxes(q, p)
	return out
}

func unitOf(rec inventory.Record) string {
	if s, ok := rec.(*inventory.Supply); ok && s.Unit == inventory.InGrams {
		return "g"
	}
	return ""
}

func (out *Pack) flights(q *compat.PackQuestion, p *compat.PackPlan) {
	list := make([]PackFlight, len(q.Flights))
	for i, f := range q.Flights {
		list[i] = PackFlight{ID: inventory.Ref{ID: f.ID}.String(), Number: FlightNumber(q, i), Rocket: f.Rocket.Handle, N: f.N,
			Points: []PackPoint{}, Supplies: []PackUse{}, Reasons: []PackReason{}}
	}
	for _, i := range p.Flown {
		list[i].Flown, list[i].Complete = true, true
	}
	for i := range p.Flights {
		from := &p.Flights[i]
		f := &list[from.Of]
		f.Complete, f.Verdict = from.Complete, from.Report.Worst.String()
		for k := range from.Points {
			f.Points = append(f.Points, packPoint(&from.Points[k]))
		}
		for _, u := range from.Supplies {
			f.Supplies = append(f.Supplies, PackUse{u.Item.Handle, plain(u.Quantity), unitOf(u.Item), u.Point})
		}
		f.reasons(&from.Report)
	}
	out.Flights = list
}

func packPoint(p *compat.PackedPoint) PackPoint {
	out := PackPoint{Point: p.Point, Verdict: p.Verdict.String(), DelayS: num(p.Delay, quantity.Second), AtS: num(p.Timer, quantity.Second)}
	out.Reasons = []PackReason{}
	for _, f := range p.Findings {
		out.Reasons = append(out.Reasons, PackReason{f.Rule.String(), f.Verdict.String(), f.Subject})
	}
	if p.Motor != nil {
		out.Motor = p.Motor.Handle
	}
	if p.MotorLot != nil {
		out.MotorLot = p.MotorLot.ID.String()
	}
	if p.Igniter != nil {
		out.Igniter = p.Igniter.Handle
	}
	if p.IgniterLot != nil {
		out.IgniterLot = p.IgniterLot.ID.String()
	}
	if p.Splice > 0 {
		out.SpliceMM = num(quantity.Some(p.Splice), quantity.Millimetre)
	}
	return out
}

func shares(list []compat.LotShare) []PackShare {
	out := make([]PackShare, len(list))
	for i, s := range list {
		out[i] = PackShare{s.Lot.ID.String(), plain(s.Quantity)}
	}
	return out
}

func packSpare(s *compat.PackedSpare) PackSpare {
	out := PackSpare{Igniter: s.Igniter.Handle, Quantity: s.Quantity, Lots: shares(s.Lots), Family: s.Family,
		Needed: s.Needed, Fired: s.Record.Fired, Misfired: s.Record.Misfired}
	if s.Family != "" {
		out.Chance = ratio(quantity.Some(s.Chance))
	}
	return out
}

func packAboard(q *compat.PackQuestion, a *compat.PackedAboard, system quantity.System) PackAboard {
	out := PackAboard{Igniter: a.Igniter.Handle, Family: a.Family, Points: a.Points, Unlit: ratio(quantity.Some(a.Unlit)), Then: []string{}}
	for _, b := range a.Fails {
		if text := q.Flights[b.Of].Rocket.Handle + ", where " + b.Fault.String() + ": " + downWords(b.Branch, system); !slices.Contains(out.Then, text) {
			out.Then = append(out.Then, text)
		}
	}
	return out
}

// downWords tells what brings each part down in a branch.
func downWords(b *compat.Branch, system quantity.System) string {
	if b.StaysOnPad {
		return "it stays on the pad"
	}
	var words []string
	for i := range b.Parts {
		p := &b.Parts[i]
		text := p.Name + " comes down by " + p.DownBy
		switch v, ok := p.Speed.Get(); {
		case p.DownBy == "" && p.Verdict == compat.Unknown:
			text = "what brings " + p.Name + " down cannot be told"
		case p.DownBy == "":
			text = "nothing brings " + p.Name + " down"
		case ok:
			text += ", at " + quantity.MetrePerSecond.Text(int64(v), system)
		}
		words = append(words, text)
	}
	if len(words) == 0 {
		return "the flight cannot be told"
	}
	return strings.Join(words, "; ")
}

// usedAgain lists the flights that share what comes back, where more than one does.
func usedAgain(q *compat.PackQuestion, p *compat.PackPlan, s *inventory.Supply) []string {
	if !s.Reusable.Or(false) {
		return nil
	}
	var flights []string
	for i := range p.Flights {
		if slices.ContainsFunc(p.Flights[i].Supplies, func(u compat.PackedUse) bool { return u.Item.ID == s.ID }) {
			flights = append(flights, FlightName(q, p.Flights[i].Of))
		}
	}
	if len(flights) < 2 {
		return nil
	}
	return flights
}

// reasons names the rules of the flight that keep a rocket from go, worst first: of
// its points the table tells already.
func (f *PackFlight) reasons(r *compat.RocketReport) {
	add := func(of string, list []compat.Finding) {
		for i := range list {
			reason := PackReason{list[i].Rule.String(), list[i].Verdict.String(), cmp.Or(list[i].Subject, of)}
			if list[i].Verdict != compat.Go && !slices.Contains(f.Reasons, reason) {
				f.Reasons = append(f.Reasons, reason)
			}
		}
	}
	for i := range r.Stages {
		add(r.Stages[i].Name, r.Stages[i].List)
	}
	for i := range r.Branches {
		add(r.Branches[i].Fault.String(), r.Branches[i].List)
	}
	worst := map[string]int{compat.NoGo.String(): 0, compat.Unknown.String(): 1}
	slices.SortStableFunc(f.Reasons, func(a, b PackReason) int {
		x, ok := worst[a.Verdict]
		y, also := worst[b.Verdict]
		if !ok {
			x = len(worst)
		}
		if !also {
			y = len(worst)
		}
		return cmp.Compare(x, y)
	})
}

func packShort(q *compat.PackQuestion, s *compat.PackShort, system quantity.System) PackShort {
	out := PackShort{Kind: string(s.Kind), Item: s.Item, Quantity: plain(s.Quantity), Points: s.Points, Instead: []PackInstead{}}
	for _, in := range s.Instead {
		instead := PackInstead{Item: in.Item, Cautions: in.Cautions, Left: in.Left}
		for _, i := range in.Flights {
			instead.Flights = append(instead.Flights, FlightName(q, i))
		}
		out.Instead = append(out.Instead, instead)
	}
	if s.Flight >= 0 {
		out.Flight, out.N = inventory.Ref{ID: q.Flights[s.Flight].ID}.String(), q.Flights[s.Flight].N
	}
	out.Why = shortWhy(q, s, out.Instead, system)
	return out
}

// FlightName is a flight's number and its rocket.
func FlightName(q *compat.PackQuestion, i int) string {
	return FlightNumber(q, i) + " " + q.Flights[i].Rocket.Handle
}

func shortWhy(q *compat.PackQuestion, s *compat.PackShort, instead []PackInstead, system quantity.System) string {
	var text string
	switch s.Why {
	case compat.ShortOfRecord:
		text = "nothing is recorded for it"
	case compat.ShortOfStock:
		text = "none is usable that day" + unusableWords(s.Unusable)
	case compat.ShortByRules:
		text = s.Item + " does not do: " + s.Finding.Why(system)
	case compat.ShortTaken:
		text = "other flights have what there is"
		for _, in := range instead {
			if in.Item == s.Item && len(in.Flights) > 0 {
				text += ": " + strings.Join(in.Flights, ", ")
			}
		}
	case compat.ShortTooFew:
		text = "there are too few"
		if s.Kind == inventory.KindSupply {
			text = "there is too little"
		}
	case compat.ShortOfOneKind:
		text = "there are enough, and not of one type, as what fires at once needs"
	case compat.ShortOfSpares:
		return fmt.Sprintf("spares, so that %d on %s fire: too few are left", s.Spare.Needed, s.Spare.Family)
	case compat.ShortOfBench:
		return "a spare for the bench: none is left"
	}
	text = FlightName(q, s.Flight) + ": " + text
	if words := insteadWords(s.Item, instead); words != "" {
		text += "; instead: " + words
	}
	return text
}

// unusableWords tells why what there is cannot be used.
func unusableWords(u compat.Unusable) string {
	var words []string
	for _, part := range []struct {
		n    quantity.Number
		what string
	}{{u.Expired, "expired"}, {u.Held, "on hold"}, {u.Promised, "promised elsewhere"}} {
		if part.n > 0 {
			words = append(words, plain(part.n).String()+" "+part.what)
		}
	}
	if len(words) == 0 {
		return ""
	}
	return " (" + strings.Join(words, ", ") + ")"
}

// insteadWords lists what would do instead of an item.
func insteadWords(item string, list []PackInstead) string {
	var words []string
	for _, in := range list {
		if in.Item == item {
			continue
		}
		word := in.Item
		switch {
		case len(in.Flights) > 0:
			word += " (with " + strings.Join(in.Flights, ", ") + ")"
		case in.Left == 0:
			word += " (none here)"
		}
		if in.Cautions > 0 {
			word += " with caution"
		}
		words = append(words, word)
	}
	return strings.Join(words, ", ")
}

// boxes groups what is taken by the place where it lies.
func (out *Pack) boxes(q *compat.PackQuestion, p *compat.PackPlan) {
	at := map[string]*PackBox{}
	add := func(share compat.LotShare) {
		place := q.Box.Stock(share.Lot).Place
		if at[place] == nil {
			at[place] = &PackBox{Place: place}
		}
		rec, _ := inventory.Follow[inventory.Record](q.Box, share.Lot.Item)
		at[place].add(share, unitOf(rec))
	}
	for _, a := range p.Allotments {
		add(a.LotShare)
	}
	for _, b := range p.Batteries {
		if b.Lot != nil {
			add(compat.LotShare{Lot: b.Lot, Quantity: onePiece})
		}
	}
	for _, box := range at {
		slices.SortFunc(box.Items, func(a, b PackItem) int { return cmp.Or(cmp.Compare(a.Item, b.Item), cmp.Compare(a.Lot, b.Lot)) })
		out.Boxes = append(out.Boxes, *box)
	}
	slices.SortFunc(out.Boxes, func(a, b PackBox) int { return cmp.Compare(a.Place, b.Place) })
}

const onePiece = quantity.Number(1_000_000_000)

func (b *PackBox) add(share compat.LotShare, unit string) {
	id := share.Lot.ID.String()
	for i := range b.Items {
		if b.Items[i].Lot == id {
			b.Items[i].steps += share.Quantity
			b.Items[i].Quantity = plain(b.Items[i].steps)
			return
		}
	}
	b.Items = append(b.Items, PackItem{Item: share.Lot.Item.Handle, Lot: id, Quantity: plain(share.Quantity), Unit: unit, steps: share.Quantity})
}
