//go:build race

package sheet

const raceEnabled = true
