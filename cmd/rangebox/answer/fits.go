package answer

import (
	"encoding/json"

	"rangebox/compat"
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// Fits answers `fits`.
type Fits struct {
	On      string  `json:"on"`
	Motor   string  `json:"motor,omitempty"`
	Igniter string  `json:"igniter,omitempty"`
	Line    string  `json:"line,omitempty"`
	Matches []Match `json:"matches"`
}

// Match is one igniter in one nozzle.
type Match struct {
	Motor        string       `json:"motor"`
	Nozzle       string       `json:"nozzle"`
	Igniter      string       `json:"igniter"`
	Verdict      string       `json:"verdict"`
	ClearanceMM  Num          `json:"clearance_mm,omitempty"`
	NeededLeadMM Num          `json:"needed_lead_mm,omitempty"`
	SpliceMM     Num          `json:"splice_mm,omitempty"`
	OnHand       json.Number  `json:"on_hand"`
	Usable       json.Number  `json:"usable"`
	Findings     []Finding    `json:"findings"`
	NotChecked   []NotChecked `json:"not_checked"`
	Lots         []Lot        `json:"lots,omitzero"`
}

// MatchOf turns one match and the lots of its igniter into JSON; lots are told
// only where the verdict is not no-go.
func MatchOf(m *compat.Match, held Holding, system quantity.System) Match {
	out := Match{
		Motor: m.Motor.Handle, Nozzle: m.NozzleName(), Igniter: m.Igniter.Handle, Verdict: m.Worst.String(),
		OnHand: plain(held.OnHand), Usable: plain(held.Usable),
		Findings: Findings(m.List, system), NotChecked: Unchecked(m.Findings.NotChecked),
	}
	if clear, ok := m.Clearance(); ok {
		out.ClearanceMM = num(quantity.Some(clear), quantity.Millimetre)
	}
	out.SpliceMM = num(m.NeededSplice, quantity.Millimetre)
	out.NeededLeadMM = num(m.NeededLead, quantity.Millimetre)
	if m.Worst != compat.NoGo {
		out.Lots = append([]Lot{}, held.Lots...)
	}
	return out
}

// Holding is what the box has of one item.
type Holding struct {
	OnHand, Usable quantity.Number
	Lots           []Lot
}

// HoldingOf sums up the lots of an item on a day.
func HoldingOf(box *inventory.Box, item *inventory.Header, on inventory.Date) Holding {
	var h Holding
	for _, lot := range box.LotsOf(item.ID) {
		stock := box.Stock(lot)
		h.OnHand += stock.OnHand
		h.Usable += stock.Usable(lot, on)
		h.Lots = append(h.Lots, LotOf(lot, stock, on))
	}
	return h
}

// Chart answers `fits --all`.
type Chart struct {
	On       string     `json:"on"`
	Line     string     `json:"line,omitempty"`
	Igniters []string   `json:"igniters"`
	Motors   []ChartRow `json:"motors"`
}

// ChartRow is a letter for each igniter: g go, c caution, u unknown, n no-go.
type ChartRow struct {
	Motor    string `json:"motor"`
	Nozzle   string `json:"nozzle"`
	Verdicts string `json:"verdicts"`
}

// ChartOf turns a chart into JSON.
func ChartOf(c compat.Chart, on inventory.Date) Chart {
	out := Chart{On: on.String(), Igniters: []string{}, Motors: []ChartRow{}}
	for _, ig := range c.Igniters {
		out.Igniters = append(out.Igniters, ig.Handle)
	}
	for _, row := range c.Rows {
		out.Motors = append(out.Motors, ChartRow{row.Motor.Handle, row.Nozzle, row.Verdicts})
	}
	return out
}
