package sim

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
)

// With 2,000 years the months are read from every trace, so together they are
// the year of the answer's own cell.
func TestMonthsAddUpToTheYear(t *testing.T) {
	s := thumbStudy(100)
	s.Years = 2000
	series := drySummer(t, 15)
	r := sized(t, series, gen.WaterYears(), s)
	require.Greater(t, r.Main.Tank, 0.0, "this site has an answer")
	require.Len(t, r.Months, 12)
	var sum Month
	for k, m := range r.Months {
		assert.Equal(t, time.Month(k+1), m.Month, "a water year from January")
		assert.InDelta(t, float64(rainfall.DaysIn(2001, m.Month))*100, m.Demand, 1e-6)
		assert.GreaterOrEqual(t, m.TopUp(), 0.0)
		sum.Water.add(m.Water)
		sum.ShortDays += m.ShortDays
	}
	c := r.Main.Cell
	assert.InEpsilon(t, c.Inflow, sum.Inflow, 1e-9)
	assert.InEpsilon(t, c.Supplied, sum.Supplied, 1e-9)
	assert.InEpsilon(t, c.Spilled, sum.Spilled, 1e-9)
	assert.InDelta(t, 365*(1-c.MonteCarlo.Time.Estimate), sum.ShortDays, 1e-9)
	assert.Zero(t, r.Months[6].Inflow, "no rain in July")
}

// A water year that crosses New Year, and 29 February.
func TestShortDaysOfTheWaterYear(t *testing.T) {
	run := &ReplayResult{Years: []RealYear{{Label: 2003, Whole: true, Days: 7}, {Label: 2004, Whole: true, Days: 1}}}
	for _, date := range []rainfall.Date{
		rainfall.Day(2003, time.October, 1), rainfall.Day(2003, time.December, 31), rainfall.Day(2004, time.February, 28),
		rainfall.Day(2004, time.February, 29), rainfall.Day(2004, time.March, 1), rainfall.Day(2004, time.September, 30), 0, rainfall.Day(2004, time.October, 2),
	} {
		run.Daily = append(run.Daily, Day{Date: date, Water: Water{Demand: 10, Supplied: 4}, Short: date != 0})
	}
	got := pastOf(run, time.October)
	require.Len(t, got.Years, 2)
	var days []int
	for _, x := range got.Years[0].Short {
		days = append(days, x.Day)
		assert.Equal(t, 6.0, x.Lack)
	}
	assert.Equal(t, []int{0, 91, 150, 150, 151, 364}, days)
	assert.Equal(t, 1, got.Years[1].Short[0].Day)
	assert.Nil(t, got.Peak)
}

// A year's days by the calendar: none for 29 February, NaN where not run.
func TestStoragesOfAYear(t *testing.T) {
	var days []Day
	for d := rainfall.Day(2003, time.October, 3); d < rainfall.Day(2004, time.September, 30); d++ {
		days = append(days, Day{Date: d, Storage: float64(len(days))})
	}
	got := storages(days, rainfall.Calendar(time.October))
	require.Len(t, got, 365)
	assert.True(t, math.IsNaN(got[0]) && math.IsNaN(got[1]) && math.IsNaN(got[364]), "beyond the record")
	assert.Equal(t, 0.0, got[2])
	feb28 := int(rainfall.Day(2004, time.February, 28) - rainfall.Day(2003, time.October, 1))
	assert.Equal(t, []float64{float64(feb28 - 2), float64(feb28)}, got[feb28:feb28+2], "29 February is left out")
	assert.Equal(t, float64(365-1-2), got[363])
}
