package boltstore

// SetStep lets a test's child process do something between any two steps of a
// write.
func SetStep(fn func(name string)) { step = fn }

// Buckets lists the buckets of a box, for the tests of FORMAT.md.
func Buckets() []string { return allBuckets }
