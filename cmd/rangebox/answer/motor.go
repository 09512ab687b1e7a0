package answer

import (
	"encoding/json"
	"strconv"

	"rangebox/compat"
	"rangebox/compat/thrust"
	"rangebox/inventory"
)

// Analysis is what a thrust curve says of its motor.
type Analysis struct {
	ImpulseNs json.Number `json:"impulse_ns"`
	BurnS     json.Number `json:"burn_s"`
	AverageN  json.Number `json:"average_n"`
	PeakN     json.Number `json:"peak_n"`
	Class     string      `json:"class"`
	ClassPct  json.Number `json:"class_pct"`
	IspS      Num         `json:"isp_s,omitempty"`
}

// AnalysisOf analyses a curve of a motor; nil where there is none.
func AnalysisOf(points []inventory.CurvePoint, m *inventory.Motor) *Analysis {
	a, err := compat.AnalyseCurve(points, m)
	if len(points) == 0 || err != nil {
		return nil
	}
	letter, pct := thrust.Class(a.Impulse)
	out := &Analysis{
		ImpulseNs: decimal(float64(a.Impulse)), BurnS: decimal(float64(a.Burn)), AverageN: decimal(float64(a.Average)),
		PeakN: decimal(float64(a.Peak)), Class: letter, ClassPct: decimal(pct),
	}
	if a.IspKnown {
		isp := decimal(float64(a.Isp))
		out.IspS = &isp
	}
	return out
}

// decimal writes a computed number to nine digits.
func decimal(x float64) json.Number {
	return json.Number(strconv.FormatFloat(x, 'g', 9, 64))
}

// Curve is a thrust curve to be drawn, with its analysis.
type Curve struct {
	Nozzle string
	Points []inventory.CurvePoint
	Analysis
}

// CurvesOf is every curve of a motor: its own, then those of its nozzles.
func CurvesOf(m *inventory.Motor) []Curve {
	var curves []Curve
	add := func(nozzle string, points []inventory.CurvePoint) {
		if a := AnalysisOf(points, m); a != nil {
			curves = append(curves, Curve{nozzle, points, *a})
		}
	}
	add("", m.Curve)
	for _, n := range m.Nozzles {
		add(n.Name, n.Curve)
	}
	return curves
}
