package report

import (
	"fmt"
	"io"
	"strings"

	"rangebox/cmd/rangebox/answer"
	"rangebox/compat"
	"rangebox/inventory/quantity"
)

// Choosing writes the motors that would fly, best first, and why each other one
// drops out.
func Choosing(w io.Writer, l Look, c answer.Choosing) error {
	t := &Table{Header: []string{"verdict", "motor", "nozzle", "delay", "ejects to", "thrust", "off rail", "apogee", "usable"}, Right: []int{3, 4, 5, 6, 7, 8}}
	var out []answer.Choice
	for _, x := range c.Choices {
		if x.Verdict == compat.NoGo.String() {
			out = append(out, x)
			continue
		}
		t.Add(l.Word(x.Verdict), x.Motor, Clean(x.Nozzle), number(l, x.DelayS, quantity.Second, ""), computed(l, x.EjectsWorstMS, 1, quantity.MetrePerSecond, ""),
			weights(x.ThrustToWeight), computed(l, x.RailSpeed, 1, quantity.MetrePerSecond, ""), computed(l, x.ApogeeM, 0, quantity.Metre, ""), x.Usable.String())
	}
	if len(t.Rows) == 0 {
		l.Para(w, "No motor in stock would fly it.")
	} else {
		t.dropEmpty()
		t.fit(l.Width)
		if err := t.Write(w); err != nil {
			return err
		}
		fmt.Fprintln(w)
		l.Para(w, "Ejects to: the greatest speed at ejection, early, on time or late.")
	}
	dropOuts(w, l, out)
	if len(c.Absent) > 0 {
		fmt.Fprintln(w)
		l.Para(w, "Not in stock on that day: "+strings.Join(c.Absent, ", ")+".")
	}
	fmt.Fprintln(w)
	l.Para(w, "Which igniter suits: `rangebox fits MOTOR`. The whole of it: `rangebox rocket check "+c.Rocket+" --with STAGE/MOUNT.motor=MOTOR`.")
	l.cautions(w)
	return nil
}

// weights shows thrust in weights of the rocket.
func weights(n answer.Num) string {
	if n == nil {
		return ""
	}
	return fmt.Sprintf("%.1f x", float(*n))
}

// dropOuts tells why, the same words once.
func dropOuts(w io.Writer, l Look, list []answer.Choice) {
	var why []string
	of := map[string][]string{}
	for _, x := range list {
		name := x.Motor
		if x.DelayS != nil {
			name += " with " + number(l, x.DelayS, quantity.Second, "")
		}
		text := x.Rule + ": " + x.Why
		if of[text] == nil {
			why = append(why, text)
		}
		of[text] = append(of[text], name)
	}
	if len(why) > 0 {
		fmt.Fprintln(w, "\nDrop out:")
	}
	for _, text := range why {
		l.para(w, "  ", "    ", strings.Join(of[text], ", ")+" - "+text+".")
	}
}

// dropEmpty takes out columns of text that are empty throughout.
func (t *Table) dropEmpty() {
	var keep []int
	for i := range t.Header {
		for _, row := range t.Rows {
			if row[i] != "" {
				keep = append(keep, i)
				break
			}
		}
	}
	slim := &Table{}
	for j, i := range keep {
		slim.Header = append(slim.Header, t.Header[i])
		if t.isRight(i) {
			slim.Right = append(slim.Right, j)
		}
	}
	for _, row := range t.Rows {
		var cells []string
		for _, i := range keep {
			cells = append(cells, row[i])
		}
		slim.Add(cells...)
	}
	*t = *slim
}
