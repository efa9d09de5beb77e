package backtest

import (
	"testing"

	"github.com/stretchr/testify/assert"
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
