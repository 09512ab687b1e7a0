// Package answer holds the program's answers as the contract's JSON: the one
// source of what is printed as JSON, as a table or on a sheet. It turns what the
// engine and the box say into these structs and decides nothing.
package answer

import (
	"encoding/json"
	"strconv"

	"rangebox/compat"
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// Num is a number as exact decimal text; nil is left out.
type Num = *json.Number

// num writes a known quantity exactly, in the unit of its key.
func num[Q quantity.Quantity](o quantity.Opt[Q], u quantity.Unit[Q]) Num {
	q, ok := o.Get()
	if !ok {
		return nil
	}
	n := json.Number(u.Format(int64(q)))
	return &n
}

func plain(q quantity.Number) json.Number {
	return json.Number(quantity.One.Format(int64(q)))
}

// ratio writes a computed number to nine digits.
func ratio(o quantity.Opt[float64]) Num {
	x, ok := o.Get()
	if !ok {
		return nil
	}
	n := json.Number(strconv.FormatFloat(x, 'g', 9, 64))
	return &n
}

// Finding is a finding as files and scripts see it.
type Finding struct {
	Rule    string   `json:"rule"`
	Verdict string   `json:"verdict"`
	Subject string   `json:"subject"`
	Value   Num      `json:"value,omitempty"`
	Limit   Num      `json:"limit,omitempty"`
	Unit    string   `json:"unit"`
	Assumed []string `json:"assumed"`
	Missing []string `json:"missing,omitempty"`
	Why     string   `json:"why"`
	Source  string   `json:"source"`
	Remedy  string   `json:"remedy"`
}

// NotChecked is a question that could not be asked, and how to make it one.
type NotChecked struct {
	Rule    string `json:"rule"`
	Missing string `json:"missing"`
	How     string `json:"how"`
	Subject string `json:"subject,omitempty"`
}

// Findings turns findings into their JSON; the list is never null. The system is
// that of the sentences; JSON output has them in metric.
func Findings(list []compat.Finding, system quantity.System) []Finding {
	out := make([]Finding, len(list))
	for i := range list {
		out[i] = finding(&list[i], system)
	}
	return out
}

func finding(f *compat.Finding, system quantity.System) Finding {
	out := Finding{
		Rule: f.Rule.String(), Verdict: f.Verdict.String(), Subject: f.Subject,
		Value: figure(f.Value), Limit: figure(f.Limit), Assumed: f.Assumed.Names(),
		Why: f.Why(system), Source: f.Source(), Remedy: f.Remedy(system),
	}
	if f.Missing != 0 {
		out.Missing = f.Missing.Names()
	}
	if f.Value.Known() {
		out.Unit = f.Value.Scale.Name
	} else if f.Limit.Known() {
		out.Unit = f.Limit.Scale.Name
	}
	return out
}

func figure(a compat.Amount) Num {
	if !a.Known() {
		return nil
	}
	n := json.Number(a.Scale.Format(a.Steps))
	return &n
}

// Unchecked turns what was not checked into its JSON; never null.
func Unchecked(list []compat.NotChecked) []NotChecked {
	out := make([]NotChecked, len(list))
	for i, n := range list {
		out[i] = NotChecked{n.Rule.String(), n.Missing.String(), n.Missing.How(), n.Subject}
	}
	return out
}

// Lot is a lot within an answer.
type Lot struct {
	ID       string      `json:"id"`
	Quantity json.Number `json:"quantity"`
	Usable   json.Number `json:"usable"`
	Expires  string      `json:"expires,omitempty"`
	Place    string      `json:"place,omitempty"`
	State    string      `json:"state"`
	// Verdict is given where the lot has readings of its own.
	Verdict string `json:"verdict,omitempty"`
}

// LotOf is a lot's standing on a day.
func LotOf(lot *inventory.Lot, stock inventory.Stock, on inventory.Date) Lot {
	return Lot{
		ID: lot.ID.String(), Quantity: plain(stock.OnHand), Usable: plain(stock.Usable(lot, on)),
		Expires: lot.Expires.String(), Place: stock.Place, State: string(lot.State(stock, on)),
	}
}
