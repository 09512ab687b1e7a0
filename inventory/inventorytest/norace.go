//go:build !race

package inventorytest

// UnderRace tells whether the race detector looks on.
const UnderRace = false
