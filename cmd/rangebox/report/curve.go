package report

import (
	"fmt"
	"io"
	"strings"

	"rangebox/cmd/rangebox/answer"
	"rangebox/compat"
	"rangebox/compat/thrust"
)

// The size of a curve in the terminal.
const (
	curveRows    = 9
	curveColumns = 56
)

// Curves draws thrust curves in the terminal, with what they say.
func Curves(w io.Writer, l Look, curves []answer.Curve) error {
	for _, c := range curves {
		fmt.Fprintln(w)
		if c.Nozzle != "" {
			fmt.Fprintf(w, "With nozzle %s\n", Clean(c.Nozzle))
		}
		l.Para(w, analysisText(c.Analysis))
		fmt.Fprintln(w)
		draw(w, compat.CurveOf(c.Points), float(c.PeakN))
	}
	return nil
}

func analysisText(a answer.Analysis) string {
	text := fmt.Sprintf("%.1f N s, class %s (%.0f %% of it): %.1f N on average for %.2f s, %.1f N at the peak",
		float(a.ImpulseNs), a.Class, float(a.ClassPct), float(a.AverageN), float(a.BurnS), float(a.PeakN))
	if a.IspS != nil {
		text += fmt.Sprintf("; specific impulse %.0f s", float(*a.IspS))
	}
	return text + "."
}

// draw fills the area below the curve, an eighth of a row at a time.
func draw(w io.Writer, c thrust.Curve, peak float64) {
	const eighths = "▁▂▃▄▅▆▇█"
	blocks := []rune(eighths)
	end := c[len(c)-1].T
	for row := curveRows - 1; row >= 0; row-- {
		var line strings.Builder
		for column := range curveColumns {
			t := end * (thrust.Seconds(column) + 0.5) / curveColumns
			fill := float64(c.At(t))/peak*curveRows - float64(row)
			switch {
			case fill >= 1:
				line.WriteRune(blocks[7])
			case fill >= 1.0/8:
				line.WriteRune(blocks[int(fill*8)-1])
			default:
				line.WriteByte(' ')
			}
		}
		fmt.Fprintf(w, "%7.1f N ┤%s\n", peak*float64(row+1)/curveRows, strings.TrimRight(line.String(), " "))
	}
	fmt.Fprintf(w, "          └%s\n", strings.Repeat("─", curveColumns))
	fmt.Fprintf(w, "           0%*s\n", curveColumns-1, fmt.Sprintf("%.2f s", float64(end)))
}

func float(n numberText) float64 {
	x, err := n.Float64()
	if err != nil {
		return 0
	}
	return x
}
