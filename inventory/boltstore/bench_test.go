package boltstore_test

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/google/uuid"

	"rangebox/inventory"
	"rangebox/inventory/boltstore"
	"rangebox/inventory/quantity"
)

// benchBox is the box of a librarian: 2,000 motors, 500 igniters, 20,000 lots.
func benchBox(b *testing.B) string {
	b.Helper()
	path := filepath.Join(os.TempDir(), fmt.Sprintf("boltstore-bench-%d.box", os.Getuid()))
	if _, err := os.Stat(path); err == nil {
		return path
	}
	all := batch()
	for i := range 500 {
		g := igniter(fmt.Sprintf("igniter-%03d", i))
		g.Bridge, g.AllFire, g.NoFire = quantity.Some(quantity.Resistance(1_600_000)), quantity.Some(quantity.Current(500_000)), quantity.Some(quantity.Current(200_000))
		g.Lead, g.LeadWire.Gauge, g.Output = quantity.Some(quantity.Length(300_000_000)), quantity.Some(quantity.Gauge(24)), inventory.Medium
		all.Add(g, "", i)
	}
	for i := range 2000 {
		m := motor(fmt.Sprintf("motor-%04d", i))
		m.Nozzles = []inventory.Nozzle{{Throat: quantity.Some(quantity.Length(3_200_000)), Depth: quantity.Some(quantity.Length(12_000_000))}}
		m.Delays = []quantity.Time{3_000_000, 5_000_000, 7_000_000}
		for k := range 20 {
			m.Curve = append(m.Curve, inventory.CurvePoint{At: quantity.Time(k * 100_000), Thrust: quantity.Force(6000 - 300*k)})
		}
		all.Add(m, "", i)
	}
	for i := range 20_000 {
		l := lot(fmt.Sprint("bench ", i), inventory.LotOfMotors, fmt.Sprintf("motor-%04d", i%2000), int64(i%9))
		if i >= 16_000 {
			l.Of, l.Item = inventory.LotOfIgniters, to(fmt.Sprintf("igniter-%03d", i%500))
		}
		all.Add(l, "", i)
	}
	create(b, path, all)
	return path
}

// BenchmarkLoad reads one motor with all igniters and their lots.
func BenchmarkLoad(b *testing.B) {
	path := benchBox(b)
	for b.Loop() {
		read(b, path, func(v *boltstore.View) error {
			box, err := v.Load(boltstore.Want{All: []inventory.Kind{inventory.KindIgniter}, LotsOfLoaded: true, Readings: true,
				Named: []boltstore.Named{{Kind: inventory.KindMotor, Handle: "motor-0777"}}})
			if err == nil && len(inventory.List[*inventory.Igniter](box)) != 500 {
				b.Error("not all igniters")
			}
			return err
		})
	}
}

// BenchmarkLoadAll reads the whole box.
func BenchmarkLoadAll(b *testing.B) {
	path := benchBox(b)
	for b.Loop() {
		read(b, path, func(v *boltstore.View) error {
			_, err := v.Load(boltstore.Want{All: []inventory.Kind{inventory.KindIgniter, inventory.KindMotor, inventory.KindLot}})
			return err
		})
	}
}

// BenchmarkFind opens the file cold and finds one record.
func BenchmarkFind(b *testing.B) {
	path := benchBox(b)
	for b.Loop() {
		read(b, path, func(v *boltstore.View) error {
			_, _, err := v.Find(inventory.KindMotor, "motor-0777")
			return err
		})
	}
}

// BenchmarkUnexpired finds the lots of an item by expiry, as a range of balances.
func BenchmarkUnexpired(b *testing.B) {
	path := benchBox(b)
	read(b, path, func(v *boltstore.View) error {
		id, _ := v.IDOf(inventory.KindIgniter, "igniter-123")
		for b.Loop() {
			err := v.Unexpired(id, inventory.DateOf(clock), func(uuid.UUID, inventory.Stock) error { return nil })
			if err != nil {
				return err
			}
		}
		return nil
	})
}

// BenchmarkBook books a durable entry: open, write, sync, close.
func BenchmarkBook(b *testing.B) {
	data, err := os.ReadFile(benchBox(b))
	must(b, err)
	path := filepath.Join(b.TempDir(), "range.box")
	must(b, os.WriteFile(path, data, 0o600))
	i := 0
	for b.Loop() {
		i++
		must(b, book(path, entry(inventory.In, lotID(fmt.Sprint("bench ", i%20_000)), 1, i)))
	}
}
