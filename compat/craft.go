package compat

import (
	"fmt"

	"rangebox/compat/ascent"
	"rangebox/compat/thrust"
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// craft is a rocket with the records it refers to, readings in their place.
type craft struct {
	q      *RocketQuestion
	l      *Limits
	stages []craftStage
	site   ascent.Site
	wires  map[inventory.Ref]wire // one of each line, so that pointers tell lines apart
	flown  map[string]*flown
	// lines is what the circuit rules say of each line with all that hangs on it.
	lines map[*inventory.Line]*Findings
}

type craftStage struct {
	rec    *inventory.Stage
	name   string
	mounts []craftMount
	ways   []craftWay
}

// craftMount is a mount with what is in it; motor and igniter are nil where none
// is recorded.
type craftMount struct {
	rec     *inventory.Mount
	stage   int
	point   string // stage/mount
	count   int
	motor   *inventory.Motor
	nozzle  *inventory.Nozzle
	igniter *inventory.Igniter
	wire    wire
	ignition
	curve   thrust.Curve
	figures thrust.Analysis
	burns   bool // whether the curve is known, and good
}

// ignition is how a mount is lit, with its defaults.
type ignition = inventory.Ignition

// craftWay is a way down.
type craftWay struct {
	rec     *inventory.Recovery
	stage   int
	point   string // stage/recovery
	igniter *inventory.Igniter
	wire    wire
}

// wire is a line with its parts; nil where not recorded.
type wire struct {
	line       *inventory.Line
	battery    *inventory.Battery
	controller *inventory.Controller
	// aloft tells that the controller is to fire something in the air.
	aloft bool
}

// onboard tells whether the controller flies. Where nobody says so it does if it
// is to fire something in the air: what that asks for is then asked.
func (w *wire) onboard() bool {
	return w.controller != nil && (w.controller.Place == inventory.Onboard || w.controller.Place == 0 && w.aloft)
}

// grounded tells that the controller is known to stay on the ground.
func (w *wire) grounded() bool {
	return w.controller != nil && w.controller.Place != 0 && w.controller.Place != inventory.Onboard
}

func newCraft(q *RocketQuestion, l *Limits) *craft {
	c := &craft{q: q, l: l, wires: map[inventory.Ref]wire{}, flown: map[string]*flown{}}
	c.site.Altitude = ascent.Metres(q.Altitude.Or(0).Metres())
	if t, ok := q.Temperature.Get(); ok {
		c.site.Temperature = ascent.Celsius(t.Celsius())
	}
	for i := range q.Rocket.Stages {
		c.stages = append(c.stages, c.stage(i))
	}
	c.markAloft()
	c.judgeLines()
	return c
}

// markAloft finds the controllers that are to fire something in the air.
func (c *craft) markAloft() {
	aloft := map[ID]bool{}
	c.eachFired(func(f fired) {
		if ctl := f.wire.controller; ctl != nil && (f.way != nil || f.mount.By == inventory.LitByTimer) {
			aloft[ctl.ID] = true
		}
	})
	c.eachFired(func(f fired) { f.wire.aloft = f.wire.controller != nil && aloft[f.wire.controller.ID] })
}

func (c *craft) stage(i int) craftStage {
	rec := &c.q.Rocket.Stages[i]
	s := craftStage{rec: rec, name: nameOr(rec.Name, i)}
	for j := range rec.Mounts {
		s.mounts = append(s.mounts, c.mount(i, j, s.name))
	}
	for j := range rec.Recovery {
		way := &rec.Recovery[j]
		s.ways = append(s.ways, craftWay{
			rec: way, stage: i, point: s.name + "/" + nameOr(way.Name, j),
			igniter: measured[*inventory.Igniter](c.q.Box, way.Igniter), wire: c.wire(way.Line),
		})
	}
	return s
}

func (c *craft) mount(stage, i int, in string) craftMount {
	rec := &c.q.Rocket.Stages[stage].Mounts[i]
	m := craftMount{
		rec: rec, stage: stage, point: in + "/" + nameOr(rec.Name, i), count: int(rec.Count.Or(1)),
		igniter: measured[*inventory.Igniter](c.q.Box, rec.Igniter),
	}
	if rec.Ignition != nil {
		m.ignition = *rec.Ignition
	}
	m.wire = c.wire(m.Line)
	m.load(measured[*inventory.Motor](c.q.Box, rec.Motor), rec.Nozzle)
	return m
}

// load puts a motor with one of its nozzles in.
func (m *craftMount) load(motor *inventory.Motor, nozzle string) {
	m.motor, m.nozzle, m.curve, m.figures, m.burns = motor, nil, nil, thrust.Analysis{}, false
	if motor == nil {
		return
	}
	if n, ok := motor.Nozzle(nozzle); ok {
		m.nozzle = n
	}
	m.curve = CurveOf(motor.CurveWith(nozzle))
	a, err := thrust.Analyse(m.curve, 0)
	m.figures, m.burns = a, err == nil
}

func (c *craft) wire(r inventory.Ref) wire {
	w, ok := c.wires[r]
	if ok {
		return w
	}
	if w.line = measured[*inventory.Line](c.q.Box, r); w.line != nil {
		w.battery = measured[*inventory.Battery](c.q.Box, w.line.Battery)
		w.controller = measured[*inventory.Controller](c.q.Box, w.line.Controller)
	}
	c.wires[r] = w
	return w
}

// measured follows a reference to a record with its readings; nil where it
// points nowhere.
func measured[R inventory.Record](b *inventory.Box, r inventory.Ref) R {
	var none R
	if r.IsZero() {
		return none
	}
	rec, ok := inventory.Follow[R](b, r)
	if !ok {
		return none
	}
	return inventory.Measured(b, rec)
}

func nameOr(name string, i int) string {
	if name == "" {
		return fmt.Sprint(i + 1)
	}
	return name
}

// each visits every mount, lowest stage first.
func (c *craft) each(visit func(m *craftMount)) {
	for i := range c.stages {
		for j := range c.stages[i].mounts {
			visit(&c.stages[i].mounts[j])
		}
	}
}

// eachWire visits every line that is used, once for each use.
func (c *craft) eachWire(visit func(stage int, w *wire)) {
	c.eachFired(func(f fired) { visit(f.stage, f.wire) })
}

// total adds up a figure of every motor aboard, and says what that lacks.
func (c *craft) total(figure func(*inventory.Motor) quantity.Opt[quantity.Mass], f Fact) (sum quantity.Mass, lacks Facts) {
	c.each(func(m *craftMount) {
		if m.motor == nil {
			lacks |= one(factMotor)
			return
		}
		sum += quantity.Mass(m.count) * need(figure(m.motor), f, &lacks)
	})
	return sum, lacks
}

func (c *craft) propellant() (quantity.Mass, Facts) {
	return c.total(func(m *inventory.Motor) quantity.Opt[quantity.Mass] { return m.PropellantMass }, factPropellantMass)
}

func (c *craft) liftoffMass() (quantity.Mass, Facts) {
	sum, lacks := c.total(func(m *inventory.Motor) quantity.Opt[quantity.Mass] { return m.Mass }, factMotorMass)
	for i := range c.stages {
		sum += need(c.stages[i].rec.DryMass, factDryMass, &lacks)
	}
	return sum, lacks
}

// impulse is that of all motors aboard, N s.
func (c *craft) impulse() (sum float64, lacks Facts) {
	c.each(func(m *craftMount) {
		lacks |= m.lacksCurve()
		sum += float64(m.count) * float64(m.figures.Impulse)
	})
	return sum, lacks
}

func (m *craftMount) lacksCurve() Facts {
	switch {
	case m.motor == nil:
		return one(factMotor)
	case !m.burns:
		return one(factCurve)
	}
	return 0
}

// Class 1 of 14 CFR 101.22 (read): at most 125 g of propellant and 1500 g at
// lift-off. A model rocket has no motor above G besides: 160 N s (Model Rocket
// Sporting Code, read).
const (
	modelPropellant = quantity.Mass(125e9)
	modelMass       = quantity.Mass(1500e9)
	modelImpulse    = 160.0
)

// large tells whether it is above Class 1 by mass or propellant; what is
// missing matters only where the rest does not decide.
func (c *craft) large() (large bool, lacks Facts) {
	propellant, lacksP := c.propellant()
	mass, lacksM := c.liftoffMass()
	if propellant > modelPropellant || mass > modelMass {
		return true, 0
	}
	return false, lacksP | lacksM
}

// highPower tells whether it is more than a model rocket.
func (c *craft) highPower() (high bool, lacks Facts) {
	high, lacks = c.large()
	c.each(func(m *craftMount) {
		high = high || float64(m.figures.Impulse) > modelImpulse*(1+1e-12)
		lacks |= m.lacksCurve()
	})
	if high {
		return true, 0
	}
	return false, lacks
}

// weigh fills in the figures that need no flight.
func (c *craft) weigh(r *RocketReport) {
	if mass, lacks := c.liftoffMass(); lacks == 0 {
		r.LiftoffMass = quantity.Some(mass)
	}
	if mass, lacks := c.propellant(); lacks == 0 {
		r.Propellant = quantity.Some(mass)
	}
	if impulse, lacks := c.impulse(); lacks == 0 {
		r.Impulse = quantity.Some(impulse)
	}
	if high, lacks := c.highPower(); lacks == 0 {
		r.HighPower = quantity.Some(high)
	}
}

// How computed figures become the steps in which limits are compared.
func speedOf(v ascent.MetresPerSecond) quantity.Speed {
	return quantity.Speed(toSteps(float64(v), 1e6))
}

func timeOf(t ascent.Seconds) quantity.Time { return quantity.Time(toSteps(float64(t), 1e6)) }

func heightOf(h ascent.Metres) quantity.Length { return quantity.Length(toSteps(float64(h), 1e9)) }

func numberOf(x float64) quantity.Number { return quantity.Number(toSteps(x, 1e9)) }
