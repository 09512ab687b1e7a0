package report

import (
	"fmt"
	"io"
	"slices"
	"sort"
	"strings"

	"rangebox/cmd/rangebox/answer"
	"rangebox/compat"
	"rangebox/inventory/quantity"
)

// Fits writes what could be used as a table, what to mind about it, and one
// line for the rest.
func Fits(w io.Writer, l Look, f answer.Fits) error {
	useful, rest := split(f.Matches)
	if len(useful) == 0 {
		fmt.Fprintf(w, "Nothing in the box fits.\n")
	} else if err := fitsTable(l, f, useful).Write(w); err != nil {
		return err
	}
	if line := others(rest); line != "" {
		fmt.Fprintln(w)
		l.Para(w, line)
	}
	mind(w, l, useful, f.Igniter != "")
	unchecked(w, l, gather(useful))
	l.cautions(w, cautionFitting)
	return nil
}

func split(matches []answer.Match) (useful, rest []answer.Match) {
	for _, m := range matches {
		if m.Verdict == compat.NoGo.String() {
			rest = append(rest, m)
			continue
		}
		useful = append(useful, m)
	}
	return useful, rest
}

// fitsTable leaves out the columns that nothing was asked for.
func fitsTable(l Look, f answer.Fits, useful []answer.Match) *Table {
	t := &Table{}
	columns := fitsColumns(l, f, useful)
	for i, c := range columns {
		t.Header = append(t.Header, c.head)
		if c.right {
			t.Right = append(t.Right, i)
		}
	}
	for i := range useful {
		row := make([]string, len(columns))
		for j, c := range columns {
			row[j] = c.cell(&useful[i])
		}
		t.Add(row...)
	}
	t.fit(l.Width)
	return t
}

type fitsColumn struct {
	head  string
	right bool
	cell  func(*answer.Match) string
}

func fitsColumns(l Look, f answer.Fits, useful []answer.Match) []fitsColumn {
	columns := []fitsColumn{
		{"verdict", false, func(m *answer.Match) string { return l.Word(m.Verdict) }},
	}
	if f.Igniter == "" {
		columns = append(columns, fitsColumn{"igniter", false, func(m *answer.Match) string { return m.Igniter }})
	} else {
		columns = append(columns, fitsColumn{"motor", false, func(m *answer.Match) string { return m.Motor }})
	}
	if slices.ContainsFunc(useful, func(m answer.Match) bool { return m.Nozzle != "" }) {
		columns = append(columns, fitsColumn{"nozzle", false, func(m *answer.Match) string { return Clean(m.Nozzle) }})
	}
	columns = append(columns,
		fitsColumn{"room", true, func(m *answer.Match) string { return number(l, m.ClearanceMM, quantity.Millimetre, "?") }})
	if anySplice(useful) {
		columns = append(columns, fitsColumn{"splice", true, func(m *answer.Match) string { return spliceText(l, m) }})
	}
	if f.Line != "" {
		columns = append(columns, fitsColumn{"bad-day current", true, func(m *answer.Match) string { return currentText(l, m) }})
	}
	return append(columns, fitsColumn{"usable", true, usableText})
}

// usableText is what can be used, and of how many where that is less.
func usableText(m *answer.Match) string {
	if m.OnHand == m.Usable {
		return m.Usable.String()
	}
	return m.Usable.String() + " of " + m.OnHand.String()
}

func anySplice(matches []answer.Match) bool {
	for _, m := range matches {
		if m.SpliceMM != nil {
			return true
		}
	}
	return false
}

func spliceText(l Look, m *answer.Match) string {
	if m.SpliceMM != nil && m.SpliceMM.String() == "0" {
		return "none"
	}
	return number(l, m.SpliceMM, quantity.Millimetre, "?")
}

// currentText is the current of the firing-current finding.
func currentText(l Look, m *answer.Match) string {
	for _, f := range m.Findings {
		if f.Rule == compat.FiringCurrent.String() {
			return number(l, f.Value, quantity.Ampere, "?")
		}
	}
	return "?"
}

// others counts what cannot be used, by the reason: "9 others: 5 too wide".
func others(rest []answer.Match) string {
	if len(rest) == 0 {
		return ""
	}
	counts := map[string]int{}
	for _, m := range rest {
		counts[failing(m.Findings)]++
	}
	reasons := make([]string, 0, len(counts))
	for reason := range counts {
		reasons = append(reasons, reason)
	}
	sort.Slice(reasons, func(i, j int) bool {
		if counts[reasons[i]] != counts[reasons[j]] {
			return counts[reasons[i]] > counts[reasons[j]]
		}
		return reasons[i] < reasons[j]
	})
	for i, reason := range reasons {
		reasons[i] = fmt.Sprintf("%d %s", counts[reason], reason)
	}
	noun := "others"
	if len(rest) == 1 {
		noun = "other"
	}
	return fmt.Sprintf("%d %s no-go: %s.", len(rest), noun, strings.Join(reasons, ", "))
}

// failing names the first rule that failed, in two words.
func failing(findings []answer.Finding) string {
	for _, f := range findings {
		if f.Verdict == compat.NoGo.String() {
			return compat.Fails(f.Rule)
		}
	}
	return ""
}

// mind lists what is not go about what could be used, alike ones together.
func mind(w io.Writer, l Look, matches []answer.Match, byMotor bool) {
	var notes notes
	for _, m := range matches {
		name := m.Igniter
		if byMotor {
			name = m.Motor
		}
		if m.Nozzle != "" && m.Nozzle != "standard" {
			name += "/" + Clean(m.Nozzle)
		}
		for _, f := range m.Findings {
			notes.add(name, f)
		}
	}
	notes.write(w, l)
}

// notes gathers findings that are not go; the same words are said once, of all
// rules and all igniters they are true of.
type notes []note

type note struct {
	finding answer.Finding
	rules   []string
	of      []string
}

func (n *notes) add(name string, f answer.Finding) {
	if f.Verdict == compat.Go.String() {
		return
	}
	for i := range *n {
		if x := &(*n)[i]; x.says(f) && (x.of[0] == name && len(x.of) == 1 || x.rules[0] == f.Rule && len(x.rules) == 1) {
			x.rules, x.of = with(x.rules, f.Rule), with(x.of, name)
			return
		}
	}
	*n = append(*n, note{f, []string{f.Rule}, []string{name}})
}

// says tells whether a note has the words of a finding.
func (x *note) says(f answer.Finding) bool {
	return x.finding.Verdict == f.Verdict && x.finding.Why == f.Why && x.finding.Remedy == f.Remedy
}

// with appends what is not there yet.
func with(list []string, one string) []string {
	for _, s := range list {
		if s == one {
			return list
		}
	}
	return append(list, one)
}

func (n notes) write(w io.Writer, l Look) {
	for _, x := range n {
		fmt.Fprintf(w, "\n%s  %s\n", l.Word(x.finding.Verdict), strings.Join(x.rules, ", "))
		l.para(w, "  ", "  ", strings.Join(x.of, ", ")+": "+x.finding.Why+".")
		if x.finding.Remedy != "" {
			l.para(w, "  -> ", "     ", x.finding.Remedy+".")
		}
	}
}

func gather(matches []answer.Match) []answer.NotChecked {
	var all []answer.NotChecked
	for _, m := range matches {
		all = append(all, m.NotChecked...)
	}
	return all
}

// unchecked tells once for each figure what could not be asked without it.
func unchecked(w io.Writer, l Look, list []answer.NotChecked) {
	seen := map[string]bool{}
	for _, n := range list {
		key := n.Rule + n.Missing
		if seen[key] {
			continue
		}
		if len(seen) == 0 {
			fmt.Fprintln(w, "\nNot checked:")
		}
		seen[key] = true
		l.para(w, "  ", "    ", fmt.Sprintf("%s, for want of %s: %s.", n.Rule, n.Missing, n.How))
	}
}
