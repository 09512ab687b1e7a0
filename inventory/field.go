package inventory

import (
	"rangebox/inventory/quantity"
)

// Type is how a field is read and written.
type Type uint8

// The types of field there are.
const (
	TypeText    Type = iota // free text
	TypeWord                // one of Words
	TypeWords               // several of Words
	TypeNumber              // a quantity, in Scale
	TypeNumbers             // several quantities
	TypeFlag                // true or false
	TypeDate                // a day
	TypeMoment              // RFC 3339
	TypeID                  // a UUID
	TypeRef                 // another record, by handle; a lot by id
	TypeMap                 // text by text
	TypeNested              // records of Sub, one or many
)

// Sign says which numbers a field takes.
type Sign uint8

// The signs there are.
const (
	Positive Sign = iota
	NotNegative
	AnySign
)

// Field is one field of a kind of record. Fields are values: a table of them
// says everything that a file, a flag or a listing needs to know.
type Field struct {
	// Num names the field in stored records, for ever; a number is never reused.
	Num int
	// Key is the archive's name, unit included.
	Key string
	// Help says what is meant, in one line.
	Help string
	Type Type
	// Scale is the unit of numbers.
	Scale *quantity.Scale
	Sign  Sign
	// Max is the largest number taken, in steps; 0 is no limit.
	Max int64
	// Words are the words taken; Open admits others too.
	Words []string
	Open  bool
	// Refers lists the kinds a reference may point to.
	Refers []Kind
	// Sub is the table of nested records, Single where there is at most one.
	Sub    *Table
	Single bool
	// Derived fields are written out and not stored.
	Derived bool
	at      access
}

// access reaches the field inside a record, given as a pointer to its struct.
// Values are: string (text, word), []string (words), int64 (number),
// []int64 (numbers), bool (flag), Date, time.Time (moment), uuid.UUID (id), Ref,
// map[string]string. get says false for what is not known.
type access struct {
	get func(rec any) (any, bool)
	set func(rec any, value any) // nil clears
	// references only: where the reference itself lies
	ref func(rec any) *Ref
	// nested records only
	size func(rec any) int
	elem func(rec any, i int) any
	add  func(rec any) any
	cut  func(rec any)
	// several nested records only
	drop   func(rec any) // the last
	remove func(rec any, i int)
}

// Table is the fields of one kind of record, or of a part of one.
type Table struct {
	// Name is what one such record is called.
	Name   string
	Fields []Field
	// check refuses what no single field shows; doubts lists what is implausible.
	check  func(rec any) []error
	doubts func(rec any) []string
}

// Field finds a field by its key.
func (t *Table) Field(key string) (*Field, bool) {
	for i := range t.Fields {
		if t.Fields[i].Key == key {
			return &t.Fields[i], true
		}
	}
	return nil, false
}

// Keys lists the keys of the table.
func (t *Table) Keys() []string {
	keys := make([]string, len(t.Fields))
	for i := range t.Fields {
		keys[i] = t.Fields[i].Key
	}
	return keys
}

// Known tells whether the record holds a value for the field.
func (f *Field) Known(rec any) bool {
	if f.Type == TypeNested {
		return f.at.size(rec) > 0
	}
	_, ok := f.at.get(rec)
	return ok
}

// Parts gives pointers to the nested records of a field.
func (f *Field) Parts(rec any) []any {
	parts := make([]any, f.at.size(rec))
	for i := range parts {
		parts[i] = f.at.elem(rec, i)
	}
	return parts
}

// AddPart appends an empty nested record and gives a pointer to it, which holds
// until the next is added.
func (f *Field) AddPart(rec any) any { return f.at.add(rec) }

// Clear makes the field unknown.
func (f *Field) Clear(rec any) {
	if f.Type == TypeNested {
		f.at.cut(rec)
		return
	}
	f.at.set(rec, nil)
}
