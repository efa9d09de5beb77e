package sim

import (
	"math"
	"slices"
)

// deviations takes one quantity as each resampled record gave it, with the
// Monte Carlo variance of each, and returns how far each lies from their
// mean with the Monte Carlo noise taken out of the spread: the variance seen
// is the record's plus the noise's, so every deviation is shrunk by
//
//	λ = sqrt(max(0, 1 − mean noise variance / variance seen))
//
// Short replicates are then enough, where long ones would be needed to make
// the noise small by itself. Resampled means of L years vary by (L − 1)/L of
// what means of L fresh years do (Efron 1979); that is made good.
func deviations(values, noise []float64, record int) []float64 {
	n := float64(len(values))
	mean, inner := 0.0, 0.0
	for i, v := range values {
		mean += v
		inner += noise[i]
	}
	mean /= n
	inner /= n
	out := make([]float64, len(values))
	seen := 0.0
	for i, v := range values {
		out[i] = v - mean
		seen += float64(out[i] * out[i])
	}
	if len(values) < 2 || seen == 0 {
		return out
	}
	lambda := math.Sqrt(max(0, 1-inner/(seen/(n-1))))
	if record > 1 {
		lambda *= math.Sqrt(float64(record) / float64(record-1))
	}
	for i := range out {
		out[i] *= lambda
	}
	return out
}

// quantile reads sorted values at p, 0 ≤ p ≤ 1, by straight lines between
// order statistics (definition 7 of Hyndman & Fan 1996). Infinite values are
// allowed: between a finite and an infinite one it is infinite.
func quantile(sorted []float64, p float64) float64 {
	at := float64(p * float64(len(sorted)-1)) // rounded: its fraction is a difference
	i := int(math.Floor(at))
	if w := at - float64(i); w > 0 {
		if math.IsInf(sorted[i+1], 0) {
			return sorted[i+1]
		}
		return sorted[i] + float64(w*(sorted[i+1]-sorted[i]))
	}
	return sorted[i]
}

// spread returns the bounds that hold the middle level of the values.
func spread(values []float64, level float64) (low, high float64) {
	s := slices.Sorted(slices.Values(values))
	return quantile(s, (1-level)/2), quantile(s, (1+level)/2)
}

// finite returns x, or NaN where it is infinite.
func finite(x float64) float64 {
	if math.IsInf(x, 0) {
		return math.NaN()
	}
	return x
}
