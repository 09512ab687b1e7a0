package answer

import (
	"encoding/json"
	"fmt"

	"rangebox/compat"
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// FlightNumber is a flight's number on its day, as `day show` counts them, with .N
// for the N-th of several alike.
func FlightNumber(q *compat.PackQuestion, i int) string {
	for n := range q.Day.Flights {
		if q.Day.Flights[n].ID != q.Flights[i].ID {
			continue
		}
		if q.Flights[i].N > 1 {
			return fmt.Sprintf("%d.%d", n+1, q.Flights[i].N)
		}
		return fmt.Sprint(n + 1)
	}
	return ""
}

// Tail is enough of a lot's id to name it.
func Tail(lot *inventory.Lot) string { return TailOf(lot.ID.String()) }

// TailOf is enough of an id to name it in the next command.
func TailOf(id string) string { return id[max(0, len(id)-6):] }

// DayLog answers `day log`.
type DayLog struct {
	Booked
	// Log are the same entries in full.
	Log      []LogRow `json:"log"`
	Repeated []Repeat `json:"repeated"`
	Flights  []string `json:"-"` // of each entry, for a person
}

// Repeat is a lot of which more than one did not fire.
type Repeat struct {
	Lot    string `json:"lot"`
	Item   string `json:"item"`
	Failed int    `json:"failed"`
	OfHead int    `json:"of_head"`
	Held   bool   `json:"held"`
}

// DayLogOf turns what a log booked into JSON.
func DayLogOf(q *compat.PackQuestion, done Booked, events []*inventory.Event, repeated, holds []compat.Repeated) DayLog {
	out := DayLog{Booked: done, Log: []LogRow{}, Repeated: []Repeat{}}
	for _, e := range events {
		item := ""
		if lot, ok := inventory.Follow[*inventory.Lot](q.Box, e.Lot); ok {
			item = lot.Item.Handle
		}
		out.Log = append(out.Log, LogRowOf(e, item, false))
		out.Flights = append(out.Flights, flightOf(q, e))
	}
	for _, r := range repeated {
		held := false
		for _, h := range holds {
			held = held || h.Lot == r.Lot
		}
		out.Repeated = append(out.Repeated, Repeat{r.Lot.ID.String(), r.Lot.Item.Handle, r.Failed, r.OfHead, held})
	}
	return out
}

// flightOf is the flight of an entry, as it is called.
func flightOf(q *compat.PackQuestion, e *inventory.Event) string {
	_, n := compat.PointName(e.Point)
	for i, f := range q.Flights {
		if f.ID == e.Flight && f.N == n {
			return FlightNumber(q, i) + " " + f.Rocket.Handle
		}
	}
	return ""
}

// DayClose answers `day close`.
type DayClose struct {
	Booked
	Day         string        `json:"day"`
	Date        string        `json:"date"`
	Account     []AccountRow  `json:"account"`
	Reliability []Reliability `json:"reliability"`
	// Untold are the points that were packed and of which nothing was told.
	Untold []string `json:"untold"`
}

// AccountRow is what became of what was packed of a lot: packed is used and
// returned and scrapped.
type AccountRow struct {
	Lot      string      `json:"lot"`
	Kind     string      `json:"kind"`
	Item     string      `json:"item"`
	Packed   json.Number `json:"packed"`
	Used     json.Number `json:"used"`
	Returned json.Number `json:"returned"`
	Scrapped json.Number `json:"scrapped"`
	// Beside was used for a flight of the day without having been packed for it.
	Beside json.Number `json:"beside"`
	Unit   string      `json:"unit,omitempty"`
}

// Reliability is what is known of an igniter type on a family.
type Reliability struct {
	Igniter  string `json:"igniter"`
	Family   string `json:"family"`
	Fired    int    `json:"fired"`
	Misfired int    `json:"misfired"`
	Low      Num    `json:"low"`
	High     Num    `json:"high"`
}

// DayCloseOf turns a day's account into JSON.
func DayCloseOf(q *compat.PackQuestion, done Booked, account *compat.DayAccount) DayClose {
	out := DayClose{Booked: done, Day: q.Day.ID.String(), Date: q.Day.Date.String(), Account: []AccountRow{}, Reliability: []Reliability{}, Untold: []string{}}
	for _, a := range account.Lots {
		rec, _ := inventory.Follow[inventory.Record](q.Box, a.Lot.Item)
		out.Account = append(out.Account, AccountRow{a.Lot.ID.String(), string(a.Lot.Of.Item()), a.Lot.Item.Handle,
			plain(a.Packed), plain(a.Used), plain(a.Returned), plain(a.Scrapped), plain(a.Beside), unitOf(rec)})
	}
	for _, r := range account.Reliability {
		out.Reliability = append(out.Reliability, Reliability{r.Igniter.Handle, r.Family, r.Fired, r.Misfired,
			ratio(quantity.Some(r.Low)), ratio(quantity.Some(r.High))})
	}
	return out
}
