package answer

import (
	"encoding/json"

	"rangebox/compat"
	"rangebox/inventory/quantity"
)

// LineCheck answers `line check`. A line with one type of igniter tells its
// currents at the top, a mixed one in Igniters.
type LineCheck struct {
	Line       string         `json:"line"`
	Igniter    string         `json:"igniter,omitempty"`
	Count      int            `json:"count"`
	Verdict    string         `json:"verdict"`
	NominalA   Num            `json:"nominal_a,omitempty"`
	WorstA     Num            `json:"worst_a,omitempty"`
	NeededA    Num            `json:"needed_a,omitempty"`
	Ratio      Num            `json:"ratio,omitempty"`
	Igniters   []GroupCurrent `json:"igniters,omitempty"`
	NominalV   Num            `json:"nominal_supply_v,omitempty"`
	WorstV     Num            `json:"worst_supply_v,omitempty"`
	ShortA     Num            `json:"short_a,omitempty"`
	Meter      []json.Number  `json:"meter_ohm,omitempty"`
	MeterLess  []json.Number  `json:"meter_one_missing_ohm,omitempty"`
	Most       *int           `json:"most_igniters,omitempty"`
	LongestM   Num            `json:"longest_lead_m,omitempty"`
	Smallest   Num            `json:"smallest_wire_awg,omitempty"`
	LowestV    Num            `json:"lowest_open_circuit_v,omitempty"`
	Findings   []Finding      `json:"findings"`
	NotChecked []NotChecked   `json:"not_checked"`
}

// GroupCurrent is the currents through one igniter of a type.
type GroupCurrent struct {
	Igniter  string `json:"igniter"`
	Count    int    `json:"count"`
	NominalA Num    `json:"nominal_a,omitempty"`
	WorstA   Num    `json:"worst_a,omitempty"`
	NeededA  Num    `json:"needed_a,omitempty"`
	Ratio    Num    `json:"ratio,omitempty"`
}

// LineCheckOf turns the engine's report into JSON.
func LineCheckOf(line string, r compat.LineReport, system quantity.System) LineCheck {
	out := LineCheck{
		Line: line, Verdict: r.Worst.String(),
		NominalV: num(r.NominalSupply, quantity.Volt), WorstV: num(r.WorstSupply, quantity.Volt),
		ShortA: num(r.Short, quantity.Ampere),
		Meter:  spanOf(r.Meter), MeterLess: spanOf(r.MeterOneMissing),
		LongestM: num(r.LongestLead, quantity.Metre), Smallest: num(r.SmallestWire, quantity.AWG),
		LowestV:  num(r.LowestVoltage, quantity.Volt),
		Findings: Findings(r.List, system), NotChecked: Unchecked(r.Findings.NotChecked),
	}
	if most, ok := r.MostIgniters.Get(); ok {
		out.Most = &most
	}
	for _, g := range r.Groups {
		out.Count += g.Count
		out.Igniters = append(out.Igniters, groupOf(g))
	}
	if len(out.Igniters) == 1 {
		g := out.Igniters[0]
		out.Igniter, out.NominalA, out.WorstA, out.NeededA, out.Ratio = g.Igniter, g.NominalA, g.WorstA, g.NeededA, g.Ratio
		out.Igniters = nil
	}
	return out
}

func groupOf(g compat.GroupReport) GroupCurrent {
	return GroupCurrent{
		Igniter: g.Igniter.Handle, Count: g.Count,
		NominalA: num(g.Nominal, quantity.Ampere), WorstA: num(g.Worst, quantity.Ampere),
		NeededA: num(g.Needed, quantity.Ampere), Ratio: ratio(g.Ratio),
	}
}

func spanOf(o quantity.Opt[[2]quantity.Resistance]) []json.Number {
	span, ok := o.Get()
	if !ok {
		return nil
	}
	return []json.Number{
		json.Number(quantity.Ohm.Format(int64(span[0]))), json.Number(quantity.Ohm.Format(int64(span[1])))}
}
