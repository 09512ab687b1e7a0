package pack_test

import (
	"fmt"

	"rangebox/compat/pack"
)

// Two flights, the narrow nozzle takes the thin igniter only; the thin one
// expires first, and the wide one leaves it all the same.
func ExamplePack() {
	plan, err := pack.Pack(&pack.Request{
		Lots: []pack.Lot{
			{ID: "7f3a", Item: "wisp", Free: 1, Expires: 20_100},
			{ID: "91c0", Item: "stick", Free: 4, Expires: 20_900},
		},
		Flights: []pack.Flight{
			{ID: "wide", Needs: []pack.Need{{Name: "booster/main/1", Quantity: 1, From: []pack.Candidate{{Lot: "7f3a"}, {Lot: "91c0"}}}}},
			{ID: "narrow", Needs: []pack.Need{{Name: "booster/main/1", Quantity: 1, From: []pack.Candidate{{Lot: "7f3a"}}}}},
		},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, f := range plan.Flights {
		fmt.Println(f.ID, f.Complete, f.Served[0].Item)
	}
	carry, spares, chance := pack.Carry(2, pack.OnComposite, 14, 1, 0.95)
	fmt.Printf("carry %d, spares %d: %.3f\n", carry, spares, chance)
	// Output:
	// wide true stick
	// narrow true wisp
	// carry 3, spares 1: 0.975
}
