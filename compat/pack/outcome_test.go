package pack

import (
	"errors"
	"testing"
)

func TestClassify(t *testing.T) {
	well := Outcome{Success, Success, Success}
	line := Outcome{NotCounted, NotCounted, Failure}
	for _, c := range []struct {
		result, cause string
		want          Outcome
	}{
		{"fired", "", well},
		{"fired", "motor", Outcome{Success, Failure, Success}},
		{"misfire", "head", Outcome{Failure, NotCounted, NotCounted}},
		{"misfire", "motor", Outcome{Success, Failure, Success}},
		{"misfire", "contact", line},
		{"misfire", "battery", line},
		{"misfire", "fell-out", line},
		{"misfire", "short", line},
		{"misfire", "unknown", line},
		{"misfire", "", line},
		{"hang-fire", "head", Outcome{Failure, NotCounted, NotCounted}},
		{"hang-fire", "motor", Outcome{Success, Failure, Success}},
		{"hang-fire", "", line},
		{"burst", "motor", well},
		{"not-flown", "", Outcome{}},
		{"not-flown", "head", Outcome{}},
	} {
		got, err := Classify(c.result, c.cause)
		if err != nil || got != c.want {
			t.Errorf("%s, %s: %+v, %v; want %+v", c.result, c.cause, got, err, c.want)
		}
	}
	for _, c := range [][2]string{{"", ""}, {"fizzled", ""}, {"misfire", "gremlins"}} {
		if _, err := Classify(c[0], c[1]); !errors.Is(err, ErrInput) {
			t.Errorf("%v: %v", c, err)
		}
	}
}

// Only the cause "head" changes how many spares are asked for.
func TestOnlyTheHeadAsksForMoreSpares(t *testing.T) {
	spares := func(causes ...string) int {
		var of Record
		for range 20 {
			of.Add(Success)
		}
		for _, cause := range causes {
			o, err := Classify("misfire", cause)
			if err != nil {
				t.Fatal(err)
			}
			of.Add(o.Type)
		}
		_, n, _ := Carry(10, OnComposite, of.Fired, of.Misfired, 0.95)
		return n
	}
	before := spares()
	for _, cause := range []string{"motor", "contact", "battery", "fell-out", "short", "unknown", ""} {
		if got := spares(cause, cause); got > before {
			t.Errorf("two of cause %q: %d spares, before %d", cause, got, before)
		}
	}
	if got := spares("head", "head"); got <= before {
		t.Errorf("two heads: %d spares, before %d", got, before)
	}
}
