package compat_test

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"rangebox/compat"
	"rangebox/inventory"
)

// smallBox draws a box with a day that can be packed in every way there is.
func smallBox(r *rand.Rand) fields {
	pick := func(words ...any) any { return words[r.IntN(len(words))] }
	a := fields{"format": "rangebox-archive", "version": 1}
	add := func(kind string, rec fields) {
		list, _ := a[kind].([]fields)
		a[kind] = append(list, rec)
	}
	add("supplies", fields{"handle": "wadding", "unit": "piece"})
	add("batteries", fields{"handle": "cell", "open_circuit_v": 12.6, "low_v": pick(12, 3.5), "internal_ohm": 0.05})
	add("controllers", fields{"handle": "box", "place": "pad", "continuity_a": 0.001, "on_ohm": 0.1})
	add("lines", fields{"handle": "rail", "battery": "cell", "controller": "box", "lead_m": pick(3, 30), "lead_awg": 18, "contact_ohm": 0.05, "wiring": pick("parallel", "parallel", "series")})
	for i := range 2 {
		add("motors", fields{"handle": fmt.Sprintf("m%d", i), "propellant": "composite", "ignition": pick("low", "medium"), "core_mm": 30, "propellant_g": pick(20, 80),
			"nozzles": []fields{{"name": "a", "throat_mm": pick(2.5, 3, 4, 4), "depth_mm": 20}}})
	}
	for i := range 3 {
		add("igniters", fields{"handle": fmt.Sprintf("i%d", i), "head_mm": pick(2, 2.4, 2.9), "lead_pair_mm": 1.6, "output": pick("medium", "medium", "high"), "lead_mm": pick(400, 120), "lead_awg": 26,
			"all_fire_a": pick(0.5, 0.9), "no_fire_a": 0.2, "bridge_ohm": 1.2, "bridge_tol_pct": 10})
	}
	for i := range 2 {
		var mounts []fields
		for j := range 1 + r.IntN(2) {
			lit := fields{"by": "pad", "run_mm": 90}
			if r.IntN(3) == 0 {
				lit["line"] = "rail"
			}
			mounts = append(mounts, fields{"name": fmt.Sprint("m", j), "count": 1 + r.IntN(4)/3, "motor": fmt.Sprintf("m%d", r.IntN(2)), "igniter": fmt.Sprintf("i%d", r.IntN(3)), "ignition": lit})
		}
		add("rockets", fields{"handle": fmt.Sprintf("r%d", i), "stages": []fields{{"name": "body", "mounts": mounts}}, "supplies": []fields{{"item": "wadding", "quantity": 1 + r.IntN(2)}}})
	}
	var flights []fields
	for i := range 2 + r.IntN(2) {
		flights = append(flights, fields{"id": fmt.Sprintf("019d0000-0000-7000-8000-%012x", 16+i), "rocket": fmt.Sprintf("r%d", r.IntN(2))})
	}
	add("days", fields{"id": "019d0000-0000-7000-8000-000000000001", "date": "2027-04-17", "flights": flights})
	lot := func(n int, kind, item string, q int) {
		rec := fields{"id": fmt.Sprintf("019a0000-0000-7000-8000-%012x", n), "kind": kind, "item": item, "quantity": q}
		if day := pick("2027-04-16", "2027-05-01", "2027-06-01", "2028-01-01", nil); day != nil {
			rec["expires"] = day
		}
		add("lots", rec)
		if r.IntN(12) == 0 {
			add("events", fields{"id": fmt.Sprintf("019e0000-0000-7000-8000-%012x", n), "at": "2027-01-01T00:00:00Z", "what": "held", "lot": rec["id"]})
		}
	}
	for n := range 8 {
		lot(n+1, []string{"igniter", "motor"}[n%2], fmt.Sprintf("%c%d", "im"[n%2], n/2%(3-n%2)), 1+r.IntN(4))
	}
	add("lots", fields{"id": "019a0000-0000-7000-8000-0000000000ff", "kind": "supply", "item": "wadding", "quantity": 2 + r.IntN(4), "no_expiry": true})
	return a
}

func textOf(a fields) string {
	text, err := json.Marshal(a)
	if err != nil {
		panic(err)
	}
	return string(text)
}

// every goes through all ways to pack a small box, knowing what a point may have
// from the check of the whole rocket alone.
type every struct {
	q      *compat.PackQuestion
	lots   []*inventory.Lot
	lotOK  map[compat.ID]int // cautions of the lots that may be used
	uses   map[compat.ID]int // motors that an igniter type could light
	points [][]everyPoint    // by flight
}

type everyPoint struct {
	motor compat.ID
	may   map[compat.ID]int // cautions by igniter type
	group int               // points of a flight that get one type
}

// cost is a packing's: cautions, pieces without a date, days, and motors that the
// igniters could have lit, less being better; of the flights taken.
type cost [4]int

func newEvery(t testing.TB, q *compat.PackQuestion) *every {
	x := &every{q: q, lots: inventory.List[*inventory.Lot](q.Box), lotOK: map[compat.ID]int{}, uses: map[compat.ID]int{}}
	for _, lot := range x.lots {
		var found compat.Findings
		use := compat.LotUse{Lot: lot, On: q.Day.Date}
		compat.CheckLot(&use, compat.Defaults(), &found)
		if n, ok := cautionsOf(found.List); ok {
			x.lotOK[lot.ID] = n
		}
	}
	for _, ig := range inventory.List[*inventory.Igniter](q.Box) {
		for _, m := range inventory.List[*inventory.Motor](q.Box) {
			var found compat.Findings
			compat.CheckPair(&compat.Pair{Motor: m, Nozzle: &m.Nozzles[0], Igniter: ig}, compat.Defaults(), &found)
			if _, ok := cautionsOf(found.List); ok {
				x.uses[ig.ID]++
			}
		}
	}
	for i := range q.Flights {
		x.points = append(x.points, x.pointsOf(t, q.Flights[i].Rocket))
	}
	return x
}

func cautionsOf(list []compat.Finding) (n int, ok bool) {
	for i := range list {
		switch list[i].Verdict {
		case compat.Go:
		case compat.Caution:
			n++
		default:
			return 0, false
		}
	}
	return n, true
}

// pointsOf puts each igniter type into every mount of a rocket and sees what the
// check of the rocket says.
func (x *every) pointsOf(t testing.TB, r *inventory.Rocket) []everyPoint {
	var points []everyPoint
	for i := range r.Stages[0].Mounts {
		m := &r.Stages[0].Mounts[i]
		for range int(m.Count.Or(1)) {
			p := everyPoint{motor: m.Motor.ID, may: map[compat.ID]int{}}
			if !m.Ignition.Line.IsZero() {
				p.group = 1
			}
			points = append(points, p)
		}
	}
	for _, ig := range inventory.List[*inventory.Igniter](x.q.Box) {
		own := ownRocket(t, r)
		for i := range own.Stages[0].Mounts {
			own.Stages[0].Mounts[i].Igniter = inventory.Ref{ID: ig.ID, Handle: ig.Handle}
		}
		report := compat.CheckRocket(&compat.RocketQuestion{Rocket: own, Box: x.q.Box}, compat.Defaults())
		for k, said := range report.Stages[0].Points {
			if n, ok := cautionsOf(said.List); ok {
				points[k].may[ig.ID] = n
			}
		}
	}
	return points
}

// best is the least cost at which the flights can all be served.
func (x *every) best(flights []int) (least cost, ok bool) {
	free := map[compat.ID]int{}
	wadding := 0
	for _, lot := range x.lots {
		if _, usable := x.lotOK[lot.ID]; usable {
			free[lot.ID] = int(x.q.Box.Stock(lot).Usable(lot, x.q.Day.Date) / 1e9)
		}
		if lot.Of == inventory.LotOfSupplies {
			wadding = free[lot.ID]
		}
	}
	for _, f := range flights {
		wadding -= int(x.q.Flights[f].Rocket.Supplies[0].Quantity.Or(0) / 1e9)
	}
	if wadding < 0 {
		return least, false
	}
	var visit func(k, point int, motor bool, groups map[[2]int]compat.ID, c cost)
	visit = func(k, point int, motor bool, groups map[[2]int]compat.ID, c cost) {
		if k == len(flights) {
			if !ok || slices.Compare(c[:], least[:]) < 0 {
				least, ok = c, true
			}
			return
		}
		f := flights[k]
		if point == len(x.points[f]) {
			visit(k+1, 0, true, groups, c)
			return
		}
		p := &x.points[f][point]
		group := [2]int{f, p.group}
		for _, lot := range x.lots {
			if free[lot.ID] == 0 {
				continue
			}
			n, fits := x.lotOK[lot.ID], lot.Item.ID == p.motor
			if !motor {
				more, may := p.may[lot.Item.ID]
				settled, known := groups[group]
				n, fits = n+more, may && (!known || settled == lot.Item.ID)
			}
			if !fits {
				continue
			}
			free[lot.ID]--
			if motor {
				visit(k, point, false, groups, x.with(c, lot, n))
			} else {
				settled, known := groups[group]
				groups[group] = lot.Item.ID
				visit(k, point+1, true, groups, x.with(c, lot, n))
				if groups[group] = settled; !known {
					delete(groups, group)
				}
			}
			free[lot.ID]++
		}
	}
	visit(0, 0, true, map[[2]int]compat.ID{}, cost{})
	return least, ok
}

// with adds what a piece of a lot costs.
func (x *every) with(c cost, lot *inventory.Lot, cautions int) cost {
	c[0] += cautions
	if lot.Expires.IsZero() {
		c[1]++
	} else {
		c[2] += x.q.Day.Date.DaysUntil(lot.Expires)
	}
	c[3] -= x.uses[lot.Item.ID]
	return c
}

// costOf is what a plan's complete flights cost.
func (x *every) costOf(plan *compat.PackPlan) (c cost) {
	for _, f := range plan.Flights {
		if !f.Complete {
			continue
		}
		for k, p := range f.Points {
			c = x.with(c, p.MotorLot, x.lotOK[p.MotorLot.ID])
			c = x.with(c, p.IgniterLot, x.lotOK[p.IgniterLot.ID]+x.points[f.Of][k].may[p.IgniterLot.Item.ID])
		}
	}
	return c
}

// TestPackDayAgainstEveryWay packs 500 small boxes, from the records to the plan, and
// holds the flights taken and the cost against every way there is to pack them; and
// the plan does not depend on the order in which the records come.
func TestPackDayAgainstEveryWay(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 4))
	lost, chosen := 0, 0
	for n := range 500 {
		a := smallBox(r)
		q := questionOn(t, boxOf(t, textOf(a)))
		x := newEvery(t, q)
		var taken []int
		for f := range q.Flights {
			if _, ok := x.best(append(slices.Clone(taken), f)); ok {
				taken = append(taken, f)
			}
		}
		want, _ := x.best(taken)
		plan, err := compat.PackDay(q, compat.Defaults())
		if err != nil {
			t.Fatalf("box %d: %v", n, err)
		}
		var got []int
		for _, f := range plan.Flights {
			if f.Complete {
				got = append(got, f.Of)
			}
		}
		if !slices.Equal(got, taken) || !plan.Exact {
			t.Fatalf("box %d: took the flights %v, where %v can be served\n%s", n, got, taken, textOf(a))
		}
		if c := x.costOf(plan); c != want {
			t.Fatalf("box %d: costs %v, and the best is %v\n%s", n, c, want, textOf(a))
		}
		if len(taken) < len(q.Flights) {
			lost++
		}
		if len(taken) > 1 {
			chosen++
		}
		sameInAnyOrder(t, r, a, plan)
	}
	t.Logf("of 500 boxes %d could not serve all flights, and %d served more than one", lost, chosen)
	if lost < 100 || chosen < 100 {
		t.Error("the boxes are too easy, or too hard, to tell anything")
	}
}

// sameInAnyOrder packs the same box with its records in another order.
func sameInAnyOrder(t *testing.T, r *rand.Rand, a fields, plan *compat.PackPlan) {
	t.Helper()
	for _, records := range a {
		if list, ok := records.([]fields); ok {
			r.Shuffle(len(list), func(i, j int) { list[i], list[j] = list[j], list[i] })
		}
	}
	again, err := compat.PackDay(questionOn(t, boxOf(t, textOf(a))), compat.Defaults())
	if err != nil {
		t.Fatal(err)
	}
	told := func(p *compat.PackPlan) (list []string) {
		for _, a := range p.Allotments {
			list = append(list, fmt.Sprint(a.Lot.ID, a.Quantity, inventory.Ref{ID: a.Flight}, a.Point))
		}
		return list
	}
	if !slices.Equal(told(plan), told(again)) {
		t.Fatalf("in another order:\n%v\n%v", told(plan), told(again))
	}
}

// TestFirstComeFirstServedLoses: the first flight could have the igniters that
// expire first, and then the second would stay on the ground.
func TestFirstComeFirstServedLoses(t *testing.T) {
	plan := newStory(t, `{"format": "rangebox-archive", "version": 1,
"motors": [{"handle": "wide", "propellant": "composite", "ignition": "medium", "core_mm": 30, "nozzles": [{"name": "a", "throat_mm": 5, "depth_mm": 20}]},
  {"handle": "narrow", "propellant": "composite", "ignition": "medium", "core_mm": 30, "nozzles": [{"name": "a", "throat_mm": 2.5, "depth_mm": 20}]}],
"igniters": [{"handle": "thin", "head_mm": 2, "lead_pair_mm": 1.6, "output": "medium", "lead_mm": 400}, {"handle": "thick", "head_mm": 4, "lead_pair_mm": 1.6, "output": "medium", "lead_mm": 400}],
"rockets": [{"handle": "first", "stages": [{"name": "body", "mounts": [{"name": "main", "motor": "wide", "igniter": "thin", "ignition": {"by": "pad"}}]}]},
  {"handle": "second", "stages": [{"name": "body", "mounts": [{"name": "main", "motor": "narrow", "igniter": "thin", "ignition": {"by": "pad"}}]}]}],
"days": [{"id": "019d0000-0000-7000-8000-000000000001", "date": "2027-04-17", "flights": [{"id": "019d0000-0000-7000-8000-0000000000f1", "rocket": "first"}, {"id": "019d0000-0000-7000-8000-0000000000f2", "rocket": "second"}]}],
"lots": [{"id": "019a0000-0000-7000-8000-0000000000a1", "kind": "motor", "item": "wide", "quantity": 1, "expires": "2029-01-31"},
  {"id": "019a0000-0000-7000-8000-0000000000a2", "kind": "motor", "item": "narrow", "quantity": 1, "expires": "2029-01-31"},
  {"id": "019a0000-0000-7000-8000-0000000000b1", "kind": "igniter", "item": "thin", "quantity": 1, "expires": "2027-05-31"},
  {"id": "019a0000-0000-7000-8000-0000000000b2", "kind": "igniter", "item": "thick", "quantity": 1, "expires": "2029-01-31"}]}`).pack()
	for i, want := range []string{"thick", "thin"} {
		if f := plan.Flights[i]; !f.Complete || f.Points[0].Igniter.Handle != want {
			t.Errorf("flight %d: complete %v, with %s; want %s", i, f.Complete, f.Points[0].Igniter.Handle, want)
		}
	}
}
