package sim

import "math"

// steadyBits is how many of a number's 53 bits steady keeps.
const steadyBits = 36

// steady rounds x to one part in 2³⁶. math.Pow, Exp and Log and the quantiles
// of distributions end in bits that differ between processors; what rests on
// them must not.
func steady(x float64) float64 {
	const drop = 53 - steadyBits
	return math.Float64frombits((math.Float64bits(x) + 1<<(drop-1)) &^ (1<<drop - 1))
}

// inRatio returns the size a share w, 0 to 1, of the way from low to high in
// equal ratios.
func inRatio(low, high, w float64) float64 {
	switch {
	case w <= 0:
		return low
	case w >= 1:
		return high
	}
	return steady(low * math.Pow(high/low, w))
}
