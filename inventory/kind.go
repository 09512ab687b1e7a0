package inventory

import "github.com/google/uuid"

// Kind is a kind of record.
type Kind string

// The kinds of record there are.
const (
	KindMotor      Kind = "motor"
	KindIgniter    Kind = "igniter"
	KindBattery    Kind = "battery"
	KindController Kind = "controller"
	KindLine       Kind = "line"
	KindRocket     Kind = "rocket"
	KindSupply     Kind = "supply"
	KindLot        Kind = "lot"
	KindEvent      Kind = "event"
	KindReading    Kind = "reading"
	KindDay        Kind = "day"
	KindSettings   Kind = "settings"
)

// Record is any of the nouns.
type Record interface {
	Base() *Header
	Kind() Kind
}

// KindInfo is what there is to know about a kind.
type KindInfo struct {
	Kind Kind
	// Plural is the archive's key for the array of them.
	Plural string
	Table  *Table
	New    func() Record
	// Handled kinds are known by a handle, the others by their id.
	Handled bool
}

// Kinds lists every kind, catalogue first, each before what refers to it.
var Kinds = []KindInfo{
	{KindSupply, "supplies", supplyTable, func() Record { return new(Supply) }, true},
	{KindIgniter, "igniters", igniterTable, func() Record { return new(Igniter) }, true},
	{KindMotor, "motors", motorTable, func() Record { return new(Motor) }, true},
	{KindBattery, "batteries", batteryTable, func() Record { return new(Battery) }, true},
	{KindController, "controllers", controllerTable, func() Record { return new(Controller) }, true},
	{KindLine, "lines", lineTable, func() Record { return new(Line) }, true},
	{KindRocket, "rockets", rocketTable, func() Record { return new(Rocket) }, true},
	{KindLot, "lots", lotTable, func() Record { return new(Lot) }, false},
	{KindEvent, "events", eventTable, func() Record { return new(Event) }, false},
	{KindReading, "readings", readingTable, func() Record { return new(Reading) }, false},
	{KindDay, "days", dayTable, func() Record { return new(Day) }, false},
	{KindSettings, "settings", settingsTable, func() Record { return new(Settings) }, false},
}

// Info finds what there is to know about a kind; it panics for a kind that is
// not in the list, which is a mistake in the program.
func (k Kind) Info() KindInfo {
	for _, info := range Kinds {
		if info.Kind == k {
			return info
		}
	}
	panic("inventory: no kind " + string(k))
}

// KindNamed finds a kind by its name or its plural.
func KindNamed(name string) (KindInfo, bool) {
	for _, info := range Kinds {
		if string(info.Kind) == name || info.Plural == name {
			return info, true
		}
	}
	return KindInfo{}, false
}

// headerFields are the first fields of every record.
func headerFields[R any](p func(*R) *Header, handled bool) []Field {
	fields := []Field{
		ident(1, "id", "the record's own id", func(r *R) *uuid.UUID { return &p(r).ID }),
	}
	if handled {
		fields = append(fields, text(2, "handle", "short name to call it by", func(r *R) *string { return &p(r).Handle }))
	}
	return append(fields, text(3, "notes", "anything worth remembering", func(r *R) *string { return &p(r).Notes }))
}

// table joins header fields and a kind's own.
func table[R any](name string, p func(*R) *Header, handled bool, own ...Field) *Table {
	return &Table{Name: name, Fields: append(headerFields(p, handled), own...)}
}

// refusing adds what is refused beyond single fields.
func refusing[R any](t *Table, check func(*R) []error) *Table {
	t.check = func(rec any) []error { return check(rec.(*R)) }
	return t
}

// doubting adds what is implausible and only warned of.
func doubting[R any](t *Table, doubts func(*R) []string) *Table {
	t.doubts = func(rec any) []string { return doubts(rec.(*R)) }
	return t
}
