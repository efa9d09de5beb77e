package gen

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
	"tankodds/testdata"
)

// totals returns years with the given annual totals, spread evenly.
func totals(mm []float64) *rainfall.Years {
	return made(len(mm), func(i, _ int) float64 { return mm[i] / rainfall.DaysPerYear })
}

// related returns annual totals of an autoregression with lag-1 r.
func related(n int, r float64) []float64 {
	rng := Source(3, 3, 3)
	out := make([]float64, n)
	z := 0.0
	for i := range out {
		z = r*z + math.Sqrt(1-r*r)*rng.NormFloat64()
		out[i] = 1000 + 150*z
	}
	return out
}

func TestYearBlock(t *testing.T) {
	assert.Equal(t, 1.0, YearBlock(totals(related(60, 0))), "independent years stand alone")
	assert.Equal(t, 1.0, YearBlock(totals(related(8, 0.9))), "eight years tell nothing")
	assert.Equal(t, 1.0, YearBlock(made(40, func(int, int) float64 { return 1 })), "years that do not vary")
	long := totals(related(150, 0.6))
	assert.Greater(t, YearBlock(long), 3.0)
	assert.InDelta(t, AutoBlock(related(150, 0.6)).Stationary, YearBlock(long), 1e-9)

	// The Nile's annual flows as rain (R datasets Nile, READ): lag-1
	// autocorrelation 0.498 (COMP), so years hang together.
	assert.Greater(t, YearBlock(totals(testdata.Column(t, "nile.csv", "flow"))), 3.0)

	// Only the longest run of adjacent years is looked at.
	cut := totals(related(150, 0.6))
	for i := range cut.Label {
		cut.Label[i] += i / 8 // a gap every eight years
	}
	assert.Equal(t, 1.0, YearBlock(cut))
}

func TestResample(t *testing.T) {
	y := totals(related(60, 0))
	again := Resample(y, Source(1, 2, 3))
	assert.Equal(t, again, Resample(y, Source(1, 2, 3)))
	assert.NotEqual(t, again.Label, Resample(y, Source(1, 2, 4)).Label)
	assert.Equal(t, 60, again.Len())
	assert.Equal(t, y.Start, again.Start)
	for k, label := range again.Label {
		assert.Equal(t, y.Rain[label-1950], again.Rain[k])
	}
	assert.Zero(t, Resample(&rainfall.Years{Start: 1}, Source(1, 2, 3)).Len())
	assert.Equal(t, []int{1950}, Resample(totals([]float64{5}), Source(1, 2, 3)).Label)
}

// Blocks keep neighbours together, over no gap, and every year is drawn
// equally often, those at the ends of runs too.
func TestResampleBlocks(t *testing.T) {
	y := totals(related(150, 0.6))
	for i := range y.Label {
		if i >= 120 {
			y.Label[i] += 10
		}
	}
	block := YearBlock(y)
	require.Greater(t, block, 2.0)
	const n = 4000
	drawn := make([]float64, 150)
	at := map[int]int{}
	for i, label := range y.Label {
		at[label] = i
	}
	together, overGap := 0.0, 0.0
	for k := range n {
		r := Resample(y, Source(1, 1, uint64(k)))
		for j, label := range r.Label {
			drawn[at[label]]++
			if j == 0 {
				continue
			}
			if label == r.Label[j-1]+1 {
				together++
			}
			if at[label] == 120 && at[r.Label[j-1]] == 119 {
				overGap++
			}
		}
	}
	// A year goes on with chance 1 − 1/block, but for the two ends of runs;
	// a fresh draw is the next year by chance once in 150.
	want := (1 - 1/block) * 148 / 150
	assert.InDelta(t, want, together/(n*149), 0.01)
	for i, c := range drawn {
		assert.InDelta(t, n, c, 0.12*n, "year %d", i)
	}
	// From year 119 on, a run's beginning is drawn: 0 or 120.
	assert.InDelta(t, (1-1/block)/2, overGap/drawn[119], 0.05)
}
