package sheet

import (
	"sort"

	"rangebox/importers/sheet/xlsx"
	"rangebox/inventory"
)

// spread gives the rows below what a cell says that is joined with them: a maker, a
// date of expiry. A number may be of all of them together, so it is asked about. Words
// come first, since they tell which rows are one motor.
func (l *layout) spread() {
	left := maxCells // joined cells that overlap are no reason to work without end
	for _, numbers := range []bool{false, true} {
		for _, m := range l.grid.merged {
			if b := l.bound(m.Left); b != nil && b.columns[0].numeric() == numbers {
				left -= l.spreadCell(m, b.columns[0], left)
			}
		}
	}
}

// spreadCell spreads one cell over so many rows at most, and counts them.
func (l *layout) spreadCell(m xlsx.Range, col *column, most int) (n int) {
	top := l.dataAt(m.Top)
	if top < 0 {
		return 0
	}
	c := l.data[top].at(m.Left)
	if col.numeric() {
		c.form = joined
	}
	if c.empty() {
		return 0
	}
	motor := ""
	if c.form == joined && !col.nozzle {
		motor = l.motorOf(&l.data[top])
	}
	for i := top + 1; i < len(l.data) && l.data[i].number <= m.Bottom && n < most; i++ {
		n++
		if motor != "" && motor == l.motorOf(&l.data[i]) {
			continue // several rows of a motor are one record, which has the number once
		}
		l.data[i] = *l.data[i].with(m.Left, c)
	}
	return n
}

// motorOf is by what a row is known to be of a motor; empty where it is of none.
func (l *layout) motorOf(r *row) string {
	if l.lex.kind != inventory.KindMotor {
		return ""
	}
	var m inventory.Motor
	for i := range l.bindings {
		b := &l.bindings[i]
		if !b.known() || b.part > 0 || b.columns[0].nozzle {
			continue
		}
		switch c := l.cell(r, b); b.columns[0].key {
		case "handle", "maker", "name":
			if c.empty() {
				continue
			}
			if err := l.set(&m, b, c); err != nil {
				return ""
			}
		}
	}
	return joinedBy(&m)
}

// title tells whether a row is nothing but a text over several columns: what people
// put above some of their records.
func (l *layout) title(r *row) bool {
	m, ok := l.across[r.number]
	if !ok {
		return false
	}
	known := 0
	for i := range l.bindings {
		b := &l.bindings[i]
		inside := b.index >= m.Left && b.index <= m.Right
		switch {
		case inside && b.known():
			known++
		case !inside && !r.at(b.index).empty():
			return false
		}
	}
	return known > 1
}

// acrossColumns finds the cells that are joined within a row, by its number.
func acrossColumns(list []xlsx.Range) map[int]xlsx.Range {
	found := map[int]xlsx.Range{}
	for _, m := range list {
		if m.Top == m.Bottom {
			found[m.Top] = m
		}
	}
	return found
}

// bound is the binding of a column, nil where it has none that is known.
func (l *layout) bound(column int) *binding {
	for i := range l.bindings {
		if b := &l.bindings[i]; b.index == column && b.known() && b.part == 0 {
			return b
		}
	}
	return nil
}

// dataAt is the place of a row in the data, -1 where it is not there.
func (l *layout) dataAt(number int) int {
	i := sort.Search(len(l.data), func(i int) bool { return l.data[i].number >= number })
	if i == len(l.data) || l.data[i].number != number {
		return -1
	}
	return i
}
