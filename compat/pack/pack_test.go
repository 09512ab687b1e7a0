package pack

import (
	"cmp"
	"errors"
	"reflect"
	"slices"
	"strings"
	"testing"
)

// from makes candidates of "lot" or "lot!" (one caution) or "lot!!".
func from(lots ...string) (out []Candidate) {
	for _, l := range lots {
		id := strings.TrimRight(l, "!")
		out = append(out, Candidate{id, len(l) - len(id)})
	}
	return out
}

func point(name string, lots ...string) Need {
	return Need{Name: name, Quantity: 1, From: from(lots...)}
}

// got writes "flight/need=lot" for each piece served.
func got(plan *Plan) string {
	var out []string
	for _, f := range plan.Flights {
		for _, s := range f.Served {
			out = append(out, f.ID+"/"+s.Need+"="+s.Lot)
		}
	}
	return strings.Join(out, " ")
}

// firstCome is what packing by hand does: each flight in turn takes for each of
// its needs the lot that expires first.
func firstCome(r *Request) (complete int) {
	free := map[string]int64{}
	day := map[string]int{}
	for _, l := range r.Lots {
		free[l.ID], day[l.ID] = l.Free, l.Expires
	}
	for _, f := range r.Flights {
		served := true
		for _, n := range f.Needs {
			want := n.Quantity
			lots := slices.Clone(n.From)
			slices.SortFunc(lots, func(a, b Candidate) int { return cmp.Compare(day[a.Lot], day[b.Lot]) })
			for _, c := range lots {
				q := min(want, free[c.Lot])
				free[c.Lot] -= q
				want -= q
			}
			served = served && want == 0
		}
		if served {
			complete++
		}
	}
	return complete
}

// TestFirstComeLosesFlights: the thin igniter passes every nozzle and expires
// first, so that it goes to flights that a thick one would have served; two
// flights with narrow nozzles are left without.
func TestFirstComeLosesFlights(t *testing.T) {
	r := &Request{
		Lots: []Lot{
			{ID: "thin", Item: "wisp", Free: 2, Expires: 100},
			{ID: "middle", Item: "twig", Free: 1, Expires: 200},
			{ID: "thick", Item: "stick", Free: 2, Expires: 300},
		},
		Flights: []Flight{
			{"wide-1", []Need{point("1", "thin", "middle", "thick")}},
			{"wide-2", []Need{point("1", "thin", "thick")}},
			{"narrow-1", []Need{point("1", "thin")}},
			{"medium", []Need{point("1", "thin", "middle")}},
			{"narrow-2", []Need{point("1", "thin")}},
		},
	}
	plan := mustPack(t, r)
	if by := firstCome(r); by != 3 || complete(plan) != 5 {
		t.Errorf("first come, first served: %d flights, packed: %d; want 3 and 5", by, complete(plan))
	}
	const want = "wide-1/1=thick wide-2/1=thick narrow-1/1=thin medium/1=middle narrow-2/1=thin"
	if got(plan) != want {
		t.Errorf("got %s", got(plan))
	}
}

// TestWhatIsUsedFirst goes down the levels of the cost.
func TestWhatIsUsedFirst(t *testing.T) {
	for _, c := range []struct {
		name string
		a, b Lot
		from []Candidate
		want string
	}{
		{"a caution stands above all", Lot{Expires: 1}, Lot{Undated: true}, from("a!", "b"), "b"},
		{"fewer cautions", Lot{Expires: 1}, Lot{Expires: 2}, from("a!!", "b!"), "b"},
		{"earliest expiry", Lot{Expires: 9, Uses: 5}, Lot{Expires: 8}, from("a", "b"), "b"},
		{"undated last", Lot{Undated: true, Uses: 5}, Lot{Expires: 8}, from("a", "b"), "b"},
		{"keep what few can use", Lot{Uses: 1}, Lot{Uses: 2, Item: "z"}, from("a", "b"), "b"},
		{"item", Lot{Item: "y"}, Lot{Item: "x"}, from("a", "b"), "b"},
		{"lot", Lot{}, Lot{}, from("a", "b"), "a"},
		{"nothing in it", Lot{Free: -2}, Lot{}, from("a", "b"), "b"},
	} {
		c.a.ID, c.b.ID = "a", "b"
		c.a.Free++
		c.b.Free++
		r := &Request{Lots: []Lot{c.a, c.b}, Flights: []Flight{{"f", []Need{{Name: "p", Quantity: 1, From: c.from}}}}}
		if plan := mustPack(t, r); got(plan) != "f/p="+c.want {
			t.Errorf("%s: got %q, want %s", c.name, got(plan), c.want)
		}
	}
}

// TestClusterIsOneType: three igniters lie there, but no three of a type; and a
// flight taken before gives way with its type.
func TestClusterIsOneType(t *testing.T) {
	lots := []Lot{{ID: "a", Item: "wisp", Free: 2}, {ID: "b", Item: "stick", Free: 3}}
	pair, three := clusterOf("pair", 2), clusterOf("three", 3)
	four := clusterOf("four", 4)
	plan := mustPack(t, &Request{Lots: lots, Flights: []Flight{pair, three}})
	if complete(plan) != 2 || !strings.HasPrefix(got(plan), "pair/1=a pair/2=a three/1=b") {
		t.Errorf("got %s", got(plan))
	}
	lots[0].Item, lots[1].Item = "stick", "brand" // b comes first now: the pair would like it
	plan = mustPack(t, &Request{Lots: lots, Flights: []Flight{pair, three}})
	if complete(plan) != 2 {
		t.Errorf("the pair did not give way: %s", got(plan))
	}
	plan = mustPack(t, &Request{Lots: lots, Flights: []Flight{four}})
	want := []Short{{"4", 1, []Instead{{Item: "brand", Flights: []string{"four"}}, {Item: "stick", Left: 2}}}}
	if p := plan.Flights[0]; p.Complete || !reflect.DeepEqual(p.Short, want) {
		t.Errorf("five lie there, of two types: %+v", p)
	}
}

func clusterOf(id string, n int) Flight {
	f := Flight{ID: id}
	for i := range n {
		p := point(string(rune('1'+i)), "a", "b")
		p.Cluster = "pad"
		f.Needs = append(f.Needs, p)
	}
	return f
}

// TestWhatComesBack: one case serves both flights, one after the other, and is
// booked once; a flight that needs two at a time is short of one.
func TestWhatComesBack(t *testing.T) {
	r := &Request{
		Lots: []Lot{{ID: "case", Item: "case-38", Free: 1, Returns: true}, {ID: "load", Item: "reload", Free: 3}},
		Flights: []Flight{
			{"one", []Need{point("case", "case"), point("motor", "load")}},
			{"two", []Need{point("case", "case"), point("motor", "load")}},
			{"twins", []Need{{Name: "case", Quantity: 2, From: from("case")}}},
		},
	}
	plan := mustPack(t, r)
	if complete(plan) != 2 {
		t.Errorf("got %s", got(plan))
	}
	want := []Booked{{"case", "case-38", 1, 3}, {"load", "reload", 2, 2}}
	if !reflect.DeepEqual(plan.Booked, want) {
		t.Errorf("booked %+v, want %+v", plan.Booked, want)
	}
	short := []Short{{"case", 1, []Instead{{Item: "case-38", Flights: []string{"twins"}}}}}
	if !reflect.DeepEqual(plan.Flights[2].Short, short) {
		t.Errorf("short %+v, want %+v", plan.Flights[2].Short, short)
	}
}

// TestIncomplete: a flight that can not be taken leaves what it could have had
// to those after it, gets what is left and says what is short.
func TestIncomplete(t *testing.T) {
	r := &Request{
		Lots: []Lot{{ID: "wisp", Item: "wisp", Free: 2}, {ID: "powder", Item: "powder", Free: 500}, {ID: "held", Item: "stick"}},
		Flights: []Flight{
			{"big", []Need{point("1", "wisp", "held!"), point("2", "wisp"), {Name: "powder", Quantity: 600, From: from("powder")}, point("3")}},
			{"small", []Need{point("1", "wisp"), {Name: "powder", Quantity: 150, From: from("powder")}}},
		},
	}
	plan := mustPack(t, r)
	if plan.Flights[0].Complete || !plan.Flights[1].Complete {
		t.Fatalf("got %+v", plan)
	}
	wantServed := []Served{{"2", "wisp", "wisp", 1, 0}, {"powder", "powder", "powder", 350, 0}}
	wisp := Instead{Item: "wisp", Flights: []string{"big", "small"}}
	wantShort := []Short{
		{"1", 1, []Instead{wisp, {Item: "stick", Cautions: 1}}}, {"3", 1, nil},
		{"powder", 250, []Instead{{Item: "powder", Flights: []string{"big", "small"}}}},
	}
	if f := plan.Flights[0]; !reflect.DeepEqual(f.Served, wantServed) {
		t.Errorf("served %+v, want %+v", f.Served, wantServed)
	}
	if f := plan.Flights[0]; !reflect.DeepEqual(f.Short, wantShort) {
		t.Errorf("short %+v, want %+v", f.Short, wantShort)
	}
}

// TestSparesFromWhatIsLeft: spares are packed as a flight of their own, from what
// the plan left, so that they change nothing of it.
func TestSparesFromWhatIsLeft(t *testing.T) {
	r := &Request{
		Lots:    []Lot{{ID: "new", Item: "wisp", Free: 4, Expires: 9}, {ID: "old", Item: "wisp", Free: 3, Expires: 5}},
		Flights: []Flight{{"f", []Need{{Name: "1", Quantity: 2, From: from("new", "old")}}}},
	}
	_, spares, _ := Carry(2, OnComposite, 0, 0, 0.95)
	rest := mustPack(t, &Request{Lots: mustPack(t, r).Left, Flights: []Flight{{"spares", []Need{{Name: "wisp", Quantity: int64(spares), From: from("new", "old")}}}}})
	want := []Served{{"wisp", "old", "wisp", 1, 0}}
	if spares != 1 || !reflect.DeepEqual(rest.Flights[0].Served, want) {
		t.Errorf("%d spares: %+v", spares, rest.Flights[0])
	}
}

func TestNothingToPack(t *testing.T) {
	plan := mustPack(t, &Request{Lots: []Lot{{ID: "a", Free: 1}, {ID: "b", Free: 1, Returns: true}}})
	if !plan.Exact || len(plan.Flights)+len(plan.Booked) > 0 || len(plan.Left) != 2 {
		t.Errorf("got %+v", plan)
	}
	plan = mustPack(t, &Request{Flights: []Flight{{ID: "glider"}, {"none", []Need{{Name: "0"}}}, {"lack", []Need{point("1")}}}})
	if complete(plan) != 2 || plan.Flights[2].Complete {
		t.Errorf("got %+v", plan)
	}
}

func TestRefused(t *testing.T) {
	flight := func(needs ...Need) []Flight { return []Flight{{"f", needs}} }
	lots := []Lot{{ID: "a", Free: 1}}
	for name, r := range map[string]*Request{
		"lot without id":    {Lots: []Lot{{}}},
		"lot twice":         {Lots: []Lot{{ID: "a"}, {ID: "a"}}},
		"flight twice":      {Flights: []Flight{{ID: "f"}, {ID: "f"}}},
		"need twice":        {Lots: lots, Flights: flight(point("p", "a"), point("p", "a"))},
		"below zero":        {Lots: lots, Flights: flight(Need{Name: "p", Quantity: -1})},
		"no such lot":       {Lots: lots, Flights: flight(point("p", "b"))},
		"candidate twice":   {Lots: lots, Flights: flight(point("p", "a", "a"))},
		"cautions":          {Lots: lots, Flights: flight(Need{Name: "p", Quantity: 1, From: []Candidate{{"a", -1}}})},
		"too many cautions": {Lots: lots, Flights: flight(Need{Name: "p", Quantity: 1, From: []Candidate{{"a", 1001}}})},
		"too much":          {Lots: lots, Flights: flight(Need{Name: "p", Quantity: 1 << 60, From: from("a")})},
	} {
		if plan, err := Pack(r); !errors.Is(err, ErrInput) || plan != nil {
			t.Errorf("%s: %+v, %v", name, plan, err)
		}
	}
}
