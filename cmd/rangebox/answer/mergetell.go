package answer

import (
	"encoding/json"
	"slices"

	"rangebox/inventory"
	"rangebox/inventory/boltstore"
	"rangebox/inventory/quantity"
)

// Merged is a record that a merge took in, changed or removed. Item is what a lot
// or a reading is of, On the date of a day.
type Merged struct {
	Kind    string   `json:"kind"`
	Handle  string   `json:"handle,omitempty"`
	Item    string   `json:"item,omitempty"`
	On      string   `json:"on,omitempty"`
	ID      string   `json:"id"`
	Status  string   `json:"status"`
	Changes []Change `json:"changes,omitempty"`
}

// MergedLot is a lot of which entries came in, or that stands otherwise now: what
// was booked in the other box, and how the lot stood before and stands now. Of a
// new lot, before is absent.
type MergedLot struct {
	Lot    string    `json:"lot"`
	Kind   string    `json:"kind"`
	Item   string    `json:"item"`
	New    bool      `json:"new"`
	Booked []Booking `json:"booked"`
	Before *Balance  `json:"before,omitempty"`
	Now    Balance   `json:"now"`
}

// Booking is entries of a lot: those with one word as one sum, but a count and a
// move each by itself.
type Booking struct {
	What     string      `json:"what"`
	Entries  int         `json:"entries"`
	Quantity json.Number `json:"quantity,omitempty"`
	To       string      `json:"to,omitempty"`
}

// MovesStock tells whether it is of entries that say what is on hand.
func (b Booking) MovesStock() bool {
	switch b.What {
	case inventory.Promised.String(), inventory.Returned.String():
		return false
	}
	return b.Quantity != "" || b.What == inventory.Void.String()
}

// Balance is how a lot stands.
type Balance struct {
	Quantity json.Number `json:"quantity"`
	Promised json.Number `json:"promised"`
	Held     bool        `json:"held"`
	Place    string      `json:"place,omitempty"`
}

func balanceOf(s inventory.Stock) Balance {
	return Balance{plain(s.OnHand), plain(s.Promised), s.Held, s.Place}
}

func mergedOf(list []boltstore.MergedRecord) []Merged {
	out := []Merged{}
	for _, r := range list {
		out = append(out, Merged{string(r.Kind), r.Handle, r.Of, r.On.String(), r.ID.String(), string(r.Status), ChangesOf(r.Changes)})
	}
	return out
}

func mergedLotsOf(list []boltstore.MergedLot) []MergedLot {
	out := []MergedLot{}
	for _, l := range list {
		lot := MergedLot{Lot: l.Lot.ID.String(), Kind: string(l.Lot.Of.Item()), Item: l.Lot.Item.String(), New: l.New,
			Booked: bookingsOf(l.Entries), Now: balanceOf(l.After)}
		if !l.New {
			before := balanceOf(l.Before)
			lot.Before = &before
		}
		out = append(out, lot)
	}
	return out
}

// bookingsOf sums entries up by their words, in the order of the ledger.
func bookingsOf(entries []*inventory.Event) []Booking {
	entries = slices.Clone(entries)
	slices.SortFunc(entries, func(a, b *inventory.Event) int {
		if inventory.Earlier(a, b) {
			return -1
		}
		return 1
	})
	out := []Booking{}
	sums, places := map[inventory.What]quantity.Number{}, map[inventory.What]int{}
	for _, e := range entries {
		q, known := e.Quantity.Get()
		at, summed := places[e.What]
		if !summed || e.What == inventory.Counted || e.What == inventory.Moved {
			at = len(out)
			places[e.What], sums[e.What] = at, 0
			out = append(out, Booking{What: e.What.String(), To: e.To})
		}
		out[at].Entries++
		if sums[e.What] += q; known {
			out[at].Quantity = plain(sums[e.What])
		}
	}
	return out
}
