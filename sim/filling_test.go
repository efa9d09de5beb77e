package sim

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
)

// A roof that gives 100 L a day from April to September and nothing else, a use of
// 40 L, a tank of 3,000 L of which 300 lie under the outlet: by hand, begun on 1
// April half of it is there after 3 days for what lies under, then 20 of 60 L (the
// first day gives 100 and takes nothing).
func TestFillingByHand(t *testing.T) {
	c := rainfall.Calendar(time.January)
	series := seriesOf(t, 12, func(_, d int) float64 {
		if m, _ := c.MonthDay(d); m >= time.April && m <= time.September {
			return 1
		}
		return 0
	})
	s := question()
	s.Roofs, s.Uses, s.Sizes = plain(100, 1, 1), []Use{{Daily: 40}}, []float64{3000}
	s.Under = Under{Dead: 100, Reserve: 200}
	f, err := asked(t, series, gen.WaterYears(), s).Filling(3000)
	require.NoError(t, err)
	require.Len(t, f, 12)
	april := f[3]
	assert.Equal(t, time.April, april.Month)
	// Under: days 1 to 3. Day 4 brings 100; each later one 60 more. Half is 1,200 L
	// above: 100 + 60·k ≥ 1,200 with k = 19: day 23. It runs over on the day after
	// 100 + 60·k + 100 > 2,700 with k = 42: day 47.
	assert.Equal(t, 23.0, april.Half)
	assert.Equal(t, 47.0, april.Full)
	assert.Equal(t, 2.0, april.Refill)
	assert.Equal(t, 2.0, april.Worst)
	// Begun on 1 October it waits for April: 182 days, 183 in a leap year.
	assert.InDelta(t, 23+182, f[9].Half, 1)
}

// The same roof, use and size with 1 m² of open water and nothing under the outlet, by
// hand: of the 100 L from the roof and 1 L of rain on the water a day leaves 50.5, as 40
// are drawn and 10.5 evaporate (1.05 of 10 mm, FAO-56 table 12); on the first day the
// tank holds nothing to draw from. So 90.5 + 50.5·k L are there on the evening of day
// 1 + k: half of 3,000 with k = 28. Day 58 begins with 90.5 + 50.5·56 = 2,918.5 and is the
// first that brings more than there is room for; that some evaporates every evening does
// not keep it from running over.
func TestFillingOfOpenWater(t *testing.T) {
	c := rainfall.Calendar(time.January)
	series := seriesOf(t, 12, func(_, d int) float64 {
		if m, _ := c.MonthDay(d); m >= time.April && m <= time.September {
			return 1
		}
		return 0
	})
	s := question()
	s.Roofs, s.Uses, s.Sizes = plain(100, 1, 1), []Use{{Daily: 40}}, []float64{3000}
	s.Under, s.Fitted.Open = Under{}, 1
	s.Air.Monthly = [12]float64{3: 300, 4: 310, 5: 300, 6: 310, 7: 310, 8: 300}
	f, err := asked(t, series, gen.WaterYears(), s).Filling(3000)
	require.NoError(t, err)
	assert.Equal(t, 29.0, f[3].Half)
	assert.Equal(t, 58.0, f[3].Full)
	assert.Equal(t, 58.0, f[3].Longest)
}
