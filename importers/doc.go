// Package importers holds what all kinds of file have in common on their way in
// and out: the list of formats, the encodings of text, and the complaint with its
// place. The formats themselves lie in the folders below: archive, sheet, curve.
//
// A format fills records from a file and writes records to one. It is driven by
// the field tables of package inventory, so that a new field needs no line here.
//
// The package knows no store and no engine. It and its folders import the
// standard library, google/uuid, x/text's table of old 8-bit text,
// rangebox/inventory, rangebox/inventory/quantity and each other; a test keeps
// it so.
package importers
