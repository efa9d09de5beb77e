package sim

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/stat/distuv"

	"tankodds/testdata"
)

func TestPublishedProportions(t *testing.T) {
	for _, row := range testdata.Table(t, "proportions.csv") {
		f := func(head string) float64 { return testdata.Number(t, row[head]) }
		got := Wilson(f("k"), f("n"), 0.95)
		half := 0.5000001 * math.Pow(10, -f("digits"))
		assert.InDelta(t, f("low"), got.Low, half, "%v", row)
		assert.InDelta(t, f("high"), got.High, half, "%v", row)
		assert.Equal(t, f("k")/f("n"), got.Estimate)
	}
}

// A record long enough to show a target is the first whose lower bound meets it
// though none of its years fails. By Jeffreys' interval for no failure in n draws
// (Brown, Cai & DasGupta 2001) that takes about 1.92/(1 − target) of them, less
// than the 3/(1 − target) of the rule of three, which never covers too little.
func TestYearsToShow(t *testing.T) {
	for _, target := range []float64{0.5, 0.8, 0.9, 0.95, 0.99} {
		n := YearsToShow(target)
		if n > FewYears {
			assert.GreaterOrEqual(t, annualClaim(1, 1.2*float64(n-1)).Interval.Low, target)
			assert.Less(t, annualClaim(1, 1.2*float64(n-2)).Interval.Low, target)
		}
		if target >= 0.9 {
			assert.InDelta(t, 1.9207/(1-target), 1.2*float64(n-1), 2, "%g", target)
		}
	}
	assert.Equal(t, []int{16, 32, 161}, []int{YearsToShow(0.9), YearsToShow(0.95), YearsToShow(0.99)})
}

// TestWilsonInverts checks the bounds by what defines them: the shares that are
// z standard errors from what was seen.
func TestWilsonInverts(t *testing.T) {
	for _, level := range []float64{0.5, 0.8, 0.9, 0.99} {
		z := distuv.UnitNormal.Quantile((1 + level) / 2)
		for _, n := range []float64{1, 7, 50, 10000} {
			for _, k := range []float64{0, 1, math.Floor(n / 3), n - 1, n} {
				w := Wilson(k, n, level)
				for _, p := range []float64{w.Low, w.High} {
					if p > 0 && p < 1 {
						assert.InDelta(t, z, math.Abs(k/n-p)/math.Sqrt(p*(1-p)/n), 1e-6)
					}
				}
			}
		}
	}
	assert.Equal(t, 0.0, Wilson(0, 0, 0.9).Low)
	assert.Equal(t, 1.0, Wilson(0, 0, 0.9).High)
}

// TestMonteCarloOfClusters: where a trace's years go together, the interval
// between traces holds the truth about as often as it says, and one that counts
// the years as independent does not.
func TestMonteCarloOfClusters(t *testing.T) {
	const trials, traces, length, level, truth = 2000, 40, 50, 0.9, 0.8
	rng := rand.New(rand.NewPCG(27, 9))
	holds := func(in Interval) int {
		if in.Low <= truth && truth <= in.High {
			return 1
		}
		return 0
	}
	plain, clustered, supplied := 0, 0, 0
	for range trials {
		var all []*TraceTally
		for range traces {
			good := 0.0
			state := rng.Float64() < truth
			for range length {
				if rng.Float64() < 0.25 { // a new draw every four years on average
					state = rng.Float64() < truth
				}
				if state {
					good++
				}
			}
			all = append(all, tallied(length, length, 1, tally{good: good, supplied: good}))
		}
		sum := totalsOf(all...)
		plain += holds(Wilson(sum.total[0][0].good, traces*length, level))
		clustered += holds(sum.MonteCarlo(Annual, 0, 0, level))
		supplied += holds(sum.MonteCarlo(Volume, 0, 0, level))
	}
	assert.Less(t, float64(plain)/trials, 0.6)
	assert.InDelta(t, level, float64(clustered)/trials, 0.025)
	assert.InDelta(t, level, float64(supplied)/trials, 0.025)
}

// Definition 7 of Hyndman & Fan 1996, the default of R's quantile: at
// 1 + (n−1)p between the order statistics (COMP, by hand).
func TestQuantile(t *testing.T) {
	for _, c := range []struct{ x, at, want []float64 }{
		{[]float64{1, 2, 4, 8, 16}, []float64{0, 0.05, 0.1, 0.25, 0.5, 0.6, 0.75, 0.95, 1}, []float64{1, 1.2, 1.4, 2, 4, 5.6, 8, 14.4, 16}},
		{[]float64{3, 7, 9, 20}, []float64{0.05, 0.5, 0.95}, []float64{3.6, 8, 18.35}}, // as R's quantile has it
		{[]float64{5}, []float64{0.95}, []float64{5}},
	} {
		for k, p := range c.at {
			near(t, c.want[k], quantile(c.x, p), 1e-12, "%v at %g", c.x, p)
		}
	}
}
