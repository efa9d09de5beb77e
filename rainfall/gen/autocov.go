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

// BootstrapMeanSE returns the standard error, in x's unit, of the mean of x
// under the stationary bootstrap with mean block length block (steps, ≥ 1):
// what resampling for ever would give, in closed form (Politis & Romano 1994,
// J. Am. Stat. Assoc. 89:1303). With p = 1/block and R as in Autocov,
//
//	n·SE² = R(0) + 2 Σ [(1−i/n)(1−p)^i + (i/n)(1−p)^(n−i)] R(i),  i = 1 … n−1
//
// A block of 1 is the plain bootstrap: SE = sqrt(R(0)/n).
func BootstrapMeanSE(x []float64, block float64) float64 {
	n := len(x)
	if n == 0 || !(block >= 1) {
		return math.NaN()
	}
	r := Autocov(x, n-1)
	stay := powers(1-1/block, n)
	sum := r[0]
	for i := 1; i < n; i++ {
		share := float64(i) / float64(n)
		weight := float64((1-share)*stay[i]) + float64(share*stay[n-i])
		sum += float64(2 * weight * r[i])
	}
	return math.Sqrt(sum / float64(n))
}

// powers returns x⁰ … xⁿ.
func powers(x float64, n int) []float64 {
	p := make([]float64, n+1)
	p[0] = 1
	for i := 1; i <= n; i++ {
		p[i] = p[i-1] * x
	}
	return p
}

func mean(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}
