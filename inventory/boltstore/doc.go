// Package boltstore keeps the box in one bbolt file: records by kind and id,
// found by handle; lots; the ledger, append-only; and, derived from it in the
// same transaction, what is on hand, promised and held.
//
// Every exported function that takes a path is one transaction. Reading never
// changes a byte of the file. Writing is all or nothing and durable once the
// function has returned nil. Every value carries a version byte and a CRC-32C,
// so that damage is reported and never served; FORMAT.md states the buckets, the
// bytes and the invariants, each with the check that proves it.
//
// It is the only package that knows bbolt. It imports the standard library,
// google/uuid, bbolt, fxamacker/cbor and inventory; it must not import the
// engine, the importers or the commands, and it never reads the clock: the
// caller gives one in Options.
package boltstore
