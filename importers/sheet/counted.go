package sheet

import (
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// said is an amount whose unit the sheet says, and the row it stands in.
type said struct {
	binding *binding
	row     *row
	text    string
	unit    inventory.SupplyUnit
}

// note keeps what is said of the unit of an amount, until it is known of what it is.
func (p *pending) note(r *row, b *binding, c cell) {
	if b.columns[0].f.Scale != quantity.Amount.Scale {
		return
	}
	text, err := p.layout.point(c)
	if err != nil {
		return
	}
	unit := inventory.InPieces
	_, notMass := quantity.Gram.Parse(text)
	switch {
	case quantity.Bare(text) && (b.unit == nil || b.unit.Name == ""):
		return // in whatever the item is counted in
	case quantity.Bare(text), notMass == nil:
		unit = inventory.InGrams
	}
	p.amounts = append(p.amounts, said{b, r, c.trimmed(), unit})
}

// counted refuses six grams of motors, and six pieces of what is weighed: the number
// alone would be taken for the other.
func (in *reader) counted(x *index, p *pending) {
	unit, what := x.unitOf(p.rec)
	for _, a := range p.amounts {
		switch {
		case unit == inventory.InPieces && a.unit == inventory.InGrams:
			in.complain(p, a.row, a.binding.place(), refuse(quoted(a.text), "a number of pieces", "%s is a mass, and %s counted in pieces; write how many there are, without a unit of mass in the cell or its header", quoted(a.text), what))
		case unit == inventory.InGrams && a.unit == inventory.InPieces:
			in.complain(p, a.row, a.binding.place(), refuse(quoted(a.text), "a mass", "%s is a number of pieces, and %s counted in grams; write its mass", quoted(a.text), what))
		}
	}
}

// unitOf tells what an amount of a record is counted in, as far as the file says.
func (x *index) unitOf(rec inventory.Record) (unit inventory.SupplyUnit, what string) {
	switch r := rec.(type) {
	case *inventory.Supply:
		return r.Unit, "the supply " + r.Handle + " is"
	case *inventory.Lot:
		if kind := r.Of.Item(); kind != "" && kind != inventory.KindSupply {
			return inventory.InPieces, kind.Info().Plural + " are"
		}
		if p := x.handles[string(inventory.KindSupply)+"/"+r.Item.Handle]; p != nil && r.Of == inventory.LotOfSupplies {
			return x.unitOf(p.rec)
		}
	}
	return 0, ""
}
