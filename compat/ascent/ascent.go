// Package ascent computes the one-dimensional, vertical flight of a rocket of
// one or more stages, clusters and mixed mounts included.
//
//	m dv/dt = F(t) - m g0 - 1/2 rho Cd A v|v|
//
// The mass of each motor falls in proportion to the impulse it has delivered.
// The stack is held until thrust exceeds weight; that moment is lift-off, from
// which all times here and all timers count. The reference area is that of the
// largest body diameter attached, the drag coefficient that of the lowest stage
// attached. Density is that of the 1976 standard atmosphere at site altitude
// plus height; a site temperature shifts the temperature of the whole column
// and leaves pressure at each height alone. A stage that separates takes its
// dry mass and its motors with it. The motion is integrated by the classical
// Runge-Kutta method of fourth order, in steps that stop on every knot of a
// curve and on every event; lift-off, rail exit and apogee are solved for, not
// stepped over. (Equation and closed forms: Mandell, Caporaso & Bengen, Topics
// in Advanced Model Rocketry, 1973; from memory.)
//
// Limits: no wind, weathercocking, tilt or wobble; one drag coefficient per
// stage, which no longer holds above Mach 0.8 (Flight.Transonic); no thrust
// counts after apogee, because there the rocket no longer points upwards; the
// descent is ballistic, since what opens when is for others to judge.
//
// The package is pure: no I/O, no clock, values in and values out. It imports
// the standard library and rangebox/compat/thrust, and must not import any
// other package of this module; a test holds it to that.
package ascent

import "rangebox/compat/thrust"

// StandardGravity is g0 in m/s2, exact by definition (3rd CGPM, 1901).
const StandardGravity = thrust.StandardGravity

// Seconds is a time or a duration, s. Times count from lift-off.
type Seconds = thrust.Seconds

// Kilograms is a mass, kg.
type Kilograms = thrust.Kilograms

// NewtonSeconds is an impulse, N s.
type NewtonSeconds = thrust.NewtonSeconds

// Metres is a length, a height above the pad or an altitude above sea level, m.
type Metres float64

// SquareMetres is an area, m2.
type SquareMetres float64

// MetresPerSecond is a speed, m/s, upwards positive.
type MetresPerSecond float64

// Kelvin is a temperature, K.
type Kelvin float64

// Celsius turns degrees Celsius into kelvin.
func Celsius(degrees float64) Kelvin { return Kelvin(degrees + 273.15) }

// transonic is the Mach number above which a constant drag coefficient no
// longer holds: 0.8 (design of this project; common practice, no source).
const transonic = 0.8

// State is where a rocket or a part of it is, and how fast.
type State struct {
	Time   Seconds         // from lift-off
	Height Metres          // above the pad
	Speed  MetresPerSecond // upwards positive
}

// Event is a state that may not have come about.
type Event struct {
	State
	OK bool // whether it happened
}
