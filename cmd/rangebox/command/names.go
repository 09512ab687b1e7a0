package command

import (
	"errors"
	"fmt"

	"rangebox/inventory"
	"rangebox/inventory/boltstore"
)

// wrongNames lists what a record names of other records that is not there: a
// line's output, a mount's nozzle, what a reading measures.
func wrongNames(v *boltstore.View, rec inventory.Record) []error {
	return inventory.CheckNames(rec, func(r inventory.Ref) (inventory.Record, bool) {
		other, err := v.Get(r.ID)
		return other, err == nil
	})
}

// putNamed puts a record whose names point to something, and from which nothing
// was taken that others name.
func putNamed(tx *boltstore.Tx, rec inventory.Record) error {
	if _, err := tx.Put(rec); err != nil {
		return err
	}
	if err := errors.Join(wrongNames(&tx.View, rec)...); err != nil {
		return err
	}
	naming, ok := namedBy[rec.Kind()]
	if !ok {
		return nil
	}
	return tx.Each(naming, func(other inventory.Record) error {
		if wrong := wrongNames(&tx.View, other); len(wrong) > 0 {
			return advise(conflict("%s %s names it: %s", naming, other.Base().Handle, message(wrong[0])), "change or remove that first")
		}
		return nil
	})
}

// namedBy are the kinds whose parts others name, and who these are.
var namedBy = map[inventory.Kind]inventory.Kind{
	inventory.KindController: inventory.KindLine, inventory.KindMotor: inventory.KindRocket,
}

// checkBatchNames refuses a batch whose records, as the box has them now, name
// what is not there.
func checkBatchNames(tx *boltstore.Tx, batch *inventory.Batch) error {
	var problems []inventory.Problem
	for i, item := range batch.Items {
		switch item.Record.(type) {
		case *inventory.Line, *inventory.Rocket, *inventory.Reading:
		default:
			continue
		}
		rec, err := tx.Get(item.Record.Base().ID)
		if err != nil {
			return err
		}
		for _, err := range wrongNames(&tx.View, rec) {
			problems = append(problems, inventory.Problem{Item: i, Err: err})
		}
	}
	if len(problems) > 0 {
		return &boltstore.ProblemsError{Problems: problems}
	}
	return nil
}

// nameDoubts are the names in the box that point to nothing, as sentences.
func nameDoubts(v *boltstore.View) ([]string, error) {
	var doubts []string
	for _, kind := range []inventory.Kind{inventory.KindLine, inventory.KindRocket} {
		err := v.Each(kind, func(rec inventory.Record) error {
			for _, wrong := range wrongNames(v, rec) {
				doubts = append(doubts, fmt.Sprintf("%s %s: %s", kind, rec.Base().Handle, message(wrong)))
			}
			return nil
		})
		if err != nil {
			return nil, err
		}
	}
	return doubts, nil
}
