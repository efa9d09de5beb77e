package rainfall

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"time"
)

// Check is one rule of plausibility and what it found. A finding is a place
// to look at, never a change to the record: real rain breaks every such rule
// now and then.
type Check struct {
	Code   string // a short fixed word to filter by
	Rule   string // what is looked for, with its threshold
	Source string // where the rule comes from
	Found  []Finding
}

// Finding is a stretch of days that breaks a rule.
type Finding struct {
	From Date
	Days int     // 1 or more
	MM   float64 // the depth in question, mm: a day's, a run's or a year's
	Text string  // one plain sentence with depths in mm, no full stop
}

// The thresholds of the rules.
const (
	extremeDay    = 300.0 // mm in a day
	extremeFactor = 3.0   // times the record's 99.9 percentile
	repeatDays    = 4     // days running with one depth
	repeatDepth   = 1.0   // mm; less comes by chance where a gauge reads to 0.2 mm
	yearFactor    = 3.0   // times the median year
	yearSD        = 5.0   // standard deviations above the other years
	zeroRunOdds   = 0.001 // such runs expected in a record of this length
	rainyYears    = 20    // years that a month must have been seen to be called never dry
	rainyDays     = 6.0   // wet days that such a month has on average
	weekdayOdds   = 1e-4  // probability by chance
	weekdayShare  = 0.1   // departure from the mean of the week
)

// Quality runs every rule over the record, in a fixed order; a rule that
// finds nothing has an empty Found. That no day is above MaxDaily or below
// zero is the reader's job.
func (r *Record) Quality() []Check {
	return []Check{
		r.checkExtreme(), r.checkRepeat(), r.checkYear(),
		r.checkZeroRun(), r.checkZeroMonth(), r.checkWeekday(),
	}
}

func (r *Record) checkExtreme() Check {
	c := Check{
		Code:   "extreme-day",
		Source: "300 mm: Durre et al. 2010, from memory, unverified; the multiple: common practice, no source",
	}
	high := r.percentile(0.999)
	limit := extremeDay
	if high > 0 {
		limit = min(limit, extremeFactor*high)
	}
	c.Rule = fmt.Sprintf("a day above %.0f mm: the lesser of %.0f mm and %g times the 99.9 percentile", limit, extremeDay, extremeFactor)
	for i, x := range r.Depth {
		if x > limit {
			day := r.First + Date(i)
			c.Found = append(c.Found, Finding{day, 1, x, fmt.Sprintf("%.1f mm on %v", x, day)})
		}
	}
	return c
}

// percentile returns the depth that share q of the valid days do not exceed
// (the nearest rank above), NaN for a record without a value. It keeps the
// days above alone, so q is near 1.
func (r *Record) percentile(q float64) float64 {
	valid := 0
	for _, x := range r.Depth {
		if !math.IsNaN(x) {
			valid++
		}
	}
	if valid == 0 {
		return math.NaN()
	}
	n := valid - min(valid-1, int(math.Ceil(q*float64(valid)))-1)
	top := make([]float64, 0, n+1) // the n greatest, rising
	for _, x := range r.Depth {
		if math.IsNaN(x) || len(top) == n && x <= top[0] {
			continue
		}
		at, _ := slices.BinarySearch(top, x)
		if top = slices.Insert(top, at, x); len(top) > n {
			top = slices.Delete(top, 0, 1)
		}
	}
	return top[0]
}

func (r *Record) checkRepeat() Check {
	c := Check{
		Code:   "repeated",
		Rule:   fmt.Sprintf("the same depth, %g mm or more, on %d days running", repeatDepth, repeatDays),
		Source: "common practice, no source",
	}
	for i := 0; i < len(r.Depth); {
		j := i + 1
		for j < len(r.Depth) && r.Depth[j] == r.Depth[i] && (r.Mark[i]|r.Mark[j])&Spread == 0 {
			j++
		}
		if x := r.Depth[i]; x >= repeatDepth && j-i >= repeatDays {
			day := r.First + Date(i)
			c.Found = append(c.Found, Finding{day, j - i, x, fmt.Sprintf("%.1f mm on each of %d days from %v", x, j-i, day)})
		}
		i = j
	}
	return c
}

// checkYear judges each whole calendar year by the others: a year so wet that
// it is most of the spread would hide behind it.
func (r *Record) checkYear() Check {
	c := Check{
		Code:   "wet-year",
		Rule:   fmt.Sprintf("a calendar year above %g times the median, or %g s.d. above the other years' mean", yearFactor, yearSD),
		Source: "common practice, no source",
	}
	var whole []AnnualTotal
	for _, a := range r.AnnualTotals() {
		if a.Valid >= WholeYearDays {
			whole = append(whole, a)
		}
	}
	if len(whole) < 5 {
		return c // too few to say what a usual year is
	}
	mm := make([]float64, len(whole))
	for i, a := range whole {
		mm[i] = a.MM
	}
	median := medianOf(mm)
	others := make([]float64, 0, len(mm))
	for i, a := range whole {
		others = append(append(others[:0], mm[:i]...), mm[i+1:]...)
		mean, sd := meanSD(others)
		if a.MM > yearFactor*median || a.MM > mean+float64(yearSD*sd) {
			c.Found = append(c.Found, Finding{
				civil(a.Year, time.January, 1), DaysIn(a.Year, time.February) + 337, a.MM,
				fmt.Sprintf("%d sums to %.0f mm, %.1f times the median year", a.Year, a.MM, a.MM/median),
			})
		}
	}
	return c
}

// checkWeekday asks whether it rains as often on every day of the week: a
// gauge left alone on Sundays shows zeros there and the sum on Mondays.
func (r *Record) checkWeekday() Check {
	c := Check{
		Code: "weekday",
		Rule: fmt.Sprintf("a weekday with %.0f %% more or fewer wet days than the week's mean, beyond chance", 100*weekdayShare),
		// Seen as two packages for weather records quote it, for a binomial
		// test; the thresholds are ours.
		Source: "Hunziker et al. 2017, Int. J. Climatol., as quoted; chi-square, 6 degrees of freedom",
	}
	var wet, seen [7]float64
	for i, x := range r.Depth {
		if math.IsNaN(x) || r.Mark[i]&Spread != 0 {
			continue
		}
		d := (r.First + Date(i)).Weekday()
		seen[d]++
		if x >= WetDay {
			wet[d]++
		}
	}
	var allWet, allSeen float64
	for d := range wet {
		allWet += wet[d]
		allSeen += seen[d]
	}
	if allWet == 0 || allWet == allSeen {
		return c
	}
	share := allWet / allSeen
	chi2 := 0.0
	for d := range wet {
		if seen[d] == 0 {
			return c
		}
		e := float64(seen[d] * share)
		chi2 += float64((wet[d]-e)*(wet[d]-e)) / float64(e*float64(1-share))
	}
	// The upper tail of chi-square with an even number of degrees of freedom,
	// 6, is a Poisson sum: exp(−h)·(1 + h + h²/2), h = χ²/2.
	h := chi2 / 2
	if math.Exp(-h)*(1+h+h*h/2) > weekdayOdds {
		return c
	}
	for d := range wet {
		depart := wet[d]/(seen[d]*share) - 1
		if math.Abs(depart) < weekdayShare {
			continue
		}
		word := "more"
		if depart < 0 {
			word = "fewer"
		}
		c.Found = append(c.Found, Finding{
			r.First, len(r.Depth), 0,
			fmt.Sprintf("%vs have %.0f %% %s wet days than the week's mean", time.Weekday(d), 100*math.Abs(depart), word),
		})
	}
	return c
}

func medianOf(v []float64) float64 {
	s := append([]float64(nil), v...)
	sort.Float64s(s)
	n := len(s)
	if n%2 == 1 {
		return s[n/2]
	}
	return (s[n/2-1] + s[n/2]) / 2
}

// meanSD returns the mean and the standard deviation with divisor n − 1, NaN
// for fewer than two values.
func meanSD(v []float64) (mean, sd float64) {
	for _, x := range v {
		mean += x
	}
	mean /= float64(len(v))
	ss := 0.0
	for _, x := range v {
		ss += float64((x - mean) * (x - mean))
	}
	if len(v) < 2 {
		return mean, math.NaN()
	}
	return mean, math.Sqrt(ss / float64(len(v)-1))
}
