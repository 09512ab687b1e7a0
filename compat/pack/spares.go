package pack

import "math"

// MostCarried bounds the answers of Carry and CarryAt: a type of which that many
// would not do is not to be flown.
const MostCarried = 10_000

// nearEnough is how far below the confidence a chance may lie and still count as
// reaching it: room for rounding where the two are equal, as 19/20 and 0.95.
const nearEnough = 1e-12

// Carry is how many igniters to take where needed must fire: the least number of
// which at least needed fire with the chance confidence, and the spares among
// them, with the chance reached. It goes by the prior and what the ledger holds
// of the type. Where MostCarried would not do it answers that, with a chance
// below confidence.
func Carry(needed int, prior Prior, fired, misfired int, confidence float64) (carry, spares int, chance float64) {
	p := prior.After(fired, misfired)
	return trials{max(needed, 0), p.logAll(max(needed, 0)), p.logMiss}.reach(confidence)
}

// CarryAt is Carry where the chance p that one fires is known: the plain
// binomial. p must be above 0 and at most 1.
func CarryAt(needed int, p, confidence float64) (carry, spares int, chance float64) {
	miss := math.Log1p(-p)
	needed = max(needed, 0)
	return trials{needed, float64(needed) * math.Log(p), func(int, int) float64 { return miss }}.reach(confidence)
}

// SuccessRun is how many must fire in a row, without a misfire, to show a
// reliability with a confidence. Both lie between 0 and 1.
func SuccessRun(reliability, confidence float64) int {
	return int(math.Ceil(math.Log1p(-confidence)/math.Log(reliability) - 1e-9)) // room for rounding: 0.1^5 and 0.99999
}

// logMiss is the logarithm of the chance that the next one does not fire after
// so many more did not, of so many more tried.
func (p Prior) logMiss(missed, tried int) float64 {
	return math.Log((p.B + float64(missed)) / (p.A + p.B + float64(tried)))
}

// trials is a row of firings that ends when the last one needed has fired.
type trials struct {
	needed int
	logAll float64                         // of the chance that the first ones needed all fire
	miss   func(missed, tried int) float64 // logarithm of the chance of one more that does not
}

// reach adds up the chances that the last one needed fires as the n-th, for n
// from needed on, until the sum reaches the confidence.
func (t trials) reach(confidence float64) (carry, spares int, chance float64) {
	if t.needed == 0 {
		return 0, 0, 1
	}
	term := t.logAll
	n := t.needed
	for chance = math.Exp(term); chance < confidence-nearEnough && n < MostCarried; n++ {
		missed := n - t.needed
		// One more trial: C(n, needed-1) / C(n-1, needed-1) = n / (missed+1).
		term += math.Log(float64(n)/float64(missed+1)) + t.miss(missed, n)
		chance += math.Exp(term)
	}
	return n, n - t.needed, min(chance, 1)
}
