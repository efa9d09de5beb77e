package read

import (
	"fmt"
	"math"
	"slices"
	"time"

	"tankodds/rainfall"
)

// What a record must look like to be one of days. A table of wet days alone,
// of weeks or of months, or one that runs on from day to day, is written just
// as one of days is, and taken for one it gives an answer that is wrong by a
// multiple. The thresholds are common practice, no source.
const (
	fewSteps      = 6    // steps between values from which on their length shows a rule
	fewValues     = 12   // values from which on a want of zeros does
	fewZeros      = 0.10 // of the values: the wettest gauges have more dry days than that
	zerosToAbsent = 0.25 // zeros for each absent day, at most, in a list of wet days
	manyAbsent    = 0.05 // of the days
	oneDayApart   = 0.05 // of the steps between values, at least, in any daily record
	fallsAfter    = 0.10 // of the steps from a wet day, at least, that are downwards
	alwaysWet     = 0.95 // of the days at 1 mm and more: at the wettest gauges nine in ten are
	wetTogether   = 0.95 // of the wet days on one day of the month or the week
)

// shapeOf is what the days of a record show of how they were made.
type shapeOf struct {
	values, zeros, absent int
	sum                   float64 // of the values, mm
	steps, ones           int     // from one value to the next; of these those of one day
	wetSteps, falls       int     // steps from a wet day; of these those to a lower value
	wet, monthEnd         int     // wet days; of these the last of their months
	soaked                int     // days of 1 mm and more
	onDay                 [32]int
	onWeekday             [7]int
}

// shaped looks at the days, without branches on chance; given holds the line of
// each, 0 where it has none. A day that failed its publisher's checks is not
// absent.
func shaped(r *rainfall.Record, given []int32) shapeOf {
	var s shapeOf
	last, wet := -1, 0
	r.EachMonth(func(y int, m time.Month, from, to int) {
		_, _, first := (r.First + rainfall.Date(from)).YMD()
		end := from - first + rainfall.DaysIn(y, m) // the place of the month's last day
		for i, x := range r.Depth[from:to] {
			i += from
			if math.IsNaN(x) {
				if given[i] == 0 || r.Mark[i]&rainfall.Failed == 0 {
					s.absent++
				}
				continue
			}
			s.values++
			s.sum += x
			if last >= 0 {
				s.steps++
				s.ones += one(i-last == 1)
				s.falls += wet & one(x < r.Depth[last])
			}
			s.wetSteps += wet // of the day before
			last, wet = i, one(x > 0)
			s.wet += wet
			s.soaked += one(x >= rainfall.WetDay)
			s.onDay[i-from+first] += wet
			s.onWeekday[i%7] += wet
			s.monthEnd += wet & one(i == end)
			s.zeros += one(x == 0) & one(r.Mark[i]&rainfall.Trace == 0)
		}
	})
	return s
}

// stepsOf returns the lengths, in days, of the 5th and the 95th hundredth of the
// steps between values.
func stepsOf(r *rainfall.Record) (low, high int) {
	var steps []int
	last := -1
	for i, x := range r.Depth {
		if !math.IsNaN(x) {
			if last >= 0 {
				steps = append(steps, i-last)
			}
			last = i
		}
	}
	slices.Sort(steps)
	return steps[len(steps)/20], steps[len(steps)-1-len(steps)/20]
}

// listsWetDays reports whether the file seems to list wet days alone.
func (s shapeOf) listsWetDays(days int) bool {
	return s.values >= fewValues && float64(s.zeros) <= fewZeros*float64(s.values) &&
		float64(s.zeros) <= zerosToAbsent*float64(s.absent) && float64(s.absent) > manyAbsent*float64(days)
}

// shape refuses totals of weeks or months, a running total, the rain of no
// place, and a list of wet days for which nobody has said what the other days
// were.
func (b *builder) shape(r *rainfall.Record, given []int32) {
	const daily = "a tank needs the rain of each day: download the daily values"
	s := shaped(r, given)
	switch {
	case len(b.totals) > 0: // the file itself says what covers several days
	case s.steps >= fewSteps && float64(s.ones) < oneDayApart*float64(s.steps):
		low, high := stepsOf(r)
		days := fmt.Sprintf("%d to %d days", low, high)
		if low == high {
			days = fmt.Sprintf("%d days", low)
		}
		b.in.fail(lineAfterGap(r, given), fmt.Sprintf("the values stand %s apart: totals of weeks or months, not of days", days), daily)
	case s.wet >= fewValues && len(r.Depth) > 366 && (s.monthEnd == s.wet || slices.Max(s.onDay[:]) == s.wet),
		s.wet >= 2*fewValues && float64(slices.Max(s.onWeekday[:])) >= wetTogether*float64(s.wet):
		b.in.fail(b.in.header, "all the rain stands on one day of the month or of the week: totals of weeks or months, not of days", daily)
	case s.wetSteps >= 30 && float64(s.falls) < fallsAfter*float64(s.wetSteps):
		b.in.fail(b.in.header, "the values hardly ever fall from one day to the next: a running total, not the rain of each day", daily)
	case s.values >= 365 && float64(s.absent) <= manyAbsent*float64(len(r.Depth)) && float64(s.soaked) > alwaysWet*float64(s.values):
		b.in.fail(b.in.header, fmt.Sprintf("it would have rained on %d of %d days: are these temperatures, or another quantity?", s.soaked, s.values), "give the column of rain with --column NAME")
	}
	// A record wetter than any place is, or one whose rain is nearly nothing.
	const odd = "is this the rain of each day, and in the right unit? --unit mm, in or 0.1mm"
	year := s.sum / float64(s.values) * 365.25
	switch {
	case s.values >= 1000 && s.sum > 0 && year < driestYear/5:
		b.in.fail(b.in.header, fmt.Sprintf("the values make %s a year, less than falls anywhere", about(year)), odd)
	case s.values >= 60 && year > wettestYear && !s.listsWetDays(len(r.Depth)):
		b.in.fail(b.in.header, fmt.Sprintf("the values make %s a year, more than falls anywhere, about %s", about(year), about(11900)), odd)
	}
	if b.in.opt.Absent == "" && s.listsWetDays(len(r.Depth)) {
		b.in.fail(lineAfterGap(r, given), fmt.Sprintf("%s of %s have no value, and almost every line has rain: the file seems to list wet days alone", thousands(s.absent), count(len(r.Depth), "day", "days")),
			"--absent zero if a day without a value was dry, --absent missing if it was not read")
	}
}

// lineAfterGap is the line of the first value whose day does not follow that of the
// value before it, 0 where there is none.
func lineAfterGap(r *rainfall.Record, given []int32) int {
	last := -1
	for i, x := range r.Depth {
		if math.IsNaN(x) {
			continue
		}
		if last >= 0 && i-last > 1 {
			return int(given[i])
		}
		last = i
	}
	return 0
}

// absentDry makes dry days of those without a line, as the reader of the file
// was told to; in a list of wet days also of those without a value.
func (b *builder) absentDry(r *rainfall.Record, given []int32) {
	blanks := shaped(r, given).listsWetDays(len(r.Depth))
	n, run, longest := 0, 0, rainfall.Run{}
	for i, x := range r.Depth {
		if !math.IsNaN(x) || r.Mark[i]&rainfall.Failed != 0 || given[i] != 0 && !blanks {
			run = 0
			continue
		}
		r.Depth[i] = 0
		n++
		if run++; run > longest.Days {
			longest = rainfall.Run{From: r.First + rainfall.Date(i-run+1), Days: run}
		}
	}
	if n > 0 {
		f := tell(r, "absent-zero", n)
		f.From, f.Days = longest.From, longest.Days
	}
}

func one(b bool) int {
	if b {
		return 1
	}
	return 0
}
