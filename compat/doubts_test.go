package compat

import (
	"strings"
	"testing"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// curveOf is a steady thrust for a second: as many N s as newtons.
func curveOf(newtons int64) []inventory.CurvePoint {
	return []inventory.CurvePoint{
		{At: 0, Thrust: quantity.Force(newtons * 1000)},
		{At: 1_000_000, Thrust: quantity.Force(newtons * 1000)},
		{At: 1_000_001, Thrust: 0},
	}
}

// TestCurveDoubts: docs/rules.md, warned (ours): black powder 40 to 110 s, composite
// 120 to 270 s of specific impulse; a class letter that the curve contradicts.
func TestCurveDoubts(t *testing.T) {
	rows := []struct {
		name, motor, propellant string
		newtons                 int64
		grams                   float64
		want                    string // a part of the one doubt; empty: none
	}{
		// 9 N s of 12 g: 76 s.
		{"black powder", "C9-5", inventory.BlackPowder, 9, 12, ""},
		{"black powder, too much", "C9-5", inventory.BlackPowder, 9, 8, "specific impulse of 115 s"},
		{"black powder, too little", "C9-5", inventory.BlackPowder, 9, 24, "specific impulse of 38 s"},
		{"composite", "C9", inventory.Composite, 9, 5, ""},
		{"composite, too much", "C9", inventory.Composite, 9, 3, "specific impulse of 306 s"},
		{"composite, too little", "C9", inventory.Composite, 9, 8, "specific impulse of 115 s"},
		{"another propellant", "C9", "hybrid", 9, 1, ""},
		{"propellant mass not known", "C9", inventory.Composite, 9, 0, ""},
		{"the letter below", "B9", inventory.BlackPowder, 9, 12, "class C, the name says B"},
		{"the letter above", "D9", inventory.BlackPowder, 9, 12, "class C, the name says D"},
		{"a letter within the name", "Old C9-3", inventory.BlackPowder, 9, 12, ""},
		{"a word is no class", "CD9x", inventory.BlackPowder, 9, 12, ""},
		{"a model number that reads as a class", "X-M1 reload", inventory.BlackPowder, 9, 12, "name says M"},
		{"no letter", "the long one", inventory.BlackPowder, 9, 12, ""},
	}
	for _, row := range rows {
		m := &inventory.Motor{Name: row.motor, Propellant: row.propellant, Curve: curveOf(row.newtons)}
		if row.grams > 0 {
			m.PropellantMass = quantity.Some(quantity.Mass(row.grams * 1e9))
		}
		got := strings.Join(Doubts(m), "; ")
		if (got == "") != (row.want == "") || !strings.Contains(got, row.want) {
			t.Errorf("%s: %q", row.name, got)
		}
		// The same curve with a nozzle of its own names the nozzle.
		m.Nozzles, m.Curve = []inventory.Nozzle{{Name: "wide", Curve: m.Curve}}, nil
		if of := strings.Join(Doubts(m), "; "); (of == "") != (got == "") || got != "" && of != "with nozzle wide, "+got {
			t.Errorf("%s with a nozzle: %q", row.name, of)
		}
	}
	if got := Doubts(&inventory.Igniter{}); got != nil {
		t.Errorf("an igniter: %v", got)
	}
	if got := Doubts(&inventory.Motor{Name: "C9", Propellant: inventory.BlackPowder}); got != nil {
		t.Errorf("a motor without a curve: %v", got)
	}
	half := &inventory.Motor{Name: "1/2A3", Curve: curveOf(1)}
	if got := Doubts(half); got != nil {
		t.Errorf("1 N s as 1/2A: %v", got)
	}
}
