package inventory

import (
	"errors"
	"testing"
	"time"

	"github.com/google/uuid"

	"rangebox/inventory/quantity"
)

var dayOne = time.Date(2027, 4, 17, 9, 0, 0, 0, time.UTC)

func TestBoxOf(t *testing.T) {
	first, second := named("lot1"), named("lot2")
	batch := batchOf(
		&Igniter{Header: headed("wick")},
		&Igniter{Header: headed("fuse")},
		&Lot{Header: Header{ID: first}, Of: LotOfIgniters, Item: Ref{Handle: "wick"}, Quantity: quantity.Some(quantity.Number(7e9)), Expires: Date{2028, 1, 1}},
		&Lot{Header: Header{ID: second}, Of: LotOfIgniters, Item: Ref{Handle: "wick"}, Expires: Date{2027, 1, 1}},
		&Lot{Header: Header{ID: named("lot0")}, Of: LotOfIgniters, Item: Ref{Handle: "wick"}},
		&Event{Header: Header{ID: named("a")}, At: dayOne, What: In, Lot: Ref{ID: second}, Quantity: quantity.Some(quantity.Number(5e9))},
		&Event{Header: Header{ID: named("b")}, At: dayOne.Add(time.Hour), What: Used, Lot: Ref{ID: second}, Quantity: quantity.Some(quantity.Number(2e9))},
		&Event{Header: Header{ID: named("c")}, At: dayOne, What: Void, Voids: named("b")},
		&Settings{Currency: "EUR"},
	)
	box, err := BoxOf(batch)
	if err != nil {
		t.Fatal(err)
	}
	wick, err := Find[*Igniter](box, KindIgniter, "wick")
	if err != nil {
		t.Fatal(err)
	}
	var order []uuid.UUID
	for _, lot := range box.LotsOf(wick.ID) {
		order = append(order, lot.ID)
		if item, ok := Follow[*Igniter](box, lot.Item); !ok || item != wick {
			t.Errorf("the lot's item is %v", item)
		}
	}
	if len(order) != 3 || order[0] != second || order[1] != first || order[2] != named("lot0") {
		t.Errorf("first to expire first: %v", order)
	}
	for id, want := range map[uuid.UUID]quantity.Number{first: 7e9, second: 5e9, named("lot0"): 0} {
		lot, _ := Follow[*Lot](box, Ref{ID: id})
		if got := box.Stock(lot).OnHand; got != want {
			t.Errorf("%s: %d on hand, not %d", id, got, want)
		}
	}
	if list := List[*Igniter](box); len(list) != 2 || list[0].Handle != "fuse" || list[1] != wick {
		t.Errorf("%v", list)
	}
	if box.Settings().Currency != "EUR" || NewBox().Settings() == nil {
		t.Error("settings")
	}
}

// TestListOrder: by handle, then by id.
func TestListOrder(t *testing.T) {
	box := NewBox()
	for _, name := range []string{"c", "a", "d", "b"} {
		box.Put(&Lot{Header: Header{ID: named(name)}})
		box.Put(&Supply{Header: Header{ID: named("z" + name), Handle: name}})
		box.Put(&Igniter{Header: Header{ID: named("0" + name), Handle: "x" + string('z'-name[0]+'a')}}) // ids the other way
	}
	for range 20 { // a map gives another order each time
		lots, supplies, igniters := "", "", ""
		for i := range 4 {
			lots += string(List[*Lot](box)[i].ID[:1])
			supplies += List[*Supply](box)[i].Handle
			igniters += string(List[*Igniter](box)[i].ID[1:2])
		}
		if lots != "abcd" || supplies != "abcd" || igniters != "dcba" {
			t.Fatalf("%s %s %s", lots, supplies, igniters)
		}
	}
}

// TestSoonerOut: the earlier last day, those without one last, then by id.
func TestSoonerOut(t *testing.T) {
	lot := func(id string, expires Date) *Lot { return &Lot{Header: Header{ID: named(id)}, Expires: expires} }
	order := []*Lot{lot("d", Date{2027, 1, 1}), lot("a", Date{2027, 1, 2}), lot("b", Date{2027, 1, 2}), lot("0", Date{}), lot("1", Date{})}
	for i, a := range order {
		for j, b := range order {
			if SoonerOut(a, b) != (i < j) {
				t.Errorf("%d before %d: %v", i, j, SoonerOut(a, b))
			}
		}
	}
}

func TestBoxKnowsWhatItDoesNotHold(t *testing.T) {
	box, err := BoxOf(batchOf(&Igniter{Header: headed("wick")}))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Find[*Igniter](box, KindIgniter, "fuse"); !errors.Is(err, ErrNotFound) {
		t.Errorf("%v", err)
	}
	if _, err := Find[*Motor](box, KindMotor, "wick"); !errors.Is(err, ErrNotFound) {
		t.Errorf("%v", err)
	}
	if _, ok := Follow[*Igniter](box, Ref{}); ok {
		t.Error("nothing was followed to something")
	}
	if _, err := BoxOf(batchOf(&Igniter{Header: headed("Wick")})); !errors.Is(err, ErrInvalid) {
		t.Errorf("%v", err)
	}
}

// TestLinkFillsInHandles: references by id are shown by handle.
func TestLinkFillsInHandles(t *testing.T) {
	box := NewBox()
	box.Put(&Battery{Header: Header{ID: named("b"), Handle: "cells"}})
	line := &Line{Header: Header{ID: named("l"), Handle: "pad"}, Battery: Ref{ID: named("b")}, Controller: Ref{ID: named("c")}}
	box.Put(line)
	box.Link()
	if line.Battery.String() != "cells" || line.Controller.String() != named("c").String() {
		t.Errorf("%s and %s", line.Battery, line.Controller)
	}
}
