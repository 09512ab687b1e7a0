package boltstore

import (
	"errors"

	"github.com/google/uuid"

	"rangebox/inventory"
)

// Named is a record by its kind and handle.
type Named struct {
	Kind   inventory.Kind
	Handle string
}

// Want says what a question needs: the roots, and what to read beside what the
// roots refer to, which always comes along. The settings are always there.
type Want struct {
	// All takes every record of these kinds, Named and IDs single ones.
	All   []inventory.Kind
	Named []Named
	IDs   []uuid.UUID
	// LotsOfLoaded takes the lots, with their stock, of every motor, igniter,
	// battery and supply that is a root or was reached from one.
	LotsOfLoaded bool
	// Readings takes the readings of the records and lots loaded.
	Readings bool
	// Events takes the entries of the lots loaded, with the lots that they name.
	Events bool
}

// Load reads a box by its roots: what a question needs and what it refers to,
// not the whole file. The error wraps ErrNotFound where a root is not there.
func (v *View) Load(want Want) (*inventory.Box, error) {
	l := &loading{v: v, box: inventory.NewBox(), loaded: map[uuid.UUID]bool{}}
	steps := []func(Want) error{l.settings, l.roots, l.follow, l.lots, l.follow, l.events, l.follow, l.readings, l.follow}
	for _, step := range steps {
		if err := step(want); err != nil {
			return nil, err
		}
	}
	l.box.Link()
	return l.box, nil
}

// loading is a call of Load.
type loading struct {
	v      *View
	box    *inventory.Box
	stocks map[uuid.UUID]inventory.Stock // read ahead
	loaded map[uuid.UUID]bool
	// what was loaded, in order; follow has gone through the first done of them
	records []inventory.Record
	done    int
}

// put takes a record into the box, a lot with its stock and its place.
func (l *loading) put(rec inventory.Record) error {
	id := rec.Base().ID
	if l.loaded[id] {
		return nil
	}
	l.loaded[id] = true
	l.records = append(l.records, rec)
	l.box.Put(rec)
	lot, ok := rec.(*inventory.Lot)
	if !ok {
		return nil
	}
	stock, known := l.stocks[lot.ID]
	var err error
	if !known {
		stock, err = l.v.Stock(lot.ID)
	}
	l.putStock(lot, stock)
	return err
}

// allStocks reads every balance at once, where all lots are wanted.
func (l *loading) allStocks() error {
	l.stocks = map[uuid.UUID]inventory.Stock{}
	return l.v.walk(bucketStock, func(key, payload []byte) error {
		lot, stock, err := l.v.balance(groupOf(key), key[len(uuid.Nil):], payload)
		l.stocks[lot] = stock
		return err
	})
}

func (l *loading) putStock(lot *inventory.Lot, stock inventory.Stock) {
	lot.Place = stock.Place
	l.box.SetStock(lot.ID, stock)
}

// record reads a record that is not loaded yet.
func (l *loading) record(kind inventory.Kind, id uuid.UUID) error {
	if l.loaded[id] {
		return nil
	}
	s, found, err := l.v.stored(kind, id)
	if err != nil {
		return err
	}
	if !found || s.Removed {
		return damaged(string(kind), id[:], "an index or a record points to it and it is not there")
	}
	rec, err := l.v.bare(kind, id, s)
	if err != nil {
		return err
	}
	return l.put(rec)
}

func (l *loading) settings(Want) error {
	s, found, err := l.v.stored(inventory.KindSettings, inventory.SettingsID)
	if err != nil || !found || s.Removed {
		return err
	}
	return l.record(inventory.KindSettings, inventory.SettingsID)
}

func (l *loading) roots(want Want) error {
	for _, kind := range want.All {
		if err := l.all(kind); err != nil {
			return err
		}
	}
	for _, n := range want.Named {
		h, found, err := l.v.handle(n.Kind, n.Handle)
		if err != nil {
			return err
		}
		if !found {
			return l.v.notFound(n.Kind, n.Handle)
		}
		if err := l.record(n.Kind, h.ID); err != nil {
			return err
		}
	}
	return l.byID(want.IDs)
}

func (l *loading) byID(ids []uuid.UUID) error {
	for _, id := range ids {
		if err := l.one(id); err != nil {
			return err
		}
	}
	return nil
}

// one reads a record or an entry by its id alone.
func (l *loading) one(id uuid.UUID) error {
	kind, err := l.v.kindOf(id)
	if err != nil {
		return err
	}
	if kind != inventory.KindEvent {
		return l.record(kind, id)
	}
	e, err := l.v.Event(id)
	if err != nil {
		return err
	}
	return l.put(e)
}

// all reads every record of a kind, in the order of the file.
func (l *loading) all(kind inventory.Kind) error {
	if kind == inventory.KindEvent {
		return l.v.eachEvent(func(e *inventory.Event) error { return l.put(e) })
	}
	if kind == inventory.KindLot {
		if err := l.allStocks(); err != nil {
			return err
		}
	}
	return l.v.eachStored(kind, func(id uuid.UUID, s storedRecord) error {
		if l.loaded[id] {
			return nil
		}
		rec, err := l.v.bare(kind, id, s)
		if err != nil {
			return err
		}
		return l.put(rec)
	})
}

// follow reads what the loaded records refer to, and what that refers to.
func (l *loading) follow(Want) error {
	for ; l.done < len(l.records); l.done++ {
		for _, r := range inventory.References(l.records[l.done]) {
			if err := l.reach(r); err != nil {
				return err
			}
		}
	}
	return nil
}

func (l *loading) reach(r inventory.Reference) error {
	if len(r.Kinds) == 1 {
		return l.record(r.Kinds[0], r.Ref.ID)
	}
	err := l.one(r.Ref.ID)
	if errors.Is(err, inventory.ErrNotFound) {
		return damaged(bucketIDs, r.Ref.ID[:], r.Path+" points to it and it is not there")
	}
	return err
}

// lots reads the lots of the items loaded, with one range scan each.
func (l *loading) lots(want Want) error {
	if !want.LotsOfLoaded {
		return nil
	}
	for _, rec := range l.records[:l.done] {
		if _, stocked := inventory.LotKindOf(rec.Kind()); !stocked {
			continue
		}
		if err := l.lotsOf(rec.Base().ID); err != nil {
			return err
		}
	}
	return nil
}

func (l *loading) lotsOf(item uuid.UUID) error {
	return l.v.members(bucketStock, item, func(rest, payload []byte) error {
		id, stock, err := l.v.balance(item, rest, payload)
		if err != nil || l.loaded[id] {
			return err
		}
		lot, err := l.v.lot(id)
		if err != nil {
			return err
		}
		l.loaded[id] = true
		l.records = append(l.records, lot)
		l.box.Put(lot)
		l.putStock(lot, stock)
		return nil
	})
}

// events reads the entries of the lots loaded.
func (l *loading) events(want Want) error {
	if !want.Events {
		return nil
	}
	for _, rec := range l.records[:l.done] {
		if rec.Kind() != inventory.KindLot {
			continue
		}
		entries, err := l.v.Entries(rec.Base().ID)
		if err != nil {
			return err
		}
		for _, e := range entries {
			if err := l.put(e); err != nil {
				return err
			}
		}
	}
	return nil
}

// readings reads what was measured on the records and lots loaded: through the
// index of what refers to each, or, where readings are few, by going through
// all of them.
func (l *loading) readings(want Want) error {
	if !want.Readings {
		return nil
	}
	if l.v.state.Counts[string(inventory.KindReading)] < uint64(l.done) {
		return l.readingsOfLoaded()
	}
	for _, rec := range l.records[:l.done] {
		if rec.Kind() == inventory.KindEvent {
			continue
		}
		if err := l.readingsOf(rec.Base().ID); err != nil {
			return err
		}
	}
	return nil
}

func (l *loading) readingsOfLoaded() error {
	return l.v.eachStored(inventory.KindReading, func(id uuid.UUID, s storedRecord) error {
		rec, err := l.v.bare(inventory.KindReading, id, s)
		if err != nil {
			return err
		}
		for _, r := range inventory.References(rec) {
			if l.loaded[r.Ref.ID] {
				return l.put(rec)
			}
		}
		return nil
	})
}

func (l *loading) readingsOf(id uuid.UUID) error {
	return l.v.members(bucketRefs, id, func(rest, payload []byte) error {
		var source storedSource
		if err := decode(bucketRefs, joined(id, rest), payload, &source); err != nil {
			return err
		}
		if source.Kind != inventory.KindReading {
			return nil
		}
		return l.record(inventory.KindReading, groupOf(rest))
	})
}
