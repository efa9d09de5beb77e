package backtest

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/stat/distuv"

	"tankodds/rainfall/gen"
	"tankodds/sim"
)

// A three-point claim worked by hand: P(0) = 0.2, P(1) = 0.5, P(2) = 0.3.
func TestPIT(t *testing.T) {
	p := []float64{0.2, 0.5, 0.3}
	for _, c := range []struct {
		x       int
		v, want float64
	}{{0, 0.5, 0.1}, {1, 0, 0.2}, {1, 0.5, 0.45}, {2, 0, 0.7}, {2, 1, 1}} {
		assert.InDelta(t, c.want, PIT(p, c.x, c.v), 1e-15)
	}
	assert.True(t, Central(0.05, 0.9) && Central(0.75, 0.5))
	assert.False(t, Central(0.0499, 0.9) || Central(0.7501, 0.5))
}

// Where the claim is the true distribution the PIT is even however coarse the
// count is: the share inside a central interval is its level (DERIV). For a
// binomial of few trials "the outcome lies in the 90 % interval" holds far
// more than 90 %.
func TestPITOfATrueBinomialClaim(t *testing.T) {
	rng := gen.Source(7, 1, 1)
	const cases = 40000
	levels := [3]float64{0.5, 0.8, 0.9}
	for _, q := range []float64{0.03, 0.2, 0.5} {
		p := make([]float64, 11)
		for x := range p {
			p[x] = distuv.Binomial{N: 10, P: q}.Prob(float64(x))
		}
		low, high := sim.CountInterval(p, 0.9)
		var inside [3]float64
		held := 0.0
		for range cases {
			x := 0
			for range 10 {
				if rng.Float64() < q {
					x++
				}
			}
			pit := PIT(p, x, rng.Float64())
			for l, level := range levels {
				if Central(pit, level) {
					inside[l]++
				}
			}
			if low <= float64(x) && float64(x) <= high {
				held++
			}
		}
		for l, level := range levels {
			// four standard errors of a share of so many cases
			assert.InDelta(t, level, inside[l]/cases, 4*math.Sqrt(level*(1-level)/cases), "q %g, level %g", q, level)
		}
		assert.Greater(t, held/cases, 0.93)
	}
}

// Worked by hand with the formula of Gneiting & Raftery 2007, eq. 43 (from
// memory, unverified): α = 0.1, so a miss of 0.05 costs 2/0.1·0.05 = 1.
func TestWinkler(t *testing.T) {
	for _, c := range [][5]float64{ // low, high, outcome, level, score
		{0.1, 0.4, 0.2, 0.9, 0.3}, {0.1, 0.4, 0.4, 0.9, 0.3}, {0.1, 0.4, 0.45, 0.9, 1.3}, {0.1, 0.4, 0.05, 0.9, 1.3},
		{2, 5, 6, 0.5, 7}, // 3 + 2/0.5·1
	} {
		assert.InDelta(t, c[4], Winkler(c[0], c[1], c[2], c[3]), 1e-12)
	}
}

func TestBrier(t *testing.T) {
	assert.InDelta(t, 0.09, Brier(0.7, true), 1e-15)
	assert.InDelta(t, 0.49, Brier(0.7, false), 1e-15)
	assert.Zero(t, Brier(1, true))
}
