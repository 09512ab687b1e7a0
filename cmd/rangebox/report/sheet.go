package report

import (
	"bytes"
	"embed"
	"fmt"
	"html/template"
	"io"
	"slices"
	"strings"

	"rangebox/cmd/rangebox/answer"
	"rangebox/compat"
	"rangebox/inventory/quantity"
)

// pages are the printed pages: one file each, without script or anything from
// outside, which the policy in their head forbids besides.
//
//go:embed pages
var pages embed.FS

// Sheet writes the sheet of a launch day as a page to be printed, or read on a
// phone.
func Sheet(w io.Writer, l Look, s answer.Sheet) error {
	return page(w, l, "sheet.html", s, s.Tails)
}

// page fills in one of the pages; tails are what its lots are called. What could
// disturb the reading direction is shown as in a terminal.
func page(w io.Writer, l Look, name string, value any, tails map[string]string) error {
	t, err := template.New(name).Funcs(pageFuncs(l)).Funcs(template.FuncMap{"tail": func(lot string) string { return tails[lot] }}).ParseFS(pages, "pages/"+name, "pages/style.css")
	if err != nil {
		return fmt.Errorf("reading the page %s: %w", name, err)
	}
	var b bytes.Buffer
	if err := t.Execute(&b, value); err != nil {
		return fmt.Errorf("filling in the page %s: %w", name, err)
	}
	for line := range strings.Lines(b.String()) {
		if _, err := io.WriteString(w, Clean(strings.TrimSuffix(line, "\n"))+"\n"); err != nil {
			return fmt.Errorf("writing the page %s: %w", name, err)
		}
	}
	return nil
}

// pageFuncs are what pages can ask for: figures with their units, and lists that
// are gathered out of an answer.
func pageFuncs(l Look) template.FuncMap {
	return template.FuncMap{
		"mm":       func(n answer.Num) string { return unbroken(number(l, n, quantity.Millimetre, "")) },
		"m":        func(n answer.Num) string { return unbroken(number(l, n, quantity.Metre, "")) },
		"s":        func(n answer.Num) string { return unbroken(number(l, n, quantity.Second, "")) },
		"g":        func(n answer.Num) string { return unbroken(number(l, n, quantity.Gram, "")) },
		"c":        func(n answer.Num) string { return unbroken(number(l, n, quantity.Celsius, "")) },
		"mass":     func(n answer.Num) string { return unbroken(brief(l, round(n, 1), quantity.Gram)) },
		"powder":   func(n answer.Num) string { return unbroken(brief(l, round(n, 2), quantity.Gram)) },
		"seconds":  func(n answer.Num) string { return unbroken(brief(l, round(n, 1), quantity.Second)) },
		"moment":   func(n answer.Num) string { return unbroken(l.seconds(n)) },
		"speed":    func(n answer.Num) string { return unbroken(brief(l, round(n, 1), quantity.MetrePerSecond)) },
		"fast":     func(n answer.Num) string { return unbroken(brief(l, round(n, 0), quantity.MetrePerSecond)) },
		"inc":      func(i int) int { return i + 1 },
		"height":   func(n answer.Num) string { return unbroken(brief(l, round(n, 0), quantity.Metre)) },
		"ratio":    func(n answer.Num) string { return unbroken(fmt.Sprintf("%.1f", float(*n))) },
		"pairs":    pairsText,
		"down":     downBy,
		"join":     func(list []string) string { return strings.Join(list, "; ") },
		"stopping": func(c answer.RocketCheck) []notedFinding { return noted(c, compat.NoGo, compat.Unknown) },
		"cautious": func(c answer.RocketCheck) []notedFinding { return noted(c, compat.Caution) },
		"unsaid":   func(c answer.RocketCheck) []answer.NotChecked { return different(rocketUnchecked(c)) },
		"distance": func(c answer.RocketCheck) string { return distance(l, c) },
		"curve":    curveText,
		"plot":     plotPath,
		"cautions": func(c answer.RocketCheck) []string {
			return append(sentences(c.Cautions), cautionFitting, cautionAbove)
		},
	}
}

// brief shows a computed figure; nil shows nothing.
func brief[Q quantity.Quantity](l Look, n answer.Num, u quantity.Unit[Q]) string {
	if n == nil {
		return ""
	}
	q, err := u.Parse(n.String())
	if err != nil {
		return n.String()
	}
	return u.Brief(int64(q), l.System)
}

// unbroken keeps a figure and its unit on one line.
func unbroken(figure string) string { return strings.ReplaceAll(figure, " ", "\u00a0") }

// notedFinding is a finding that is not go, as a page tells it.
type notedFinding struct {
	Verdict, Rules, Of, Why, Remedy string
}

// noted is what has one of some verdicts, the worst first.
func noted(c answer.RocketCheck, verdicts ...compat.Verdict) []notedFinding {
	var list []notedFinding
	for _, n := range rocketNotes(c) {
		if !slices.ContainsFunc(verdicts, func(v compat.Verdict) bool { return v.String() == n.finding.Verdict }) {
			continue
		}
		list = append(list, notedFinding{n.finding.Verdict, strings.Join(n.rules, ", "), strings.Join(n.of, ", "), n.finding.Why, n.finding.Remedy})
	}
	return list
}

// different leaves out what was said already.
func different(list []answer.NotChecked) []answer.NotChecked {
	var out []answer.NotChecked
	said := map[string]bool{}
	for _, n := range list {
		if key := n.Rule + "\x00" + n.Missing; !said[key] {
			said[key] = true
			out = append(out, n)
		}
	}
	return out
}

// distance is what a safety code asks for around the pad.
func distance(l Look, c answer.RocketCheck) string {
	for _, s := range c.Stages {
		for _, f := range s.Findings {
			if f.Rule == compat.SafetyDistance.String() && f.Value != nil {
				return brief(l, round(f.Value, 0), quantity.Metre) + " (" + f.Source + ")"
			}
		}
	}
	return ""
}

func curveText(c answer.SheetCurve) string {
	return fmt.Sprintf("%.1f N s, class %s; %.0f N on average for %.2f s, %.0f N at the peak",
		float(c.ImpulseNs), c.Class, float(c.AverageN), float(c.BurnS), float(c.PeakN))
}

// The size of a small thrust curve, in the units of its drawing.
const (
	plotWidth  = 160.0
	plotHeight = 44.0
)

// plotPath is the outline of a thrust curve: over its burning time and its peak.
func plotPath(c answer.SheetCurve) string {
	points := compat.CurveOf(c.Points)
	end, peak := float64(points[len(points)-1].T), float(c.PeakN)
	var b strings.Builder
	fmt.Fprintf(&b, "M0 %g", plotHeight)
	for _, p := range points {
		fmt.Fprintf(&b, "L%.1f %.1f", float64(p.T)/end*plotWidth, plotHeight*(1-float64(p.F)/peak))
	}
	fmt.Fprintf(&b, "L%g %gZ", plotWidth, plotHeight)
	return b.String()
}

// SheetWritten says what was written, and whether it can be relied on.
func SheetWritten(w io.Writer, l Look, s answer.Sheet) error {
	l.Para(w, fmt.Sprintf("Wrote %s: %s, %d of %d ignition points have all they need.", Clean(s.File), counted(len(s.Flights), "flight"), s.Served, s.Points))
	switch s.State {
	case compat.SheetNotPacked.String():
		l.Para(w, "The day is not packed; the sheet says so. Pack it with `rangebox day pack "+s.Day.Date+"`, then write the sheet again.")
	case compat.SheetChanged.String():
		l.Para(w, "Something has changed since the day was packed:")
		for _, c := range s.Changes {
			l.para(w, "  ", "    ", Clean(changeText(c)))
		}
		l.Para(w, "The sheet says so. Pack again with `rangebox day pack "+s.Day.Date+"`, then write the sheet again.")
	}
	return nil
}

func changeText(c answer.SheetChange) string {
	where := joined(c.Flight, c.Point)
	if c.Flight == "" {
		where = joined("the day", c.Point)
	}
	return where + ": packed " + c.Packed + "; now " + c.Now + "."
}
