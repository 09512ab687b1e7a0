package inventory

import (
	"testing"

	"pgregory.net/rapid"

	"rangebox/inventory/quantity"
)

// stockedBox is one igniter in lots of the given pieces, the first to expire in
// 2027-01, the others a month later each; held is the lot that is on hold, -1 none.
func stockedBox(t interface{ Fatal(...any) }, held int, pieces ...int64) (*Box, *Igniter) {
	batch := batchOf(&Igniter{Header: headed("wick")})
	for i, n := range pieces {
		id := named("lot" + string(rune('a'+i)))
		batch.Add(&Lot{Header: Header{ID: id}, Of: LotOfIgniters, Item: Ref{Handle: "wick"}, Quantity: quantity.Some(quantity.Number(n * 1e9)), Expires: Date{2027, 1 + i, 28}}, "", i)
		if i == held {
			batch.Add(&Event{Header: Header{ID: named("hold")}, At: dayOne, What: Held, Lot: Ref{ID: id}}, "", i)
		}
	}
	box, err := BoxOf(batch)
	if err != nil {
		t.Fatal(err)
	}
	wick, err := Find[*Igniter](box, KindIgniter, "wick")
	if err != nil {
		t.Fatal(err)
	}
	return box, wick
}

// TestFirstOut: first to expire first; what is past its last day goes only to be
// scrapped, and what is on hold is not used (ours).
func TestFirstOut(t *testing.T) {
	on := Date{2027, 2, 15} // the first lot is past its last day
	for _, row := range []struct {
		name string
		what What
		q    int64
		want []int64 // from the lots in order
	}{
		{"one lot is enough", Used, 3, []int64{0, 3, 0}},
		{"two lots", Used, 6, []int64{0, 5, 1}},
		{"too little", Tested, 99, []int64{0, 5, 6}},
		{"scrapped: the expired go first", Scrapped, 5, []int64{4, 1, 0}},
	} {
		box, wick := stockedBox(t, -1, 4, 5, 6)
		got := map[*Lot]quantity.Number{}
		for _, p := range box.FirstOut(wick.ID, quantity.Number(row.q*1e9), row.what, on) {
			got[p.Lot] += p.Quantity
		}
		for i, lot := range box.LotsOf(wick.ID) {
			if got[lot] != quantity.Number(row.want[i]*1e9) {
				t.Errorf("%s: lot %d gives %v, want %d", row.name, i, got[lot], row.want[i])
			}
		}
	}
	box, wick := stockedBox(t, 1, 4, 5, 6)
	for _, p := range box.FirstOut(wick.ID, 99e9, Used, on) {
		if p.Lot == box.LotsOf(wick.ID)[1] {
			t.Error("a lot on hold was used")
		}
	}
}

// TestFirstOutTakesWhatIsThere: the portions add up to the lesser of what is
// asked and what is usable, and no lot gives more than it has.
func TestFirstOutTakesWhatIsThere(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		box, wick := stockedBox(t, rapid.IntRange(-1, 3).Draw(t, "held"), rapid.SliceOfN(rapid.Int64Range(0, 9), 1, 6).Draw(t, "pieces")...)
		q := quantity.Number(rapid.Int64Range(1, 60).Draw(t, "asked") * 1e9)
		on := Date{2027, rapid.IntRange(1, 7).Draw(t, "month"), 10}
		var sum quantity.Number
		for _, p := range box.FirstOut(wick.ID, q, Used, on) {
			sum += p.Quantity
			if p.Quantity <= 0 || p.Quantity > box.Stock(p.Lot).Usable(p.Lot, on) {
				t.Fatalf("a lot gives %v", p.Quantity)
			}
		}
		if want := min(q, box.Usable(wick, on)); sum != want {
			t.Fatalf("%v taken, want %v", sum, want)
		}
	})
}

// TestShort: a supply at its level is enough, below it is told; a flight is short
// of what the day cannot give.
func TestShort(t *testing.T) {
	grams := func(n float64) quantity.Opt[quantity.Number] { return quantity.Some(quantity.Number(n * 1e9)) }
	box, err := BoxOf(batchOf(
		&Supply{Header: headed("powder"), Unit: InGrams, Level: grams(100)},
		&Supply{Header: headed("wadding"), Level: grams(4)},
		&Igniter{Header: headed("wick")},
		&Lot{Header: Header{ID: named("p")}, Of: LotOfSupplies, Item: Ref{Handle: "powder"}, Quantity: grams(99.999)},
		&Lot{Header: Header{ID: named("w")}, Of: LotOfSupplies, Item: Ref{Handle: "wadding"}, Quantity: grams(4)},
		&Lot{Header: Header{ID: named("i")}, Of: LotOfIgniters, Item: Ref{Handle: "wick"}, Quantity: grams(2), Expires: Date{2027, 1, 1}},
		&Rocket{Header: headed("tern"), Stages: []Stage{{Mounts: []Mount{{Name: "m", Count: quantity.Some(quantity.Count(2)), Igniter: Ref{Handle: "wick"}}}}}},
	))
	if err != nil {
		t.Fatal(err)
	}
	below := box.BelowLevel(Date{2027, 1, 1})
	if len(below) != 1 || below[0].Item.Base().Handle != "powder" || below[0].Wanted != 100e9 || below[0].Usable != 99_999_000_000 {
		t.Errorf("below their level: %+v", below)
	}
	rocket := List[*Rocket](box)[0]
	if short := box.ShortOfFlight(rocket, Date{2027, 1, 1}); len(short) != 0 {
		t.Errorf("on the last day: %+v", short)
	}
	if short := box.ShortOfFlight(rocket, Date{2027, 1, 2}); len(short) != 1 || short[0].Usable != 0 || short[0].Wanted != 2e9 {
		t.Errorf("after it: %+v", short)
	}
}

// TestCheckReading: a value that the field could not hold is refused, as on add
// ("a resistance that must be positive and is not": the rules, ours).
func TestCheckReading(t *testing.T) {
	reading := func(what string, value float64) *Reading {
		return &Reading{What: what, Value: quantity.Some(quantity.Number(value * 1e9))}
	}
	for _, row := range []struct {
		rec  Record
		r    *Reading
		fine bool
	}{
		{&Igniter{}, reading("bridge_ohm", 1.2), true},
		{&Igniter{}, reading("bridge_ohm", 0), false},
		{&Igniter{}, reading("bridge_ohm", -1), false},
		{&Igniter{}, reading("head_mm", 101), false},
		{&Igniter{}, reading("maker", 1), false},
		{&Igniter{}, reading(LoadedVolts, 8), false},
		{&Battery{}, reading(LoadedVolts, 8), true},
		{&Battery{}, reading(LoadedVolts, -8), false},
		{&Controller{}, reading("on_ohm", 0), true},
	} {
		if err := CheckReading(row.rec, row.r); (err == nil) != row.fine {
			t.Errorf("%s %s: %v", row.rec.Kind(), row.r.What, err)
		}
	}
}
