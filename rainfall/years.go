package rainfall

import (
	"fmt"
	"math"
	"slices"
	"time"
)

// DaysPerYear is the length of a water year in Years and in every synthetic
// trace: 29 February's rain joins 28 February's.
const DaysPerYear = 365

// Years is a record cut into its usable water years: what a generator learns
// from.
type Years struct {
	Start  time.Month  // the month in which a water year begins
	Label  []int       // the calendar year in which each begins, rising
	Rain   [][]float64 // for each, DaysPerYear depths in mm, none missing
	Filled []int       // for each, how many of its days were filled
}

// Len returns the number of usable water years.
func (y *Years) Len() int { return len(y.Rain) }

// Total returns the rain of usable year i, mm.
func (y *Years) Total(i int) float64 {
	sum := 0.0
	for _, x := range y.Rain[i] {
		sum += x
	}
	return sum
}

// Pick returns the years with the given indices, repeats allowed: a
// resampled record. The depths are shared, not copied.
func (y *Years) Pick(index []int) *Years {
	p := &Years{Start: y.Start, Label: make([]int, len(index)), Rain: make([][]float64, len(index)), Filled: make([]int, len(index))}
	for k, i := range index {
		p.Label[k], p.Rain[k], p.Filled[k] = y.Label[i], y.Rain[i], y.Filled[i]
	}
	return p
}

// StartMonth returns the month after the driest half-year ends, by the mean
// monthly totals: the tank is then at its emptiest, and no dry season is cut
// in two. Of equal half-years the one that begins earliest in the calendar
// wins.
func (r *Record) StartMonth() time.Month {
	mean := r.MonthlyMean()
	best, at := math.Inf(1), 0
	for m := range 12 {
		sum := 0.0
		for k := range 6 {
			if x := mean[(m+k)%12]; !math.IsNaN(x) {
				sum += x
			}
		}
		if sum < best {
			best, at = sum, m
		}
	}
	return time.Month((at+6)%12 + 1)
}

// The rule for a usable month: WMO, Guide to Climatological Practices
// (WMO-No. 100) and Guidelines on the Calculation of Climate Normals
// (WMO-No. 1203): no monthly value where 11 or more daily values are missing,
// or 5 or more in a row. A water year is usable if each of its months is.
const (
	maxMissing    = 10
	maxMissingRun = 4
)

// year is one water year of a record, before filling.
type year struct {
	label int
	first int // index into Depth of its first day; may lie before the record
	days  int // 365 or 366
}

// Series is a record with the holes of its usable years filled.
type Series struct {
	First Date
	Depth []float64 // mm a day; NaN where missing in a year not usable
	Mark  []Mark    // the record's, with Filled added
	Years *Years    // the usable water years
}

// Fill cuts the record into water years that begin in month start and fills
// the holes of the usable ones. The record itself is left as it was; what has
// no hole is shared with it, not copied.
//
// A hole is filled from the same calendar day of the most similar usable
// year that has it: the one whose monthly totals are nearest (Euclidean
// distance over the twelve months, each the mean of its valid days). Where no
// other usable year has that day it is filled from the nearest day that has
// one, at most four days off, of the same or another usable year.
func (r *Record) Fill(start time.Month) (*Series, error) {
	if start < 1 || start > 12 {
		return nil, fmt.Errorf("water year start %d is not a month 1 to 12", int(start))
	}
	s := &Series{r.First, r.Depth, r.Mark, &Years{Start: start}}
	years, owned := s.Years, false
	usable := r.usableYears(start)
	var climate [][12]float64 // of every usable year; made for the first hole
	spare := make([]float64, 366)
	for i, y := range usable {
		years.Label = append(years.Label, y.label)
		if y.days == DaysPerYear && r.whole(y) {
			years.Filled = append(years.Filled, 0)
			years.Rain = append(years.Rain, r.Depth[y.first:y.first+y.days:y.first+y.days])
			continue
		}
		filled := 0
		rain := spare[:y.days]
		for d := range rain {
			rain[d] = r.at(y.first + d)
			if !math.IsNaN(rain[d]) {
				continue
			}
			if climate == nil {
				for _, y := range usable {
					climate = append(climate, r.months(y))
				}
			}
			x, ok := r.borrow(usable, climate, i, d)
			if !ok {
				return nil, fmt.Errorf("no usable year has a value for %v to fill from", r.First+Date(y.first+d))
			}
			rain[d] = x
			filled++
			if k := y.first + d; k >= 0 && k < len(r.Depth) {
				if !owned {
					s.Depth, s.Mark, owned = slices.Clone(r.Depth), slices.Clone(r.Mark), true
				}
				s.Depth[k] = x
				s.Mark[k] |= Filled
			}
		}
		years.Filled = append(years.Filled, filled)
		years.Rain = append(years.Rain, fold(r.First+Date(y.first), rain))
	}
	return s, nil
}

// whole reports whether the record holds every day of a year.
func (r *Record) whole(y year) bool {
	if y.first < 0 || y.first+y.days > len(r.Depth) {
		return false
	}
	return !slices.ContainsFunc(r.Depth[y.first:y.first+y.days], math.IsNaN)
}

// at returns the depth of day i of the record, NaN outside it: a year that
// the record's edge cuts by a day or two is judged like one with that hole.
func (r *Record) at(i int) float64 {
	if i < 0 || i >= len(r.Depth) {
		return math.NaN()
	}
	return r.Depth[i]
}

// usableYears lists the water years whose every month passes the WMO rule.
func (r *Record) usableYears(start time.Month) []year {
	var out []year
	if len(r.Depth) == 0 {
		return nil
	}
	y0, _, _ := r.First.YMD()
	y1, _, _ := r.Last().YMD()
	for label := y0 - 1; label <= y1; label++ {
		from, to := Day(label, start, 1), Day(label+1, start, 1)
		y := year{label, int(from - r.First), int(to - from)}
		if r.monthsUsable(y, start) {
			out = append(out, y)
		}
	}
	return out
}

func (r *Record) monthsUsable(y year, start time.Month) bool {
	i := y.first
	for k := range 12 {
		m := time.Month((int(start)-1+k)%12 + 1)
		cy := y.label
		if m < start {
			cy++
		}
		missing, run := 0, 0
		for range DaysIn(cy, m) {
			if math.IsNaN(r.at(i)) {
				missing++
				if run++; run > maxMissingRun {
					return false
				}
			} else {
				run = 0
			}
			i++
		}
		if missing > maxMissing {
			return false
		}
	}
	return true
}

// months returns a water year's twelve monthly totals, each the mean of its
// valid days times 30, January first.
func (r *Record) months(y year) [12]float64 {
	var sum, n [12]float64
	for d := range y.days {
		if x := r.at(y.first + d); !math.IsNaN(x) {
			_, m, _ := (r.First + Date(y.first+d)).YMD()
			sum[m-1] += x
			n[m-1]++
		}
	}
	for m := range sum {
		sum[m] *= 30 / n[m]
	}
	return sum
}

// borrow finds a depth for day d of usable year i: that of the same calendar
// day in the year most like it. Where no other usable year has that day it
// takes the nearest day that one of them, or the year itself, has; a usable
// month misses at most maxMissingRun days in a row, so there is one.
func (r *Record) borrow(usable []year, climate [][12]float64, i, d int) (float64, bool) {
	for off := 0; off <= maxMissingRun; off++ {
		for _, shift := range []int{-off, off} {
			if x, ok := r.borrowAt(usable, climate, i, d, shift); ok {
				return x, true
			}
		}
	}
	return 0, false
}

// borrowAt is borrow for the calendar day shift days later.
func (r *Record) borrowAt(usable []year, climate [][12]float64, i, d, shift int) (float64, bool) {
	_, m, day := (r.First + Date(usable[i].first+d)).YMD()
	best, value, found := math.Inf(1), 0.0, false
	for j, y := range usable {
		if j == i && shift == 0 {
			continue
		}
		cy := y.label
		if m < r.startOf(y) {
			cy++
		}
		dd := min(day, DaysIn(cy, m)) // 29 February may borrow from the 28th
		x := r.at(int(Day(cy, m, dd)-r.First) + shift)
		if math.IsNaN(x) {
			continue
		}
		dist := 0.0
		for k := range 12 {
			off := climate[i][k] - climate[j][k]
			dist += float64(off * off)
		}
		if dist < best {
			best, value, found = dist, x, true
		}
	}
	return value, found
}

func (r *Record) startOf(y year) time.Month {
	_, m, _ := (r.First + Date(y.first)).YMD()
	return m
}

// fold turns a water year of 365 or 366 days into DaysPerYear depths.
func fold(first Date, depth []float64) []float64 {
	out := make([]float64, 0, DaysPerYear)
	for i, x := range depth {
		if _, m, d := (first + Date(i)).YMD(); m == time.February && d == 29 {
			if len(out) == 0 { // a water year never begins on 29 February
				panic("rainfall: water year begins on 29 February")
			}
			out[len(out)-1] += x
			continue
		}
		out = append(out, x)
	}
	return out
}
