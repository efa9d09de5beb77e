package sim

import (
	"math"
	"time"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/sim/internal/check"
)

// Air is what is known of evaporation at the site: the reference
// evapotranspiration ET₀ of FAO-56, of each month or of each day of the record
// (rainfall.Series.ET0).
type Air struct {
	Monthly      [12]float64 `key:"et0_monthly_mm" doc:"of each month, January first, where it is given so"`
	Temperatures bool        `key:"et0_from_temperatures" doc:"whether it is reckoned from the record's temperatures"`
	Scale        float64     `key:"et0_scale,omitzero" doc:"by which it is multiplied, none where it is taken as it is"`
}

// Known says whether anything is known of it.
func (a *Air) Known() bool { return a.Temperatures || a.Monthly != [12]float64{} }

// mostET0 is more than any month has, mm.
const mostET0 = 1000

// Check returns the first thing wrong with it.
func (a Air) Check() error {
	var f check.First
	for m, x := range a.Monthly {
		f.Of("et0_monthly_mm[%d]", m)
		f.Need(check.FromZero(x) && x <= mostET0, "ET₀ of %g mm in %v; it must be from 0 to %g", x, time.Month(m+1), float64(mostET0))
	}
	f.Of("et0_scale")
	f.Need(a.Scale == 0 || a.Scale >= 0.5 && a.Scale <= 2, "ET₀ times %g; it must be from 0.5 to 2", a.Scale)
	f.Of("")
	f.Need(!a.Temperatures || a.Monthly == [12]float64{}, "ET₀ both from temperatures and by the month")
	return f.Err
}

// by is the factor.
func (a *Air) by() float64 {
	if a.Scale == 0 {
		return 1
	}
	return a.Scale
}

// usualET0 is that of a month where nothing is known yet, mm: only to have sizes to
// begin with.
const usualET0 = 90

// months is ET₀ by the month, as far as it is known without a record.
func (a *Air) months() (out [12]float64) {
	for m, x := range a.Monthly {
		if a.Temperatures {
			x = usualET0
		}
		out[m] = float64(x * a.by())
	}
	return out
}

// onDays is ET₀ on so many days from one on, mm: of the record's days where they
// have one.
func (a *Air) onDays(first rainfall.Date, n int, daily []float64) []float64 {
	out := make([]float64, n)
	if a.Temperatures && daily == nil {
		return out
	}
	for t := range out {
		if a.Temperatures {
			out[t] = float64(daily[t] * a.by())
			continue
		}
		y, m, _ := (first + rainfall.Date(t)).YMD()
		out[t] = float64(a.Monthly[m-1]*a.by()) / float64(rainfall.DaysIn(y, m))
	}
	return out
}

// traceAir is ET₀ on the days of traces, mm.
type traceAir struct {
	months  [rainfall.DaysPerYear]time.Month // of the days of a year
	monthly [12]float64                      // a day, where it is known by the month
	days    [][]float64                      // of the record's years and places otherwise
	wet     [12]float64                      // and the means of its wet days and of its dry ones
	dry     [12]float64
}

// onTraces returns it for 365-day years that begin in a month.
func (a *Air) onTraces(start time.Month, series *rainfall.Series) *traceAir {
	out := &traceAir{months: rainfall.Calendar(start).Months()}
	for m, x := range a.months() {
		out.monthly[m] = x / float64(rainfall.DaysIn(2001, time.Month(m+1)))
	}
	if !a.Temperatures || series == nil || series.ET0 == nil {
		return out
	}
	out.days = series.Years.Of(series.ET0, series.First)
	var wet, dry [12]float64
	for y, days := range out.days {
		for place := range days {
			days[place] = float64(days[place] * a.by())
			m := out.months[place] - 1
			if series.Years.Rain[y][place] >= rainfall.WetDay {
				out.wet[m] += days[place]
				wet[m]++
			} else {
				out.dry[m] += days[place]
				dry[m]++
			}
		}
	}
	for m := range wet {
		all := (out.wet[m] + out.dry[m]) / (wet[m] + dry[m])
		out.wet[m], out.dry[m] = out.wet[m]/wet[m], out.dry[m]/dry[m]
		if math.IsNaN(out.wet[m]) {
			out.wet[m] = all
		}
		if math.IsNaN(out.dry[m]) {
			out.dry[m] = all
		}
	}
	return out
}

// set sets dst to ET₀ of the days of a trace of rain (mm) that were taken from days
// of the record (gen.Dated): it goes with its day; where a day is none of the
// record itself, a neighbour's say, the mean of the month's wet or dry days.
func (a *traceAir) set(dst, rain []float64, from []int32) {
	const year = rainfall.DaysPerYear
	for t := range dst {
		m := a.months[t%year] - 1
		switch {
		case a.days == nil:
			dst[t] = a.monthly[m]
		case from[t] != gen.NoDay && int(from[t]) < len(a.days)*year:
			dst[t] = a.days[from[t]/year][from[t]%year]
		case rain[t] >= rainfall.WetDay:
			dst[t] = a.wet[m]
		default:
			dst[t] = a.dry[m]
		}
	}
}
