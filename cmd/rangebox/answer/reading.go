package answer

import (
	"time"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// Reading is a reading in a list.
type Reading struct {
	ID, At, Of, What, Value, Notes string
}

// ReadingsOf are the rows of readings; a lot is told by the tail of its id.
func ReadingsOf(list []*inventory.Reading) []Reading {
	rows := make([]Reading, len(list))
	for i, r := range list {
		of := r.Of.Item.Handle
		if of == "" {
			id := r.Of.Lot.ID.String()
			of = "lot " + TailOf(id)
		}
		if r.Nozzle != "" {
			of += " " + r.Nozzle
		}
		value := quantity.One.Format(int64(r.Value.Or(0)))
		if load, ok := r.LoadOhm.Get(); ok {
			value += " at " + quantity.Ohm.Format(int64(load)) + " ohm"
		}
		rows[i] = Reading{r.ID.String(), r.At.UTC().Format(time.RFC3339), of, r.What, value, r.Notes}
	}
	return rows
}
