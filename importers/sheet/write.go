package sheet

import (
	"encoding/json"
	"fmt"
	"strings"

	"rangebox/importers/archive"
	"rangebox/inventory"
	"rangebox/inventory/quantity"
)

// linesOf flattens a record into rows of cells, one for each nozzle of a motor;
// the others have one. visit sees the cells that hold something.
func linesOf(rec inventory.Record, columns []column, visit func(line int, column int, c cell)) error {
	if err := writable(rec); err != nil {
		return err
	}
	var object map[string]json.RawMessage
	for i := range columns {
		col := &columns[i]
		if col.as == asJSON {
			if !col.f.Known(rec) {
				continue
			}
			if object == nil {
				if err := json.Unmarshal(archive.Object(rec), &object); err != nil {
					return fmt.Errorf("flattening the %s %s: %w", rec.Kind(), rec.Base().Handle, err)
				}
			}
			visit(0, i, cell{string(object[col.key]), literal})
			continue
		}
		if !col.nozzle {
			if c, ok := cellOf(rec, col); ok {
				visit(0, i, c)
			}
			continue
		}
		for n, nozzle := range nozzlesOf(rec) {
			if c, ok := cellOf(nozzle, col); ok {
				visit(n, i, c)
			}
		}
	}
	return nil
}

func nozzlesOf(rec inventory.Record) []*inventory.Nozzle {
	m, ok := rec.(*inventory.Motor)
	if !ok {
		return nil
	}
	list := make([]*inventory.Nozzle, len(m.Nozzles))
	for i := range m.Nozzles {
		list[i] = &m.Nozzles[i]
	}
	return list
}

// writable refuses a record that points to another by id alone: sheets know all
// but lots by handle.
func writable(rec inventory.Record) error {
	for _, r := range inventory.References(rec) {
		if r.Ref.Handle == "" && (len(r.Kinds) != 1 || r.Kinds[0] != inventory.KindLot) {
			return fmt.Errorf("%w: %s of the %s %s points to %s, whose handle is not known",
				inventory.ErrDamaged, r.Path, rec.Kind(), rec.Base().Handle, r.Ref.ID)
		}
	}
	return nil
}

// cellOf is a field of a record or nozzle as a cell.
func cellOf(rec any, col *column) (cell, bool) {
	if col.as == asCurve {
		return cell{curveText(col.f, rec), literal}, col.f.Known(rec)
	}
	text, ok := col.f.Text(rec)
	if !ok {
		return cell{}, false
	}
	switch col.f.Type {
	case inventory.TypeNumber:
		return cell{text, number}, true
	case inventory.TypeDate:
		return cell{text, day}, true
	case inventory.TypeFlag:
		return cell{text, truth}, true
	case inventory.TypeText:
		text = literalWord(col.f, text)
	}
	return cell{text, literal}, true
}

func curveText(f *inventory.Field, rec any) string {
	var b strings.Builder
	for i, part := range f.Parts(rec) {
		p := part.(*inventory.CurvePoint)
		if i > 0 {
			b.WriteByte(' ')
		}
		b.WriteString(quantity.Second.Format(int64(p.At)) + ":" + quantity.Newton.Format(int64(p.Thrust)))
	}
	return b.String()
}

// keyed says which columns the further rows of a motor repeat: what joins them.
func keyed(col *column) bool { return col.key == "handle" }

// rowsOf gathers the cells of a record by row, in the order of the columns.
func rowsOf(rec inventory.Record, columns []column) ([][]cell, error) {
	rows := make([][]cell, max(1, len(nozzlesOf(rec))))
	for n := range rows {
		rows[n] = make([]cell, len(columns))
	}
	err := linesOf(rec, columns, func(n, i int, c cell) {
		rows[n][i] = c
		if keyed(&columns[i]) {
			for later := range rows {
				rows[later][i] = c
			}
		}
	})
	return rows, err
}
