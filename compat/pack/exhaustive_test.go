package pack

import (
	"cmp"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
)

// exhaustive tries every way to serve needs, with no flow, no order and no bound
// but the cost so far: what the packing is held to.
type exhaustive struct {
	lots     map[string]*Lot
	free     map[string]int64
	cost     map[string]Cost // of one piece, cautions aside
	mayShort bool

	needs   []wanted
	back    map[string]int64 // taken of what comes back, by flight and lot
	cluster map[string]string
	best    *Cost
}

type wanted struct {
	*Need
	flight string
}

func newExhaustive(r *Request) *exhaustive {
	e := &exhaustive{lots: map[string]*Lot{}, free: map[string]int64{}, cost: map[string]Cost{}}
	first, most := 1<<40, 0
	for i := range r.Lots {
		l := &r.Lots[i]
		e.lots[l.ID] = l
		e.free[l.ID] = max(l.Free, 0)
		most = max(most, l.Uses)
		if !l.Undated {
			first = min(first, l.Expires)
		}
	}
	for _, l := range e.lots {
		c := Cost{Rare: int64(most - l.Uses), Undated: 1}
		if !l.Undated {
			c.Undated, c.Days = 0, int64(l.Expires-first)
		}
		e.cost[l.ID] = c
	}
	e.number(r)
	return e
}

// number gives each lot, or each flight's view of one that comes back, its place.
func (e *exhaustive) number(r *Request) {
	type view struct {
		id     string
		flight int
	}
	var views []view
	for id, l := range e.lots {
		if !l.Returns {
			views = append(views, view{id, 0})
			continue
		}
		for f := range r.Flights {
			views = append(views, view{id, f})
		}
	}
	slices.SortFunc(views, func(a, b view) int {
		x, y := e.lots[a.id], e.lots[b.id]
		byUndated := 0
		if x.Undated != y.Undated {
			byUndated = cmp.Compare(fmt.Sprint(x.Undated), fmt.Sprint(y.Undated)) // false, then true
		}
		byDay := cmp.Compare(x.Expires, y.Expires)
		if x.Undated {
			byDay = 0
		}
		return cmp.Or(byUndated, byDay, -cmp.Compare(x.Uses, y.Uses), cmp.Compare(x.Item, y.Item), cmp.Compare(a.id, b.id), cmp.Compare(a.flight, b.flight))
	})
	for place, v := range views {
		key := v.id
		if e.lots[v.id].Returns {
			key = r.Flights[v.flight].ID + "\x00" + v.id
			e.cost[key] = e.cost[v.id]
		}
		c := e.cost[key]
		c.Order = int64(place)
		e.cost[key] = c
	}
}

// serve finds the least cost of serving flights; false where they can not be.
func (e *exhaustive) serve(flights ...*Flight) (Cost, bool) {
	e.needs, e.back, e.cluster, e.best = nil, map[string]int64{}, map[string]string{}, nil
	for _, f := range flights {
		for i := range f.Needs {
			e.needs = append(e.needs, wanted{&f.Needs[i], f.ID})
		}
	}
	e.next(0, Cost{})
	if e.best == nil {
		return Cost{}, false
	}
	return *e.best, true
}

func (e *exhaustive) next(i int, so Cost) {
	if e.best != nil && !so.Less(*e.best) {
		return
	}
	if i == len(e.needs) {
		e.best = &so
		return
	}
	e.place(i, 0, e.needs[i].Quantity, so)
}

// place serves want of need i from its candidates from the k-th on.
func (e *exhaustive) place(i, k int, want int64, so Cost) {
	n := e.needs[i]
	if k == len(n.From) {
		if want > 0 && e.mayShort {
			so.Short += want
			want = 0
		}
		if want == 0 {
			e.next(i+1, so)
		}
		return
	}
	e.place(i, k+1, want, so)
	id := n.From[k].Lot
	key, group := id, n.flight+"\x00"+n.Cluster
	if e.lots[id].Returns {
		key = n.flight + "\x00" + id
	}
	before, item := e.cluster[group], e.lots[id].Item
	if n.Cluster != "" && before != "" && before != item {
		return
	}
	if n.Cluster != "" {
		e.cluster[group] = item
	}
	each := e.cost[key]
	each.Cautions = int64(n.From[k].Cautions)
	for q := int64(1); q <= min(want, e.free[id]-e.back[key]); q++ {
		e.back[key] += q
		e.place(i, k+1, want-q, so.plus(each, q))
		e.back[key] -= q
	}
	e.cluster[group] = before
}

// take is the rule of the flights in so many words.
func (e *exhaustive) take(r *Request) (taken []bool, cost Cost) {
	var in []*Flight
	for i := range r.Flights {
		c, ok := e.serve(append(slices.Clone(in), &r.Flights[i])...)
		taken = append(taken, ok)
		if ok {
			in = append(in, &r.Flights[i])
			cost = c
		}
	}
	return taken, cost
}

// smallBox draws a box that is short of this and that.
func smallBox(random *rand.Rand) *Request {
	r := &Request{}
	items := []string{"amber", "birch", "cedar"}
	for i := range 3 + random.IntN(4) {
		r.Lots = append(r.Lots, Lot{ID: fmt.Sprintf("lot%d", i), Item: items[random.IntN(3)], Free: int64(random.IntN(4)),
			Expires: 20_000 + 100*random.IntN(3), Undated: random.IntN(6) == 0, Uses: random.IntN(3), Returns: random.IntN(8) == 0})
	}
	for f := range 1 + random.IntN(4) {
		flight := Flight{ID: fmt.Sprintf("flight%d", f)}
		for n := range 1 + random.IntN(3) {
			need := Need{Name: fmt.Sprintf("need%d", n), Quantity: 1 + int64(random.IntN(5)/3)}
			if random.IntN(2) == 0 {
				need.Cluster = fmt.Sprintf("line%d", random.IntN(2))
			}
			for _, l := range r.Lots {
				if random.IntN(3) > 0 {
					need.From = append(need.From, Candidate{l.ID, random.IntN(5) / 3})
				}
			}
			flight.Needs = append(flight.Needs, need)
		}
		r.Flights = append(r.Flights, flight)
	}
	return r
}

// TestAgainstExhaustiveSearch: flights taken, their cost and what the others get
// are those of trying everything.
func TestAgainstExhaustiveSearch(t *testing.T) {
	random := rand.New(rand.NewPCG(500, 6))
	lost, mattered, partly := 0, 0, 0
	for range 500 {
		r := smallBox(random)
		plan := mustPack(t, r)
		if !plan.Exact {
			t.Fatalf("not exact: %+v", r)
		}
		e := newExhaustive(r)
		taken, cost := e.take(r)
		for f, p := range plan.Flights {
			if p.Complete != taken[f] {
				t.Fatalf("%s taken: %v, by trying all: %v, %+v", p.ID, p.Complete, taken[f], r)
			}
		}
		if plan.Cost != cost {
			t.Fatalf("cost %+v, by trying all %+v, %+v", plan.Cost, cost, r)
		}
		if slices.Contains(taken, true) && slices.Contains(taken, false) {
			lost++
		}
		if clustersMatter(t, r, plan) {
			mattered++
		}
		partly += compareRest(t, e, r, plan)
	}
	t.Logf("some flights taken and some not: %d boxes; clusters changed the answer: %d; incomplete flights that got something: %d", lost, mattered, partly)
	if lost < 100 || mattered < 50 || partly < 100 {
		t.Error("the boxes do not try it")
	}
}

// twinBox draws clusters that are alike, of two sizes, for lots of a few types.
func twinBox(random *rand.Rand) *Request {
	r := &Request{}
	var from []Candidate
	for i := range 3 + random.IntN(2) {
		id := fmt.Sprintf("lot%d", i)
		r.Lots = append(r.Lots, Lot{ID: id, Item: "type" + id[3:], Free: 2 + int64(random.IntN(6)), Expires: random.IntN(50)})
		from = append(from, Candidate{id, random.IntN(4) / 3})
	}
	r.Lots[1].Item = r.Lots[0].Item
	for f := range 3 + random.IntN(3) {
		need := Need{Name: "pad", Cluster: "pad", Quantity: 2 + int64(random.IntN(5)/3), From: from}
		r.Flights = append(r.Flights, Flight{fmt.Sprintf("flight%d", f), []Need{need}})
	}
	return r
}

// TestTwinsAgainstExhaustiveSearch: what is left out because clusters are alike
// leaves nothing out.
func TestTwinsAgainstExhaustiveSearch(t *testing.T) {
	random := rand.New(rand.NewPCG(2, 6))
	for range 300 {
		r := twinBox(random)
		plan := mustPack(t, r)
		taken, cost := newExhaustive(r).take(r)
		for f, p := range plan.Flights {
			if p.Complete != taken[f] {
				t.Fatalf("%s taken: %v, by trying all: %v, %+v", p.ID, p.Complete, taken[f], r)
			}
		}
		if plan.Cost != cost || !plan.Exact {
			t.Fatalf("cost %+v, by trying all %+v, exact %v, %+v", plan.Cost, cost, plan.Exact, r)
		}
	}
}

// TestTwinsSaveEffort: twelve clusters of three and five in each of seven types:
// no two fit one type, which takes long to prove one by one.
func TestTwinsSaveEffort(t *testing.T) {
	r := &Request{Effort: 4_000_000}
	var from []Candidate
	for i := range 7 {
		id := fmt.Sprint("lot", i)
		r.Lots = append(r.Lots, Lot{ID: id, Item: "type" + id, Free: 5, Expires: i})
		from = append(from, Candidate{Lot: id})
	}
	for f := range 12 {
		r.Flights = append(r.Flights, Flight{fmt.Sprint("flight", f), []Need{{Name: "pad", Cluster: "pad", Quantity: 3, From: from}}})
	}
	if plan := mustPack(t, r); complete(plan) != 7 || !plan.Exact {
		t.Errorf("%d taken, exact %v", complete(plan), plan.Exact)
	}
}

// clustersMatter tells whether the box packs better where clusters may mix.
func clustersMatter(t *testing.T, r *Request, plan *Plan) bool {
	mixing := &Request{Lots: r.Lots}
	for _, f := range r.Flights {
		f.Needs = slices.Clone(f.Needs)
		for i := range f.Needs {
			f.Needs[i].Cluster = ""
		}
		mixing.Flights = append(mixing.Flights, f)
	}
	return mustPack(t, mixing).Cost != plan.Cost
}

// compareRest holds what each incomplete flight gets, of what those before it
// left, to trying everything.
func compareRest(t *testing.T, e *exhaustive, r *Request, plan *Plan) (partly int) {
	t.Helper()
	use := func(f int) {
		for _, s := range plan.Flights[f].Served {
			if !e.lots[s.Lot].Returns {
				e.free[s.Lot] -= s.Quantity
			}
		}
	}
	for f := range r.Flights {
		if plan.Flights[f].Complete {
			use(f)
		}
	}
	e.mayShort = true
	for f := range r.Flights {
		if plan.Flights[f].Complete {
			continue
		}
		want, _ := e.serve(&r.Flights[f])
		if got := e.priced(&plan.Flights[f]); got != want {
			t.Fatalf("%s gets %+v at %+v, by trying all %+v, %+v", r.Flights[f].ID, plan.Flights[f], got, want, r)
		}
		if len(plan.Flights[f].Served) > 0 {
			partly++
		}
		use(f)
	}
	return partly
}

func (e *exhaustive) priced(p *Packed) (c Cost) {
	for _, s := range p.Served {
		key := s.Lot
		if e.lots[s.Lot].Returns {
			key = p.ID + "\x00" + s.Lot
		}
		each := e.cost[key]
		each.Cautions = int64(s.Cautions)
		c = c.plus(each, s.Quantity)
	}
	for _, s := range p.Short {
		c.Short += s.Quantity
	}
	return c
}
