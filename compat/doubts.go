package compat

import (
	"fmt"
	"regexp"

	"rangebox/compat/thrust"
	"rangebox/inventory"
)

// Specific impulse that a family of propellants can have, in s (ours).
var plausibleIsp = map[string][2]float64{
	inventory.BlackPowder: {40, 110},
	inventory.Composite:   {120, 270},
}

// Doubts lists what a motor's thrust curve makes implausible: warned of, never
// refused. The doubts that need no curve are inventory's.
func Doubts(rec inventory.Record) []string {
	m, ok := rec.(*inventory.Motor)
	if !ok {
		return nil
	}
	doubts := curveDoubts(m, m.Curve)
	for i := range m.Nozzles {
		for _, d := range curveDoubts(m, m.Nozzles[i].Curve) {
			doubts = append(doubts, fmt.Sprintf("with nozzle %s, %s", m.Nozzles[i].Name, d))
		}
	}
	return doubts
}

func curveDoubts(m *inventory.Motor, points []inventory.CurvePoint) []string {
	a, err := AnalyseCurve(points, m)
	if len(points) == 0 || err != nil {
		return nil
	}
	var doubts []string
	letter, _ := thrust.Class(a.Impulse)
	if named, ok := classInName(m.Name); ok && named != letter {
		doubts = append(doubts, fmt.Sprintf("the curve's %.1f N s are class %s, the name says %s", float64(a.Impulse), letter, named))
	}
	if span, known := plausibleIsp[m.Propellant]; known && a.IspKnown && (float64(a.Isp) < span[0] || float64(a.Isp) > span[1]) {
		doubts = append(doubts, fmt.Sprintf("a specific impulse of %.0f s is outside what %s gives (%.0f to %.0f s)", float64(a.Isp), m.Propellant, span[0], span[1]))
	}
	return doubts
}

// nameForm finds a class letter, with its fraction, before the average thrust in
// a motor's name: the trade's habit of naming.
var nameForm = regexp.MustCompile(`(?:^|[^A-Za-z0-9/])((?:1/[248])?[A-O])[0-9]`)

func classInName(name string) (string, bool) {
	found := nameForm.FindStringSubmatch(name)
	if found == nil {
		return "", false
	}
	return found[1], true
}
