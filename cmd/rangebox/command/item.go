package command

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"github.com/google/uuid"
	"github.com/spf13/cobra"

	"rangebox/inventory"
	"rangebox/inventory/boltstore"
	"rangebox/inventory/quantity"
)

// stocked are the kinds that are kept in lots.
var stocked = []inventory.Kind{inventory.KindMotor, inventory.KindIgniter, inventory.KindBattery, inventory.KindSupply}

// findItem finds what is stocked under a handle: bare while only one kind has it,
// else as igniter/wick.
func findItem(v *boltstore.View, text string) (inventory.Record, error) {
	if kind, handle, ok := strings.Cut(text, "/"); ok {
		info, known := inventory.KindNamed(kind)
		if !known {
			return nil, notFound("there is no kind %q", inventory.Printable(kind))
		}
		rec, _, err := v.Find(info.Kind, handle)
		return rec, err
	}
	var found []inventory.Record
	var names []string
	for _, kind := range stocked {
		if rec, _, err := v.Find(kind, text); err == nil {
			found = append(found, rec)
			names = append(names, string(kind)+"/"+text)
		}
	}
	switch len(found) {
	case 1:
		return found[0], nil
	case 0:
		err := notFound("there is no motor, igniter, battery or supply %q", inventory.Printable(text))
		if near, ok := inventory.Nearest(text, stockedHandles(v)); ok {
			return nil, advise(err, "nearest: %s", near)
		}
		return nil, advise(err,
			"look at what there is with `rangebox motor list` and the like, or add it first")
	}
	return nil, advise(conflict("%q is more than one thing", text), "say which: %s", strings.Join(names, " or "))
}

func stockedHandles(v *boltstore.View) (known []string) {
	for _, kind := range stocked {
		for handle := range v.Handles(kind) {
			known = append(known, handle)
		}
	}
	return known
}

// lotForm is the tail of a lot's id, or the whole of it.
var lotForm = regexp.MustCompile(`^[0-9a-f-]{3,36}$`)

// findLot finds a lot by the tail of its id.
func findLot(v *boltstore.View, tail string) (*inventory.Lot, error) {
	var lots []*inventory.Lot
	err := v.Each(inventory.KindLot, func(rec inventory.Record) error {
		lots = append(lots, rec.(*inventory.Lot))
		return nil
	})
	if err != nil {
		return nil, err
	}
	return lotAmong(lots, tail)
}

// lotIn is findLot in a box that has been read.
func lotIn(box *inventory.Box, tail string) (*inventory.Lot, error) {
	return lotAmong(inventory.List[*inventory.Lot](box), tail)
}

func lotAmong(lots []*inventory.Lot, tail string) (*inventory.Lot, error) {
	if !lotForm.MatchString(tail) {
		return nil, advise(notFound("%q is not a lot", inventory.Printable(tail)), "name it by the tail of its id, as `rangebox stock list` shows it")
	}
	found := slices.DeleteFunc(slices.Clone(lots), func(lot *inventory.Lot) bool { return !strings.HasSuffix(lot.ID.String(), tail) })
	switch {
	case len(found) == 0:
		return nil, advise(notFound("there is no lot %q", tail), "look at the lots with `rangebox stock list`")
	case len(found) > 1:
		return nil, advise(conflict("%d lots end in %q", len(found), tail), "give more of the id")
	}
	return found[0], nil
}

// tails are the shortest tails that tell lots apart, at least four long.
func tails(ids []uuid.UUID) map[uuid.UUID]string {
	out := make(map[uuid.UUID]string, len(ids))
	for length := 4; len(out) < len(ids) && length <= 36; length++ {
		seen := map[string]int{}
		for _, id := range ids {
			text := id.String()
			seen[text[len(text)-length:]]++
		}
		for _, id := range ids {
			text := id.String()
			tail := text[len(text)-length:]
			if _, done := out[id]; !done && seen[tail] == 1 && !strings.HasPrefix(tail, "-") {
				out[id] = tail
			}
		}
	}
	return out
}

// itemOf is the record that a lot is of.
func itemOf(v *boltstore.View, lot *inventory.Lot) (inventory.Record, error) {
	return v.Get(lot.Item.ID)
}

// parseQuantity reads how much of an item: grams for what is counted in grams,
// else whole pieces.
func parseQuantity(item inventory.Record, text string) (quantity.Number, error) {
	if supply, ok := item.(*inventory.Supply); ok && supply.Unit == inventory.InGrams {
		mass, err := quantity.Gram.Parse(text)
		return quantity.Number(mass), err // a gram is 1e9 steps of either
	}
	pieces, err := quantity.Piece.Parse(text)
	if err != nil {
		return 0, fmt.Errorf("%w: %q is no number of pieces; give a whole number", quantity.ErrNotQuantity, inventory.Printable(text))
	}
	return quantity.Number(pieces) * quantity.Number(1e9), nil
}

// amountOf reads a quantity that was typed. What is one of nothing is misuse, but
// only the item tells whether pieces or grams were to be typed.
func amountOf(item inventory.Record, text string) (quantity.Number, error) {
	q, err := parseQuantity(item, text)
	if err == nil {
		return q, nil
	}
	err = fmt.Errorf("%w: %w", inventory.ErrInvalid, err)
	if _, none := quantity.Gram.Parse(text); none != nil { // pieces read as grams as well
		return 0, asMisuse(err)
	}
	return 0, err
}

// readable refuses a quantity below what any item can have: that is misuse, told
// before a box is looked at.
func readable(text string, least quantity.Number) error {
	mass, err := quantity.Gram.Parse(text)
	if err != nil || quantity.Number(mass) >= least {
		return nil
	}
	return tooLittle(text, least)
}

func tooLittle(text string, least quantity.Number) error {
	if least > 0 {
		return misused("give one above 0", "a quantity of %s cannot be", inventory.Printable(text))
	}
	return misused("give 0 or more", "a count of %s cannot be", inventory.Printable(text))
}

// negative finds a quantity below zero that was taken for flags.
var negative = regexp.MustCompile(`^unknown shorthand flag: '[0-9.]' in (-[0-9.]+.*)$`)

// takenForFlag words that of a command that asks for a quantity.
func takenForFlag(c *cobra.Command, err error) error {
	m := negative.FindStringSubmatch(err.Error())
	switch {
	case m == nil || !strings.Contains(c.Use, "QUANTITY"):
		return nil
	case c.Name() == "count":
		return tooLittle(m[1], 0)
	}
	return tooLittle(m[1], 1)
}
