package backtest

// How well a claim made before the event held after it. A claim is a
// predictive distribution of a count x = 0 … n, here of dry years; p[x] is
// the probability of x and the p sum to 1.

// PIT returns the probability integral transform of an outcome x, made
// continuous by a number v drawn evenly from 0 to 1:
//
//	P(X < x) + v·P(X = x)
//
// It is even on 0 … 1 where the claims are true, however coarse the count
// (Brockwell 2007, Stat. Probab. Lett. 77:1473; Czado, Gneiting & Held 2009,
// Biometrics 65:1254: both from memory, unverified). "x lies in the claim's
// interval" would flatter a claim about a count, whose interval holds more
// than it says.
func PIT(p []float64, x int, v float64) float64 {
	below := 0.0
	for _, q := range p[:x] {
		below += q
	}
	return min(1, below+float64(v*p[x]))
}

// Central says whether a PIT lies in the middle level of 0 … 1.
func Central(pit, level float64) bool {
	return pit >= (1-level)/2 && pit <= (1+level)/2
}

// Winkler returns the interval score of the bounds low … high, claimed at a
// level, for the outcome x:
//
//	(high − low) + 2/α·max(0, low − x) + 2/α·max(0, x − high),  α = 1 − level
//
// Less is better: it pays for width and, dearly, for a miss (Winkler 1972;
// Gneiting & Raftery 2007, J. Am. Stat. Assoc. 102:359, eq. 43: from memory,
// unverified).
func Winkler(low, high, x, level float64) float64 {
	toll := 2 / (1 - level)
	return high - low + float64(toll*max(0, low-x)) + float64(toll*max(0, x-high))
}

// Brier returns (p − y)² with y 1 where the event came and 0 where it did not
// (Brier 1950, Mon. Weather Rev. 78:1, halved as is usual for two outcomes).
func Brier(p float64, came bool) float64 {
	if came {
		p--
	}
	return float64(p * p) // rounded: it is summed
}
