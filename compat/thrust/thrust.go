// Package thrust reads what a motor's thrust curve says of the motor: its
// total impulse, burn time, average and peak thrust, specific impulse, letter
// class and certification level.
//
// A curve is a list of points (time after ignition, thrust), linear between
// them. Total impulse is the trapezoid integral, exact for such a curve. Burn
// time runs from the first rise through 5 % of the peak to the last fall
// through it, and average thrust is impulse over burn time (NFPA 1125; from
// memory). The classes are the published impulse table of a national body's
// sporting code, 1/8A to O and doubling beyond.
//
// Limits: the curve is taken as it is; nothing here knows of temperature,
// of lots that differ, or of the delay grain.
//
// The package is pure: no I/O, no clock. It imports the standard library only
// and must not import any other package of this module, so that it can be used
// alone; a test holds it to that.
package thrust

// StandardGravity is g0 in m/s2, exact by definition (3rd CGPM, 1901).
const StandardGravity = 9.80665

// Seconds is a time or a duration, s.
type Seconds float64

// Newtons is a force, N.
type Newtons float64

// NewtonSeconds is an impulse, N s.
type NewtonSeconds float64

// Kilograms is a mass, kg.
type Kilograms float64
