package compat

import (
	"rangebox/compat/thrust"
	"rangebox/inventory"
)

// CurveOf turns recorded points into a thrust curve in SI.
func CurveOf(points []inventory.CurvePoint) thrust.Curve {
	curve := make(thrust.Curve, len(points))
	for i, p := range points {
		curve[i] = thrust.Point{T: thrust.Seconds(p.At.Seconds()), F: thrust.Newtons(p.Thrust.Newtons())}
	}
	return curve
}

// AnalyseCurve gives the figures of a motor from one of its curves; see
// thrust.Analyse for its errors.
func AnalyseCurve(points []inventory.CurvePoint, m *inventory.Motor) (thrust.Analysis, error) {
	return thrust.Analyse(CurveOf(points), thrust.Kilograms(m.PropellantMass.Or(0).Kilograms()))
}
