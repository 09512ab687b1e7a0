// Package xlsx reads and writes the part of Office Open XML workbooks (ECMA-376)
// that a table of records needs: sheets of typed cells. It knows no records.
//
// Reading is a stream over each sheet: cells with their place and their form,
// numbers with what the number format of their style puts to them (format.go,
// formatread.go), dates told by it too and counted in the workbook's system (1900
// or 1904), the cached value of a formula in place of the formula. How much is
// unzipped, and how large any one thing may be, is bounded before anything is
// unpacked and again while it is.
//
// Writing is a stream too: text inline, with control characters as the format's
// own _xHHHH_, numbers as numbers, dates as dates, the first row set off.
//
// The package stands on archive/zip and encoding/xml. A library was looked for:
// see DEVELOPERS.md for what each cost.
package xlsx
