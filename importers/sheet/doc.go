// Package sheet reads the spreadsheet that a flyer already keeps, and writes one:
// text tables (CSV and its kin) and .xlsx workbooks.
//
// Reading goes in steps, a file each. A file becomes sheets of cells, whatever it
// is (open.go, csv.go, and package xlsx). A sheet's header row and kind are found
// by how many of its cells name columns of that kind (layout.go, header.go): the
// fields' own names, or the plain words of inventory.Synonyms with a unit in
// brackets or after a comma. Each cell is read by its field's type, a unit in the
// cell before the header's (value.go, number.go, date.go); a cell that is joined over
// rows speaks for each (joined.go); hidden sheets are passed over, hidden rows are not,
// since a filter hides them. Rows become records, and what a sheet flattens is
// joined again (read.go, motor.go). Records without a handle get one from maker and
// name (handle.go).
//
// Nothing is guessed: a header that is not known, two that mean the same, a number
// without a unit, 03/04/2027, a comma that may be a point or a thousand - each is
// said, with what to do. So is a number that its cell shows as another. All
// complaints are collected, at most a hundred listed.
//
// Writing: one sheet a kind. Fields of one value are columns; a motor has a row
// for each nozzle, a curve is t:F pairs in one cell; what is nested otherwise
// (stages, outputs, flights, what is mapped) is one column of JSON text as the
// archive has it. Reading what was written gives the same records, but for a
// record or nozzle of which nothing at all is known: it has no row.
//
// The package imports the standard library, rangebox/importers and the records;
// it knows no store and no engine.
package sheet
