package sim

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
)

// Of sizes that are equally good the smallest is the answer. A millimetre a
// day on 1 m² gives half of the 2 L a day that are wanted to every tank of 2 L
// or more (by YAS it must hold a day's rain beside a day's use) and less to
// any smaller one: the target of one half is met exactly, by all of them.
func TestSmallestOfEquals(t *testing.T) {
	series := usualYears(t, 3)
	s := question()
	s.Roofs = []Roof{{Area: 1, Runoff: 1, Filter: 1, Drains: 1}}
	s.Areas = []float64{1}
	s.Uses = []Use{{Daily: 2}}
	s.Sizes = []float64{1, 2, 4, 8}
	s.Measure, s.Target = Volume, 0.5
	r := sized(t, series, coin(1, 2), s)
	for k, share := range []float64{0.25, 0.5, 0.5, 0.5} {
		require.Equal(t, share, r.Cells[k].Volumetric.Estimate)
	}
	for _, a := range append(r.Answers, r.Main) {
		assert.InEpsilon(t, 2, a.Tank, tolerance-1)
		assert.GreaterOrEqual(t, a.Tank, 2.0)
		assert.Equal(t, 2.0, a.Listed)
		assert.Equal(t, 0.5, a.Cell.Volumetric.Estimate)
	}
}

// A size on the list that is the answer itself is the one to take.
func TestListedIsTheAnswerItself(t *testing.T) {
	s := &Study{Sizes: []float64{1000, 2000, 3000}}
	for tank, want := range map[float64]float64{500: 1000, 1000: 1000, 1000.5: 2000, 3000: 3000} {
		assert.Equal(t, want, s.listed(tank))
	}
	assert.True(t, math.IsNaN(s.listed(3001)))
}

// So it is where storage stops paying: of equal worth, of equal bend, of equal
// gain, the smallest.
func TestSmallestStopOfEquals(t *testing.T) {
	c := &Costs{Sizes: []float64{1000, 3000}, Prices: []float64{100, 100}, Water: 2, Life: 10}
	assert.Equal(t, 1000.0, c.bestValue([]float64{1000, 2000, 3000}, []float64{5, 5, 5}))
	assert.Equal(t, 2000.0, c.bestValue([]float64{1000, 2000, 3000}, []float64{5, 6, 6}))

	at, gap := Knee([]float64{0, 1, 2, 3, 4}, []float64{0, 2, 3, 4, 4})
	assert.Equal(t, 0.25, gap)
	assert.Equal(t, 1, at)

	assert.Equal(t, 2.0, gainStop([]float64{1, 2, 3, 4, 5}, []float64{0, 4, 6, 8, 10}, 1, 2.5), "the first step that adds less")
	assert.Equal(t, 4.0, gainStop([]float64{1, 2, 3, 4, 5}, []float64{0, 4, 6, 8, 9}, 1, 2), "a step that adds as much as asked still pays")
}

// Of days and years that are equal the first is named.
func TestFirstOfEquals(t *testing.T) {
	equal := RealYear{Whole: true, ShortDays: 3, LowestStorage: 5, Rain: 400, Days: 1}
	run := &ReplayResult{Years: []RealYear{equal, equal, equal}}
	first := rainfall.Day(2001, time.January, 1)
	for k, spilled := range []float64{1, 7, 7} {
		run.Years[k].Label = 2001 + k
		run.Daily = append(run.Daily, Day{Date: first + rainfall.Date(k), Water: Water{Spilled: spilled}})
	}
	run.Years[0].ShortDays = 2
	past := pastOf(run, time.January)
	assert.Equal(t, 2002, past.DriestLabel)
	assert.Equal(t, &PeakSpill{first + 1, 0, 7}, past.Peak)
}
