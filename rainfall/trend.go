package rainfall

import (
	"math"
	"sort"

	"gonum.org/v1/gonum/stat/distuv"
)

// Trend is the Mann–Kendall test for a monotone trend (Mann 1945, Econometrica
// 13:245; Kendall 1975).
type Trend struct {
	N        int
	S        int     // pairs that rise less pairs that fall
	Var      float64 // of S where there is no trend, ties allowed for
	Z        float64 // standardised S, with the continuity correction
	P        float64 // two-sided probability of so large an |S| by chance
	OneSided float64 // the same in the direction of S alone
	Exact    bool    // P and OneSided count orderings; otherwise normal
}

// exactTrend is the longest series without ties whose orderings are counted;
// from there on the normal approximation is the usual practice (tables stop
// at 10 values: EPA QA/G-9S, from memory, unverified).
const exactTrend = 10

// MannKendall tests the values of x, in time order, none NaN. The times
// between them need not be equal. With fewer than two different values P is 1.
func MannKendall(x []float64) Trend {
	n := len(x)
	t := Trend{N: n, P: 1, OneSided: 1}
	for i := range x {
		for j := i + 1; j < n; j++ {
			t.S += sign(x[j] - x[i])
		}
	}
	pairs := func(k float64) float64 { return k * (k - 1) * (2*k + 5) }
	t.Var = pairs(float64(n))
	ties := tieGroups(x)
	for _, k := range ties {
		t.Var -= pairs(float64(k))
	}
	t.Var /= 18
	if t.Var <= 0 {
		t.Var = 0
		return t
	}
	t.Z = float64(t.S-sign(float64(t.S))) / math.Sqrt(t.Var)
	if t.Exact = n <= exactTrend && len(ties) == 0; t.Exact {
		t.OneSided = kendallTail(n, abs(t.S))
	} else {
		t.OneSided = distuv.UnitNormal.Survival(math.Abs(t.Z))
	}
	t.P = min(1, 2*t.OneSided)
	return t
}

// kendallTail returns P(S ≥ s) over all orderings of n different values, for
// s ≥ 0. An ordering with i inversions has S = n(n−1)/2 − 2i, so inversions
// are counted: adding the k-th value adds 0 … k−1 of them.
func kendallTail(n, s int) float64 {
	most := n * (n - 1) / 2
	share := make([]float64, most+1) // share[i]: of the orderings so far, with i inversions
	share[0] = 1
	for k := 2; k <= n; k++ {
		next := make([]float64, most+1)
		for i := range share {
			for add := 0; add < k && i+add <= most; add++ {
				next[i+add] += share[i] / float64(k)
			}
		}
		share = next
	}
	sum := 0.0
	for i := 0; 2*i <= most-s; i++ {
		sum += share[i]
	}
	return sum
}

// tieGroups returns the sizes of the groups of equal values, of two or more.
func tieGroups(x []float64) []int {
	sorted := append([]float64(nil), x...)
	sort.Float64s(sorted)
	var out []int
	for i := 0; i < len(sorted); {
		j := i
		for j < len(sorted) && sorted[j] == sorted[i] {
			j++
		}
		if j-i > 1 {
			out = append(out, j-i)
		}
		i = j
	}
	return out
}

// SenSlope returns the median of the slopes between all pairs of values (Sen
// 1968, J. Am. Stat. Assoc. 63:1379), in x's unit per unit of time. The times
// are rising and as many as the values; NaN with fewer than two.
func SenSlope(time, x []float64) float64 {
	var slopes []float64
	for i := range x {
		for j := i + 1; j < len(x); j++ {
			slopes = append(slopes, (x[j]-x[i])/(time[j]-time[i]))
		}
	}
	if len(slopes) == 0 {
		return math.NaN()
	}
	return medianOf(slopes)
}

// Step is Pettitt's test for one change of level at an unknown time (Pettitt
// 1979, Appl. Stat. 28:126).
type Step struct {
	At            int     // values before the step: it lies between x[At−1] and x[At]
	K             int     // max |U|
	P             float64 // approximate probability of so large a K by chance
	Before, After float64 // means of the values on either side
}

// Pettitt tests the values of x, in time order, none NaN. With U(t) the sum
// of sgn(x[i]−x[j]) over all i < t ≤ j, K = max |U(t)|, first at At, and
//
//	P ≈ 2·exp(−6K² / (n³ + n²)), at most 1
//
// With fewer than two values At is 0, P is 1 and the means are NaN.
func Pettitt(x []float64) Step {
	n := len(x)
	best := Step{P: 1, Before: math.NaN(), After: math.NaN()}
	if n < 2 {
		return best
	}
	u := 0
	best.At, best.K = 1, -1
	for t := 1; t < n; t++ {
		for j := range x {
			u += sign(x[t-1] - x[j]) // the pairs before t cancel one another
		}
		if abs(u) > best.K {
			best.At, best.K = t, abs(u)
		}
	}
	k, m := float64(best.K), float64(n)
	best.P = min(1, 2*math.Exp(-6*k*k/(m*m*m+m*m)))
	best.Before, _ = meanSD(x[:best.At])
	best.After, _ = meanSD(x[best.At:])
	return best
}

func sign(x float64) int {
	switch {
	case x > 0:
		return 1
	case x < 0:
		return -1
	}
	return 0
}

func abs(x int) int { return max(x, -x) }
