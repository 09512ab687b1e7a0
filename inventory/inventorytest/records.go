package inventorytest

import (
	"fmt"
	"strings"

	"github.com/google/uuid"
	"pgregory.net/rapid"

	"rangebox/inventory"
)

// Records draws a batch that an empty box takes: records of every kind but
// perhaps settings, in the order of inventory.Kinds, which refer to each other,
// by handle and lots by id. Kinds with a handle, and lots, have one record at
// least.
func Records(t *rapid.T) *inventory.Batch {
	m := &maker{t: t, handles: map[inventory.Kind][]string{}, weighed: map[string]bool{}}
	m.name()
	batch := &inventory.Batch{}
	for _, info := range inventory.Kinds {
		for i := range m.many(info) {
			batch.Add(m.record(info, i), "", len(batch.Items)+1)
		}
	}
	return batch
}

// Record draws one record that inventory.Check finds nothing about. What it
// refers to need not exist.
func Record(t *rapid.T, kind inventory.Kind) inventory.Record {
	m := &maker{t: t, handles: map[inventory.Kind][]string{}, weighed: map[string]bool{}}
	m.name()
	return m.record(kind.Info(), 0)
}

// maker draws records that refer to the handles and lots it has given out.
type maker struct {
	t       *rapid.T
	handles map[inventory.Kind][]string
	lots    []string // their ids
	// weighed notes the supplies, by handle, and their lots, by id, that are weighed
	weighed map[string]bool
}

const mostRecords = 3

// name gives out the handles and the ids of lots.
func (m *maker) name() {
	for _, info := range inventory.Kinds {
		if info.Handled {
			m.handles[info.Kind] = rapid.SliceOfNDistinct(handles, 1, mostRecords, rapid.ID).Draw(m.t, string(info.Kind)+" handles")
		}
	}
	m.lots = rapid.SliceOfNDistinct(ids, 1, mostRecords, rapid.ID).Draw(m.t, "lot ids")
}

// many is how many records of a kind are drawn.
func (m *maker) many(info inventory.KindInfo) int {
	switch {
	case info.Handled:
		return len(m.handles[info.Kind])
	case info.Kind == inventory.KindLot:
		return len(m.lots)
	case info.Kind == inventory.KindSettings:
		return rapid.IntRange(0, 1).Draw(m.t, "settings")
	}
	return rapid.IntRange(0, mostRecords).Draw(m.t, info.Plural)
}

func (m *maker) record(info inventory.KindInfo, i int) inventory.Record {
	rec := info.New()
	m.fill(info.Table, rec)
	switch {
	case info.Handled:
		m.set(info.Table, rec, "handle", m.handles[info.Kind][i])
	case info.Kind == inventory.KindLot:
		m.set(info.Table, rec, "id", m.lots[i])
	}
	m.mend(rec)
	if errs := inventory.Check(rec); len(errs) > 0 {
		m.t.Fatalf("inventorytest draws a %s that is refused; teach mend.go the rule: %v", info.Kind, errs)
	}
	return rec
}

// fill draws the fields of a record or a part, each known or not.
func (m *maker) fill(t *inventory.Table, rec any) {
	for i := range t.Fields {
		f := &t.Fields[i]
		must := f.Known(rec) // it has a value before any is given
		if !must && !rapid.Bool().Draw(m.t, f.Key+" known") {
			continue
		}
		m.draw(f, rec)
	}
}

func (m *maker) draw(f *inventory.Field, rec any) {
	switch f.Type {
	case inventory.TypeNested:
		m.parts(f, rec)
	case inventory.TypeWords:
		m.must(f.SetList(rec, rapid.SliceOfN(rapid.SampledFrom(f.Words), 1, 4).Draw(m.t, f.Key)))
	case inventory.TypeNumbers:
		m.must(f.SetList(rec, rapid.SliceOfN(numbers(f), 1, 5).Draw(m.t, f.Key)))
	case inventory.TypeMap:
		m.must(f.SetMap(rec, rapid.MapOfN(texts, texts, 0, 4).Draw(m.t, f.Key)))
	case inventory.TypeRef:
		m.must(f.SetText(rec, m.reference(f.Refers)))
	default:
		m.must(f.SetText(rec, scalars(f).Draw(m.t, f.Key)))
	}
}

// parts draws nested records. Names among them are made distinct, as most have
// to be.
func (m *maker) parts(f *inventory.Field, rec any) {
	if f.Single {
		m.fill(f.Sub, f.AddPart(rec))
		return
	}
	for i := range rapid.IntRange(0, 4).Draw(m.t, f.Key) {
		part := f.AddPart(rec)
		m.fill(f.Sub, part)
		if name, ok := f.Sub.Field("name"); ok {
			text, _ := name.Text(part)
			m.must(name.SetText(part, fmt.Sprintf("%s-%d", shortened(text), i)))
		}
	}
}

// shortened leaves room for a number in a text as long as texts may be.
func shortened(text string) string {
	return strings.ToValidUTF8(text[:min(len(text), 60_000)], "")
}

// reference draws a handle or a lot's id that was given out.
func (m *maker) reference(kinds []inventory.Kind) string {
	kind := rapid.SampledFrom(kinds).Draw(m.t, "kind referred to")
	if kind == inventory.KindLot {
		return rapid.SampledFrom(m.lots).Draw(m.t, "lot referred to")
	}
	return rapid.SampledFrom(m.handles[kind]).Draw(m.t, "handle referred to")
}

func (m *maker) set(t *inventory.Table, rec any, key, value string) {
	f, ok := t.Field(key)
	if !ok {
		m.t.Fatalf("inventorytest: a %s has no field %s", t.Name, key)
	}
	m.must(f.SetText(rec, value))
}

func (m *maker) must(err error) {
	if err != nil {
		m.t.Fatalf("inventorytest draws a value that is refused: %v", err)
	}
}

var (
	handles = rapid.StringMatching(`[a-z0-9][a-z0-9.-]{0,39}`)
	ids     = rapid.Map(rapid.SliceOfN(rapid.Byte(), 16, 16), func(b []byte) string {
		b[0] |= 1 // never the nil id, which means none
		return uuid.UUID(b).String()
	})
)
