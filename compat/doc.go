// Package compat is the engine: it takes records as values and returns
// findings. Which igniter fits a nozzle and lights a propellant, do its leads
// reach, does a line fire it with margin, may a lot be used on a day.
//
// What a rule says and where its limits come from stands in its own file; the
// rules stand in explicit lists (list.go), thresholds and bounds in one table
// (limits.go), the names of figures and how to measure them in another
// (fact.go). Findings are values and become text only when shown.
//
// The package is pure: no store, no clock, no I/O. It imports the records, the
// quantities and its own computations, and nothing else of this module.
package compat
