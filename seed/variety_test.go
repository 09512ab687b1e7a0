package seed

import (
	"slices"
	"testing"

	"rangebox/compat"
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// some tells whether a record of the box is such.
func some[R inventory.Record](is func(R) bool) func(*inventory.Box) bool {
	return func(box *inventory.Box) bool { return slices.ContainsFunc(inventory.List[R](box), is) }
}

func lotIn(state inventory.LotState) func(*inventory.Box) bool {
	return func(box *inventory.Box) bool {
		return some(func(l *inventory.Lot) bool {
			s := box.Stock(l)
			return l.State(s, today) == state && s.OnHand > 0
		})(box)
	}
}

func headEnds(only string) func(*inventory.Box) bool {
	return some(func(m *inventory.Motor) bool { return slices.Equal(m.HeadEnds, []string{only}) })
}

func diameter(mm int64) func(*inventory.Box) bool {
	return some(func(m *inventory.Motor) bool { return m.Diameter.Or(0) == quantity.Length(mm*1e6) })
}

func misfire(c inventory.Cause) func(*inventory.Box) bool {
	return some(func(e *inventory.Event) bool {
		return e.What == inventory.Used && e.Result == inventory.Misfire && e.Cause == c
	})
}

func litBy(by inventory.LitBy) func(*inventory.Box) bool {
	return some(func(r *inventory.Rocket) bool {
		return len(r.Stages) == 2 && r.Stages[1].Mounts[0].Ignition.By == by
	})
}

func rocketWith(is func(inventory.Recovery) bool) func(*inventory.Box) bool {
	return some(func(r *inventory.Rocket) bool {
		return slices.ContainsFunc(r.Stages, func(s inventory.Stage) bool { return slices.ContainsFunc(s.Recovery, is) })
	})
}

// variety is what the demonstration needs to find in the box.
var variety = map[string]func(*inventory.Box) bool{
	"an expired lot": lotIn(inventory.LotExpired),
	"a lot due soon": lotIn(inventory.LotSoon),
	"a lot on hold":  lotIn(inventory.LotHeld),
	"an undated lot": some(func(l *inventory.Lot) bool {
		return l.Expires.IsZero() && !l.NoExpiry.Known() && l.Of == inventory.LotOfMotors
	}),
	"a lot that keeps":   some(func(l *inventory.Lot) bool { return l.NoExpiry.Or(false) }),
	"a lot made of one":  some(func(l *inventory.Lot) bool { return !l.From.IsZero() }),
	"a plugged motor":    headEnds(inventory.HeadPlugged),
	"an open booster":    headEnds(inventory.HeadOpen),
	"a 13 mm motor":      diameter(13),
	"a 54 mm motor":      diameter(54),
	"an adjustable":      some(func(m *inventory.Motor) bool { return m.DelayStep.Known() && m.DelayMin.Known() && m.DelayMax.Known() }),
	"a reload":           some(func(m *inventory.Motor) bool { return !m.Case.IsZero() && len(m.Nozzles) == 2 }),
	"a reusable supply":  some(func(s *inventory.Supply) bool { return s.Reusable.Or(false) }),
	"a throat not known": some(func(m *inventory.Motor) bool { return !m.Nozzles[0].Throat.Known() }),
	"a seat not known":   some(func(m *inventory.Motor) bool { return !m.Nozzles[0].Depth.Known() }),
	"a fired throat":     some(func(m *inventory.Motor) bool { return m.Nozzles[0].MeasuredOn == inventory.MeasuredFired }),
	"a cap":              some(func(m *inventory.Motor) bool { return m.Nozzles[0].CapHole.Known() }),
	"certification past": some(func(m *inventory.Motor) bool {
		return !m.CertifiedUntil.IsZero() && m.CertifiedUntil.Before(today)
	}),
	"uncertified":           some(func(m *inventory.Motor) bool { return m.CertifiedBy == "" }),
	"a pair not measured":   some(func(g *inventory.Igniter) bool { return !g.LeadPair.Known() }),
	"a bridge not measured": some(func(g *inventory.Igniter) bool { return !g.Bridge.Known() }),
	"a thin head":           some(func(g *inventory.Igniter) bool { return g.Head.Or(1e9) <= 1.2e6 }),
	"a fat head":            some(func(g *inventory.Igniter) bool { return g.Head.Or(0) >= 4.5e6 }),
	"a home-dipped igniter": some(func(g *inventory.Igniter) bool { return g.Maker == "" }),
	"a capacitor output":    some(func(c *inventory.Controller) bool { return c.Source == inventory.FromCapacitor }),
	"two outputs that share": some(func(c *inventory.Controller) bool {
		return c.Place == inventory.Onboard && len(c.Outputs) == 2 && c.Supply == inventory.SharedSupply
	}),
	"a cluster of three": some(func(r *inventory.Rocket) bool { return r.Stages[0].Mounts[0].Count.Or(1) == 3 }),
	"two by timer":       litBy(inventory.LitByTimer),
	"two by flame":       litBy(inventory.LitByBurnThrough),
	"a backup by tilt": rocketWith(func(r inventory.Recovery) bool {
		return r.By == inventory.RecoverByCharge && r.Trigger == inventory.TriggerTilt && r.BacksUp != "" && !r.Line.IsZero() && !r.Igniter.IsZero()
	}),
	"a pinned joint":     rocketWith(func(r inventory.Recovery) bool { return r.Pins.Or(0) > 0 && r.PinForce.Known() }),
	"a head that failed": misfire(inventory.CauseHead),
	"a motor that did":   misfire(inventory.CauseMotor),
	"a contact that did": misfire(inventory.CauseContact),
	"a dipped test": some(func(e *inventory.Event) bool {
		return e.What == inventory.Tested && e.Result == inventory.Misfire
	}),
	"a void": some(func(e *inventory.Event) bool { return e.What == inventory.Void }),
	"part moved": some(func(e *inventory.Event) bool {
		return e.What == inventory.Moved && e.Quantity.Known()
	}),
	"a reading of a lot":     some(func(r *inventory.Reading) bool { return !r.Of.Lot.IsZero() }),
	"a reading of a nozzle":  some(func(r *inventory.Reading) bool { return r.Nozzle != "" }),
	"a reading under load":   some(func(r *inventory.Reading) bool { return r.What == inventory.LoadedVolts }),
	"a day that is to come":  some(func(d *inventory.Day) bool { return today.Before(d.Date) }),
	"a body that certifies":  some(func(s *inventory.Settings) bool { return s.CertificationBody != "" && s.DistanceTable == "" }),
	"a lot that runs short":  lotBelow(2),
	"a supply to be ordered": supplyBelow,
}

func lotBelow(n int64) func(*inventory.Box) bool {
	return func(box *inventory.Box) bool {
		return some(func(l *inventory.Lot) bool {
			return l.Of == inventory.LotOfIgniters && box.Stock(l).OnHand < quantity.Number(n*1e9)
		})(box)
	}
}

func supplyBelow(box *inventory.Box) bool {
	return some(func(s *inventory.Supply) bool {
		var sum quantity.Number
		for _, l := range box.LotsOf(s.ID) {
			sum += box.Stock(l).OnHand
		}
		return sum < s.Level.Or(0)
	})(box)
}

func TestVariety(t *testing.T) {
	box := boxOf(t)
	for what, there := range variety {
		if !there(box) {
			t.Errorf("the box lacks %s", what)
		}
		if there(inventory.NewBox()) {
			t.Errorf("%s is found in an empty box", what)
		}
	}
}

// TestNarrowThroat holds the question that the demonstration asks first to its
// answer, on the line that lights this motor in flight.
func TestNarrowThroat(t *testing.T) {
	box := boxOf(t)
	motor, err := inventory.Find[*inventory.Motor](box, inventory.KindMotor, "sundew-e17")
	if err != nil {
		t.Fatal(err)
	}
	line, err := inventory.Find[*inventory.Line](box, inventory.KindLine, "cuckoo-motor")
	if err != nil {
		t.Fatal(err)
	}
	question := compat.FitQuestion{Run: quantity.Some(quantity.Length(260e6)), Line: line}
	question.Battery, _ = inventory.Follow[*inventory.Battery](box, line.Battery)
	question.Controller, _ = inventory.Follow[*inventory.Controller](box, line.Controller)
	limits := compat.Defaults()
	for igniter, want := range map[string]struct {
		verdict  compat.Verdict
		spliceMM float64
	}{
		"sedge":    {compat.Go, 0},
		"dodder":   {compat.Caution, 110},
		"rush":     {compat.Caution, 50},
		"rowan":    {compat.Unknown, 0},
		"mothwing": {compat.NoGo, 0},
		"awn":      {compat.NoGo, 240},
	} {
		ig, err := inventory.Find[*inventory.Igniter](box, inventory.KindIgniter, igniter)
		if err != nil {
			t.Fatal(err)
		}
		got := compat.Fit(&question, motor, &motor.Nozzles[0], ig, limits)
		if splice := got.NeededSplice.Or(-1).Millimetres(); got.Worst != want.verdict || splice != want.spliceMM {
			t.Errorf("%s: %v with a splice of %.0f mm, want %v and %.0f", igniter, got.Worst, splice, want.verdict, want.spliceMM)
		}
	}
}
