package boltstore

import (
	"fmt"

	"github.com/google/uuid"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// onePiece is a piece, in the steps of a quantity.
const onePiece = quantity.Number(1_000_000_000)

// checkPieces refuses a part of a piece: motors, igniters, batteries and what of
// supplies is counted come whole.
func (im *importing) checkPieces(i int, rec inventory.Record) {
	q, of := quantityIn(rec)
	if q%onePiece == 0 || !im.counted(of) {
		return
	}
	im.problems = append(im.problems, inventory.Problem{Item: i, Path: "quantity",
		Err: fmt.Errorf("%w: quantity is %s, of what comes in whole pieces; write a whole number", inventory.ErrInvalid, amount(q))})
}

// quantityIn is the quantity that a lot or an entry says, and what it is of: an
// item, or a lot.
func quantityIn(rec inventory.Record) (quantity.Number, uuid.UUID) {
	switch rec := rec.(type) {
	case *inventory.Lot:
		return rec.Quantity.Or(0), rec.Item.ID
	case *inventory.Event:
		return rec.Quantity.Or(0), rec.Lot.ID
	}
	return 0, uuid.Nil
}

// counted tells whether an item, or what a lot is of, is counted in pieces; what
// is not there is complained of elsewhere.
func (im *importing) counted(id uuid.UUID) bool {
	rec := im.find(id)
	if lot, ok := rec.(*inventory.Lot); ok {
		rec = im.find(lot.Item.ID)
	}
	switch rec := rec.(type) {
	case *inventory.Motor, *inventory.Igniter, *inventory.Battery:
		return true
	case *inventory.Supply:
		return rec.Unit != inventory.InGrams
	}
	return false
}

// find finds a record in the batch, else in the box; nil where it is in neither.
func (im *importing) find(id uuid.UUID) inventory.Record {
	if im.byID == nil {
		im.byID = map[uuid.UUID]inventory.Record{}
		for _, item := range im.batch.Items {
			im.byID[item.Record.Base().ID] = item.Record
		}
	}
	if rec, ok := im.byID[id]; ok {
		return rec
	}
	rec, err := im.t.Get(id)
	if err != nil {
		return nil
	}
	return rec
}
