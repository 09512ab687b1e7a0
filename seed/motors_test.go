package seed

import (
	"math"
	"regexp"
	"strconv"
	"testing"

	"rangebox/compat"
	"rangebox/compat/thrust"
	"rangebox/inventory"
)

// designation is the class letter and the average thrust in a motor's name.
var designation = regexp.MustCompile(` ([A-O])([0-9]+)( |$)`)

// TestMotorsAreWhatTheyAreCalled: class, average thrust within 3 %, and the
// specific impulse that the family really has (from memory).
func TestMotorsAreWhatTheyAreCalled(t *testing.T) {
	realistic := map[string][2]float64{inventory.BlackPowder: {75, 85}, inventory.Composite: {180, 215}}
	for _, m := range inventory.List[*inventory.Motor](boxOf(t)) {
		name := designation.FindStringSubmatch(m.Name)
		if name == nil {
			t.Errorf("%s is called %q, without class and thrust", m.Handle, m.Name)
			continue
		}
		average, _ := strconv.ParseFloat(name[2], 64)
		a := analyse(t, m, m.Curve)
		if off := math.Abs(float64(a.Average)/average - 1); off > 0.03 {
			t.Errorf("%s: %.2f N on average", m.Handle, float64(a.Average))
		}
		curves := [][]inventory.CurvePoint{m.Curve}
		for _, n := range m.Nozzles {
			if len(n.Curve) > 0 {
				curves = append(curves, n.Curve)
			}
		}
		for _, c := range curves {
			a := analyse(t, m, c)
			if letter, _ := thrust.Class(a.Impulse); letter != name[1] {
				t.Errorf("%s: %.2f N s is class %s", m.Handle, float64(a.Impulse), letter)
			}
			if span := realistic[m.Propellant]; float64(a.Isp) < span[0] || float64(a.Isp) > span[1] {
				t.Errorf("%s: specific impulse %.1f s", m.Handle, float64(a.Isp))
			}
		}
	}
}

// analyse also holds a curve to its form: 8 to 20 points from zero to zero.
func analyse(t *testing.T, m *inventory.Motor, c []inventory.CurvePoint) thrust.Analysis {
	t.Helper()
	a, err := compat.AnalyseCurve(c, m)
	if err != nil {
		t.Fatalf("%s: %v", m.Handle, err)
	}
	first, last := c[0], c[len(c)-1]
	if len(c) < 8 || len(c) > 20 || first != (inventory.CurvePoint{}) || last.Thrust != 0 {
		t.Errorf("%s: a curve of %d points from %v to %v", m.Handle, len(c), first, last)
	}
	return a
}

// TestRocketsLeaveTheRail: thrust-to-weight of the motors lit on the pad is at
// least 5 (common practice), drag and rail are plausible.
func TestRocketsLeaveTheRail(t *testing.T) {
	box := boxOf(t)
	for _, r := range inventory.List[*inventory.Rocket](box) {
		var newtons, kilograms float64
		for _, s := range r.Stages {
			kilograms += s.DryMass.Or(0).Kilograms()
			if cd := s.Drag.Or(0).Float(); cd < 0.45 || cd > 0.75 {
				t.Errorf("%s: stage %s has a drag coefficient of %.2f", r.Handle, s.Name, cd)
			}
			for _, m := range s.Mounts {
				motor, ok := inventory.Follow[*inventory.Motor](box, m.Motor)
				if !ok {
					t.Fatalf("%s: mount %s is empty", r.Handle, m.Name)
				}
				n := float64(m.Count.Or(1))
				kilograms += n * motor.Mass.Or(0).Kilograms()
				if m.Ignition.By == inventory.LitAtPad {
					newtons += n * float64(analyse(t, motor, motor.CurveWith(m.Nozzle)).Average)
				}
			}
		}
		if ratio := newtons / (kilograms * thrust.StandardGravity); ratio < 5 || ratio > 15 {
			t.Errorf("%s: thrust-to-weight %.1f", r.Handle, ratio)
		}
		if rail := r.Rail.Or(0).Metres(); rail < 1 || rail > 3 {
			t.Errorf("%s: %.1f m of rail", r.Handle, rail)
		}
	}
}
