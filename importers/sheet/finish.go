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
		if called := p.called(); len(p.issues) == 0 && sumOf(called) && p.rec.Base().ID == uuid.Nil {
			p.issues = append(p.issues, p.issue(in.file, "", rowOfSums(called)))
		}
		if len(p.issues) == 0 {
			in.remark(p)
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

// A row with this many words for a name, and nothing else in a table of so many columns,
// is what people write below their records (ours).
const (
	remarkWords   = 4
	remarkColumns = 3
)

// remark refuses a row that holds nothing but a long name.
func (in *reader) remark(p *pending) {
	name := p.layout.bound(onlyCell(p.rows[0]))
	if !p.made || len(p.rows) > 1 || name == nil || p.layout.knownColumns() < remarkColumns {
		return
	}
	text := p.rows[0].at(name.index).trimmed()
	if len(strings.Fields(text)) >= remarkWords {
		in.complain(p, p.rows[0], name.place(), refuse(quoted(text), "a record", "%s looks like a remark, since nothing else stands in its row; take the row out, or fill in what is known of the %s", quoted(text), p.rec.Kind()))
	}
}

// onlyCell is the column of the only cell of a row that holds something, else -1.
func onlyCell(r *row) int {
	only := -1
	for i, c := range r.cells {
		switch {
		case c.empty() || blank(c.text) && c.form != noValue:
		case only >= 0:
			return -1
		default:
			only = i
		}
	}
	return only
}

func (l *layout) knownColumns() int {
	known := 0
	for i := range l.bindings {
		if l.bindings[i].known() {
			known++
		}
	}
	return known
}

// called is what a row calls its record: a handle, or else a name, without the maker.
func (p *pending) called() string {
	if p.made {
		return slug(textOf(p.rec, "name"))
	}
	return p.rec.Base().Handle
}

func rowOfSums(called string) error {
	return refuse(quoted(called), "a record of its own", "this looks like a row of sums (%s), not a record; take it out of the sheet, or give it another name", quoted(called))
}

// sumOf tells a handle of a row of sums: Total, Subtotal 18 mm, Total motors: 12, Max.
func sumOf(handle string) bool {
	words := strings.Split(handle, "-")
	if sums[handle] || figures[handle] || words[0] == "subtotal" {
		return true
	}
	if !sums[words[0]] && !figures[words[0]] {
		return false
	}
	for _, word := range words[1:] {
		_, kind := inventory.KindNamed(word)
		number := strings.Trim(word, "0123456789.") == "" && !figures[words[0]]
		if !kind && !summed[word] && !number {
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
	"total": true, "totals": true, "sum": true, "mean": true, "median": true, "stdev": true, "std-dev": true, "standard-deviation": true, "grand-total": true, "subtotal": true,
	"gesamt": true, "summe": true, "mittelwert": true, "durchschnitt": true, "somme": true, "moyenne": true, "totale": true, "suma": true, "promedio": true, "media": true,
}

// figures are other rows below records, whose words with a number may be a name: Max 24.
var figures = map[string]bool{
	"count": true, "max": true, "maximum": true, "min": true, "minimum": true, "avg": true, "average": true,
	"anzahl": true, "insgesamt": true, "mittel": true, "schnitt": true, "moy": true, "nombre": true, "cuenta": true, "conteggio": true,
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
	if lot, ok := p.rec.(*inventory.Lot); ok && !in.sumOfLots(x, p, lot) && lot.Of == 0 {
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

// sumOfLots refuses a row that adds up the others, unless an item of the file is called
// so. What else is wrong with it is of no interest.
func (in *reader) sumOfLots(x *index, p *pending, lot *inventory.Lot) bool {
	called := lot.Item.Handle
	if !sumOf(called) || lot.ID != uuid.Nil {
		return false
	}
	for _, kind := range inventory.LotKinds {
		if _, ok := x.find(kind, called); ok {
			return false
		}
	}
	p.issues = nil
	in.complain(p, p.rows[0], p.layout.placeOf("item"), rowOfSums(called))
	return true
}

// kindOfLot settles what a lot is of, where no cell says: by its header, or by
// the one item of the file that is called so.
func (in *reader) kindOfLot(x *index, p *pending, lot *inventory.Lot) {
	kinds := []inventory.Kind{}
	if p.of != "" {
		kinds = append(kinds, inventory.Kind(p.of))
	} else {
		for _, kind := range inventory.LotKinds {
			if _, ok := x.find(kind, lot.Item.Handle); ok {
				kinds = append(kinds, kind)
			}
		}
	}
	if len(kinds) == 1 {
		lot.Of, _ = inventory.LotKindOf(kinds[0])
		return
	}
	if lot.Item.Handle != "" && !p.about("kind") {
		in.complain(p, p.rows[0], p.layout.placeOf("item"), refuse(quoted(lot.Item.Handle), "an item and its kind", "nothing says of what kind %s is; add a column Kind (motor, igniter, battery, supply), or head this one Motor, Igniter, Battery or Supply", quoted(lot.Item.Handle)))
	}
}
