package rainfall

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// normalP is the two-sided probability of a standard normal beyond |z|.
func normalP(z float64) float64 { return 2 * distuv.UnitNormal.Survival(math.Abs(z)) }

// permutations calls f with every ordering of 1 … n (Heap's algorithm).
func permutations(n int, f func([]float64)) {
	p := make([]float64, n)
	for i := range p {
		p[i] = float64(i + 1)
	}
	var walk func(int)
	walk = func(k int) {
		if k == 1 {
			f(p)
			return
		}
		for i := range k {
			walk(k - 1)
			j := 0
			if k%2 == 0 {
				j = i
			}
			p[j], p[k-1] = p[k-1], p[j]
		}
	}
	walk(n)
}
