// Package inventory holds the nouns of the box - motors, igniters, batteries,
// controllers, lines, rockets, supplies, lots, the ledger, readings, launch days
// and settings - with one table of fields for each kind, what is refused and
// what is warned of, what refers to what, and the arithmetic of the ledger.
//
// The field tables are the one place that says what a record holds: the
// archive, the sheet headers, the flags of add and edit, the listings, the
// field-by-field differences, the schema and the stored form all read them.
//
// The package knows neither the store, nor the engine, nor files, nor the
// clock: it imports the standard library, google/uuid and inventory/quantity.
package inventory
