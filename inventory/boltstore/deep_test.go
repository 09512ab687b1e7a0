package boltstore_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"rangebox/inventory"
	"rangebox/inventory/boltstore"
	"rangebox/inventory/quantity"
)

// TestDeepTrees grows and shrinks a box whose buckets have several levels of
// pages, so that pages split and join, and verifies it each time.
func TestDeepTrees(t *testing.T) {
	path := newPath(t)
	create(t, path, small())
	rng := rand.New(rand.NewPCG(3, 4))
	var lots []*inventory.Lot
	for round := range 12 {
		write(t, path, func(tx *boltstore.Tx) error {
			for i := range 120 {
				l := lot(fmt.Sprint("deep ", round, " ", i), inventory.LotOfIgniters, "wick", 0)
				l.Quantity = quantity.Opt[quantity.Number]{}
				l.Expires.Year = 2027 + rng.IntN(9)
				if _, err := tx.Put(l); err != nil {
					return err
				}
				lots = append(lots, l)
			}
			return nil
		})
		mustVerify(t, path)
		rng.Shuffle(len(lots), func(i, j int) { lots[i], lots[j] = lots[j], lots[i] })
		write(t, path, func(tx *boltstore.Tx) error {
			for _, l := range lots[:len(lots)*2/3] {
				if err := tx.Remove(l.ID); err != nil {
					return err
				}
			}
			return nil
		})
		lots = lots[len(lots)*2/3:]
		mustVerify(t, path)
	}
	read(t, path, func(v *boltstore.View) error {
		if got := v.Count(inventory.KindLot) - 3; got != len(lots) {
			t.Errorf("%d lots, want %d", got, len(lots))
		}
		return nil
	})
}
