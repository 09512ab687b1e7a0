package thrust

// classes is the published impulse table, from the bottom. Each upper bound is
// twice the one before: 0.3125 N s for 1/8A (Model Rocket Sporting Code,
// section Classification, 1/8A to G; read), 320 N s for H to 40960 N s for O
// (quoted; the last is also 14 CFR 101.22, read), doubling beyond (quoted).
var classes = [...]string{
	"1/8A", "1/4A", "1/2A", "A", "B", "C", "D", "E", "F", "G", "H", "I", "J", "K", "L", "M", "N", "O",
	"P", "Q", "R", "S", "T", "U", "V", "W", "X", "Y", "Z",
}

// lowestBound is the upper bound of the first class, N s (as above).
const lowestBound NewtonSeconds = 0.3125

// roundingSlack is what a sum of some hundred float64 terms may be off by,
// relative. An impulse that is a bound but for rounding counts as the bound.
const roundingSlack = 1e-12

// Class returns the letter class of a total impulse and the percentage of the
// class used: 100 x impulse / upper bound, so that a full motor has 100 and one
// that just left the class below has 50. Upper bounds are inclusive. An impulse
// that is not above zero, is no number, or is above class Z (83,886,080 N s)
// gives an empty letter and 0.
func Class(impulse NewtonSeconds) (letter string, percent float64) {
	if !(impulse > 0) {
		return "", 0
	}
	upper := lowestBound
	for _, name := range classes {
		if impulse <= upper*(1+roundingSlack) {
			return name, 100 * float64(impulse/upper)
		}
		upper *= 2
	}
	return "", 0
}

// ClassBounds returns the bounds of a letter class in N s: above lower, up to
// and with upper. The lowest class starts above 0. ok is false for a name that
// is no class.
func ClassBounds(letter string) (lower, upper NewtonSeconds, ok bool) {
	upper = lowestBound
	for _, name := range classes {
		if name == letter {
			return lower, upper, true
		}
		lower, upper = upper, 2*upper
	}
	return 0, 0, false
}

// CertificationLevel returns the flyer's certification level that a motor of
// this class asks for: 0 up to G, 1 for H and I, 2 for J to L, 3 for M to O (the
// national body's levels; read). ok is false above O, for which no level is
// published, and for a name that is no class. National rules differ; some also
// ask for a level by average thrust or propellant mass, which this does not see.
func CertificationLevel(letter string) (level int, ok bool) {
	_, upper, ok := ClassBounds(letter)
	switch {
	case !ok || upper > 40960:
		return 0, false
	case upper <= 160:
		return 0, true
	case upper <= 640:
		return 1, true
	case upper <= 5120:
		return 2, true
	}
	return 3, true
}
