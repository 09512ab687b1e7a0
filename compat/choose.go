package compat

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// Choice is a motor with one of its nozzles and delays in a mount of a rocket.
type Choice struct {
	Findings
	Motor   *inventory.Motor
	Nozzle  string
	HeadEnd inventory.HeadEnd
	Delay   quantity.Opt[quantity.Time]
	Worst   Verdict
	// Figures of the flight, where it was computed.
	ThrustToWeight quantity.Opt[float64]
	RailSpeed      quantity.Opt[quantity.Speed]
	Apogee         quantity.Opt[Apogee]
	// Ejects is the speed at ejection on time, EjectsWorst the greatest of early,
	// on time and late.
	Ejects, EjectsWorst quantity.Opt[quantity.Speed]
}

// Why is the finding that decides: the first of the worst.
func (c *Choice) Why() (Finding, bool) {
	for _, f := range c.List {
		if f.Verdict == c.Worst {
			return f, true
		}
	}
	return Finding{}, false
}

// chooseRules are the flight rules that a motor decides.
var chooseRules = []func(*craft, *RocketReport){
	motorMount, thrustToWeight, railSpeed, delay, burnThrough, stagingWindow, timerStart, safetyDistance,
}

// ChooseRocket tries motors in a mount of a rocket, given as `stage/mount`, or
// empty for the first of the lowest stage: every nozzle and every delay, best
// first; a motor that drops out before its delay matters stands once. It judges
// the flight; which igniter suits a motor is for Fit. The mount's forward end is
// kept where it is recorded. A mount that the rocket does not have wraps
// inventory.ErrNotFound.
func ChooseRocket(q *RocketQuestion, mount string, motors []*inventory.Motor, l *Limits) ([]Choice, error) {
	base := newCraft(q, l)
	stage, at, err := base.find(mount)
	if err != nil {
		return nil, err
	}
	var list []Choice
	for _, motor := range motors {
		measured := inventory.Measured(q.Box, motor)
		for _, nozzle := range NozzlesOf(measured) {
			x := &choosing{c: base.with(stage, at, measured, nozzle)}
			x.m = &x.c.stages[stage].mounts[at]
			list = append(list, x.choices()...)
		}
	}
	slices.SortStableFunc(list, betterChoice)
	return list, nil
}

// find finds a mount by `stage/mount`.
func (c *craft) find(mount string) (stage, at int, err error) {
	for i := range c.stages {
		for j := range c.stages[i].mounts {
			if mount == "" || c.stages[i].mounts[j].point == mount {
				return i, j, nil
			}
		}
	}
	return 0, 0, fmt.Errorf("%w: %s has no mount %q", inventory.ErrNotFound, c.q.Rocket.Handle, inventory.Printable(mount))
}

// with is the craft with another motor in a mount, and no flight known of it.
func (c *craft) with(stage, at int, motor *inventory.Motor, nozzle *inventory.Nozzle) *craft {
	out := *c
	out.flown = map[string]*flown{}
	out.stages = slices.Clone(c.stages)
	out.stages[stage].mounts = slices.Clone(c.stages[stage].mounts)
	m := &out.stages[stage].mounts[at]
	rec := *m.rec
	rec.Nozzle = ""
	if nozzle != nil {
		rec.Nozzle = nozzle.Name
	}
	m.rec = &rec
	m.load(motor, rec.Nozzle)
	out.judgeLines()
	return &out
}

// choosing tries one motor with one nozzle.
type choosing struct {
	c *craft
	m *craftMount
}

func (x *choosing) choices() []Choice {
	x.m.rec.Delay = quantity.Opt[quantity.Time]{}
	x.headEnd()
	first := x.choice()
	first.add(x.c.mounted(x.m))
	first.List = append(first.List, x.m.offered()...)
	first.add(x.c.thrustToWeight(&scenario{}, &flown{}))
	if first.Worst = first.Verdict(); first.Worst == NoGo {
		return []Choice{first}
	}
	flight := x.c.flight(&scenario{})
	x.c.railSpeed(flight, &first.Findings)
	if first.Worst = first.Verdict(); first.Worst == NoGo {
		first.fly(flight)
		return []Choice{first}
	}
	var list []Choice
	for _, d := range x.delays(flight) {
		x.m.rec.Delay = d
		list = append(list, x.judge())
	}
	return list
}

func (x *choosing) choice() Choice {
	return Choice{Motor: x.m.motor, Nozzle: x.m.rec.Nozzle, HeadEnd: x.m.rec.HeadEnd, Delay: x.m.rec.Delay}
}

// headEnd settles the forward end: the mount's, or where that is not recorded a
// delay if the motor has one.
func (x *choosing) headEnd() {
	if x.m.rec.HeadEnd == 0 && len(DelaysOf(x.m.motor)) > 0 {
		x.m.rec.HeadEnd = inventory.EndDelay
	}
}

// delays to try: those on offer where the motor is to eject and the flight is
// known, else none.
func (x *choosing) delays(flight *flown) []quantity.Opt[quantity.Time] {
	none := quantity.Opt[quantity.Time]{}
	if x.m.rec.HeadEnd != inventory.EndDelay || !flight.ok() {
		return []quantity.Opt[quantity.Time]{none}
	}
	var list []quantity.Opt[quantity.Time]
	for _, d := range DelaysOf(x.m.motor) {
		list = append(list, quantity.Some(d))
	}
	if list == nil {
		list = append(list, none)
	}
	return list
}

// judge applies the flight rules and follows the branches.
func (x *choosing) judge() Choice {
	r := RocketReport{Stages: make([]StageReport, len(x.c.stages))}
	for _, rule := range chooseRules {
		rule(x.c, &r)
	}
	x.c.checkBranches(&r)
	out := x.choice()
	for i := range r.Stages {
		out.List = append(out.List, r.Stages[i].List...)
		out.NotChecked = append(out.NotChecked, r.Stages[i].NotChecked...)
		for _, d := range r.Stages[i].Delays {
			out.ejects(d, x.m)
		}
	}
	for i := range r.Branches {
		out.List = append(out.List, r.Branches[i].List...)
	}
	out.ThrustToWeight = r.Flight.ThrustToWeight
	out.fly(x.c.flight(&scenario{}))
	out.Worst = out.Verdict()
	return out
}

func (c *Choice) fly(f *flown) {
	if f.ok() {
		c.RailSpeed, c.Apogee = speedIf(f.RailExit), apogeeOf(f)
	}
}

func (c *Choice) ejects(d DelayReport, m *craftMount) {
	for _, o := range d.Offers {
		if d.Mount == m.point && d.Flown == quantity.Some(o.Delay) {
			c.Ejects, c.EjectsWorst = quantity.Some(o.Nominal), quantity.Some(o.Worst)
		}
	}
}

// betterChoice orders choices: by verdict, fewest reservations, slowest
// ejection, then by name, so that the order is always the same.
func betterChoice(a, b Choice) int {
	const never = quantity.Speed(1 << 62)
	return cmp.Or(
		cmp.Compare(severity[a.Worst], severity[b.Worst]),
		cmp.Compare(a.reservations(), b.reservations()),
		cmp.Compare(a.EjectsWorst.Or(never), b.EjectsWorst.Or(never)),
		strings.Compare(a.Motor.Handle, b.Motor.Handle),
		strings.Compare(a.Nozzle, b.Nozzle),
		cmp.Compare(a.Delay.Or(0), b.Delay.Or(0)),
	)
}

func (c *Choice) reservations() (n int) {
	for i := range c.List {
		if c.List[i].Verdict != Go {
			n++
		}
	}
	return n
}
