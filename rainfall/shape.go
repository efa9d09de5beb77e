package rainfall

import (
	"fmt"
	"math"
	"slices"
)

// What a record must look like to be one of days. A table of wet days alone,
// of weeks or of months is written just as one of days is, and taken for one
// it gives an answer that is wrong by a multiple.
const (
	fewSteps   = 6    // steps between values from which on their length shows a rule
	fewValues  = 30   // values from which on a want of zeros does
	fewZeros   = 0.01 // of the values: the wettest gauges have more dry days than that
	manyAbsent = 0.05 // of the days
)

// shape refuses totals of weeks or months, and a list of wet days for which
// nobody has said what the other days were. given holds the line of each day,
// 0 where it has none.
func (b *builder) shape(r *Record, given []int32) error {
	var steps []int
	last, values, zeros, absent := -1, 0, 0, 0
	for i, x := range r.Depth {
		if given[i] == 0 {
			absent++
		}
		if math.IsNaN(x) {
			continue
		}
		if values++; x == 0 && r.Mark[i]&Trace == 0 {
			zeros++
		}
		if last >= 0 {
			steps = append(steps, i-last)
		}
		last = i
	}
	if len(steps) >= fewSteps {
		slices.Sort(steps)
		low, high := steps[len(steps)/20], steps[len(steps)-1-len(steps)/20]
		if low >= 2 && 4*high <= 5*low+4 {
			days := fmt.Sprintf("%d days", low)
			if low != high {
				days = fmt.Sprintf("%d to %d days", low, high)
			}
			return b.in.fail(0, fmt.Sprintf("the values stand %s apart: totals of weeks or months, not of days", days), "a tank needs the rain of each day: download the daily values")
		}
	}
	if b.in.opt.Absent == "" && values >= fewValues && float64(zeros) <= fewZeros*float64(values) && float64(absent) > manyAbsent*float64(len(r.Depth)) {
		return b.in.fail(0, fmt.Sprintf("%s of %s have no line, and hardly a line has no rain: the file seems to list wet days alone", thousands(absent), count(len(r.Depth), "day", "days")),
			"--absent zero if a day without a line was dry, --absent missing if it was not read")
	}
	return nil
}

// absentDry makes dry days of those without a line, as the reader of the file
// was told to.
func (b *builder) absentDry(r *Record, given []int32) {
	n, run, longest := 0, 0, Run{}
	for i, x := range r.Depth {
		if given[i] != 0 || !math.IsNaN(x) {
			run = 0
			continue
		}
		r.Depth[i] = 0
		n++
		if run++; run > longest.Days {
			longest = Run{r.First + Date(i-run+1), run}
		}
	}
	if n > 0 {
		r.warn("absent-zero", "%s no line and taken for dry, as was asked; the longest run of them is %s from %v", count(n, "day has", "days have"), count(longest.Days, "day", "days"), longest.From)
	}
}

// climate refuses a record wetter than any place is.
func (b *builder) climate(r *Record) error {
	sum, n := 0.0, 0
	for _, x := range r.Depth {
		if !math.IsNaN(x) {
			sum += x
			n++
		}
	}
	if year := sum / float64(n) * 365.25; n >= 300 && year > wettestYear {
		return b.in.fail(0, fmt.Sprintf("the values make %s mm a year, more than falls anywhere (about 11,900)", thousands(int(year))), "is this the rain of each day, and in the right unit? --unit mm, in or 0.1mm")
	}
	return nil
}
