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

// TestYearsToShow: 59 observations without failure show 95 % with 95 %
// confidence, 299 show 99 %, 29 show 90 % (Wilks's numbers, from memory,
// unverified). Ten years cannot show 99 %.
func TestYearsToShow(t *testing.T) {
	for of, want := range map[[2]float64]int{{0.95, 0.95}: 59, {0.99, 0.95}: 299, {0.9, 0.95}: 29, {0.5, 0.75}: 2, {0.1, 0.5}: 1} {
		assert.Equal(t, want, YearsToShow(of[0], of[1]))
	}
	for _, target := range []float64{0.5, 0.8, 0.9, 0.95, 0.99} {
		n := YearsToShow(target, 0.9)
		assert.LessOrEqual(t, math.Pow(target, float64(n)), 0.1+1e-9)
		assert.Greater(t, math.Pow(target, float64(n-1)), 0.1)
	}
	assert.Greater(t, YearsToShow(0.99, 0.9), 10)
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
