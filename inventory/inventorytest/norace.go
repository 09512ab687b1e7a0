//go:build !race

package boltstore_test

const underRace = false
