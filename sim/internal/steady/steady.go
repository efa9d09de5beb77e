// Package steady makes numbers that come out the same on every processor.
package steady

import "math"

// bits is how many of a number's 53 bits Round keeps.
const bits = 36

// Round rounds x to one part in 2³⁶. math.Pow, Exp and Log and the quantiles
// of distributions end in bits that differ between processors; what rests on
// them must not.
func Round(x float64) float64 {
	const drop = 53 - bits
	return math.Float64frombits((math.Float64bits(x) + 1<<(drop-1)) &^ (1<<drop - 1))
}

// InRatio returns the size a share w, 0 to 1, of the way from low to high in
// equal ratios.
func InRatio(low, high, w float64) float64 {
	switch {
	case w <= 0:
		return low
	case w >= 1:
		return high
	}
	return Round(low * math.Pow(high/low, w))
}

// Ratios returns n sizes, 2 or more, in equal ratios from low to high.
func Ratios(low, high float64, n int) []float64 {
	out := make([]float64, n)
	for k := range out {
		out[k] = InRatio(low, high, float64(k)/float64(n-1))
	}
	return out
}
