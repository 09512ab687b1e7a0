package answer

import (
	"encoding/json"
	"time"

	"rangebox/inventory"
)

// Booked says what a command booked.
type Booked struct {
	Entries []Entry     `json:"entries"`
	Lots    []BookedLot `json:"lots"`
}

// BookedLot is where a lot stands after a booking.
type BookedLot struct {
	Lot      string      `json:"lot"`
	Item     string      `json:"item"`
	Quantity json.Number `json:"quantity"`
	Place    string      `json:"place,omitempty"`
}

// BookedLotOf is a lot and its stock.
func BookedLotOf(lot *inventory.Lot, stock inventory.Stock) BookedLot {
	return BookedLot{lot.ID.String(), lot.Item.String(), plain(stock.OnHand), stock.Place}
}

// StockRow is a lot in `stock list`.
type StockRow struct {
	Lot      string      `json:"lot"`
	Kind     string      `json:"kind"`
	Item     string      `json:"item"`
	Quantity json.Number `json:"quantity"`
	Promised json.Number `json:"promised"`
	Expires  string      `json:"expires,omitempty"`
	Place    string      `json:"place,omitempty"`
	State    string      `json:"state"`
	// Certification is told of motors where a body is set.
	Certification string `json:"certification,omitempty"`
	// Count tells that entries of two boxes contradict each other: somebody has
	// to count.
	Count bool   `json:"needs_count,omitempty"`
	Code  string `json:"code,omitempty"`
	// Short is the tail of the id that tells the lot apart.
	Short string `json:"-"`
}

// StockRowOf is a lot's row.
func StockRowOf(lot *inventory.Lot, stock inventory.Stock, on inventory.Date, short string) StockRow {
	return StockRow{
		Lot: lot.ID.String(), Kind: string(lot.Of.Item()), Item: lot.Item.String(),
		Quantity: plain(stock.OnHand), Promised: plain(stock.Promised), Expires: lot.Expires.String(),
		Place: stock.Place, State: string(lot.State(stock, on)), Count: stock.NeedsCount(), Code: lot.Code, Short: short,
	}
}

// LogRow is an entry in `stock log`.
type LogRow struct {
	ID       string `json:"id"`
	At       string `json:"at"`
	What     string `json:"what"`
	Lot      string `json:"lot,omitempty"`
	Item     string `json:"item,omitempty"`
	Quantity Num    `json:"quantity,omitempty"`
	To       string `json:"to,omitempty"`
	Result   string `json:"result,omitempty"`
	Cause    string `json:"cause,omitempty"`
	Reason   string `json:"reason,omitempty"`
	Point    string `json:"point,omitempty"`
	Voids    string `json:"voids,omitempty"`
	Voided   bool   `json:"voided"`
}

// LogRowOf is an entry's row; item is what its lot is of.
func LogRowOf(e *inventory.Event, item string, voided bool) LogRow {
	row := LogRow{
		ID: e.ID.String(), At: e.At.UTC().Format(time.RFC3339), What: e.What.String(), Item: item,
		To: e.To, Result: e.Result.String(), Cause: e.Cause.String(), Reason: e.Reason, Point: e.Point, Voided: voided,
	}
	if !e.Lot.IsZero() {
		row.Lot = e.Lot.ID.String()
	}
	if e.What == inventory.Void {
		row.Voids = e.Voids.String()
	}
	if q, ok := e.Quantity.Get(); ok {
		n := plain(q)
		row.Quantity = &n
	}
	return row
}

// Outlook answers `stock due` and `stock need`: what to use up or be rid of, and
// what to buy.
type Outlook struct {
	On   string     `json:"on"`
	Due  []StockRow `json:"due"`
	Need []Need     `json:"need"`
	// Calendar is what was written, where it was asked for.
	Calendar *Calendar `json:"calendar,omitempty"`
}

// Need is an item of which there is too little.
type Need struct {
	Kind   string      `json:"kind"`
	Item   string      `json:"item"`
	Usable json.Number `json:"usable"`
	Short  json.Number `json:"short"`
	Why    string      `json:"why"`
}

// NeedOf is an item of which some is short.
func NeedOf(s inventory.Shortage, why string) Need {
	return Need{string(s.Item.Kind()), s.Item.Base().Handle, plain(s.Usable), plain(s.Wanted - s.Usable), why}
}
