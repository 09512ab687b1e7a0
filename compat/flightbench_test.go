package compat_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"rangebox/compat"
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// BenchmarkCheckRocket is the whole answer for a two-stage rocket.
func BenchmarkCheckRocket(b *testing.B) {
	box := flightBox(b, "ascent.json")
	q := &compat.RocketQuestion{Rocket: rocketNamed(b, box, "r-1"), Box: box}
	l := compat.Defaults()
	for b.Loop() {
		compat.CheckRocket(q, l)
	}
}

// motorBox is motors made from those of the reference, each a little different
// and all of the mount's size, so that none drops out for its size.
func motorBox(b *testing.B, box *inventory.Box, n int) []*inventory.Motor {
	r := rand.New(rand.NewPCG(1, 2))
	from := inventory.List[*inventory.Motor](box)
	list := make([]*inventory.Motor, n)
	for i := range list {
		m := *from[i%len(from)]
		m.Handle = fmt.Sprint("m", i)
		m.Diameter = quantity.Some(quantity.Length(24_000_000))
		curve := make([]inventory.CurvePoint, len(m.Curve))
		share := 0.5 + r.Float64()
		for j, p := range m.Curve {
			curve[j] = inventory.CurvePoint{At: p.At, Thrust: quantity.Force(float64(p.Thrust) * share)}
		}
		m.Curve = curve
		list[i] = &m
	}
	return list
}

// BenchmarkChooseRocket tries 2,000 motors, four delays each, in the lowest
// mount of one and of two stages.
func BenchmarkChooseRocket(b *testing.B) {
	box := flightBox(b, "ascent.json")
	motors := motorBox(b, box, 2000)
	for _, name := range []string{"r-5", "r-1"} {
		b.Run(name, func(b *testing.B) {
			q := &compat.RocketQuestion{Rocket: rocketNamed(b, box, name), Box: box}
			l := compat.Defaults()
			for b.Loop() {
				choices, err := compat.ChooseRocket(q, "", motors, l)
				if err != nil || len(choices) < len(motors) {
					b.Fatal(len(choices), err)
				}
			}
		})
	}
}
