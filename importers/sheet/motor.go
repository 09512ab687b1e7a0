package sheet

import (
	"fmt"
	"slices"

	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// nozzles reads the nozzle of a motor's row; several throats are several.
func (in *reader) nozzles(p *pending, r *row, m *inventory.Motor, bindings []*binding) {
	var n inventory.Nozzle
	var throats []amount
	for _, b := range bindings {
		c := p.layout.cell(r, b)
		if !b.columns[0].many() || c.form > number {
			in.complain(p, r, b.place(), p.layout.set(&n, b, c))
			continue
		}
		list, err := p.layout.amounts(b, c)
		if err == nil && len(list) > 1 && named(p, r) {
			err = refuse(quoted(c.text), "one throat for a nozzle with a name", "%s are several throats for one nozzle with a name; give each nozzle a row", quoted(c.text))
		}
		in.complain(p, r, b.place(), err)
		if err == nil {
			in.throats(p, r, b, list)
			throats = list
		}
	}
	if len(throats) == 0 {
		m.Nozzles = append(m.Nozzles, n)
	}
	for _, t := range throats {
		one := n
		one.Throat = quantity.Some(quantity.Length(t.steps))
		m.Nozzles = append(m.Nozzles, one)
	}
}

// named tells whether the row names its nozzle.
func named(p *pending, r *row) bool {
	for i := range p.layout.bindings {
		if b := &p.layout.bindings[i]; b.known() && b.columns[0].key == inventory.NozzleColumn && !r.at(b.index).empty() {
			return true
		}
	}
	return false
}

// throats holds each throat to its field.
func (in *reader) throats(p *pending, r *row, b *binding, list []amount) {
	for _, t := range list {
		var tried inventory.Nozzle
		in.complain(p, r, b.place(), t.set(&tried))
	}
}

// join adds a row to the motor whose row came before: one that has its handle, or
// where there is none its maker and name, and another nozzle.
func (in *reader) join(p *pending, m *inventory.Motor) bool {
	key := joinedBy(m)
	before, again := in.motors[key]
	if !again || key == "" {
		in.motors[key] = p
		return false
	}
	r := p.rows[0]
	first := before.rec.(*inventory.Motor)
	if len(m.Nozzles) == 0 {
		in.complain(p, r, "", refuse(quoted(m.Handle), "another nozzle", "the motor of row %d is here again, without another nozzle; take one of the rows out", before.rows[0].number))
	}
	if n, same := sameNozzle(first.Nozzles, m.Nozzles); same {
		in.complain(p, r, "", refuse(quoted(m.Handle), "another nozzle", "the motor stands in row %d already%s; take one of the rows out, or give each nozzle a name of its own", before.rows[0].number, withNozzle(n)))
	}
	in.merge(p, r, before, m)
	first.Nozzles = append(first.Nozzles, m.Nozzles...)
	before.rows = append(before.rows, r)
	before.issues = append(before.issues, p.issues...)
	return true
}

// joinedBy is what the rows of a motor have in common; empty where there is nothing.
func joinedBy(m *inventory.Motor) string {
	if made := slugOf(m); m.Handle == "" && made != "" {
		return "\x00" + made
	}
	return m.Handle
}

// sameNozzle finds a nozzle of a later row that its motor has already: of the same name,
// or of the same throat where neither has one.
func sameNozzle(have, more []inventory.Nozzle) (inventory.Nozzle, bool) {
	for _, n := range more {
		if slices.ContainsFunc(have, func(h inventory.Nozzle) bool { return h.Name == n.Name && (n.Name != "" || h.Throat == n.Throat) }) {
			return n, true
		}
	}
	return inventory.Nozzle{}, false
}

func withNozzle(n inventory.Nozzle) string {
	throat, known := n.Throat.Get()
	switch {
	case n.Name != "":
		return fmt.Sprintf(" with a nozzle %q", inventory.Printable(n.Name))
	case known:
		return fmt.Sprintf(" with a throat of %s", quantity.Millimetre.Text(int64(throat), quantity.Metric))
	}
	return ""
}

// merge takes what a later row of a motor knows, and refuses what it knows
// otherwise than the first.
func (in *reader) merge(p *pending, r *row, before *pending, m *inventory.Motor) {
	first := before.rec.(*inventory.Motor)
	t := inventory.KindMotor.Info().Table
	for i := range t.Fields {
		f := &t.Fields[i]
		if f.Type == inventory.TypeNested || !f.Known(m) {
			continue
		}
		text, _ := f.Text(m)
		if was, known := f.Text(first); known && was != text {
			column := ""
			if b := p.layout.about(f.Key); b != nil {
				column = b.place()
			}
			in.complain(p, r, column, refuse(quoted(text), quoted(was), "found %s, where row %d of the same motor has %s", quoted(text), before.rows[0].number, quoted(was)))
			continue
		}
		_ = f.SetText(first, text) // was just read
	}
	switch {
	case len(m.Curve) == 0:
	case len(first.Curve) == 0:
		first.Curve = m.Curve
	default:
		in.complain(p, r, "", refuse("a second curve", "one curve of a motor", "the motor's curve stands in row %d too; one with another nozzle belongs under %s", before.rows[0].number, inventory.NozzleCurveColumn))
	}
}

// nameNozzles names nozzles by their size where there are several without a name.
func nameNozzles(m *inventory.Motor) {
	unnamed := 0
	for i := range m.Nozzles {
		if m.Nozzles[i].Name == "" {
			unnamed++
		}
	}
	if unnamed < 2 {
		return
	}
	for i := range m.Nozzles {
		n := &m.Nozzles[i]
		if throat, ok := n.Throat.Get(); ok && n.Name == "" {
			n.Name = fmt.Sprintf("%smm", quantity.Millimetre.Format(int64(throat)))
		}
	}
}
