//go:build race

package inventorytest

// UnderRace tells whether the race detector looks on: figures of time and memory
// mean nothing then.
const UnderRace = true
