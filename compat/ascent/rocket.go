package ascent

import (
	"math"
	"slices"

	"rangebox/compat/thrust"
)

// By is what lights a mount.
type By int

// The ways to light a mount. The zero value is none of them and is refused.
const (
	Unassigned  By = iota
	Pad            // on the pad, with all others lit there
	Timer          // Ignition.At seconds after lift-off
	BurnThrough    // by the stage below, at the burnout of what lets the flame pass
)

// Ignition is how a mount is lit.
type Ignition struct {
	By By
	At Seconds // Timer only: setting from lift-off; NaN: not known
}

// Motor is one motor.
type Motor struct {
	Mass       Kilograms    // loaded
	Propellant Kilograms    // burnt in proportion to impulse
	Curve      thrust.Curve // of one motor, from the moment thrust begins
	Lag        Seconds      // from current (or flame) to thrust; 0 or more
}

// Mount is a number of like motors that are lit together.
type Mount struct {
	Name     string
	Count    int
	Motor    Motor
	Ignition Ignition
	Unlit    int // how many of the count do not light, and are carried as they are
	// Open tells that the flame passes forward at burnout. Where any mount of a
	// stage is open only those light what is above by burn-through.
	Open bool
}

func (m *Mount) lit() int { return m.Count - m.Unlit }

// Stage is one stage.
type Stage struct {
	Name     string
	Diameter Metres    // largest of the body
	DryMass  Kilograms // all but motors
	Cd       float64   // drag coefficient, on the largest diameter attached, while this stage is the lowest
	Mounts   []Mount
}

// lights reports whether something lights in this stage after lift-off.
func (s *Stage) lights() bool {
	for i := range s.Mounts {
		if m := &s.Mounts[i]; m.lit() > 0 && m.Ignition.By != Pad {
			return true
		}
	}
	return false
}

// Rocket is a rocket as it stands on the pad, loaded.
type Rocket struct {
	Stages []Stage // lowest first
	Rail   Metres  // free travel until the upper guide leaves; 0: not known, no rail exit then
}

// WithUnlit returns a copy of the rocket in which n more motors of one mount do
// not light, never more than the mount holds.
func (r Rocket) WithUnlit(stage, mount, n int) Rocket {
	r = r.clone(stage)
	m := &r.Stages[stage].Mounts[mount]
	m.Unlit = min(m.Count, m.Unlit+n)
	return r
}

// WithStageUnlit returns a copy of the rocket in which nothing in one stage
// lights.
func (r Rocket) WithStageUnlit(stage int) Rocket {
	r = r.clone(stage)
	for i := range r.Stages[stage].Mounts {
		m := &r.Stages[stage].Mounts[i]
		m.Unlit = m.Count
	}
	return r
}

// AsOne returns a copy of the rocket in which nothing lights after lift-off in
// any stage but the lowest, so that the stack coasts on whole.
func (r Rocket) AsOne() Rocket {
	for s := 1; s < len(r.Stages); s++ {
		r = r.clone(s)
		for i := range r.Stages[s].Mounts {
			if m := &r.Stages[s].Mounts[i]; m.Ignition.By != Pad {
				m.Unlit = m.Count
			}
		}
	}
	return r
}

// clone copies the slices down to one stage's mounts.
func (r Rocket) clone(stage int) Rocket {
	r.Stages = slices.Clone(r.Stages)
	r.Stages[stage].Mounts = slices.Clone(r.Stages[stage].Mounts)
	return r
}

// Body is what flies on without thrust: a part of a rocket, or all of it.
type Body struct {
	Mass Kilograms
	Area SquareMetres // reference area of Cd
	Cd   float64
}

// DiskArea returns the area of a disk of this diameter.
func DiskArea(diameter Metres) SquareMetres {
	return SquareMetres(math.Pi / 4 * float64(diameter) * float64(diameter))
}

// body is the shape of the stages from low to high, both included, with the
// area of the largest and the drag coefficient of the lowest.
func (r *Rocket) body(low, high int) Body {
	var widest Metres
	for _, s := range r.Stages[low : high+1] {
		widest = max(widest, s.Diameter)
	}
	return Body{Area: DiskArea(widest), Cd: r.Stages[low].Cd}
}
