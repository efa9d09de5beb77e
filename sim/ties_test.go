package sim

import (
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
	s := unitQuestion(2)
	s.Sizes = []float64{1, 2, 4, 8}
	s.Measure, s.Target = Volume, 0.5
	r := sized(t, usualYears(t, 5), coin(1, 2), s)
	for k, share := range []float64{0.25, 0.5, 0.5, 0.5} {
		require.Equal(t, share, r.Cells[k].Volumetric.Estimate)
	}
	for _, a := range append(r.Answers, r.Main) {
		assert.Equal(t, []float64{2, 2, 2}, []float64{a.Tank, a.Exact, a.Listed})
		assert.Equal(t, 0.5, a.Cell.Volumetric.Estimate)
	}
}

// Of days and years that are equal the first is named, of others the worst.
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

	// A year is harder for more short days, then a lower low, then less rain; one
	// that is not whole does not count.
	for _, harder := range []RealYear{{Whole: true, Days: 1, ShortDays: 4, LowestStorage: 9, Rain: 900}, {Whole: true, Days: 1, ShortDays: 3, LowestStorage: 4, Rain: 900}, {Whole: true, Days: 1, ShortDays: 3, LowestStorage: 5, Rain: 399}} {
		run.Years[2] = harder
		run.Years[2].Label = 2003
		assert.Equal(t, 2003, pastOf(run, time.January).DriestLabel)
		run.Years[2].Whole = false
		assert.Equal(t, 2002, pastOf(run, time.January).DriestLabel)
	}
}
