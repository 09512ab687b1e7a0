package ascent

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"rangebox/compat/thrust"
)

// ErrNeverLeaves says that thrust never exceeds weight, or not by enough: the
// rocket stays on the pad, or sinks back before it clears the rail.
var ErrNeverLeaves = errors.New("thrust does not exceed weight by enough: the rocket does not leave the pad")

// ErrBeyond says that the figures lead to a motion that cannot be followed:
// numbers that overflow, or millions of steps. No rocket gives it.
var ErrBeyond = errors.New("the figures lead to a motion that cannot be followed")

// What can be wrong with a figure. A Problem wraps one of these, or an error of
// package thrust where a curve is to blame.
var (
	ErrMissing = errors.New("missing")
	ErrInvalid = errors.New("not possible")
)

// Problem is one figure that keeps a flight from being computed.
type Problem struct {
	Stage string // name of the stage, or its number from 1; empty for the rocket, the site or a body
	Mount string // name of the mount, or its number from 1; empty for a stage
	Field string // the field, by its key in the project's records without a unit: dry_mass, diameter, cd, mass, propellant, curve, lag, count, ignition.by, ignition.at, rail, stages, ...
	Err   error
}

// Error names the figure and says what is wrong with it.
func (p Problem) Error() string {
	at := p.Field
	switch {
	case p.Mount != "":
		at = p.Stage + "/" + p.Mount + "." + p.Field
	case p.Stage != "":
		at = p.Stage + "." + p.Field
	}
	return at + ": " + p.Err.Error()
}

// Unwrap returns the reason.
func (p Problem) Unwrap() error { return p.Err }

// ProblemsError lists every figure that is missing or cannot be, in the order
// of the rocket.
type ProblemsError struct{ Problems []Problem }

// Error lists the problems.
func (e *ProblemsError) Error() string {
	texts := make([]string, len(e.Problems))
	for i, p := range e.Problems {
		texts[i] = p.Error()
	}
	return "cannot compute the flight: " + strings.Join(texts, "; ")
}

// Unwrap returns the problems, for errors.Is and errors.As.
func (e *ProblemsError) Unwrap() []error {
	errs := make([]error, len(e.Problems))
	for i, p := range e.Problems {
		errs[i] = p
	}
	return errs
}

type problems struct {
	list         []Problem
	stage, mount string
}

func (p *problems) add(field string, err error) {
	p.list = append(p.list, Problem{Stage: p.stage, Mount: p.mount, Field: field, Err: err})
}

// positive wants a finite number above zero; zero and NaN mean it is not known.
func (p *problems) positive(field string, x float64) {
	switch {
	case x == 0 || math.IsNaN(x):
		p.add(field, ErrMissing)
	case x < 0 || math.IsInf(x, 0):
		p.add(field, ErrInvalid)
	}
}

// notNegative wants a finite number, zero included; NaN means it is not known.
func (p *problems) notNegative(field string, x float64) {
	switch {
	case math.IsNaN(x):
		p.add(field, ErrMissing)
	case x < 0 || math.IsInf(x, 0):
		p.add(field, ErrInvalid)
	}
}

func (p *problems) err() error {
	if len(p.list) == 0 {
		return nil
	}
	return &ProblemsError{Problems: p.list}
}

// check wants every figure that this flight stands on, and no other: the drag
// coefficient of an upper stage only if it will fly without those below, the
// curve and propellant of a motor only if it lights.
func check(r *Rocket, site Site, o Options) error {
	var p problems
	if len(r.Stages) == 0 {
		p.add("stages", ErrMissing)
	}
	p.notNegative("rail", float64(r.Rail))
	p.site(site)
	for i := range r.Stages {
		p.checkStage(r, i, o.opens(i-1))
	}
	for _, open := range o.Open {
		p.stage, p.mount = "", ""
		if open.Joint < 0 || open.Joint >= len(r.Stages)-1 {
			p.add("open.joint", ErrInvalid)
		}
		p.notNegative("open.at", float64(open.At))
	}
	return p.err()
}

func (p *problems) checkStage(r *Rocket, i int, opened bool) {
	s := &r.Stages[i]
	p.stage, p.mount = nameOr(s.Name, i), ""
	p.positive("dry_mass", float64(s.DryMass))
	p.positive("diameter", float64(s.Diameter))
	if i == 0 || opened || s.lights() {
		p.positive("cd", s.Cd)
	}
	for j := range s.Mounts {
		p.mount = nameOr(s.Mounts[j].Name, j)
		p.checkMount(&s.Mounts[j], i)
	}
	p.stage, p.mount = "", ""
}

func (p *problems) checkMount(m *Mount, stage int) {
	if m.Count <= 0 || m.Unlit < 0 || m.Unlit > m.Count {
		p.add("count", ErrInvalid)
	}
	p.positive("mass", float64(m.Motor.Mass))
	if m.lit() <= 0 {
		return
	}
	p.positive("propellant", float64(m.Motor.Propellant))
	if m.Motor.Propellant > m.Motor.Mass && m.Motor.Mass > 0 {
		p.add("propellant", fmt.Errorf("more than the loaded motor: %w", ErrInvalid))
	}
	switch err := thrust.Check(m.Motor.Curve); {
	case errors.Is(err, thrust.ErrEmpty):
		p.add("curve", ErrMissing)
	case err != nil:
		p.add("curve", err)
	}
	p.notNegative("lag", float64(m.Motor.Lag))
	switch m.Ignition.By {
	case Pad:
	case Timer:
		p.notNegative("ignition.at", float64(m.Ignition.At))
	case BurnThrough:
		if stage == 0 {
			p.add("ignition.by", fmt.Errorf("nothing below burns through to it: %w", ErrInvalid))
		}
	case Unassigned:
		p.add("ignition.by", ErrMissing)
	default:
		p.add("ignition.by", ErrInvalid)
	}
}

// The site's bounds, ours: what is beyond them is a slip of the keyboard.
const (
	lowestSite, highestSite  Metres = -1000, 10000
	coldestSite, warmestSite Kelvin = 150, 400
)

func (p *problems) site(s Site) {
	if !(s.Altitude >= lowestSite && s.Altitude <= highestSite) {
		p.add("altitude", ErrInvalid)
	}
	if s.Temperature != 0 && !(s.Temperature >= coldestSite && s.Temperature <= warmestSite) {
		p.add("temperature", ErrInvalid)
	}
}

func nameOr(name string, i int) string {
	if name != "" {
		return name
	}
	return fmt.Sprint(i + 1)
}
