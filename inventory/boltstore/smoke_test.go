package boltstore

import (
	"path/filepath"
	"testing"
	"time"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

func TestSmoke(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a", "b.box")
	opt := Options{Now: func() time.Time { return time.Date(2027, 4, 1, 0, 0, 0, 0, time.UTC) }}
	mk := func() *inventory.Batch {
		b := &inventory.Batch{}
		m := &inventory.Motor{Name: "C6"}
		m.Handle = "c6"
		b.Add(m, "", 1)
		l := &inventory.Lot{Of: inventory.LotOfMotors, Item: inventory.Ref{Handle: "c6"}, Quantity: quantity.Some(quantity.Number(3e9))}
		b.Add(l, "", 2)
		return b
	}
	for range 2 {
		err := CreateOrWrite(path, opt, func(tx *Tx) error {
			r, err := tx.Import(mk(), ImportOptions{})
			t.Logf("%+v", r)
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	err := Read(path, opt, func(v *View) error {
		t.Logf("%+v", v.Revision())
		b, err := v.Load(Want{Named: []Named{{"motor", "c6"}}, LotsOfLoaded: true, Events: true})
		if err != nil {
			return err
		}
		for _, l := range inventory.List[*inventory.Lot](b) {
			t.Logf("%+v %+v", l, b.Stock(l))
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}
