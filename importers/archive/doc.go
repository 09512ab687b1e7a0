// Package archive reads and writes the readable form of a box: one JSON document
// (RFC 8259), `{"format": "rangebox-archive", "version": 1, ...}`, with an array
// for each kind of record and one object of settings.
//
// Reading and writing are driven by the field tables of package inventory alone:
// a new field needs no line here. Reading is a stream: no more of the document
// is held than one text of it. All complaints are collected, each with its line
// and the path of its field, as far as the structure of the document allows to
// go on. Nothing is dropped or mended in silence: an unknown field, a key that
// stands twice, null, text that is not UTF-8 and half of an escaped character
// are refused. Numbers go from their text to the field's step, exactly.
//
// What only several records together show - a reference that points to nothing,
// a handle that is there twice - is not judged here: Batch.Prepare does.
//
// The package imports the standard library, rangebox/importers and
// rangebox/inventory with its quantities; it knows no store and no engine.
package archive

import "rangebox/inventory"

// The beginning of every archive.
const (
	// FormatName is the value of "format".
	FormatName = "rangebox-archive"
	// Version is the newest version that is read, and the one that is written.
	Version = 1
)

// Order is the order in which kinds are written: catalogue, rockets, stock, ledger.
var Order = []inventory.Kind{
	inventory.KindMotor, inventory.KindIgniter, inventory.KindBattery, inventory.KindController,
	inventory.KindLine, inventory.KindRocket, inventory.KindSupply, inventory.KindLot,
	inventory.KindEvent, inventory.KindReading, inventory.KindDay, inventory.KindSettings,
}
