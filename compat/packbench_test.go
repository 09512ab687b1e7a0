package compat_test

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"time"

	"rangebox/compat"
	"rangebox/importers/archive"
	"rangebox/inventory"
)

// fields is a record of an archive in the making.
type fields = map[string]any

// bigDayArchive is a day of 200 flights from a box of 500 lots: twenty rockets -
// singles, clusters, and two stages with a charge - that fly with everything on
// record, so that each is flown through its branches too.
func bigDayArchive(flights, lots int) string {
	const motors, igniters, rockets = 40, 20, 20
	a := fields{"format": "rangebox-archive", "version": 1}
	add := func(kind string, rec fields) {
		list, _ := a[kind].([]fields)
		a[kind] = append(list, rec)
	}
	add("batteries", fields{"handle": "cell", "open_circuit_v": 12.6, "low_v": 12, "internal_ohm": 0.05})
	add("controllers", fields{"handle": "box", "place": "pad", "continuity_a": 0.001, "on_ohm": 0.1, "arming": "switch"})
	add("lines", fields{"handle": "rail", "battery": "cell", "controller": "box", "lead_m": 9, "lead_awg": 14, "contact_ohm": 0.05})
	add("supplies", fields{"handle": "wadding", "unit": "piece"})
	add("supplies", fields{"handle": "powder", "unit": "g"})
	for i := range motors {
		add("motors", fields{"handle": fmt.Sprintf("m%d", i), "propellant": []string{"composite", "black-powder"}[i%2], "ignition": "medium",
			"diameter_mm": 24, "length_mm": 70, "mass_g": 50 + i, "propellant_g": 20 + i%5, "core_mm": 30, "head_ends": []string{"delay"}, "delays_s": []int{4, 6},
			"nozzles": []fields{{"name": "a", "throat_mm": 3 + float64(i%5)/4, "depth_mm": 20}},
			"curve":   []fields{{"t_s": 0.05, "thrust_n": 30 + i%7}, {"t_s": 1, "thrust_n": 15}, {"t_s": 1.5, "thrust_n": 0}}})
	}
	for i := range igniters {
		add("igniters", fields{"handle": fmt.Sprintf("i%d", i), "head_mm": 2 + float64(i%6)/4, "lead_pair_mm": 1.6, "output": "medium", "lead_mm": 400, "lead_awg": 26,
			"all_fire_a": 0.5, "no_fire_a": 0.2, "bridge_ohm": 1.2, "bridge_tol_pct": 10})
	}
	for i := range rockets {
		mount := fields{"name": "main", "count": 1 + i%4%3, "mount_mm": 24, "mount_length_mm": 70, "motor": fmt.Sprintf("m%d", 2*i), "nozzle": "a", "head_end": "delay", "delay_s": 6,
			"igniter": fmt.Sprintf("i%d", i), "ignition": fields{"by": "pad", "line": "rail", "run_mm": 100}}
		stage := fields{"name": "body", "diameter_mm": 60, "dry_mass_g": 250, "cd": 0.6, "mounts": []fields{mount},
			"recovery": []fields{{"name": "chute", "by": "motor", "mount": "main", "opens": "nose"}}}
		stages := []fields{stage}
		if i%5 == 0 {
			upper := fields{"name": "high", "diameter_mm": 40, "dry_mass_g": 120, "cd": 0.6, "mounts": []fields{{"name": "main", "mount_mm": 24, "mount_length_mm": 70,
				"motor": fmt.Sprintf("m%d", 2*i+1), "nozzle": "a", "head_end": "delay", "delay_s": 4, "igniter": fmt.Sprintf("i%d", i), "ignition": fields{"by": "timer", "at_s": 2}}},
				"recovery": []fields{{"name": "chute", "by": "charge", "opens": "nose", "trigger": "apogee", "igniter": "i1", "powder": "powder", "powder_g": 0.4}}}
			stages = append(stages, upper)
		}
		add("rockets", fields{"handle": fmt.Sprintf("r%d", i), "rail_m": 1.5, "stages": stages, "supplies": []fields{{"item": "wadding", "quantity": 3}}})
	}
	day := fields{"id": "019d0000-0000-7000-8000-000000000001", "date": "2027-04-17"}
	var list []fields
	for i := range flights {
		list = append(list, fields{"id": fmt.Sprintf("019d0000-0000-7000-8000-%012x", 1000+i), "rocket": fmt.Sprintf("r%d", i%rockets)})
	}
	day["flights"] = list
	add("days", day)
	add("lots", fields{"kind": "supply", "item": "wadding", "quantity": 5000, "no_expiry": true})
	add("lots", fields{"kind": "supply", "item": "powder", "quantity": 500, "no_expiry": true})
	for i := range lots - 2 {
		rec := fields{"kind": "igniter", "item": fmt.Sprintf("i%d", i/2%igniters), "quantity": 1 + i%3, "expires": fmt.Sprintf("20%d-%02d-01", 28+i%5, 1+i%12), "code": fmt.Sprint(i)}
		if i%2 == 1 {
			rec["kind"], rec["item"] = "motor", fmt.Sprintf("m%d", i/2%motors)
		}
		add("lots", rec)
	}
	text, err := json.Marshal(a)
	if err != nil {
		panic(err)
	}
	return string(text)
}

// boxOf reads an archive.
func boxOf(tb testing.TB, text string) *inventory.Box {
	tb.Helper()
	batch, err := archive.Read(strings.NewReader(text), "day.json")
	if err != nil {
		tb.Fatal(err)
	}
	box, err := inventory.BoxOf(batch)
	if err != nil {
		tb.Fatal(err)
	}
	return box
}

// questionOn is the packing of a box's first day.
func questionOn(tb testing.TB, box *inventory.Box) *compat.PackQuestion {
	tb.Helper()
	q := &compat.PackQuestion{Box: box, Day: inventory.List[*inventory.Day](box)[0]}
	for i := range q.Day.Flights {
		f := &q.Day.Flights[i]
		for n := range int(f.Count.Or(1)) {
			rocket, _ := inventory.Follow[*inventory.Rocket](box, f.Rocket)
			q.Flights = append(q.Flights, compat.PackFlight{ID: f.ID, N: n + 1, Rocket: ownRocket(tb, rocket)})
		}
	}
	return q
}

// ownRocket is a copy that packing may change.
func ownRocket(tb testing.TB, r *inventory.Rocket) *inventory.Rocket {
	tb.Helper()
	rec, err := inventory.Unpack(inventory.KindRocket, inventory.Pack(r))
	if err != nil {
		tb.Fatal(err)
	}
	own := rec.(*inventory.Rocket)
	own.Header = r.Header
	from := inventory.References(r)
	for i, ref := range inventory.References(own) {
		*ref.Ref = *from[i].Ref
	}
	return own
}

// BenchmarkPackDay is a day of 200 flights from 500 lots, from the records to the
// plan: to take less than a second.
func BenchmarkPackDay(b *testing.B) {
	text := bigDayArchive(200, 500)
	var took time.Duration
	for b.Loop() {
		b.StopTimer()
		q := questionOn(b, boxOf(b, text))
		b.StartTimer()
		start := time.Now()
		plan, err := compat.PackDay(q, compat.Defaults())
		took += time.Since(start)
		if err != nil {
			b.Fatal(err)
		}
		if !plan.Exact || plan.Served < plan.Points/2 {
			b.Fatalf("%d of %d points, exact %v", plan.Served, plan.Points, plan.Exact)
		}
	}
}
