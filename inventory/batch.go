package inventory

import (
	"fmt"
	"iter"
	"sort"
	"strconv"
	"strings"

	"github.com/google/uuid"
)

// Item is a record of a batch and where it stood in its file.
type Item struct {
	Record Record
	Sheet  string
	Row    int
}

// Batch is what an importer hands over: records, references by handle.
type Batch struct {
	Items []Item
}

// Add appends a record with its place.
func (b *Batch) Add(rec Record, sheet string, row int) {
	b.Items = append(b.Items, Item{rec, sheet, row})
}

// Directory finds records that are already in the box.
type Directory interface {
	// IDOf finds a record by its handle, present or former.
	IDOf(kind Kind, handle string) (uuid.UUID, bool)
	// KindOf finds a record by its id.
	KindOf(id uuid.UUID) (Kind, bool)
}

// Nothing is the directory of an empty box.
type Nothing struct{}

// IDOf finds nothing.
func (Nothing) IDOf(Kind, string) (uuid.UUID, bool) { return uuid.Nil, false }

// KindOf finds nothing.
func (Nothing) KindOf(uuid.UUID) (Kind, bool) { return "", false }

// Problem is what is refused about an item of a batch.
type Problem struct {
	Item int // index into the batch
	Path string
	Err  error
}

// Prepare gives every record an id, checks each, and resolves references in the
// batch first, then in the box. It lists every problem, in the batch's order.
func (b *Batch) Prepare(box Directory) []Problem {
	p := &preparation{batch: b, box: box, handles: map[string]int{}, ids: map[uuid.UUID]int{}, equals: map[string]int{}, looked: map[string]string{}}
	for i := range b.Items {
		p.check(i)
		p.identify(i)
	}
	for i := range b.Items {
		p.resolve(i)
	}
	p.lotIDs()
	sort.SliceStable(p.problems, func(i, j int) bool { return p.problems[i].Item < p.problems[j].Item })
	return p.problems
}

type preparation struct {
	batch    *Batch
	box      Directory
	handles  map[string]int    // kind/handle to item
	ids      map[uuid.UUID]int // id to item
	equals   map[string]int    // how many alike were seen
	looked   map[string]string // what references to nothing probably mean
	problems []Problem
}

func (p *preparation) refuse(i int, path string, err error) {
	p.problems = append(p.problems, Problem{i, path, err})
}

func (p *preparation) check(i int) {
	for _, err := range Check(p.batch.Items[i].Record) {
		p.refuse(i, "", err)
	}
}

// identify gives ids to records with handles and takes those there are; records
// known by content get theirs in lotIDs, once their references are resolved.
func (p *preparation) identify(i int) {
	rec := p.batch.Items[i].Record
	head, kind := rec.Base(), rec.Kind()
	if kind == KindSettings {
		head.ID = SettingsID
	}
	if kind.Info().Handled {
		key := string(kind) + "/" + head.Handle
		if first, twice := p.handles[key]; twice {
			p.refuse(i, "handle", fmt.Errorf("%w: the %s %q is there twice, first in row %d", ErrInvalid, kind, head.Handle, p.batch.Items[first].Row))
			return
		}
		p.handles[key] = i
		p.claim(i, head, kind)
	}
	p.take(i, head.ID)
}

// claim settles the id of a record with a handle against the box.
func (p *preparation) claim(i int, head *Header, kind Kind) {
	inBox, known := p.box.IDOf(kind, head.Handle)
	switch {
	case head.ID == uuid.Nil && known:
		head.ID = inBox
	case head.ID == uuid.Nil:
		head.ID = DerivedID(kind, head.Handle)
	case known && inBox != head.ID:
		p.refuse(i, "handle", fmt.Errorf("%w: the box has another %s %q; give one of them a new handle", ErrConflict, kind, head.Handle))
	}
}

func (p *preparation) take(i int, id uuid.UUID) {
	if id == uuid.Nil {
		return
	}
	kind := p.batch.Items[i].Record.Kind()
	if first, twice := p.ids[id]; twice {
		p.refuse(i, "id", fmt.Errorf("%w: the id %s is there twice, first in row %d", ErrInvalid, id, p.batch.Items[first].Row))
		return
	}
	if other, known := p.box.KindOf(id); known && other != kind {
		p.refuse(i, "id", fmt.Errorf("%w: the id %s belongs to a %s of the box", ErrConflict, id, other))
	}
	p.ids[id] = i
}

func (p *preparation) resolve(i int) {
	for _, r := range References(p.batch.Items[i].Record) {
		if err := p.point(r); err != nil {
			p.refuse(i, r.Path, err)
		}
	}
}

// point resolves one reference, by handle or by id.
func (p *preparation) point(r Reference) error {
	if r.Ref.Handle == "" {
		return p.pointByID(r)
	}
	for _, kind := range r.Kinds {
		if i, ok := p.handles[string(kind)+"/"+r.Ref.Handle]; ok {
			r.Ref.ID = p.batch.Items[i].Record.Base().ID
			return nil
		}
	}
	for _, kind := range r.Kinds {
		if id, ok := p.box.IDOf(kind, r.Ref.Handle); ok {
			r.Ref.ID = id
			return nil
		}
	}
	err := fmt.Errorf("%w: %s points to the %s %q, which neither the file nor the box has", ErrInvalid, r.Path, kindList(r.Kinds), Printable(r.Ref.Handle))
	if near := p.near(r); near != "" {
		return fmt.Errorf("%w; nearest: %s", err, near)
	}
	return err
}

// mostLookedFor is how many of the handles that nothing has are looked for among
// those that are there (ours): with more, something else is wrong.
const mostLookedFor = 100

// near is the handle that a reference to nothing probably means: the one that ends in
// it, as where the maker was left out, else one that is spelled much like it.
func (p *preparation) near(r Reference) string {
	key := kindList(r.Kinds) + "/" + r.Ref.Handle
	if near, ok := p.looked[key]; ok || len(p.looked) >= mostLookedFor {
		return near
	}
	var known, ending []string
	for _, kind := range r.Kinds {
		known = append(known, p.handlesOf(kind)...)
	}
	for _, handle := range known {
		if strings.HasSuffix(handle, "-"+r.Ref.Handle) {
			ending = append(ending, handle)
		}
	}
	near, _ := Nearest(r.Ref.Handle, known)
	if len(ending) == 1 {
		near = ending[0]
	}
	p.looked[key] = near
	return near
}

// handlesOf are the handles of a kind in the batch, and in a box that lists them.
func (p *preparation) handlesOf(kind Kind) (list []string) {
	for _, item := range p.batch.Items {
		if item.Record.Kind() == kind {
			list = append(list, item.Record.Base().Handle)
		}
	}
	if box, ok := p.box.(interface {
		Handles(kind Kind) iter.Seq2[string, string]
	}); ok {
		for handle := range box.Handles(kind) {
			list = append(list, handle)
		}
	}
	return list
}

func (p *preparation) pointByID(r Reference) error {
	if i, ok := p.ids[r.Ref.ID]; ok && hasKind(r.Kinds, p.batch.Items[i].Record.Kind()) {
		return nil
	}
	if kind, ok := p.box.KindOf(r.Ref.ID); ok && hasKind(r.Kinds, kind) {
		return nil
	}
	return fmt.Errorf("%w: %s points to the %s %s, which neither the file nor the box has", ErrInvalid, r.Path, kindList(r.Kinds), r.Ref.ID)
}

func hasKind(kinds []Kind, kind Kind) bool {
	for _, k := range kinds {
		if k == kind {
			return true
		}
	}
	return false
}

// lotIDs gives the records without handle an id made from what they hold, and
// their number among equals.
func (p *preparation) lotIDs() {
	for i := range p.batch.Items {
		rec := p.batch.Items[i].Record
		head := rec.Base()
		if head.ID == uuid.Nil {
			names := contentNames(rec)
			key := string(rec.Kind()) + "\x00" + strings.Join(names, "\x00")
			p.equals[key]++
			head.ID = DerivedID(rec.Kind(), append(names, strconv.Itoa(p.equals[key]))...)
			p.take(i, head.ID)
		}
		if day, ok := rec.(*Day); ok {
			identifyFlights(day)
		}
	}
}

func identifyFlights(day *Day) {
	for i := range day.Flights {
		if f := &day.Flights[i]; f.ID == uuid.Nil {
			f.ID = DerivedID(KindDay, day.ID.String(), "flight", strconv.Itoa(i+1))
		}
	}
}

// contentNames is what makes two records without id one: for a lot its kind,
// item, dates, code and place; for the others all that they hold.
func contentNames(rec Record) []string {
	if lot, ok := rec.(*Lot); ok {
		return []string{string(lot.Of.Item()), lot.Item.ID.String(), lot.Acquired.String(), lot.Expires.String(), lot.Code, lot.Place}
	}
	return contentOf(rec.Kind().Info().Table, rec)
}

func contentOf(t *Table, rec any) []string {
	var names []string
	for i := range t.Fields {
		f := &t.Fields[i]
		if f.Type == TypeNested {
			for _, part := range f.Parts(rec) {
				names = append(names, contentOf(f.Sub, part)...)
			}
			continue
		}
		if s, ok := f.Text(rec); ok {
			names = append(names, f.Key+"="+s)
		}
	}
	return names
}
