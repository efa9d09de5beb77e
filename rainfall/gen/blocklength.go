package gen

import "math"

// BlockLength is the mean block that resamples a series best, by the
// automatic choice of Politis & White 2004 (Econom. Rev. 23:53) with the
// correction of Patton, Politis & White 2009 (Econom. Rev. 28:372).
type BlockLength struct {
	Stationary float64 // mean of the stationary bootstrap's geometric block, steps, ≥ 1
	Circular   float64 // length of the circular bootstrap's fixed block, steps, ≥ 1
	Lags       int     // M, the lags whose autocovariance entered
}

// AutoBlock returns the automatic block lengths of x, in steps. They are
// bounded by min(3√n, n/3) above, as Patton's own programs bound them, and by
// 1 below. A series of fewer than 9 values, or one that does not vary, gets
// blocks of 1: nothing can be learnt about its dependence.
func AutoBlock(x []float64) BlockLength {
	n := len(x)
	if n < 9 {
		return BlockLength{1, 1, 0}
	}
	run := max(5, int(math.Log10(float64(n))))
	maxLag := min(int(math.Ceil(math.Sqrt(float64(n))))+run, n-1)
	// Lags cost: where the autocorrelation falls quiet early, a few tell as
	// much as all.
	r := Autocov(x, min(maxLag, 24))
	if r[0] == 0 {
		return BlockLength{1, 1, 0}
	}
	m := bandwidth(r, n, run)
	if last := len(r) - 1; last < maxLag && (m == last || m/2+run > last) {
		r = Autocov(x, maxLag)
		m = bandwidth(r, n, run)
	}
	bound := math.Ceil(min(3*math.Sqrt(float64(n)), float64(n)/3))
	clip := func(b float64) float64 { return max(1, min(b, bound)) }
	return BlockLength{clip(blockFrom(r, m, n, 2)), clip(blockFrom(r, m, n, 4.0/3)), m}
}

// bandwidth returns M = 2m: m is the smallest lag after which run
// autocorrelations in a row lie inside ±2·sqrt(log10(n)/n), at least 1; where
// no such run exists, the largest lag that lies outside. M is at most the
// lags that r holds.
func bandwidth(r []float64, n, run int) int {
	limit := 2 * math.Sqrt(math.Log10(float64(n))/float64(n))
	m, quiet := 1, 0
	for k := 1; k < len(r); k++ {
		if math.Abs(r[k]/r[0]) < limit {
			if quiet++; quiet == run {
				m = max(k-run, 1)
				break
			}
			continue
		}
		quiet = 0
		m = k
	}
	return min(2*m, len(r)-1)
}

// blockFrom returns the length that minimises the mean squared error of the
// bootstrap's variance, from autocovariances r at lags 0 to m at least:
//
//	b = (2g² / (c·s²) · n)^(1/3),  h(u) = min(1, 2(1−|u|))
//	g = Σ h(k/m)|k|R(k),  s = Σ h(k/m)R(k),  k = −m … m
//
// c is 2 for the stationary bootstrap and 4/3 for the circular one.
func blockFrom(r []float64, m, n int, c float64) float64 {
	g, s := 0.0, r[0]
	for k := 1; k <= m; k++ {
		h := min(1, 2*(1-float64(k)/float64(m)))
		g += float64(2 * h * float64(k) * r[k])
		s += float64(2 * h * r[k])
	}
	if s == 0 {
		return math.Inf(1) // dependence too strong to see over: the bound decides
	}
	return math.Cbrt(2 * g * g / (c * s * s) * float64(n))
}
