package pack

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"testing"
)

// bigDay draws a club's day: flights of one to three motors, each with its
// igniter, a charge and wadding, from lots of motor types, igniter types and
// supplies; clustered says how many flights of ten have a cluster of three.
func bigDay(flights, lots, clustered int, seed uint64) *Request {
	d := &dayMaker{random: rand.New(rand.NewPCG(seed, 7)), by: map[string][]string{}}
	for i := range lots {
		switch i % 5 {
		case 0, 1:
			d.lot(fmt.Sprintf("motor%02d", d.random.IntN(lots/10)), 8, 0)
		case 2, 3:
			igniter := d.random.IntN(igniterTypes)
			d.lot(fmt.Sprintf("igniter%02d", igniter), 3, igniter)
		default:
			d.lot("wadding", 20, 0)
		}
	}
	for f := range flights {
		flight := Flight{ID: fmt.Sprintf("flight%03d", f)}
		for m := range 1 + d.random.IntN(3) {
			d.mount(&flight, m, lots/10)
		}
		if d.random.IntN(10) < clustered {
			d.cluster(&flight)
		}
		flight.Needs = append(flight.Needs, d.need("wadding", 4, "", "wadding"))
		d.Flights = append(d.Flights, flight)
	}
	return &d.Request
}

const igniterTypes = 24

type dayMaker struct {
	Request
	random *rand.Rand
	by     map[string][]string // lots by item
}

func (d *dayMaker) lot(item string, most int64, uses int) {
	id := fmt.Sprintf("%04d", len(d.Lots))
	d.by[item] = append(d.by[item], id)
	d.Lots = append(d.Lots, Lot{ID: id, Item: item, Free: 1 + d.random.Int64N(most), Uses: uses,
		Expires: 20_000 + d.random.IntN(60)*30, Undated: d.random.IntN(10) == 0})
}

func (d *dayMaker) need(name string, quantity int64, cluster string, items ...string) Need {
	n := Need{Name: name, Quantity: quantity, Cluster: cluster}
	for k, item := range items {
		for _, lot := range d.by[item] {
			n.From = append(n.From, Candidate{lot, min(k, 2)})
		}
	}
	return n
}

// fitting lists the igniter types that suit a motor type: a run of them.
func fitting(motor int) (items []string) {
	for k := range 2 + motor%6 {
		items = append(items, fmt.Sprintf("igniter%02d", (motor*5+k)%igniterTypes))
	}
	return items
}

func (d *dayMaker) mount(f *Flight, m, motors int) {
	motor := d.random.IntN(motors)
	f.Needs = append(f.Needs, d.need(fmt.Sprintf("motor/%d", m), 1, "", fmt.Sprintf("motor%02d", motor)),
		d.need(fmt.Sprintf("point/%d", m), 1, "", fitting(motor)...))
}

func (d *dayMaker) cluster(f *Flight) {
	motor := d.random.IntN(igniterTypes)
	for n := range 3 {
		f.Needs = append(f.Needs, d.need(fmt.Sprintf("cluster/%d", n), 1, "pad", fitting(motor)...))
	}
}

func BenchmarkPack(b *testing.B) {
	for _, clustered := range []int{0, 2} {
		b.Run(fmt.Sprintf("200-flights-500-lots-%d0%%-clustered", clustered), func(b *testing.B) {
			r := bigDay(200, 500, clustered, 1)
			var plan *Plan
			for b.Loop() {
				plan, _ = Pack(r)
			}
			b.ReportMetric(float64(complete(plan)), "taken")
			if !plan.Exact {
				b.Log("not proven best")
			}
		})
	}
}

func complete(plan *Plan) (n int) {
	for _, f := range plan.Flights {
		if f.Complete {
			n++
		}
	}
	return n
}

// TestAgainstGlpsol: the optimum of the big day's network, every need a node of
// its own, is that of an independent solver, for the order of the lots and for
// their last days alone.
func TestAgainstGlpsol(t *testing.T) {
	glpsol, err := exec.LookPath("glpsol")
	if err != nil {
		t.Skip("glpsol is not installed (Debian glpk-utils): no independent minimum-cost flow")
	}
	for _, clustered := range []int{0, 2} {
		r := bigDay(200, 500, clustered, 1)
		plan := mustPack(t, r)
		t.Logf("%d0 %% clustered: %d taken at %+v", clustered, complete(plan), plan.Cost)
		if !plan.Exact || complete(plan) < 50 || complete(plan) == 200 {
			t.Fatalf("%d flights taken, exact %v: not the day meant", complete(plan), plan.Exact)
		}
		byOrder, byDay := map[string]int64{}, map[string]int64{}
		for place, l := range plan.Left {
			byOrder[l.ID] = int64(place)
			if !l.Undated {
				byDay[l.ID] = int64(l.Expires - 20_000)
			} else {
				byDay[l.ID] = 10_000
			}
		}
		const caution = 100_000
		for _, c := range []struct {
			name string
			each map[string]int64
			ours int64
		}{
			{"order", byOrder, plan.Cost.Cautions*caution + plan.Cost.Order},
			{"days", byDay, plan.Cost.Cautions*caution + plan.Cost.Days + plan.Cost.Undated*10_000},
		} {
			if theirs := solve(t, glpsol, dimacs(r, plan, c.each, caution)); theirs != c.ours {
				t.Errorf("%d0 %% clustered, by %s: glpsol %d, ours %d", clustered, c.name, theirs, c.ours)
			}
		}
	}
}

// dimacs writes the network of the flights taken, clusters with the item that
// they got: source 1, sink 2, lots, needs.
func dimacs(r *Request, plan *Plan, each map[string]int64, caution int64) []byte {
	var arcs bytes.Buffer
	node, count, item := map[string]int{}, 0, map[string]string{}
	arc := func(from, to int, most, cost int64) {
		count++
		fmt.Fprintf(&arcs, "a %d %d 0 %d %d\n", from, to, most, cost)
	}
	for i, l := range r.Lots {
		node[l.ID] = 3 + i
		item[l.ID] = l.Item
		arc(3+i, 2, l.Free, each[l.ID])
	}
	at, total := 3+len(r.Lots), int64(0)
	for f := range r.Flights {
		if !plan.Flights[f].Complete {
			continue
		}
		got := map[string]string{}
		for _, s := range plan.Flights[f].Served {
			got[s.Need] = s.Item
		}
		for _, n := range r.Flights[f].Needs {
			total += n.Quantity
			arc(1, at, n.Quantity, 0)
			for _, c := range n.From {
				if n.Cluster == "" || item[c.Lot] == got[n.Name] {
					arc(at, node[c.Lot], n.Quantity, int64(c.Cautions)*caution)
				}
			}
			at++
		}
	}
	head := fmt.Sprintf("p min %d %d\nn 1 %d\nn 2 %d\n", at-1, count, total, -total)
	return append([]byte(head), arcs.Bytes()...)
}

var objective = regexp.MustCompile(`(?m)^Objective: .*?(\d[\d.e+]*) \(MINimum\)`)

func solve(t *testing.T, glpsol string, network []byte) int64 {
	t.Helper()
	file := filepath.Join(t.TempDir(), "network.min")
	if err := os.WriteFile(file, network, 0o600); err != nil {
		t.Fatal(err)
	}
	said, err := exec.CommandContext(t.Context(), glpsol, "--mincost", file, "-o", file+".out").CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, said)
	}
	out, err := os.ReadFile(file + ".out")
	if err != nil {
		t.Fatal(err)
	}
	found := objective.FindSubmatch(out)
	if found == nil || !bytes.Contains(out, []byte("OPTIMAL")) {
		t.Fatalf("no optimum in %.400s; %s", out, said)
	}
	value, err := strconv.ParseFloat(string(found[1]), 64)
	if err != nil {
		t.Fatal(err)
	}
	return int64(value + 0.5)
}
