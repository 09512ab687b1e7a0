package compat

import (
	"math"

	"rangebox/inventory/quantity"
)

// DistanceTable says how near nobody may be, by the impulse of all motors.
type DistanceTable struct {
	// Name is how the settings call it.
	Name   string
	Source string
	Rows   []DistanceRow
}

// DistanceRow holds up to an impulse, which is included.
type DistanceRow struct {
	UpTo float64 // N s
	// Single is for one motor, Complex for a cluster or several stages; in feet.
	Single, Complex int64
}

// DistanceTables are the tables there are, the one used by default first. They
// disagree; each says where it is from.
var DistanceTables = []DistanceTable{
	{
		Name: "national-body", Source: "a national body's table of personnel distance, as tabulated by a club, quoted",
		Rows: []DistanceRow{{1280, 100, 200}, {2560, 200, 300}, {5120, 300, 500}, {10240, 500, 1000}, {20480, 1000, 1500}, {40960, 1500, 2000}},
	},
	{
		Name: "other-national-body", Source: "another national body's table, of which only its first row is known to us, quoted",
		Rows: []DistanceRow{{1280, 200, 250}},
	},
	{
		Name: "19-ccr-1036", Source: "19 CCR 1036, quoted; its classes above J taken as those of the motor classes",
		Rows: []DistanceRow{{320, 30, 30}, {1280, 150, 150}, {2560, 200, 200}, {5120, 300, 300}, {10240, 500, 500}, {20480, 1000, 1000}},
	},
	{
		Name: "model-rocket-code", Source: "Model Rocket Safety Code, August 2012, read in part: 15 ft up to D, 30 ft above; to the 160 N s of a model rocket's motors",
		Rows: []DistanceRow{{20, 15, 15}, {160, 30, 30}},
	},
}

const foot = quantity.Length(304_800_000)

// At is the distance for an impulse; false beyond the table.
func (t *DistanceTable) At(impulse float64, many bool) (quantity.Length, bool) {
	for _, row := range t.Rows {
		if impulse > row.UpTo*(1+1e-12) {
			continue
		}
		if many {
			return quantity.Length(row.Complex) * foot, true
		}
		return quantity.Length(row.Single) * foot, true
	}
	return 0, false
}

// distanceTable finds the table of a name, the first where none is named.
func distanceTable(name string) (*DistanceTable, bool) {
	for i := range DistanceTables {
		if DistanceTables[i].Name == name || name == "" {
			return &DistanceTables[i], true
		}
	}
	return nil, false
}

// safetyDistance gives the distance for the impulse of all motors, by the table
// named in the settings; it judges nothing. Where the settings name a table that
// there is none of, it gives the greatest of all. Source: safety code, quoted.
func safetyDistance(c *craft, r *RocketReport) {
	if len(r.Stages) == 0 {
		return
	}
	r.Stages[0].add(c.distance(r))
}

func (c *craft) distance(r *RocketReport) Finding {
	impulse, lacks := c.impulse()
	if lacks != 0 {
		return lacking(SafetyDistance, c.q.Rocket.Handle, lacks)
	}
	f := Finding{Rule: SafetyDistance, Verdict: Go, reason: distanceFor, Subject: c.q.Rocket.Handle}
	table, ok := distanceTable(c.q.Box.Settings().DistanceTable)
	var metres quantity.Length
	if ok {
		r.Distance, f.cited = table, table.Source
		metres, ok = table.At(impulse, c.many())
	} else {
		f.Verdict, f.reason = Caution, distanceUnnamed
		metres, ok = c.greatestDistance(impulse)
	}
	if !ok {
		f.Verdict, f.reason = Unknown, distanceBeyond
		return f
	}
	f.Value = amount(metres, quantity.Metre)
	return f
}

func (c *craft) greatestDistance(impulse float64) (most quantity.Length, ok bool) {
	for i := range DistanceTables {
		if d, known := DistanceTables[i].At(impulse, c.many()); known {
			most, ok = max(most, d), true
		}
	}
	return most, ok
}

// many tells a cluster or several stages from a single motor.
func (c *craft) many() bool {
	n := 0
	c.each(func(m *craftMount) { n = min(math.MaxInt16, n+m.count) })
	return n > 1 || len(c.stages) > 1
}
