package pack

// failing is a test, or a property of rapid.
type failing interface {
	Helper()
	Fatal(...any)
	Fatalf(string, ...any)
}

// mustPack packs and holds the plan to what any plan must keep to.
func mustPack(t failing, r *Request) *Plan {
	t.Helper()
	plan, err := Pack(r)
	if err != nil {
		t.Fatal(err)
	}
	checkPlan(t, r, plan)
	return plan
}

// checkPlan holds a plan to what any plan must keep to: each need served in full
// or said to be short, from its candidates, clusters of one item, no lot beyond
// what was free, and what is booked and left makes up what was there.
func checkPlan(t failing, r *Request, plan *Plan) {
	t.Helper()
	lots := map[string]*Lot{}
	for i := range r.Lots {
		lots[r.Lots[i].ID] = &r.Lots[i]
	}
	used, users := map[string]int64{}, map[string]int{}
	for f := range r.Flights {
		for id, n := range checkFlight(t, &r.Flights[f], &plan.Flights[f], lots) {
			users[id]++
			if lots[id].Returns {
				used[id] = max(used[id], n)
				continue
			}
			used[id] += n
		}
	}
	if len(plan.Left) != len(r.Lots) {
		t.Fatalf("%d lots left of %d", len(plan.Left), len(r.Lots))
	}
	for _, l := range plan.Left {
		if used[l.ID] > max(0, lots[l.ID].Free) || l.Free != lots[l.ID].Free-used[l.ID] {
			t.Fatalf("lot %s: %d used, %d left of %d", l.ID, used[l.ID], l.Free, lots[l.ID].Free)
		}
	}
	for _, b := range plan.Booked {
		if b.Quantity != used[b.Lot] || b.Flights != users[b.Lot] || b.Item != lots[b.Lot].Item || b.Quantity == 0 {
			t.Fatalf("booked %+v, used %d by %d", b, used[b.Lot], users[b.Lot])
		}
		delete(used, b.Lot)
	}
	if len(used) > 0 {
		t.Fatalf("used and not booked: %v", used)
	}
}

// checkFlight tells how much of each lot a flight got.
func checkFlight(t failing, f *Flight, p *Packed, lots map[string]*Lot) map[string]int64 {
	t.Helper()
	if p.ID != f.ID || p.Complete != (len(p.Short) == 0) {
		t.Fatalf("flight %s: %+v", f.ID, p)
	}
	got, used := map[string]int64{}, map[string]int64{}
	needs, clusters := map[string]*Need{}, map[string]string{}
	for i := range f.Needs {
		needs[f.Needs[i].Name] = &f.Needs[i]
	}
	for _, s := range p.Served {
		n := needs[s.Need]
		known := false
		for _, c := range n.From {
			known = known || c == Candidate{s.Lot, s.Cautions}
		}
		if !known || s.Quantity <= 0 || s.Item != lots[s.Lot].Item {
			t.Fatalf("flight %s: %+v of %+v", f.ID, s, n)
		}
		if before := clusters[n.Cluster]; n.Cluster != "" && before != "" && before != s.Item {
			t.Fatalf("flight %s, cluster %s: %s and %s", f.ID, n.Cluster, before, s.Item)
		}
		clusters[n.Cluster] = s.Item
		got[s.Need] += s.Quantity
		used[s.Lot] += s.Quantity
	}
	for _, s := range p.Short {
		if s.Quantity <= 0 {
			t.Fatalf("flight %s: %+v", f.ID, s)
		}
		got[s.Need] += s.Quantity
	}
	for name, n := range needs {
		if got[name] != n.Quantity {
			t.Fatalf("flight %s, need %s: %d served or short of %d", f.ID, name, got[name], n.Quantity)
		}
	}
	return used
}
