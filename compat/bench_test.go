package compat

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// bigBox is 2,000 motors and 500 igniters, the same each time, some figures
// missing.
func bigBox() (motors []*inventory.Motor, igniters []*inventory.Igniter) {
	r := rand.New(rand.NewPCG(1, 2))
	length := func(lo, hi int64) quantity.Opt[quantity.Length] {
		if r.IntN(20) == 0 {
			return quantity.Opt[quantity.Length]{}
		}
		return quantity.Some(quantity.Length(lo+r.Int64N(hi-lo)) * mm / 10)
	}
	for i := range 2000 {
		m := &inventory.Motor{Header: inventory.Header{Handle: fmt.Sprint("m", i)}, Propellant: inventory.BlackPowder}
		if r.IntN(2) == 0 {
			m.Propellant, m.Core = inventory.Composite, length(200, 4000)
		}
		m.PropellantMass = quantity.Some(quantity.Mass(1+r.Int64N(200)) * 1e9)
		m.Nozzles = []inventory.Nozzle{{Throat: length(10, 80), Depth: length(50, 300)}}
		motors = append(motors, m)
	}
	for i := range 500 {
		ig := &inventory.Igniter{Header: inventory.Header{Handle: fmt.Sprint("ig", i)}, Output: inventory.Level(1 + r.IntN(3))}
		ig.Head, ig.LeadPair, ig.Lead = length(10, 50), length(8, 25), length(1000, 9000)
		ig.AllFire, ig.NoFire = quantity.Some(quantity.Current(300_000+r.Int64N(4_000_000))), quantity.Some(quantity.Current(100_000))
		ig.Bridge, ig.BridgeTolerance = quantity.Some(quantity.Resistance(300_000+r.Int64N(1_500_000))), quantity.Some(quantity.Percent(100_000))
		ig.LeadWire.Gauge = quantity.Some(quantity.Gauge(22 + r.Int64N(8)))
		igniters = append(igniters, ig)
	}
	return motors, igniters
}

func padLine(b *testing.B) *scene {
	return newScene(b, "battery.open_circuit_v=12.6 battery.low_v=12 battery.internal_ohm=0.03 controller.on_ohm=0.05 controller.continuity_a=5mA "+
		"line.lead_m=10 line.lead_awg=18 line.contact_ohm=0.1")
}

// perPair reports what one pair of a whole chart took.
func perPair(b *testing.B, pairs int) {
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(pairs), "ns/pair")
}

func BenchmarkCheckPair(b *testing.B) {
	motors, igniters := bigBox()
	l, findings := Defaults(), Findings{}
	p := Pair{Run: quantity.Some(200 * mm)}
	b.ReportAllocs()
	for b.Loop() {
		checkAll(&p, motors, igniters, l, &findings)
	}
	perPair(b, len(motors)*len(igniters))
}

//go:noinline
func checkAll(p *Pair, motors []*inventory.Motor, igniters []*inventory.Igniter, l *Limits, f *Findings) {
	for _, p.Motor = range motors {
		p.Nozzle = &p.Motor.Nozzles[0]
		for _, p.Igniter = range igniters {
			f.Reset()
			CheckPair(p, l, f)
		}
	}
}

func BenchmarkFit(b *testing.B) {
	motors, igniters := bigBox()
	s, l := padLine(b), Defaults()
	q := &FitQuestion{Run: quantity.Some(200 * mm), Line: &s.line, Battery: &s.battery, Controller: &s.controller}
	m := motors[0]
	b.ReportAllocs()
	for b.Loop() {
		for _, ig := range igniters {
			Fit(q, m, &m.Nozzles[0], ig, l)
		}
	}
	perPair(b, len(igniters))
}

func BenchmarkMakeChart(b *testing.B) {
	motors, igniters := bigBox()
	s, l := padLine(b), Defaults()
	bare := &FitQuestion{Run: quantity.Some(200 * mm)}
	wired := &FitQuestion{Run: bare.Run, Line: &s.line, Battery: &s.battery, Controller: &s.controller}
	for name, q := range map[string]*FitQuestion{"pair rules": bare, "with a line": wired} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				MakeChart(q, motors, igniters, l)
			}
			perPair(b, len(motors)*len(igniters))
		})
	}
}
