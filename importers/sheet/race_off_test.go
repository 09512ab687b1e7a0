//go:build !race

package sheet

const raceEnabled = false
