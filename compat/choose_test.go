package compat

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

func chosen(t *testing.T, rocket, mount, set string) []Choice {
	t.Helper()
	s := newFlightScene(t, rocket, set)
	list, err := ChooseRocket(&s.q, mount, inventory.List[*inventory.Motor](s.q.Box), s.limits)
	if err != nil {
		t.Fatal(err)
	}
	return list
}

// inWords is a choice as motor/delay verdict, and what decides where it is not go.
func inWords(c *Choice) string {
	text := fmt.Sprintf("%s/%s %s", c.Motor.Handle, quantity.Second.Format(int64(c.Delay.Or(0))), c.Worst)
	if f, ok := c.Why(); ok && c.Worst != Go {
		text += " " + f.Rule.String()
	}
	return text
}

// TestChooseRocket: every delay of what flies, best first, and one line for what
// drops out.
func TestChooseRocket(t *testing.T) {
	for _, row := range []struct {
		name, rocket, mount, set string
		want                     []string
	}{
		{"of a single stage", "solo", "", "rail_m=2", []string{
			"amber/6 caution delay", "soot/5 caution delay", "amber/5 caution delay", "soot/7 caution delay",
			"amber/4 caution delay", "soot/3 no-go delay", "amber/8 no-go delay", "soot/2 no-go delay",
		}},
		{"too large", "solo", "body/main", "rail_m=2 motor:amber.diameter_mm=29", []string{
			"soot/5 caution delay", "soot/7 caution delay", "soot/3 no-go delay", "soot/2 no-go delay", "amber/0 no-go motor-mount",
		}},
		{"too weak", "solo", "", "rail_m=2 body.dry_mass_g=650", []string{
			"amber/4 caution thrust-to-weight", "soot/0 no-go thrust-to-weight", "amber/5 no-go delay", "amber/6 no-go delay", "amber/8 no-go delay",
		}},
		{"without a curve", "solo", "", "rail_m=2 motor:amber.curve= motor:soot.diameter_mm=30", []string{
			"amber/0 unknown thrust-to-weight", "soot/0 no-go motor-mount",
		}},
		{"too slow off the rail", "solo", "", "rail_m=0.4 motor:amber.diameter_mm=29", []string{"amber/0 no-go motor-mount", "soot/0 no-go rail-speed"}},
		{"without a delay on offer", "solo", "", "rail_m=2 motor:amber.diameter_mm=29 motor:soot.delays_s=", []string{"soot/0 unknown delay", "amber/0 no-go motor-mount"}},
		{"without a forward end recorded", "flame", "booster/main", "booster/main.head_end= motor:amber.diameter_mm=29 motor:soot.delays_s=3,5", []string{"amber/0 no-go motor-mount", "soot/3 no-go burn-through", "soot/5 no-go burn-through"}},
		{"a mount that wants an open end", "flame", "booster/main", "", []string{"soot/0 caution delay", "amber/0 no-go motor-mount"}},
	} {
		t.Run(row.name, func(t *testing.T) {
			var got []string
			for _, c := range chosen(t, row.rocket, row.mount, row.set) {
				got = append(got, inWords(&c))
			}
			if !slices.Equal(got, row.want) {
				t.Errorf("%s", strings.Join(got, "\n"))
			}
		})
	}
}

// TestChoiceIsTheCheck: a choice says of the flight what CheckRocket says of the
// rocket with that motor and delay in it.
func TestChoiceIsTheCheck(t *testing.T) {
	for _, c := range chosen(t, "two", "sustainer/main", "") {
		if !c.Delay.Known() {
			continue
		}
		set := fmt.Sprintf("sustainer/main.motor=%s sustainer/main.delay_s=%s", c.Motor.Handle, quantity.Second.Format(int64(c.Delay.Or(0))))
		r := checkScene(t, "two", set)
		if c.Apogee != r.Flight.Apogee || c.RailSpeed != r.Flight.RailSpeed || c.ThrustToWeight != r.Flight.ThrustToWeight {
			t.Errorf("%s: %v, not %v", set, c.Apogee, r.Flight.Apogee)
		}
		for _, rule := range []Rule{MotorMount, Delay, StagingWindow} {
			mine, ok := findingOf(&c.Findings, rule, "sustainer/main")
			theirs, ok2 := findingOf(said(&r, ""), rule, "sustainer/main")
			if ok != ok2 || mine != theirs {
				t.Errorf("%s: %s is %v, not %v", set, rule, mine, theirs)
			}
		}
	}
}

func TestChooseRocketRefuses(t *testing.T) {
	s := newFlightScene(t, "solo", "")
	if _, err := ChooseRocket(&s.q, "body/side", nil, s.limits); !errors.Is(err, inventory.ErrNotFound) {
		t.Errorf("%v", err)
	}
	s.q.Rocket = &inventory.Rocket{}
	if _, err := ChooseRocket(&s.q, "", nil, s.limits); !errors.Is(err, inventory.ErrNotFound) {
		t.Errorf("%v", err)
	}
}

// TestChooseRocketChangesNothing: the rocket is as it was.
func TestChooseRocketChangesNothing(t *testing.T) {
	s := newFlightScene(t, "solo", "body/main.head_end=")
	before := CheckRocket(&s.q, s.limits)
	if _, err := ChooseRocket(&s.q, "", inventory.List[*inventory.Motor](s.q.Box), s.limits); err != nil {
		t.Fatal(err)
	}
	after := CheckRocket(&s.q, s.limits)
	if fmt.Sprint(before.Worst, before.Stages[0].List) != fmt.Sprint(after.Worst, after.Stages[0].List) {
		t.Error("the rocket has changed")
	}
}

func TestDelaysOf(t *testing.T) {
	for _, row := range []struct{ set, want string }{
		{"", ""},
		{"motor.delays_s=7,3,5", "3 5 7"},
		{"motor.delay_min_s=4 motor.delay_max_s=10 motor.delay_step_s=2", "4 6 8 10"},
		{"motor.delay_min_s=4 motor.delay_max_s=9 motor.delay_step_s=2", "4 5 7 9"},
		{"motor.delay_min_s=4 motor.delay_max_s=10", "4 10"},
		{"motor.delay_min_s=4 motor.delay_max_s=4", "4"},
		{"motor.delay_min_s=4", ""},
		{"motor.delays_s=4,6 motor.delay_min_s=4 motor.delay_max_s=8 motor.delay_step_s=4", "4 6 8"},
	} {
		s := newScene(t, row.set)
		var got []string
		for _, d := range DelaysOf(&s.motor) {
			got = append(got, quantity.Second.Format(int64(d)))
		}
		if strings.Join(got, " ") != row.want {
			t.Errorf("%q: %s, not %s", row.set, strings.Join(got, " "), row.want)
		}
	}
	s := newScene(t, "motor.delay_min_s=1 motor.delay_max_s=100 motor.delay_step_s=0.000001")
	if n := len(DelaysOf(&s.motor)); n > mostDelays+1 {
		t.Errorf("%d delays", n)
	}
}
