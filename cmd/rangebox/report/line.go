package report

import (
	"fmt"
	"io"

	"github.com/olekukonko/tablewriter/pkg/twwidth"

	"rangebox/cmd/rangebox/answer"
	"rangebox/compat"
	"rangebox/inventory/quantity"
)

// LineCheck writes what a line does for its igniters: the verdict, the currents,
// the figures beside them, and what is not go.
func LineCheck(w io.Writer, l Look, c answer.LineCheck) error {
	groups := c.Igniters
	if len(groups) == 0 {
		groups = []answer.GroupCurrent{{Igniter: c.Igniter, Count: c.Count, NominalA: c.NominalA, WorstA: c.WorstA, NeededA: c.NeededA, Ratio: c.Ratio}}
	}
	fmt.Fprintf(w, "%s  %s\n\n", l.Word(c.Verdict), c.Line)
	t := &Table{Header: []string{"igniter", "each", "nominal", "bad day", "asked", "x all-fire"}, Right: []int{1, 2, 3, 4, 5}}
	for _, g := range groups {
		t.Add(g.Igniter, fmt.Sprint(g.Count), number(l, g.NominalA, quantity.Ampere, "?"), number(l, g.WorstA, quantity.Ampere, "?"),
			number(l, g.NeededA, quantity.Ampere, "?"), number(l, shorter(g.Ratio), quantity.One, "?"))
	}
	t.fit(l.Width)
	if err := t.Write(w); err != nil {
		return err
	}
	lineFigures(w, l, c)
	var notes notes
	for _, f := range c.Findings {
		notes.add(f.Subject, f)
	}
	notes.write(w, l)
	assumed(w, l, c.Findings)
	unchecked(w, l, c.NotChecked)
	l.cautions(w, cautionMeter)
	return nil
}

// shorter keeps a ratio to what can be read.
func shorter(n answer.Num) answer.Num {
	if n == nil {
		return nil
	}
	x, err := n.Float64()
	if err != nil {
		return n
	}
	text := numberText(fmt.Sprintf("%.2f", x))
	return &text
}

func lineFigures(w io.Writer, l Look, c answer.LineCheck) {
	begun := false
	row := func(name, value string) {
		if value != "" {
			if !begun {
				fmt.Fprintln(w)
				begun = true
			}
			l.para(w, fmt.Sprintf("  %-27s ", name), "                              ", value)
		}
	}
	volts := func(n answer.Num) string { return number(l, n, quantity.Volt, "?") }
	if c.NominalV != nil || c.WorstV != nil {
		row("supply while firing", volts(c.NominalV)+"; on a bad day "+volts(c.WorstV))
	}
	row("into a short at the clips", number(l, c.ShortA, quantity.Ampere, ""))
	row("a meter should read", spanText(l, c.Meter))
	row("  with one igniter missing", spanText(l, c.MeterLess)+overlap(c))
	if c.Most != nil {
		row("most such igniters", fmt.Sprint(*c.Most))
	}
	row("longest lead", number(l, c.LongestM, quantity.Metre, ""))
	row("thinnest lead", number(l, c.Smallest, quantity.AWG, ""))
	row("lowest voltage at rest", number(l, c.LowestV, quantity.Volt, ""))
}

func spanText(l Look, span []numberText) string {
	if len(span) != 2 {
		return ""
	}
	return number(l, &span[0], quantity.Ohm, "?") + " to " + number(l, &span[1], quantity.Ohm, "?")
}

// overlap warns where the meter cannot tell a missing igniter.
func overlap(c answer.LineCheck) string {
	if len(c.Meter) != 2 || len(c.MeterLess) != 2 {
		return ""
	}
	whole, _ := c.Meter[1].Float64()
	less, _ := c.MeterLess[0].Float64()
	if whole < less {
		return ""
	}
	return ", which the meter cannot always tell from whole"
}

// assumed tells which bounds stood in for figures that are missing.
func assumed(w io.Writer, l Look, findings []answer.Finding) {
	seen := map[string]bool{}
	text := ""
	for _, f := range findings {
		for _, name := range f.Assumed {
			if !seen[name] {
				seen[name] = true
				text += ", " + name
			}
		}
	}
	if text != "" {
		fmt.Fprintln(w)
		l.Para(w, "Taken at their bounds, since not recorded: "+text[2:]+".")
	}
}

// Chart writes the chart that goes inside the lid: a row for each nozzle, a
// column for each igniter, headed by its number in the list below. Igniters that
// do not fit beside each other follow in further tables.
func Chart(w io.Writer, l Look, c answer.Chart) error {
	for first := 0; first < len(c.Igniters); {
		last := min(len(c.Igniters), first+chartRoom(l, c))
		if err := chartBlock(l, c, first, last).Write(w); err != nil {
			return err
		}
		fmt.Fprintln(w)
		first = last
	}
	for i, ig := range c.Igniters {
		fmt.Fprintf(w, "%4d  %s\n", i+1, ig)
	}
	if len(c.Igniters) == 0 || len(c.Motors) == 0 {
		fmt.Fprintln(w, "There are no motors or no igniters to compare yet.")
	}
	fmt.Fprintf(w, "\n%s go   %s caution   %s unknown   %s no-go\n", chartCell(l, 'g'), chartCell(l, 'c'), chartCell(l, 'u'), chartCell(l, 'n'))
	l.cautions(w, cautionFitting)
	return nil
}

// chartRoom is how many igniters fit beside each other.
func chartRoom(l Look, c answer.Chart) int {
	used := len("motor") + 2 + len("nozzle") + 2
	for _, m := range c.Motors {
		used = max(used, twwidth.Width(m.Motor)+2+max(len("nozzle"), twwidth.Width(Clean(m.Nozzle)))+2)
	}
	column := len(fmt.Sprint(len(c.Igniters))) + 2
	return max(1, (l.Width-used)/column)
}

func chartBlock(l Look, c answer.Chart, first, last int) *Table {
	t := &Table{Header: []string{"motor", "nozzle"}}
	for i := first; i < last; i++ {
		t.Header = append(t.Header, fmt.Sprint(i+1))
	}
	for _, m := range c.Motors {
		row := []string{m.Motor, Clean(m.Nozzle)}
		for _, letter := range m.Verdicts[first:last] {
			row = append(row, chartCell(l, letter))
		}
		t.Add(row...)
	}
	return t
}

// chartCells are told apart without colour.
var chartCells = map[rune]struct{ mark, verdict string }{
	'g': {"G", compat.Go.String()}, 'c': {"c", compat.Caution.String()},
	'u': {"?", compat.Unknown.String()}, 'n': {"-", compat.NoGo.String()},
}

func chartCell(l Look, letter rune) string {
	cell := chartCells[letter]
	if !l.Colour {
		return cell.mark
	}
	return colours[cell.verdict] + cell.mark + colourEnd
}
