package thrust

import (
	"errors"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestCheck(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for name, c := range map[string]struct {
		curve Curve
		want  error
		index int
	}{
		"good":             {Curve{{0, 0}, {1, 5}, {2, 0}}, nil, 0},
		"one point":        {Curve{{1, 5}}, nil, 0},
		"all zero":         {Curve{{0, 0}, {1, 0}}, nil, 0},
		"nothing":          {Curve{}, ErrEmpty, -1},
		"time stands":      {Curve{{0, 0}, {1, 5}, {1, 0}}, ErrTime, 2},
		"time falls":       {Curve{{0, 0}, {1, 5}, {0.9, 0}}, ErrTime, 2},
		"before ignition":  {Curve{{-0.1, 0}, {1, 5}}, ErrEarly, 0},
		"below zero":       {Curve{{0, 0}, {1, -5}}, ErrNegative, 1},
		"time not known":   {Curve{{0, 0}, {Seconds(nan), 5}}, ErrNotFinite, 1},
		"thrust not known": {Curve{{0, Newtons(nan)}}, ErrNotFinite, 0},
		"endless":          {Curve{{0, 0}, {Seconds(inf), 5}}, ErrNotFinite, 1},
	} {
		err := Check(c.curve)
		if !errors.Is(err, c.want) {
			t.Errorf("%s: %v, want %v", name, err, c.want)
			continue
		}
		var at *PointError
		if errors.As(err, &at) && at.Index != c.index {
			t.Errorf("%s: point %d blamed, want %d", name, at.Index, c.index)
		} else if c.want != nil && c.index >= 0 && at == nil {
			t.Errorf("%s: no point blamed", name)
		}
	}
}

func TestPointErrorText(t *testing.T) {
	want := "point 2 (1 s, -5 N): thrust below zero"
	if got := Check(Curve{{0, 0}, {1, -5}}).Error(); got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

func TestClosed(t *testing.T) {
	for name, c := range map[string]struct {
		curve, want Curve
		added       bool
	}{
		"whole":         {Curve{{0, 0}, {1, 5}, {2, 0}}, Curve{{0, 0}, {1, 5}, {2, 0}}, false},
		"starts high":   {Curve{{0, 5}, {2, 0}}, Curve{{0, 5}, {2, 0}}, false},
		"no end":        {Curve{{0, 0}, {1, 5}}, Curve{{0, 0}, {1, 5}, {1.000001, 0}}, true},
		"no beginning":  {Curve{{0.1, 5}, {2, 0}}, Curve{{0, 0}, {0.1, 5}, {2, 0}}, true},
		"neither":       {Curve{{0.5, 5}}, Curve{{0, 0}, {0.5, 5}, {0.500001, 0}}, true},
		"starts late":   {Curve{{0.5, 0}, {1, 5}, {2, 0}}, Curve{{0, 0}, {0.5, 0}, {1, 5}, {2, 0}}, true},
		"out of reach":  {Curve{{0, 0}, {1e12, 5}}, Curve{{0, 0}, {1e12, 5}, {Seconds(math.Nextafter(1e12, 2e12)), 0}}, true},
		"nothing there": {nil, nil, false},
	} {
		before := append(Curve(nil), c.curve...)
		got, added := Closed(c.curve)
		if diff := cmp.Diff(c.want, got); diff != "" || added != c.added {
			t.Errorf("%s: supplied %v (-want +got):\n%s", name, added, diff)
		}
		if diff := cmp.Diff(before, c.curve); diff != "" {
			t.Errorf("%s: the curve given was changed:\n%s", name, diff)
		}
		if len(got) > 0 && Check(got) != nil {
			t.Errorf("%s: %v", name, Check(got))
		}
	}
}

func TestAtAndDelivered(t *testing.T) {
	c := Curve{{0, 0}, {1, 10}, {3, 6}, {4, 0}}
	for _, x := range []struct {
		t         Seconds
		thrust    Newtons
		delivered NewtonSeconds
	}{ // by hand
		{-1, 0, 0}, {0, 0, 0}, {0.5, 5, 1.25}, {1, 10, 5}, {2, 8, 14}, {3, 6, 21}, {3.5, 3, 23.25}, {4, 0, 24}, {5, 0, 24},
	} {
		if got := c.At(x.t); math.Abs(float64(got-x.thrust)) > 1e-12 {
			t.Errorf("%g N at %g s, want %g", got, x.t, x.thrust)
		}
		if got := c.Delivered(x.t); math.Abs(float64(got-x.delivered)) > 1e-12 {
			t.Errorf("%g N s by %g s, want %g", got, x.t, x.delivered)
		}
	}
	open := Curve{{0, 4}, {1, 4}}
	if open.At(0) != 4 || open.At(1) != 4 || open.At(1.1) != 0 || open.At(Seconds(math.NaN())) != 0 || Curve(nil).At(0) != 0 {
		t.Error("the ends of an open curve")
	}
}
