package near

import (
	"math"
	"slices"
)

// moments are sample L-moments (Hosking 1990, J. R. Stat. Soc. B 52:105): the mean,
// L-CV, L-skewness and L-kurtosis.
type moments struct{ mean, cv, skew, kurtosis float64 }

// momentsOf returns them by the unbiased probability-weighted moments; it wants
// four numbers or more.
func momentsOf(list []float64) moments {
	x, n := slices.Sorted(slices.Values(list)), float64(len(list))
	var b [4]float64
	for k, v := range x {
		w := v / n
		for r := range b {
			b[r] += w
			w *= (float64(k) - float64(r)) / (n - 1 - float64(r))
		}
	}
	l2 := float64(2*b[1]) - b[0]
	l3 := float64(6*b[2]) - float64(6*b[1]) + b[0]
	l4 := float64(20*b[3]) - float64(30*b[2]) + float64(12*b[1]) - b[0]
	return moments{b[0], l2 / b[0], l3 / l2, l4 / l2}
}

// pearson is the Pearson type III distribution of mean 1: its coefficients of
// variation and skewness.
type pearson struct{ cv, skew float64 }

// pearsonOf fits it to an L-CV and an L-skewness of at most a third (Hosking &
// Wallis 1997, Regional Frequency Analysis, appendix: from memory, unverified); the
// normal distribution where there is no skewness.
func pearsonOf(cv, skew float64) pearson {
	skew = max(-1.0/3, min(1.0/3, skew))
	z := float64(3 * math.Pi * skew * skew)
	if z < 1e-6 {
		return pearson{cv * math.Sqrt(math.Pi), 0}
	}
	shape := (1 + float64(0.2906*z)) / (z + float64(0.1882*z*z) + float64(0.0442*z*z*z))
	a, _ := math.Lgamma(shape)
	b, _ := math.Lgamma(shape + 0.5)
	return pearson{cv * math.Sqrt(math.Pi*shape) * math.Exp(a-b), math.Copysign(2/math.Sqrt(shape), skew)}
}

// at is the value that goes with a standard normal number, by the cube of Wilson &
// Hilferty (1931, PNAS 17:684: from memory, unverified).
func (p pearson) at(z float64) float64 {
	k := z
	if g := p.skew; g != 0 {
		c := float64(g/6*(z-g/6)) + 1
		k = 2 / g * (float64(c*c*c) - 1)
	}
	return max(0, 1+float64(p.cv*k))
}
