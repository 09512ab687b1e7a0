package boltstore

// step is called between every two steps of a write. It does nothing; the kill
// tests put an end to their process there.
var step = func(name string) {}
