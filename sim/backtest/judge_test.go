package backtest

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
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

// The months of a backtest are chosen by the years at the beginning of a record
// that its shortest window learns from, and by no later one.
func TestStorageYearSeesNoFuture(t *testing.T) {
	rain := func(wet time.Month, years int) (out []float64) {
		for i := range years * rainfall.DaysPerYear {
			_, m, _ := (rainfall.Day(2001, time.January, 1) + rainfall.Date(i)).YMD()
			out = append(out, map[bool]float64{true: 6}[(m+12-wet)%12 < 4])
		}
		return out
	}
	start := func(b *Study, depth []float64) time.Month {
		m, ok := b.StorageYear(&rainfall.Record{First: rainfall.Day(2001, time.January, 1), Depth: depth})
		require.True(t, ok)
		return m
	}
	b := NewStudy()
	b.Learn = []int{30, 20}
	// Four wet months fill every store in less than two, and the first month
	// that finds them all full counts.
	early, late := rain(time.November, 40), rain(time.May, 40)
	assert.Equal(t, time.January, start(b, early))
	assert.Equal(t, time.July, start(b, late))
	b.Learn = []int{30, 5}
	assert.Equal(t, time.January, start(b, append(early[:5*365:5*365], late[5*365:]...)), "what comes later")
	b.Learn = []int{40, 30}
	assert.Equal(t, time.July, start(b, append(early[:5*365:5*365], late[5*365:]...)))

	// The site's roofs are scaled: their area has no say, how the demand is
	// spread has.
	b.Roofs[0].Area = 7e5
	assert.Equal(t, time.January, start(b, early))
	b.Uses = []sim.Use{{Monthly: [12]float64{10: 9000, 11: 9000}}}
	assert.NotEqual(t, time.January, start(b, early))
	_, ok := b.StorageYear(&rainfall.Record{Depth: make([]float64, 900)})
	assert.False(t, ok)
}
