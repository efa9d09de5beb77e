package rainfall

import (
	"errors"
	"fmt"
	"math"
	"time"
)

// LeastTemperatures is the share of a record's days that must have usable
// temperatures for ET₀ to be reckoned from them (common practice, no source).
const LeastTemperatures = 0.9

// ErrLatitude says that a latitude is none from −90 to 90 degrees.
var ErrLatitude = errors.New("no latitude")

// FewTemperatures is the error of a record of which too few days have usable
// temperatures.
type FewTemperatures struct {
	Days, Of int     // those that have them, of all
	Share    float64 // the one over the other, below LeastTemperatures
}

func (e *FewTemperatures) Error() string {
	return fmt.Sprintf("few temperatures: %d of %d", e.Days, e.Of)
}

// ReferenceET returns ET₀ of every day of the record, mm, at a latitude in
// degrees, north positive: by Hargreaves from the day's temperatures, and where
// one is missing or the highest is below the lowest, the mean ET₀ of the
// calendar month's other days. share is that of the days with usable
// temperatures; below LeastTemperatures the error is a *FewTemperatures, and
// without a latitude ErrLatitude.
func (r *Record) ReferenceET(latitude float64) (et []float64, share float64, err error) {
	n := 0
	usable := func(i int) bool { return r.Max != nil && r.Max[i] >= r.Min[i] } // NaN is not
	for i := range r.Depth {
		if usable(i) {
			n++
		}
	}
	share = float64(n) / float64(len(r.Depth))
	switch {
	case !(math.Abs(latitude) <= 90):
		return nil, share, ErrLatitude
	case !(share >= LeastTemperatures):
		return nil, share, &FewTemperatures{n, len(r.Depth), share}
	}
	var ra [367]float64 // by the day of the year
	for j := range ra {
		ra[j] = Radiation(latitude, j)
	}
	et = make([]float64, len(r.Depth))
	r.EachMonth(func(y int, _ time.Month, from, to int) {
		for i := from; i < to; i++ {
			et[i] = math.NaN()
			if usable(i) {
				et[i] = Hargreaves(r.Max[i], r.Min[i], ra[int(r.First-Day(y, 1, 1))+i+1])
			}
		}
	})
	fillByMonth(r.First, et)
	return et, share, nil
}

// fillByMonth puts the mean of the calendar month's values in place of those
// that are missing: values is one a day from a date on.
func fillByMonth(first Date, values []float64) {
	mean := dailyMeans(first, values)
	(&Record{First: first, Depth: values}).EachMonth(func(_ int, m time.Month, from, to int) {
		for i := from; i < to; i++ {
			if math.IsNaN(values[i]) {
				values[i] = mean[m-1]
			}
		}
	})
}

// dailyMeans returns the mean value of a day of each calendar month, January
// first. A month without one is half-way between those before and after it
// that have one; without any, all are NaN.
func dailyMeans(first Date, values []float64) [12]float64 {
	seen := (&Record{First: first, Depth: values}).MonthlyMean()
	for m := range seen {
		seen[m] /= meanDays(time.Month(m + 1))
	}
	mean := seen
	for m := range mean {
		before, after := m, m
		for k := 0; k < 12 && math.IsNaN(seen[before]); k++ {
			before = (before + 11) % 12
		}
		for k := 0; k < 12 && math.IsNaN(seen[after]); k++ {
			after = (after + 1) % 12
		}
		mean[m] = (seen[before] + seen[after]) / 2
	}
	return mean
}
