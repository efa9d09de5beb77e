package gen

import "math"

// Autocov returns the autocovariances of x at lags 0 to maxLag, with divisor
// len(x) at every lag, as the bootstrap's theory wants them:
//
//	R(k) = Σ (x[t] − mean)(x[t+k] − mean) / n
//
// maxLag must be below len(x). Sums run in index order, not through a
// vectorised library, so that every processor gives the same bytes.
func Autocov(x []float64, maxLag int) []float64 {
	m := mean(x)
	r := make([]float64, maxLag+1)
	for k := range r {
		sum := 0.0
		for t := range len(x) - k {
			sum += float64((x[t] - m) * (x[t+k] - m))
		}
		r[k] = sum / float64(len(x))
	}
	return r
}

// Autocorrelation returns R(lag)/R(0), dimensionless; NaN where x does not
// vary or is no longer than the lag.
func Autocorrelation(x []float64, lag int) float64 {
	if lag >= len(x) {
		return math.NaN()
	}
	r := Autocov(x, lag)
	return r[lag] / r[0]
}

func mean(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}
