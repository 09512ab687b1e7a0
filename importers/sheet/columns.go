package sheet

import (
	"strings"
	"sync"

	"rangebox/inventory"
)

// column is what one column of a kind's sheet can hold: a field, or what a part
// is flattened to.
type column struct {
	key string
	f   *inventory.Field
	as  shape
	// nozzle columns are of the row's nozzle, not of the motor.
	nozzle bool
}

// shape is how a field stands in a cell.
type shape uint8

const (
	plainly shape = iota // one value, or several of a list
	asCurve              // t:F pairs
	asJSON               // as the archive has it
)

// columnsOf lists the columns of a kind's sheet, in the order they are written:
// handle, fields with a motor's nozzle among them, notes, id.
func columnsOf(kind inventory.Kind) []column {
	var first, middle, last []column
	t := kind.Info().Table
	for i := range t.Fields {
		f := &t.Fields[i]
		c := column{key: f.Key, f: f, as: shapeOf(f)}
		switch {
		case f.Key == "handle":
			first = append(first, c)
		case f.Key == "id" || f.Key == "notes":
			last = append([]column{c}, last...)
		case kind == inventory.KindMotor && f.Key == "nozzles":
			middle = append(middle, nozzleColumns(f.Sub)...)
		default:
			middle = append(middle, c)
		}
	}
	return append(append(first, middle...), last...)
}

func nozzleColumns(t *inventory.Table) []column {
	var list []column
	for i := range t.Fields {
		f := &t.Fields[i]
		c := column{key: f.Key, f: f, as: shapeOf(f), nozzle: true}
		switch f.Key {
		case "name":
			c.key = inventory.NozzleColumn
		case "curve":
			c.key = inventory.NozzleCurveColumn
		}
		list = append(list, c)
	}
	return list
}

func shapeOf(f *inventory.Field) shape {
	switch {
	case f.Type == inventory.TypeNested && f.Key == "curve":
		return asCurve
	case f.Type == inventory.TypeNested || f.Type == inventory.TypeMap:
		return asJSON
	}
	return plainly
}

// numeric tells whether cells hold quantities.
func (c *column) numeric() bool {
	return c.as == plainly && (c.f.Type == inventory.TypeNumber || c.f.Type == inventory.TypeNumbers)
}

// many tells whether a cell may hold several quantities: several throats are
// several nozzles.
func (c *column) many() bool {
	return c.f.Type == inventory.TypeNumbers || c.nozzle && c.f.Key == "throat_mm"
}

// long tells whether a text may go on in a second column: a cell of a workbook
// holds less than our texts.
func (c *column) long() bool {
	return c.as != plainly || c.f.Type == inventory.TypeText
}

// suffixes are the endings by which keys name units that are not spelt so.
var suffixes = map[string]string{"ohm/m": "_ohm_per_m", "%": "_pct", "m/s": "_m_s"}

// base is the key without its unit.
func (c *column) base() string {
	if !c.numeric() || c.f.Scale.Name == "" {
		return c.key
	}
	ending, ok := suffixes[c.f.Scale.Name]
	if !ok {
		ending = "_" + strings.ToLower(c.f.Scale.Name)
	}
	return strings.TrimSuffix(c.key, ending)
}

// title is the header that a workbook is written with: plain words and the unit.
func (c *column) title() string {
	words := strings.ReplaceAll(c.base(), "_", " ")
	words = strings.ToUpper(words[:1]) + words[1:]
	if c.base() == c.key {
		return words
	}
	return words + " (" + c.f.Scale.Name + ")"
}

// lexicon is the words that head the columns of a kind.
type lexicon struct {
	kind    inventory.Kind
	columns []column
	keys    map[string]*column   // the fields' own names
	words   map[string][]*column // and all others
}

func lexiconOf(kind inventory.Kind) *lexicon {
	lex := &lexicon{kind: kind, columns: columnsOf(kind), keys: map[string]*column{}, words: map[string][]*column{}}
	byKey := map[string]*column{}
	for i := range lex.columns {
		c := &lex.columns[i]
		byKey[c.key] = c
		lex.keys[plain(c.key)] = c
		lex.add(c.base(), c)
	}
	for _, s := range inventory.Synonyms(kind) {
		for _, word := range s.Words {
			if c := byKey[s.Key]; c != nil {
				lex.add(word, c)
			}
		}
	}
	lex.shorten()
	return lex
}

// shorten adds words as people shorten them, head len, where they mean nothing yet.
func (lex *lexicon) shorten() {
	short := map[string][]*column{}
	for word, found := range lex.words {
		for _, s := range inventory.Shortened {
			short[strings.Replace(word, s.Word, s.Short, 1)] = found
		}
	}
	for word, found := range short {
		if lex.words[word] == nil {
			lex.words[word] = found
		}
	}
}

// named is the column that a person means, by its key or by a word for it alone.
func (lex *lexicon) named(word string) *column {
	if c := lex.keys[plain(word)]; c != nil {
		return c
	}
	if found := lex.words[plain(word)]; len(found) == 1 {
		return found[0]
	}
	return nil
}

func (lex *lexicon) add(word string, c *column) {
	word = plain(word)
	for _, other := range lex.words[word] {
		if other == c {
			return
		}
	}
	lex.words[word] = append(lex.words[word], c)
}

// lexicons of every kind, made when first asked for and never changed: most
// commands read no sheet.
var lexicons = sync.OnceValue(func() []*lexicon {
	list := make([]*lexicon, len(inventory.Kinds))
	for i, info := range inventory.Kinds {
		list[i] = lexiconOf(info.Kind)
	}
	return list
})
