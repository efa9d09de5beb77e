package rainfall

import (
	"math"
	"slices"
	"sort"
	"time"
)

// Two rules look for days that were missing and were written down as zero.
// Both compare with the climate as it is without what they suspect: two false
// stretches, or five, do not excuse one another.

// The thresholds of the two rules, set on invented climates so that records
// without fault give as few findings as may be (see the tests).
const (
	zeroRunDays   = 10    // days; a shorter run is not looked at
	zeroOthers    = 3     // other years that a run is compared with, at the least
	zeroFew       = 8     // from so many on their quartile is worth something
	zeroFewTimes  = 3.0   // times the longest of fewer others
	standOutOdds  = 0.01  // runs so long expected in as many years, by the years' longest
	zeroRunOdds   = 0.001 // runs so long expected in as many years, by the chain
	rainyYears    = 20    // years with rain in a month, to compare one without with
	rainyDays     = 6.0   // wet days that such a month has on average
	zeroMonthOdds = 0.01  // chance of so many such months in as many years
)

// checkZeroRun looks for zeros too long for the climate, by two measures. One
// is the longest run that each other year had about the same days: a run that
// stands out from those is suspected (see standsOut). The other is the chance
// that a dry day follows a dry one in each month (a first-order chain, as
// Richardson 1981), counted without the suspected runs. Such a chain has rather
// too few long dry spells (Katz & Parlange 1998), and quartiles of few years
// are rough: a run is reported where both say no.
func (r *Record) checkZeroRun() Check {
	c := Check{
		Code:   "zero-run",
		Limits: []Value{{"expected_by_longest", InCount, standOutOdds}, {"expected_by_chain", InCount, zeroRunOdds}},
		Source: "chain: Richardson 1981; longest runs: Gumbel 1958; both from memory, unverified; thresholds: common practice, no source",
	}
	runs := r.zeroRuns()
	in := make([]int, len(r.Depth)) // how long the run of zeros is that a day lies in
	for _, x := range runs {
		for d := range x.Days {
			in[int(x.From-r.First)+d] = x.Days
		}
	}
	suspect := make([]bool, len(runs))
	for again := true; again; { // those found are left aside, which may bare others
		again = false
		for i, x := range runs {
			if x.Days < zeroRunDays || suspect[i] || !r.standsOut(x, in) {
				continue
			}
			suspect[i], again = true, true
			for d := range x.Days {
				in[int(x.From-r.First)+d] = aside
			}
		}
	}
	var suspects []Run
	for i, x := range runs {
		if suspect[i] {
			suspects = append(suspects, x)
		}
	}
	stay := r.dryStaysDry(suspects)
	years := float64(len(r.Depth)) / 365.25
	for _, x := range suspects {
		log := 0.0 // of the chance that the run, begun, goes on so long
		for d := 1; d < x.Days; d++ {
			_, m, _ := (x.From + Date(d)).YMD()
			log += math.Log(stay[m-1])
		}
		// A run could have begun on any day of the season it spans.
		if years*float64(x.Days)*math.Exp(log) <= zeroRunOdds {
			c.found(x.From, x.Days)
		}
	}
	return c
}

// aside stands for the length of a run that is suspected.
const aside = -1

// standsOut reports whether a run is longer than the other years' longest about
// the same days let expect. Their median and upper quartile, which a few false
// years hardly move, give Gumbel's law of the greatest, and that the length
// that standOutOdds of records as long have. Of few years the longest stands
// for them. A year with more than a tenth of those days missing or suspected is
// none. in is how long the run of zeros is that a day lies in.
func (r *Record) standsOut(x Run, in []int) bool {
	const year = 365.2425
	var longest []float64
	at := int(x.From - r.First)
	for k := -int(float64(at) / year); ; k++ {
		from := at + int(math.Round(float64(k)*year))
		if from+x.Days > len(in) {
			break
		}
		if from < 0 || from < at+x.Days && at < from+x.Days { // the run itself, or a part of it
			continue
		}
		missing, most := 0, 0
		for d := from; d < from+x.Days; d++ {
			most = max(most, in[d])
			if math.IsNaN(r.Depth[d]) || in[d] == aside {
				missing++
			}
		}
		if 10*missing <= x.Days {
			longest = append(longest, float64(most))
		}
	}
	n := len(longest)
	if n < zeroOthers {
		return false
	}
	sort.Float64s(longest)
	if n < zeroFew {
		return float64(x.Days) > zeroFewTimes*longest[n-1]
	}
	median, upper := medianOf(longest), longest[(3*n+3)/4-1]
	// Gumbel: F(x) = exp(−exp(−(x−μ)/β)), so that the quantile q is
	// μ − β·ln(−ln q).
	gumbel := func(q float64) float64 { return -math.Log(-math.Log(q)) }
	scale := (upper - median) / (gumbel(0.75) - gumbel(0.5))
	limit := median + float64(scale*(gumbel(1-standOutOdds/float64(n+1))-gumbel(0.5)))
	return float64(x.Days) > limit
}

// dryStaysDry returns for each month the share of dry days (exactly zero)
// whose next day is dry, the given runs aside; 1 for a month that never shows
// a pair.
func (r *Record) dryStaysDry(without []Run) [12]float64 {
	var both, dry [12]float64
	r.EachMonth(func(_ int, m time.Month, from, to int) {
		for i := max(from, 1); i < to; i++ {
			for len(without) > 0 && int(without[0].From-r.First)+without[0].Days < i {
				without = without[1:]
			}
			if len(without) > 0 && i > int(without[0].From-r.First) {
				continue // the day before is of a run left aside
			}
			if r.Depth[i-1] != 0 || math.IsNaN(r.Depth[i]) {
				continue
			}
			dry[m-1]++
			if r.Depth[i] == 0 {
				both[m-1]++
			}
		}
	})
	var p [12]float64
	for m := range p {
		p[m] = 1
		if dry[m] > 0 {
			p[m] = both[m] / dry[m]
		}
	}
	return p
}

// zeroRuns lists the runs of exact zeros, traces not among them, in order.
func (r *Record) zeroRuns() []Run {
	out := make([]Run, 0, len(r.Depth)/2+1) // no more than that: growing would copy
	n := 0
	for i, x := range r.Depth {
		if x == 0 && r.Mark[i]&Trace == 0 {
			n++
			continue
		}
		if n > 0 {
			out = append(out, Run{r.First + Date(i-n), n})
		}
		n = 0
	}
	if n > 0 {
		out = append(out, Run{r.First + Date(len(r.Depth)-n), n})
	}
	return out
}

// checkZeroMonth looks for months of zeros alone where that month has rain in
// the other years, on so many days that none of them would have none by
// chance. Their days with rain or a trace are taken as negative binomial.
func (r *Record) checkZeroMonth() Check {
	c := Check{
		Code:   "zero-month",
		Limits: []Value{{"other_years", InCount, rainyYears}, {"wet_days", InCount, rainyDays}, {"chance", InChance, zeroMonthOdds}},
		Source: "negative binomial days with rain; thresholds: common practice, no source",
	}
	var zeros [12][]Run
	var rain [12][]float64 // the days with rain of each other whole month
	var wet [12]float64    // the wet days of all of them
	r.EachMonth(func(y int, m time.Month, from, to int) {
		if to-from < DaysIn(y, m) {
			return
		}
		some, full := 0, 0
		for i := from; i < to; i++ {
			x := r.Depth[i]
			if math.IsNaN(x) {
				return
			}
			if x > 0 || r.Mark[i]&Trace != 0 {
				some++
			}
			if x >= WetDay {
				full++
			}
		}
		if some == 0 {
			zeros[m-1] = append(zeros[m-1], Run{r.First + Date(from), to - from})
			return
		}
		rain[m-1] = append(rain[m-1], float64(some))
		wet[m-1] += float64(full)
	})
	for m, all := range zeros {
		others, z := float64(len(rain[m])), len(all)
		years := others + float64(z)
		if z == 0 || others < rainyYears || wet[m] < rainyDays*others {
			continue
		}
		if tailPoisson(z, years*chanceOfNone(meanSD(rain[m]))) > zeroMonthOdds {
			continue
		}
		for _, x := range all {
			c.found(x.From, x.Days, Value{"others", InCount, others})
		}
	}
	slices.SortFunc(c.Found, func(a, b Finding) int { return int(a.From - b.From) })
	return c
}

// chanceOfNone returns the chance of 0 under a negative binomial law of this
// mean and standard deviation, under Poisson's where the spread is no wider.
func chanceOfNone(mean, sd float64) float64 {
	v := sd * sd
	if v <= mean {
		return math.Exp(-mean)
	}
	return math.Pow(mean/v, mean*mean/(v-mean))
}

// tailPoisson returns the chance of n or more where mean are expected.
func tailPoisson(n int, mean float64) float64 {
	term, sum := math.Exp(-mean), 0.0
	for k := range n {
		sum += term
		term *= mean / float64(k+1)
	}
	return 1 - sum
}
