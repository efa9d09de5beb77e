package sim

import (
	"time"

	"tankodds/rainfall"
	"tankodds/sim/internal/check"
)

// Air is what is known of evaporation at the site: the reference
// evapotranspiration ET₀ of FAO-56.
type Air struct {
	Monthly [12]float64 `key:"et0_monthly_mm" doc:"of each month, January first"`
}

// Known says whether anything is known of it.
func (a *Air) Known() bool { return a.Monthly != [12]float64{} }

// mostET0 is more than any month has, mm.
const mostET0 = 1000

// Check returns the first thing wrong with it.
func (a Air) Check() error {
	var f check.First
	for m, x := range a.Monthly {
		f.Need(check.FromZero(x) && x <= mostET0, "ET₀ of %g mm in %v; it must be from 0 to %g", x, time.Month(m+1), float64(mostET0))
	}
	return f.Err
}

// onTraces is ET₀ on the days of a trace of 365-day years that begin in a month, mm.
func (a *Air) onTraces(start time.Month, days int) []float64 {
	out, calendar := make([]float64, days), rainfall.Calendar(start)
	for t := range out {
		m, _ := calendar.MonthDay(t % rainfall.DaysPerYear)
		out[t] = a.Monthly[m-1] / float64(rainfall.DaysIn(2001, m))
	}
	return out
}

// onDays is ET₀ on so many days from one on, mm.
func (a *Air) onDays(first rainfall.Date, n int) []float64 {
	out := make([]float64, n)
	for t := range out {
		y, m, _ := (first + rainfall.Date(t)).YMD()
		out[t] = a.Monthly[m-1] / float64(rainfall.DaysIn(y, m))
	}
	return out
}
