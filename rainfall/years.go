package rainfall

import (
	"fmt"
	"math"
	"slices"
	"time"
)

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

// Pick returns the years with the given indices. The depths are shared, not
// copied.
func (y *Years) Pick(index []int) *Years {
	p := &Years{Start: y.Start, Label: make([]int, len(index)), Rain: make([][]float64, len(index)), Filled: make([]int, len(index))}
	for k, i := range index {
		p.Label[k], p.Rain[k], p.Filled[k] = y.Label[i], y.Rain[i], y.Filled[i]
	}
	return p
}

// Of returns what another quantity is on the days of the years: values as
// Rain holds depths, [year][place], of daily, one a day from first on, such as
// ReferenceET. Every day has its own date's value, also one whose rain was
// filled from another year; where daily has none, NaN or out of its range, the
// mean of the calendar month's values. The value of 29 February is left out.
func (y *Years) Of(daily []float64, first Date) [][]float64 {
	cal, mean := Calendar(y.Start), dailyMeans(first, daily)
	months, out := cal.Months(), make([][]float64, y.Len())
	for i, label := range y.Label {
		out[i] = make([]float64, DaysPerYear)
		at, leap := int(cal.First(label)-first), cal.leapDay(label)
		for d := range out[i] {
			k := at + d
			if leap > 0 && d >= leap {
				k++
			}
			if out[i][d] = mean[months[d]-1]; k >= 0 && k < len(daily) && !math.IsNaN(daily[k]) {
				out[i][d] = daily[k]
			}
		}
	}
	return out
}

// StartBy says why a water year begins in a month.
type StartBy string

// The reasons for it.
const (
	ByAsking StartBy = "asked"
	ByStores StartBy = "stores" // which are fullest then
	ByRain   StartBy = "rain"   // StartMonth
)

// StartMonth returns the month after the one at which the cumulated departure of
// the mean monthly totals from their mean is largest: it has rained the most
// above a steady use of all rain, and a store that takes it would be fullest. Of
// equal months the first in the calendar wins.
func (r *Record) StartMonth() time.Month {
	monthly := r.MonthlyMean()
	mean, n := 0.0, 0.0
	for _, x := range monthly {
		if !math.IsNaN(x) { // a month that the record never has is left out
			mean, n = mean+x, n+1
		}
	}
	mean /= n
	departure, most, start := 0.0, math.Inf(-1), time.January
	for m, x := range monthly {
		if departure > most { // on the morning of the month's first day
			most, start = departure, time.Month(m+1)
		}
		if !math.IsNaN(x) {
			departure += x - mean
		}
	}
	return start
}

// The rule for a usable month: WMO, Guide to Climatological Practices
// (WMO-No. 100) and Guidelines on the Calculation of Climate Normals
// (WMO-No. 1203): no monthly value where 11 or more daily values are missing,
// or 5 or more in a row. A water year is usable if each of its months is.
const (
	maxMissing    = 10
	maxMissingRun = 4
)

// Series is a record with the holes of its usable years filled.
type Series struct {
	First Date
	Depth []float64 // mm a day; NaN where missing in a year not usable
	Mark  []Mark    // the record's, with Filled added
	Years *Years    // the usable water years
	ET0   []float64 // the record's

	Near *Lending // what neighbours lend, nil where none was named
}

// Learnt are the years that a generator learns from: the own ones, and those that
// neighbours lend.
func (s *Series) Learnt() *Years {
	if s.Near.Lent() {
		return s.Near.Years
	}
	return s.Years
}

// Between is the part of the series from one day to another, its ends among it,
// both cut to what the series has; Years stays that of the whole.
func (s *Series) Between(first, last Date) *Series {
	n := Date(len(s.Depth))
	a, z := min(max(first-s.First, 0), n), min(max(last-s.First+1, 0), n)
	out := *s
	out.First, out.Depth, out.Mark = s.First+a, s.Depth[a:max(a, z)], s.Mark[a:max(a, z)]
	if s.ET0 != nil {
		out.ET0 = s.ET0[a:max(a, z)]
	}
	return &out
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
	s := &Series{First: r.First, Depth: r.Depth, Mark: r.Mark, Years: &Years{Start: start}, ET0: r.ET0}
	years, owned := s.Years, false
	f := filler{Record: r, cal: Calendar(start)}
	f.labels = r.usableYears(f.cal)
	spare := make([]float64, 366)
	for i, label := range f.labels {
		from := f.cal.First(label)
		days := int(f.cal.First(label+1) - from)
		first := int(from - r.First)
		years.Label = append(years.Label, label)
		if days == DaysPerYear && r.whole(first, days) {
			years.Filled = append(years.Filled, 0)
			years.Rain = append(years.Rain, r.Depth[first:first+days:first+days])
			continue
		}
		filled := 0
		rain := spare[:days]
		for d := range rain {
			rain[d] = r.at(first + d)
			if !math.IsNaN(rain[d]) {
				continue
			}
			x, ok := f.borrow(i, from+Date(d))
			if !ok {
				return nil, fmt.Errorf("no usable year has a value for %v to fill from", from+Date(d))
			}
			rain[d] = x
			filled++
			if k := first + d; k >= 0 && k < len(r.Depth) {
				if !owned {
					s.Depth, s.Mark, owned = slices.Clone(r.Depth), slices.Clone(r.Mark), true
				}
				s.Depth[k] = x
				s.Mark[k] |= Filled
			}
		}
		years.Filled = append(years.Filled, filled)
		years.Rain = append(years.Rain, fold(rain, f.cal.leapDay(label)))
	}
	return s, nil
}

// whole reports whether the record holds every one of some days.
func (r *Record) whole(first, days int) bool {
	return first >= 0 && first+days <= len(r.Depth) && !slices.ContainsFunc(r.Depth[first:first+days], math.IsNaN)
}

// at returns the depth of day i of the record, NaN outside it: a year that
// the record's edge cuts by a day or two is judged like one with that hole.
func (r *Record) at(i int) float64 {
	if i < 0 || i >= len(r.Depth) {
		return math.NaN()
	}
	return r.Depth[i]
}

// usableYears lists the labels of the usable water years.
func (r *Record) usableYears(c Calendar) []int {
	var out []int
	for label := c.Label(r.First); label <= c.Label(r.Last()); label++ {
		if r.judge(c, label).Why == "" {
			out = append(out, label)
		}
	}
	return out
}

// judge holds the months of a water year against the WMO rule: it names the
// first that breaks it and how many do. Why is "" for a usable year.
func (r *Record) judge(c Calendar, label int) Rejected {
	from, next := c.First(label), c.First(label+1)
	out, all := Rejected{Label: label}, 0
	for d := from; d < next; {
		y, m, _ := d.YMD()
		days := DaysIn(y, m)
		missing, run, longest := 0, 0, 0
		for k := range days {
			run++
			if !math.IsNaN(r.at(int(d-r.First) + k)) {
				run = 0
				continue
			}
			missing++
			longest = max(longest, run)
		}
		all += missing
		if missing > maxMissing || longest > maxMissingRun {
			switch {
			case out.Why != "":
				out.More++
			case missing > maxMissing:
				out.Why, out.Day, out.Days = Misses, d, missing
			default:
				out.Why, out.Day, out.Days = Gap, d, longest
			}
		}
		d += Date(days)
	}
	if all == int(next-from) {
		return Rejected{Label: label, Why: Empty, Day: from, Days: all}
	}
	return out
}

// rejected says for each water year that the record touches and that is not
// usable why it is not.
func (r *Record) rejected(c Calendar) []Rejected {
	var out []Rejected
	for label := c.Label(r.First); label <= c.Label(r.Last()); label++ {
		x := r.judge(c, label)
		switch {
		case x.Why == "":
			continue
		case c.First(label) < r.First:
			x = Rejected{Label: label, Why: Begins, Day: r.First}
		case c.First(label+1)-1 > r.Last():
			x = Rejected{Label: label, Why: Ends, Day: r.Last()}
		}
		out = append(out, x)
	}
	return out
}

// filler finds depths for the holes of a record's usable years.
type filler struct {
	*Record
	cal     Calendar
	labels  []int
	climate [][12]float64 // of every usable year; made for the first hole
}

// months returns a water year's twelve monthly totals, each the mean of its
// valid days times 30, January first.
func (f *filler) months(label int) [12]float64 {
	var sum, n [12]float64
	for d := f.cal.First(label); d < f.cal.First(label+1); d++ {
		if x := f.at(int(d - f.First)); !math.IsNaN(x) {
			_, m, _ := d.YMD()
			sum[m-1] += x
			n[m-1]++
		}
	}
	for m := range sum {
		sum[m] *= 30 / n[m]
	}
	return sum
}

// borrow finds a depth for a day of usable year i: that of the same calendar
// day in the year most like it. Where no other usable year has that day it
// takes the nearest day that one of them, or the year itself, has; a usable
// month misses at most maxMissingRun days in a row, so there is one.
func (f *filler) borrow(i int, day Date) (float64, bool) {
	if f.climate == nil {
		for _, label := range f.labels {
			f.climate = append(f.climate, f.months(label))
		}
	}
	for off := Date(0); off <= maxMissingRun; off++ {
		for _, shift := range []Date{-off, off} {
			if x, ok := f.borrowAt(i, day, shift); ok {
				return x, true
			}
		}
	}
	return 0, false
}

// borrowAt is borrow for the calendar day shift days later.
func (f *filler) borrowAt(i int, day, shift Date) (float64, bool) {
	_, m, d := day.YMD()
	best, value, found := math.Inf(1), 0.0, false
	for j, label := range f.labels {
		if j == i && shift == 0 {
			continue
		}
		x := f.at(int(f.cal.Date(label, m, d) + shift - f.First)) // 29 February may borrow from the 28th
		if math.IsNaN(x) {
			continue
		}
		dist := 0.0
		for k := range 12 {
			off := f.climate[i][k] - f.climate[j][k]
			dist += float64(off * off)
		}
		if dist < best {
			best, value, found = dist, x, true
		}
	}
	return value, found
}

// fold turns a water year into DaysPerYear depths: what fell on 29 February,
// day leap of it, is added to the 28th; 0 for none.
func fold(rain []float64, leap int) []float64 {
	out := slices.Clone(rain)
	if leap > 0 {
		out[leap-1] += out[leap]
		out = slices.Delete(out, leap, leap+1)
	}
	return out
}

// Times returns the series with every depth multiplied by a factor.
func (s *Series) Times(by float64) *Series {
	scaled := func(depth []float64) []float64 {
		out := slices.Clone(depth)
		for t := range out {
			out[t] *= by
		}
		return out
	}
	times := func(y *Years) *Years {
		years := *y
		years.Rain = nil
		for _, rain := range y.Rain {
			years.Rain = append(years.Rain, scaled(rain))
		}
		return &years
	}
	out := *s
	out.Depth, out.Years = scaled(s.Depth), times(s.Years)
	if s.Near.Lent() {
		lent := *s.Near
		lent.Years = times(lent.Years)
		out.Near = &lent
	}
	return &out
}
