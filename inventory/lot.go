package inventory

import (
	"fmt"

	"rangebox/inventory/quantity"
)

// LotKind is the kind of item a lot is of.
type LotKind uint8

// The kinds of item that are stocked.
const (
	LotOfMotors LotKind = iota + 1
	LotOfIgniters
	LotOfBatteries
	LotOfSupplies
)

// LotKinds are the kinds of item that there are lots of, in the order of LotKind.
var LotKinds = []Kind{KindMotor, KindIgniter, KindBattery, KindSupply}

// Item is the kind of record that a lot of this kind holds, empty for the zero value.
func (k LotKind) Item() Kind {
	if k == 0 {
		return ""
	}
	return LotKinds[k-1]
}

// LotKindOf is the kind of lot that holds a kind of record.
func LotKindOf(kind Kind) (LotKind, bool) {
	for i, k := range LotKinds {
		if k == kind {
			return LotKind(i + 1), true
		}
	}
	return 0, false
}

// Lot is a number of pieces of one item that came together. How many are on
// hand is the fold of its ledger entries; Quantity is what a file says.
type Lot struct {
	Header
	Of                      LotKind
	Item                    Ref
	Quantity                quantity.Opt[quantity.Number]
	Made, Acquired, Expires Date
	NoExpiry                quantity.Opt[bool]
	Place, Code             string
	UnitCost                quantity.Opt[quantity.Number]
	PackSize                quantity.Opt[quantity.Number]
	From                    Ref
	Hazard                  string
}

// Kind is KindLot.
func (*Lot) Kind() Kind { return KindLot }

var lotTable = doubting(refusing(table("lot", func(l *Lot) *Header { return &l.Header }, false,
	word(10, "kind", "kind of item", []string{"motor", "igniter", "battery", "supply"}, func(l *Lot) *LotKind { return &l.Of }),
	ref(11, "item", "what it is a lot of", LotKinds, func(l *Lot) *Ref { return &l.Item }),
	number(12, "quantity", quantity.Amount, NotNegative, "pieces or grams on hand", func(l *Lot) *quantity.Opt[quantity.Number] { return &l.Quantity }).derived(),
	date(13, "made", "day it was made", func(l *Lot) *Date { return &l.Made }),
	date(14, "acquired", "day it came into the box", func(l *Lot) *Date { return &l.Acquired }),
	date(15, "expires", "last day it may be used", func(l *Lot) *Date { return &l.Expires }),
	flag(16, "no_expiry", "whether it keeps for ever", func(l *Lot) *quantity.Opt[bool] { return &l.NoExpiry }),
	text(17, "place", "where it lies", func(l *Lot) *string { return &l.Place }),
	text(18, "code", "the maker's lot code", func(l *Lot) *string { return &l.Code }),
	number(19, "unit_cost", quantity.One, NotNegative, "what one cost", func(l *Lot) *quantity.Opt[quantity.Number] { return &l.UnitCost }),
	number(20, "pack_size", quantity.One, Positive, "how many come in a pack", func(l *Lot) *quantity.Opt[quantity.Number] { return &l.PackSize }),
	ref(21, "from_lot", "the lot it was made or parted from", []Kind{KindLot}, func(l *Lot) *Ref { return &l.From }),
	text(22, "hazard", "hazard text as typed", func(l *Lot) *string { return &l.Hazard }),
), checkLot), doubtLot)

func checkLot(l *Lot) []error {
	var errs []error
	if l.Of == 0 || l.Item.IsZero() {
		errs = append(errs, fmt.Errorf("%w: a lot needs kind and item; its kind is %s", ErrInvalid, kindList(LotKinds)))
	}
	if l.NoExpiry.Or(false) && !l.Expires.IsZero() {
		errs = append(errs, fmt.Errorf("%w: a lot has a last day or no_expiry, not both", ErrInvalid))
	}
	return errs
}

func doubtLot(l *Lot) []string {
	if !l.Made.IsZero() && !l.Expires.IsZero() && l.Expires.Before(l.Made) {
		return []string{"the lot expires before it was made"}
	}
	return nil
}
