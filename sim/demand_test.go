package sim

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
)

// The real calendar, held against package time.
func TestDemandByCalendar(t *testing.T) {
	uses := []Use{
		{Daily: 100, Days: weekdays()},
		{Daily: 7},
		{Daily: 1000, Days: [7]bool{time.Sunday: true, time.Wednesday: true}},
		{Monthly: [12]float64{0, 280, 0, 0, 0, 0, 0, 3100}},
	}
	first := rainfall.Day(1999, time.November, 20)
	got := make([]float64, 900)
	Demand(got, first, uses)
	at := time.Date(1999, time.November, 20, 0, 0, 0, 0, time.UTC)
	for _, d := range got {
		want := 7.0
		switch at.Weekday() {
		case time.Saturday:
		case time.Sunday:
			want += 1000
		case time.Wednesday:
			want += 1100
		default:
			want += 100
		}
		switch at.Month() {
		case time.February: // 2000 and 2001: 29 days, then 28
			want += 280.0 / float64(time.Date(at.Year(), time.March, 0, 0, 0, 0, 0, time.UTC).Day())
		case time.August:
			want += 100
		}
		require.InDelta(t, want, d, 1e-12, "%v", at)
		at = at.AddDate(0, 0, 1)
	}
}

// A month's use is drawn whole in every synthetic year.
func TestMonthlyUseIsExactOverAYear(t *testing.T) {
	u := Use{Monthly: [12]float64{1, 2, 4, 8, 16, 32, 64, 128, 256, 512, 1024, 2048}}
	for start := time.January; start <= time.December; start++ {
		d := TraceDemand(3, start, []Use{u})
		require.Len(t, d, 3*365)
		at, m := 0, start
		for range 36 {
			n := rainfall.DaysIn(2001, m)
			assert.InDelta(t, u.Monthly[m-1], total(d[at:at+n]), 1e-9, "%v from %v", m, start)
			at += n
			m = m%12 + 1
		}
	}
}

// A synthetic trace begins on a Monday and its weeks run on over the years.
func TestTraceDemandWeeks(t *testing.T) {
	d := TraceDemand(7, time.October, []Use{{Daily: 5, Days: weekdays()}, {Daily: 3, Days: [7]bool{time.Sunday: true}}})
	require.Len(t, d, 7*365)
	for i := range d {
		assert.Equal(t, []float64{5, 5, 5, 5, 5, 0, 3}[i%7], d[i])
	}
}

// The mean use of a day: over seven years of 365 days every weekday comes as
// often as every other.
func TestMeanDemand(t *testing.T) {
	assert.InDelta(t, 120*5.0/7, MeanDemand([]Use{{Daily: 120, Days: weekdays()}}), 1e-9)
	assert.InDelta(t, 40, MeanDemand([]Use{{Daily: 40}}), 1e-12)
	assert.InDelta(t, 40+730.0/365, MeanDemand([]Use{{Daily: 40}, {Monthly: [12]float64{1: 730}}}), 1e-9)
	assert.Zero(t, MeanDemand(nil))
}

func TestWeekdays(t *testing.T) {
	assert.Equal(t, []string{"Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"}, Weekdays{}.Texts())
	assert.Equal(t, []string{"Mon", "Tue", "Wed", "Thu", "Fri"}, Weekdays(weekdays()).Texts())
	var w Weekdays
	require.NoError(t, w.SetTexts([]string{"Fri", "Mon", "Tue", "Wed", "Thu"}))
	assert.Equal(t, Weekdays(weekdays()), w)
	assert.Error(t, w.SetTexts([]string{"Someday"}))
}
