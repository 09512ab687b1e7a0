package report

import (
	"fmt"
	"io"
	"sort"
	"strings"

	"rangebox/cmd/rangebox/answer"
	"rangebox/compat"
	"rangebox/inventory/quantity"
)

// Rocket writes what a careful flyer works out the evening before: one line a
// stage, then what is not go, then the figures, what brings each part down, and
// the order of work. With explain every finding is told, with its source.
func Rocket(w io.Writer, l Look, r answer.RocketCheck, explain bool) error {
	fmt.Fprintf(w, "%s  %s\n\n", l.Word(r.Verdict), r.Rocket)
	if err := stageTable(l, r).Write(w); err != nil {
		return err
	}
	rocketNotes(r).write(w, l)
	fmt.Fprintln(w)
	rocketFigures(w, l, r)
	if err := waysDown(w, l, r); err != nil {
		return err
	}
	if explain {
		explained(w, l, r)
	}
	assumed(w, l, everyFinding(r))
	unchecked(w, l, rocketUnchecked(r))
	sequences(w, l, r)
	l.para(w, "Left out: ", "  ", strings.Join(r.LeftOut, "; ")+".")
	l.cautions(w, append(sentences(r.Cautions), cautionFitting)...)
	return nil
}

// sentences gives each caution its full stop.
func sentences(list []string) []string {
	out := make([]string, len(list))
	for i, s := range list {
		out[i] = Clean(s) + "."
	}
	return out
}

func stageTable(l Look, r answer.RocketCheck) *Table {
	t := &Table{Header: []string{"verdict", "stage", "thrust", "speed", "burnout", "speed", "height", "coast"}, Right: []int{2, 3, 4, 5, 6, 7}}
	for _, s := range r.Stages {
		t.Add(l.Word(s.Verdict), Clean(s.Name), l.seconds(s.IgnitionS), l.speed(s.IgnitionSpeed), l.seconds(s.BurnoutS),
			l.speed(s.BurnoutSpeed), l.height(s.BurnoutM), number(l, round(s.CoastS, 2), quantity.Second, ""))
	}
	t.fit(l.Width)
	return t
}

// The figures of a flight are shown to what they are good for.
func (l Look) seconds(n answer.Num) string {
	if n == nil {
		return "?"
	}
	text := fmt.Sprintf("%.2f s", float(*n))
	if text == "-0.00 s" {
		return "0.00 s"
	}
	return text
}

func (l Look) speed(n answer.Num) string { return computed(l, n, 1, quantity.MetrePerSecond, "?") }

func (l Look) height(n answer.Num) string { return computed(l, n, 0, quantity.Metre, "?") }

// computed shows a figure that was worked out: to some decimals of its own unit, or
// to four digits of another.
func computed[Q quantity.Quantity](l Look, n answer.Num, decimals int, u quantity.Unit[Q], blank string) string {
	if n == nil || l.System == quantity.Metric {
		return number(l, round(n, decimals), u, blank)
	}
	return brief(l, n, u)
}

// round keeps so many decimals; nil stays nil.
func round(n answer.Num, decimals int) answer.Num {
	if n == nil {
		return nil
	}
	text := numberText(fmt.Sprintf("%.*f", decimals, float(*n)))
	return &text
}

// rocketNotes is everything that is not go, the same words once, the worst first.
func rocketNotes(r answer.RocketCheck) notes {
	var all notes
	for _, s := range r.Stages {
		for _, f := range s.Findings {
			all.add(subjectOr(f, s.Name), f)
		}
		for _, p := range s.Points {
			for _, f := range p.Findings {
				all.add(p.Point, f)
			}
		}
	}
	for _, b := range r.Branches {
		for _, f := range b.Findings {
			all.add(b.Fault, f)
		}
	}
	sort.SliceStable(all, func(i, j int) bool { return gravity(all[i].finding) > gravity(all[j].finding) })
	return all
}

func subjectOr(f answer.Finding, name string) string {
	if f.Subject != "" {
		return Clean(f.Subject)
	}
	return Clean(name)
}

// gravity orders notes, the worst first.
func gravity(f answer.Finding) int {
	for _, v := range []compat.Verdict{compat.Go, compat.Caution, compat.Unknown, compat.NoGo} {
		if v.String() == f.Verdict {
			return v.Severity()
		}
	}
	return 0
}

func rocketFigures(w io.Writer, l Look, r answer.RocketCheck) {
	row := func(name, value string) {
		if value != "" && value != "?" {
			l.para(w, fmt.Sprintf("  %-24s ", name), strings.Repeat(" ", 27), value)
		}
	}
	row("mass at lift-off", number(l, round(r.LiftoffMassG, 1), quantity.Gram, ""))
	if r.ImpulseNs != nil {
		row("impulse installed", fmt.Sprintf("%.1f N s", float(*r.ImpulseNs)))
	}
	if r.Flight.ThrustToWeight != nil {
		row("thrust to weight", fmt.Sprintf("%.1f", float(*r.Flight.ThrustToWeight)))
	}
	row("speed off the rail", l.speed(r.Flight.RailSpeed))
	row("greatest speed", l.speed(r.Flight.MaxSpeed))
	if r.Flight.ApogeeM != nil {
		row("apogee", l.height(r.Flight.ApogeeM)+" after "+l.seconds(r.Flight.ApogeeS))
	}
	if r.AsOne != nil && r.AsOne.ApogeeM != nil {
		row("apogee, top unlit", l.height(r.AsOne.ApogeeM)+" after "+l.seconds(r.AsOne.ApogeeS)+", in one piece")
	}
	for _, s := range r.Stages {
		for _, f := range s.Findings {
			if f.Rule == compat.SafetyDistance.String() && f.Value != nil {
				row("nobody nearer than", l.height(f.Value)+" ("+f.Source+")")
			}
		}
		if s.NearestDelayS != nil {
			row("delay for "+Clean(s.Name), number(l, s.NearestDelayS, quantity.Second, "")+" on offer is nearest to its coast")
		}
		if len(s.TimerWindowS) == 2 {
			row("timer of "+Clean(s.Name), "set between "+l.seconds(s.TimerWindowS[0])+" and "+l.seconds(s.TimerWindowS[1]))
		}
		for _, name := range sortedKeys(s.ChargeG) {
			row("powder for "+Clean(name), powderText(l, s.ChargeG[name], s.RecommendedG[name]))
		}
	}
}

// powderText is the powder recommended, and what was worked out where that is less.
func powderText(l Look, computed, recommended answer.Num) string {
	l.System = quantity.Metric // the trade weighs powder in grams everywhere
	text := number(l, round(recommended, 2), quantity.Gram, "?")
	if computed != nil && recommended != nil && float(*computed) < float(*recommended) {
		text += " (" + number(l, round(computed, 2), quantity.Gram, "?") + " worked out; less than this may not light)"
	}
	return text + "; test it on the ground"
}

func sortedKeys(m map[string]answer.Num) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	return keys
}

// waysDown is the table of what brings each part down, for each thing that can
// go wrong.
func waysDown(w io.Writer, l Look, r answer.RocketCheck) error {
	if len(r.Branches) == 0 {
		return nil
	}
	fmt.Fprintln(w, "\nWhat brings each part down:")
	t := &Table{Header: []string{"if", "part", "opens at", "speed", "height", "down by"}, Right: []int{2, 3, 4}}
	for _, b := range r.Branches {
		fault := Clean(b.Fault)
		for _, p := range b.Parts {
			t.Add(fault, Clean(p.Part), number(l, round(p.OpensS, 1), quantity.Second, ""), computed(l, p.Speed, 0, quantity.MetrePerSecond, ""),
				computed(l, p.HeightM, 0, quantity.Metre, ""), downBy(p))
			fault = ""
		}
	}
	t.fit(l.Width)
	return t.Write(w)
}

// downBy is what brings a part down; nothing, or not to be told.
func downBy(p answer.RocketPart) string {
	switch {
	case p.DownBy != "":
		return Clean(p.DownBy)
	case p.Verdict == compat.Unknown.String():
		return "?"
	}
	return "nothing"
}

// explained tells every finding with its limit and its source.
func explained(w io.Writer, l Look, r answer.RocketCheck) {
	fmt.Fprintln(w, "\nEvery finding:")
	tell := func(of, where string, f answer.Finding) {
		l.para(w, "  ", "      ", fmt.Sprintf("%s  %s, %s: %s%s. [%s]", l.Word(f.Verdict), f.Rule, of, where, f.Why, f.Source))
	}
	for _, s := range r.Stages {
		for _, f := range s.Findings {
			tell(Clean(f.Subject), "", f)
		}
		for _, p := range s.Points {
			for _, f := range p.Findings {
				tell(Clean(p.Point), "", f)
			}
		}
	}
	for _, b := range r.Branches {
		for _, f := range b.Findings {
			tell(Clean(f.Subject), Clean(b.Fault)+": ", f)
		}
	}
}

func everyFinding(r answer.RocketCheck) []answer.Finding {
	var all []answer.Finding
	for _, s := range r.Stages {
		all = append(all, s.Findings...)
		for _, p := range s.Points {
			all = append(all, p.Findings...)
		}
	}
	for _, b := range r.Branches {
		all = append(all, b.Findings...)
	}
	return all
}

func rocketUnchecked(r answer.RocketCheck) []answer.NotChecked {
	var all []answer.NotChecked
	for _, s := range r.Stages {
		all = append(all, s.NotChecked...)
		for _, p := range s.Points {
			all = append(all, p.NotChecked...)
		}
	}
	for _, b := range r.Branches {
		all = append(all, b.NotChecked...)
	}
	return all
}

func sequences(w io.Writer, l Look, r answer.RocketCheck) {
	for _, s := range r.Sequences {
		fmt.Fprintf(w, "\n%s:\n", s.Where)
		for i, step := range s.Steps {
			first := fmt.Sprintf("%3d  ", i+1)
			l.para(w, first, "     ", step)
		}
	}
	if len(r.Sequences) > 0 {
		fmt.Fprintln(w)
	}
}
