package rainfall

import (
	"math"
	"slices"
	"sort"
	"time"
)

// Check is one rule of plausibility and what it found. A finding is a place
// to look at, never a change to the record: real rain breaks every such rule
// now and then.
//
// Every rule is proof against its own findings: what it measures a day, a run
// or a year by is left as it was by a number of false ones beside the first.
type Check struct {
	Code   string    `key:"code" doc:"the kind of its findings"`
	Limits []Value   `key:"limits" doc:"its thresholds"`
	Source string    `key:"source" doc:"where the rule comes from"` // never to be turned into other units
	Found  []Finding `key:"found" doc:"what it found"`
}

// The thresholds of the rules.
const (
	extremeDay    = 300.0 // mm in a day
	extremeFactor = 3.0   // times the record's 99.9 percentile
	extremeWet    = 9.0   // times the 95th percentile of its wet days
	repeatDays    = 4     // days running with one depth
	repeatDepth   = 1.0   // mm; less comes by chance where a gauge reads to 0.2 mm
	yearFactor    = 3.0   // times the median year
	yearSD        = 5.0   // standard deviations above the other years
	yearLeast     = 1.25  // times the median year, however alike the others are
	yearShare     = 4     // a quarter of the years at most is set aside together
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

// checkExtreme judges a day by the record's 99.9 percentile. So high a
// percentile is itself a false value where they are more than a day in a
// thousand; it counts for no more than the 95th of the wet days allows, which
// is above it in records without fault.
func (r *Record) checkExtreme() Check {
	c := Check{
		Code:   "extreme-day",
		Source: "the depth: Durre et al. 2010, from memory, unverified; the multiples: common practice, no source",
	}
	limit := extremeDay
	if high := r.percentile(0.999, 0); high > 0 {
		limit = min(limit, extremeFactor*high)
	}
	if high := r.percentile(0.95, WetDay); high > 0 {
		limit = min(limit, extremeWet*high)
	}
	c.Limits = []Value{
		{"limit", InDepth, limit}, {"most", InDepth, extremeDay},
		{"times_percentile_99.9", InFactor, extremeFactor}, {"times_wet_percentile_95", InFactor, extremeWet},
	}
	for i, x := range r.Depth {
		if x > limit {
			c.found(r.First+Date(i), 1, Value{"depth", InDepth, x})
		}
	}
	return c
}

func (c *Check) found(from Date, days int, values ...Value) {
	c.Found = append(c.Found, Finding{Code: c.Code, From: from, Days: days, Values: values})
}

// percentile returns the depth that share q of the days of least mm or more do
// not exceed (the nearest rank above), NaN where there is no such day. It
// keeps the days above alone, so q is near 1.
func (r *Record) percentile(q, least float64) float64 {
	valid := 0
	for _, x := range r.Depth {
		if x >= least { // NaN is not
			valid++
		}
	}
	if valid == 0 {
		return math.NaN()
	}
	n := valid - min(valid-1, int(math.Ceil(q*float64(valid)))-1)
	top := make([]float64, 0, n+1) // the n greatest, rising
	for _, x := range r.Depth {
		if !(x >= least) || len(top) == n && x <= top[0] {
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
		Limits: []Value{{"least", InDepth, repeatDepth}, {"days", InCount, repeatDays}},
		Source: "common practice, no source",
	}
	for i := 0; i < len(r.Depth); {
		j := i + 1
		for j < len(r.Depth) && r.Depth[j] == r.Depth[i] && (r.Mark[i]|r.Mark[j])&Spread == 0 {
			j++
		}
		if x := r.Depth[i]; x >= repeatDepth && j-i >= repeatDays {
			c.found(r.First+Date(i), j-i, Value{"depth", InDepth, x})
		}
		i = j
	}
	return c
}

// checkYear judges whole calendar years by the others. The wettest are set
// aside together, as many as all stand out from the rest, a quarter at most:
// judged one by one, two of them would be most of the spread that each is
// judged by.
func (r *Record) checkYear() Check {
	c := Check{
		Code:   "wet-year",
		Limits: []Value{{"times_median", InFactor, yearFactor}, {"deviations", InFactor, yearSD}, {"least_times_median", InFactor, yearLeast}},
		Source: "outliers set aside together: Rosner 1983, Technometrics 25:165, from memory, unverified; thresholds: common practice, no source",
	}
	var mm []float64 // of the whole years, rising
	years := r.AnnualTotals()
	for _, a := range years {
		if a.Valid >= WholeYearDays {
			mm = append(mm, a.MM)
		}
	}
	if len(mm) < 5 {
		return c // too few to say what a usual year is
	}
	sort.Float64s(mm)
	median := medianOf(mm)
	limit := yearFactor * median
	for k := len(mm) / yearShare; k > 0; k-- {
		rest := mm[:len(mm)-k]
		mean, sd := meanSD(rest)
		if least := mean + float64(yearSD*sd); mm[len(rest)] > least {
			limit = min(limit, max(least, yearLeast*median))
			break
		}
	}
	for _, a := range years {
		if a.Valid >= WholeYearDays && a.MM > limit {
			c.found(Day(a.Year, time.January, 1), DaysIn(a.Year, time.February)+337,
				Value{"depth", InDepth, a.MM}, Value{"times_median", InFactor, a.MM / median})
		}
	}
	return c
}

// checkWeekday asks whether it rains as often on every day of the week: a
// gauge left alone on Sundays shows zeros there and the sum on Mondays.
func (r *Record) checkWeekday() Check {
	c := Check{
		Code:   "weekday",
		Limits: []Value{{"departure", InShare, weekdayShare}, {"chance", InChance, weekdayOdds}},
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
		c.found(r.First, len(r.Depth), Value{"weekday", InDay, float64(d)}, Value{"departure", InShare, depart})
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
