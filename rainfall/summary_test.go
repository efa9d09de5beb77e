package rainfall_test

import (
	"math"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
	"tankodds/rainfall/read"
)

func summarise(t *testing.T, r *rainfall.Record, start time.Month) *rainfall.Summary {
	t.Helper()
	s, err := r.Fill(start)
	require.NoError(t, err)
	return rainfall.Summarise(r, s)
}

// A record of 1 mm a day has a climate that can be reckoned by hand.
func TestSummaryOfSteadyRain(t *testing.T) {
	first, next := rainfall.Day(2001, time.March, 15), rainfall.Day(2014, time.February, 1)
	r := &rainfall.Record{First: first, Depth: slices.Repeat([]float64{1}, int(next-first)), Mark: make([]rainfall.Mark, next-first)}
	blank := func(y int, m time.Month, d, days int) { set(r, y, m, d, days, math.NaN()) }
	blank(2005, time.July, 3, 2)      // fillable
	blank(2007, time.August, 1, 5)    // five in a row: the year is lost
	blank(2009, time.September, 1, 4) // eleven, never five in a row: lost
	blank(2009, time.September, 10, 4)
	blank(2009, time.September, 20, 3)
	m := summarise(t, r, time.January)

	assert.Equal(t, 18, m.Missing)
	assert.Equal(t, 2, m.FilledDays)
	assert.Equal(t, 5, m.Gap.Days)
	assert.Equal(t, 11, m.AnnualYears, "2007 has just the 360 days that count, 2009 has not")
	var labels []int
	for _, y := range m.Usable {
		labels = append(labels, y.Label)
		want := 365.0
		if rainfall.Leap(y.Label) {
			want = 366 // 29 February's rain joins the 28th's
		}
		assert.Equal(t, want, y.MM, "%d", y.Label)
	}
	assert.Equal(t, []int{2002, 2003, 2004, 2005, 2006, 2008, 2010, 2011, 2012, 2013}, labels)
	assert.Equal(t, []rainfall.Rejected{
		{Label: 2001, Why: rainfall.Begins, Day: rainfall.Day(2001, time.March, 15)},
		{Label: 2007, Why: rainfall.Gap, Day: rainfall.Day(2007, time.August, 1), Days: 5},
		{Label: 2009, Why: rainfall.Misses, Day: rainfall.Day(2009, time.September, 1), Days: 11},
		{Label: 2014, Why: rainfall.Ends, Day: rainfall.Day(2014, time.January, 31)},
	}, m.Rejected)
	assert.Equal(t, 1.0, m.WetShare)
	assert.InDelta(t, 28.2425, m.WetDays[time.February-1], 1e-12)
	assert.Equal(t, 0, m.DrySpell.Days)
	assert.Equal(t, 1.0, m.MaxDay.MM)
	assert.Equal(t, r.First, m.MaxDay.Date)
	// February to April are the shortest three months running.
	require.Len(t, m.Driest, 3)
	assert.Equal(t, 28+31+30.0, m.Driest[0].MM)
	assert.Equal(t, "2002-02-01", m.Driest[0].From.String())
	assert.Equal(t, 365.0, m.Driest[2].MM)
	require.NotNil(t, m.Trend)
	assert.Equal(t, 0.0, m.Trend.SenPerDecade)
}

// The change is named by the year in which the new level begins.
func TestSummaryStep(t *testing.T) {
	r := wetPlace()
	for i := at(r, 2001, time.January, 1); i < len(r.Depth); i++ {
		r.Depth[i] *= 2
	}
	m := summarise(t, r, time.January)
	c := m.Step
	require.NotNil(t, c)
	assert.Equal(t, 2001, c.Label)
	assert.InDelta(t, 2, c.After/c.Before, 0.2)
	assert.Less(t, c.P, 0.001)
	assert.Less(t, m.Trend.P, 0.001)
	assert.Positive(t, m.Trend.SenPerDecade)
}

// Nine years are too few for the tests of change; none at all is no panic.
func TestSummaryOfLittle(t *testing.T) {
	r, err := read.Since(wetPlace(), 2012)
	require.NoError(t, err)
	m := summarise(t, r, time.January)
	assert.Len(t, m.Usable, 9)
	assert.Nil(t, m.Trend)
	assert.Nil(t, m.Step)

	r, err = read.Since(wetPlace(), 2020)
	require.NoError(t, err)
	m = summarise(t, r, time.October)
	assert.Empty(t, m.Usable)
	assert.Len(t, m.Rejected, 2)
	assert.True(t, math.IsNaN(m.YearMean))
	assert.False(t, math.IsNaN(m.Driest[2].MM), "2020 is whole")
	driest, wettest := m.Extremes(3)
	assert.Empty(t, driest)
	assert.Empty(t, wettest)
}
