package pack

import "math"

// Interval is the exact (Clopper-Pearson) two-sided interval for the chance of
// success where fired of tried were: at its ends, what was seen or more extreme
// has half of what the confidence leaves. Nothing tried: 0 to 1.
func Interval(fired, tried int, confidence float64) (low, high float64) {
	tail := (1 - confidence) / 2
	low, high = 0, 1
	if fired > 0 {
		low = bisect(func(p float64) bool { return atLeast(fired, tried, p) < tail })
	}
	if fired < tried {
		missed := tried - fired
		high = 1 - bisect(func(p float64) bool { return atLeast(missed, tried, p) < tail })
	}
	return low, high
}

// bisect is where below, true from 0 up to some chance, becomes false.
func bisect(below func(p float64) bool) float64 {
	low, high := 0.0, 1.0
	for range 200 {
		middle := (low + high) / 2
		if middle == low || middle == high {
			break
		}
		if below(middle) {
			low = middle
		} else {
			high = middle
		}
	}
	return low
}

// atLeast is the binomial chance of k or more of n, k > 0, for 0 < p < 1.
func atLeast(k, n int, p float64) float64 {
	log := lgamma(float64(n+1)) - lgamma(float64(k+1)) - lgamma(float64(n-k+1)) +
		float64(k)*math.Log(p) + float64(n-k)*math.Log1p(-p)
	sum := 0.0
	for ; k <= n; k++ {
		term := math.Exp(log)
		sum += term
		if term < sum*1e-18 && float64(k) > float64(n)*p {
			break
		}
		log += math.Log(float64(n-k) / float64(k+1) * p / (1 - p))
	}
	return min(sum, 1)
}
