package compat

import (
	"fmt"
	"strings"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// Amount is a number with its unit, or nothing.
type Amount struct {
	Steps int64
	Scale *quantity.Scale
}

func amount[Q quantity.Quantity](q Q, u quantity.Unit[Q]) Amount { return Amount{int64(q), u.Scale} }

// Known tells whether there is a number.
func (a Amount) Known() bool { return a.Scale != nil }

// Float is the number in its unit.
func (a Amount) Float() float64 { return a.Scale.Float(a.Steps) }

// text shows the number; a level is shown by its word.
func (a Amount) text(system quantity.System) string {
	if !a.Known() {
		return ""
	}
	if a.Scale == quantity.Heat.Scale {
		return inventory.Level(a.Steps).String()
	}
	return a.Scale.Text(a.Steps, system)
}

// exact shows the number with every digit, in its own unit.
func (a Amount) exact() string {
	if !a.Known() || a.Scale == quantity.Heat.Scale {
		return a.text(quantity.Metric)
	}
	return strings.TrimSpace(a.Scale.Format(a.Steps) + " " + a.Scale.Name)
}

// brief shows the number to four digits.
func (a Amount) brief(system quantity.System) string {
	if !a.Known() || a.Scale == quantity.Heat.Scale {
		return a.text(system)
	}
	return a.Scale.Brief(a.Steps, system)
}

// Finding is what one rule says of one subject.
type Finding struct {
	Rule    Rule
	Verdict Verdict
	reason  reason
	// Subject is what it is said of, an igniter or a motor by handle.
	Subject string
	// Value is the figure that was judged, Limit what it is held against for go.
	Value, Limit Amount
	// extra is a further figure that the text tells, such as a splice.
	extra Amount
	// Assumed are the facts that were missing and taken at their bound.
	Assumed Facts
	// Missing are the facts without which the verdict is unknown.
	Missing Facts
	// cited is the source where it is not the rule's.
	cited string
	// own tells that the user's settings changed a limit of the rule.
	own bool
}

// NotChecked is a question that could not be asked for want of a figure. It is
// shown and does not count.
type NotChecked struct {
	Rule    Rule
	Missing Fact
	Subject string
}

// Findings gathers what rules say, in the order of the rules.
type Findings struct {
	List       []Finding
	NotChecked []NotChecked
}

// Reset empties it and keeps its memory.
func (f *Findings) Reset() { f.List, f.NotChecked = f.List[:0], f.NotChecked[:0] }

func (f *Findings) add(x Finding) { f.List = append(f.List, x) }

func (f *Findings) skip(r Rule, missing Fact, subject string) {
	f.NotChecked = append(f.NotChecked, NotChecked{r, missing, subject})
}

// Verdict is the worst of the findings; Unknown where there are none.
func (f *Findings) Verdict() Verdict { return WorstOf(f.List) }

// WorstOf is the worst verdict of some findings; Unknown where there are none.
func WorstOf(list []Finding) Verdict {
	if len(list) == 0 {
		return Unknown
	}
	worst := Go
	for i := range list {
		worst = Worse(worst, list[i].Verdict)
	}
	return worst
}

// conclude holds a finding to what assumptions allow: failing at a bound is
// unknown, never no-go.
func conclude(f Finding) Finding {
	if f.Verdict == NoGo && f.Assumed != 0 {
		f.Verdict, f.Missing = Unknown, f.Assumed
	}
	return f
}

// lacking is the finding of a rule that cannot be judged: for want of figures,
// or because those there are contradict each other.
func lacking(r Rule, subject string, missing Facts) Finding {
	f := Finding{Rule: r, Verdict: Unknown, reason: cannotJudge, Subject: subject, Missing: missing}
	if missing == 0 {
		f.reason = contradicts
	}
	return f
}

// Why says in one line what decided, quantities in the given system.
func (f Finding) Why(system quantity.System) string {
	text := f.fill(reasons[f.reason].why, system)
	if f.Verdict == Unknown && f.Assumed != 0 && f.reason != cannotJudge {
		text += fmt.Sprintf("; that rests on bounds for %s, so it stays unknown", f.Assumed)
	}
	return text
}

// Remedy says what can be done, empty where nothing needs to be. Where a figure
// is missing it says how to come by it, and what to do until then: a current
// that may be dangerous is not to be tried meanwhile.
func (f Finding) Remedy(system quantity.System) string {
	remedy := f.fill(reasons[f.reason].remedy, system)
	switch {
	case f.Verdict != Unknown || f.Missing == 0:
		return remedy
	case remedy == "":
		return f.Missing.how()
	}
	return f.Missing.how() + "; until then " + remedy
}

// Source says where the limit comes from.
func (f Finding) Source() string {
	switch f.reason {
	case firesRecommended, firesBelowRecommended, testMaker:
		return "the maker's figure, as recorded"
	}
	if f.cited != "" {
		return f.cited
	}
	source := ruleTable[f.Rule].source
	if f.own {
		return "your setting; the default is from: " + source
	}
	return source
}

func (f Finding) fill(template string, system quantity.System) string {
	if !strings.Contains(template, "{") {
		return template
	}
	short := f.Value
	if short.Known() {
		short.Steps = -short.Steps
	}
	text := f.words(system)
	return strings.NewReplacer(
		"{value}", text(f.Value),
		"{limit}", text(f.Limit),
		"{extra}", text(f.extra),
		"{over}", text(short),
		"{missing}", f.Missing.String(),
	).Replace(template)
}

// words shows the finding's figures to four digits, or as exactly as they are
// known where two that differ would read the same.
func (f Finding) words(system quantity.System) func(Amount) string {
	brief := func(a Amount) string { return a.brief(system) }
	text := func(a Amount) string { return a.text(system) }
	for _, show := range []func(Amount) string{brief, text} {
		if f.tellsApart(show) {
			return show
		}
	}
	return Amount.exact
}

// tellsApart tells whether figures that differ are shown differently.
func (f Finding) tellsApart(show func(Amount) string) bool {
	figures := []Amount{f.Value, f.Limit, f.extra}
	for i, a := range figures {
		for _, b := range figures[i+1:] {
			if a.Known() && b.Known() && a.Steps != b.Steps && show(a) == show(b) {
				return false
			}
		}
	}
	return true
}
