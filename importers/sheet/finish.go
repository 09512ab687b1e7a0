package sheet

import (
	"sort"
	"strings"

	"github.com/google/uuid"

	"rangebox/importers"
	"rangebox/inventory"
)

// finish gives names, resolves what was named by name, checks each record, and
// parts the right ones from the others.
func (in *reader) finish() {
	x := in.name()
	var listed importers.Issues
	for _, p := range in.records {
		if m, ok := p.rec.(*inventory.Motor); ok {
			nameNozzles(m)
		}
		in.resolve(x, p)
		in.counted(x, p)
		if len(p.issues) == 0 {
			for _, err := range inventory.Check(p.rec) {
				p.issues = append(p.issues, p.issue(in.file, "", err))
			}
		}
		if head := p.rec.Base(); len(p.issues) == 0 && sumOf(head.Handle) && head.ID == uuid.Nil {
			p.issues = append(p.issues, p.issue(in.file, "", refuse(quoted(head.Handle), "a record of its own", "this looks like a row of sums (%s), not a record; take it out of the sheet, or give it another name", quoted(head.Handle))))
		}
		if len(p.issues) == 0 {
			in.out.Batch.Add(p.rec, p.layout.grid.name, p.rows[0].number)
			in.out.origins = append(in.out.origins, p)
			continue
		}
		listed = append(listed, p.issues...)
		in.out.reject(p, p.issues)
	}
	in.list(listed)
	in.out.inOrder()
}

// sumOf tells a handle of a row of sums: Total, Subtotal 18 mm, Total motors: 12.
func sumOf(handle string) bool {
	words := strings.Split(handle, "-")
	if sums[handle] || words[0] == "subtotal" {
		return true
	}
	if !sums[words[0]] {
		return false
	}
	for _, word := range words[1:] {
		_, kind := inventory.KindNamed(word)
		if !kind && !summed[word] && strings.Trim(word, "0123456789.") != "" {
			return false
		}
	}
	return true
}

// summed is what such rows say they add up, beside kinds.
var summed = map[string]bool{"count": true, "cost": true, "mass": true, "pcs": true, "pieces": true, "price": true, "qty": true, "quantity": true, "value": true, "weight": true}

// sums are what people call a last row that adds up the others, as a handle. A row of
// an export has its id, and so is a record whatever it is called.
var sums = map[string]bool{
	"total": true, "totals": true, "sum": true, "average": true, "mean": true, "median": true, "stdev": true, "std-dev": true, "standard-deviation": true, "grand-total": true, "subtotal": true,
	"gesamt": true, "summe": true, "mittelwert": true, "durchschnitt": true, "somme": true, "moyenne": true, "totale": true, "suma": true, "promedio": true, "media": true,
}

// list lists complaints in the file's order, and counts those beyond a hundred.
func (in *reader) list(issues importers.Issues) {
	at := map[string]int{}
	for i, s := range in.out.Sheets {
		at[s.Name] = i
	}
	sort.SliceStable(issues, func(i, j int) bool {
		a, b := issues[i], issues[j]
		if a.Sheet != b.Sheet {
			return at[a.Sheet] < at[b.Sheet]
		}
		return a.Row < b.Row
	})
	for _, issue := range issues {
		in.out.list(issue)
	}
	in.out.close()
}

// resolve turns names of other records of the file into their handles.
func (in *reader) resolve(x *index, p *pending) {
	if lot, ok := p.rec.(*inventory.Lot); ok && lot.Of == 0 {
		in.kindOfLot(x, p, lot)
	}
	for _, ref := range inventory.References(p.rec) {
		if ref.Ref.Handle == "" {
			continue
		}
		for _, kind := range ref.Kinds {
			if handle, ok := x.find(kind, ref.Ref.Handle); ok {
				ref.Ref.Handle = handle
				break
			}
		}
	}
}

// kindOfLot settles what a lot is of, where no cell says: by its header, or by
// the one item of the file that is called so.
func (in *reader) kindOfLot(x *index, p *pending, lot *inventory.Lot) {
	kinds := []inventory.Kind{}
	if p.of != "" {
		kinds = append(kinds, inventory.Kind(p.of))
	} else {
		for _, kind := range []inventory.Kind{inventory.KindMotor, inventory.KindIgniter, inventory.KindBattery, inventory.KindSupply} {
			if _, ok := x.find(kind, lot.Item.Handle); ok {
				kinds = append(kinds, kind)
			}
		}
	}
	if len(kinds) == 1 {
		lot.Of, _ = inventory.LotKindOf(kinds[0])
	}
}
