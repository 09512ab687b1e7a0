package pack

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// drawn draws a box and keeps the random source for what the property needs.
func drawn(t *rapid.T) (*Request, *rand.Rand) {
	random := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "box"), 1))
	return smallBox(random), random
}

// shuffled is a request with lots, needs and candidates in another order.
func shuffled(r *Request, random *rand.Rand) *Request {
	out := &Request{Lots: mixed(r.Lots, random), Effort: r.Effort}
	for _, f := range r.Flights {
		f.Needs = mixed(f.Needs, random)
		for i := range f.Needs {
			f.Needs[i].From = mixed(f.Needs[i].From, random)
		}
		out.Flights = append(out.Flights, f)
	}
	return out
}

func mixed[T any](of []T, random *rand.Rand) []T {
	of = slices.Clone(of)
	random.Shuffle(len(of), func(i, j int) { of[i], of[j] = of[j], of[i] })
	return of
}

func TestOrderOfRecordsDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r, random := drawn(t)
		first, other := mustPack(t, r), mustPack(t, shuffled(r, random))
		if !reflect.DeepEqual(first, other) {
			t.Fatalf("%+v\n%+v", first, other)
		}
	})
	for seed := range uint64(3) {
		r := bigDay(60, 150, 4, seed)
		if !reflect.DeepEqual(mustPack(t, r), mustPack(t, shuffled(r, rand.New(rand.NewPCG(seed, 2))))) {
			t.Errorf("big day %d differs", seed)
		}
	}
}

// Nor does it where the search is cut short.
func TestOrderOfRecordsDoesNotMatterWhenCut(t *testing.T) {
	cut := 0
	for seed := range uint64(20) {
		r := hardDay(seed)
		r.Effort = 20_000
		plan := mustPack(t, r)
		if !plan.Exact {
			cut++
		}
		if !reflect.DeepEqual(plan, mustPack(t, shuffled(r, rand.New(rand.NewPCG(seed, 2))))) {
			t.Errorf("hard day %d differs", seed)
		}
	}
	if cut < 5 {
		t.Errorf("%d of 20 searches were cut", cut)
	}
}

// hardDay is a day of clusters that fill boxes of one type: how many fit is a
// bin packing, and proving it takes long.
func hardDay(seed uint64) *Request {
	random := rand.New(rand.NewPCG(seed, 3))
	r := &Request{}
	var from []Candidate
	for i := range 10 {
		id := fmt.Sprint("lot", i)
		r.Lots = append(r.Lots, Lot{ID: id, Item: fmt.Sprint("type", i), Free: 9 + random.Int64N(4), Expires: random.IntN(100)})
		from = append(from, Candidate{Lot: id})
	}
	for f := range 30 {
		n := Need{Name: "cluster", Cluster: "pad", Quantity: 3 + random.Int64N(4), From: from}
		r.Flights = append(r.Flights, Flight{ID: fmt.Sprint(f), Needs: []Need{n}})
	}
	return r
}

// TestCutShort: with less effort than it takes the plan holds all the same, says
// that it is not proven, and is never better than one that is.
func TestCutShort(t *testing.T) {
	cut := 0
	for seed := range uint64(200) {
		r := smallBox(rand.New(rand.NewPCG(seed, 500)))
		exact := mustPack(t, r)
		r.Effort = 1
		plan := mustPack(t, r)
		if plan.Exact && !reflect.DeepEqual(plan, exact) {
			t.Fatalf("seed %d: called exact and differs", seed)
		}
		if !plan.Exact {
			cut++
		}
		if order := lexicographic(plan, exact); order > 0 || order == 0 && plan.Cost.Less(exact.Cost) {
			t.Fatalf("seed %d: cut short and better: %+v, %+v", seed, plan, exact)
		}
	}
	if cut == 0 {
		t.Error("no search was cut short")
	}
}

// lexicographic compares which flights are complete: above 0 where a does better
// at the first flight that differs.
func lexicographic(a, b *Plan) int {
	for f := range min(len(a.Flights), len(b.Flights)) {
		switch x, y := a.Flights[f].Complete, b.Flights[f].Complete; {
		case x && !y:
			return 1
		case y && !x:
			return -1
		}
	}
	return 0
}

// TestMoreLotsNeverLoseAFlight: with one more lot, or more in one, the first
// flight that fares otherwise is one that is now taken. A later one may then
// lose what that flight now gets: its order says that it should.
func TestMoreLotsNeverLoseAFlight(t *testing.T) {
	gained := 0
	rapid.Check(t, func(t *rapid.T) {
		r, random := drawn(t)
		before := mustPack(t, r)
		more := shuffled(r, random)
		if random.IntN(2) == 0 {
			more.Lots[random.IntN(len(more.Lots))].Free += 1 + random.Int64N(3)
		} else {
			addLot(more, random)
		}
		order := lexicographic(mustPack(t, more), before)
		if order < 0 {
			t.Fatalf("a flight was lost: %+v, %+v", r, more)
		}
		gained += order
	})
	if gained == 0 {
		t.Error("no lot ever gained a flight")
	}
}

func addLot(r *Request, random *rand.Rand) {
	r.Lots = append(r.Lots, Lot{ID: "another", Item: "birch", Free: 1 + random.Int64N(3), Expires: 20_050})
	for f := range r.Flights {
		for i := range r.Flights[f].Needs {
			n := &r.Flights[f].Needs[i]
			n.From = append(n.From, Candidate{Lot: "another"})
		}
	}
}

// A flight added after the others takes nothing from them.
func TestALaterFlightLosesNone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r, _ := drawn(t)
		all := mustPack(t, r)
		fewer := &Request{Lots: r.Lots, Flights: r.Flights[:len(r.Flights)-1]}
		if lexicographic(mustPack(t, fewer), all) != 0 {
			t.Fatalf("the last flight changed which are taken: %+v", r)
		}
	})
}
