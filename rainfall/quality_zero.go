package rainfall

import (
	"fmt"
	"math"
	"time"
)

// Two rules look for days that were missing and were written down as zero.

// checkZeroRun looks for zeros too long for the climate. The chance that a
// dry day follows a dry one is counted for each month (a first-order chain,
// as Richardson 1981); a run is reported where so few as zeroRunOdds runs of
// its length from its day of the year are expected in as many years. Such a
// chain has rather too few long dry spells (Katz & Parlange 1998), so a run
// must also be half as long again as any other year's about the same days.
func (r *Record) checkZeroRun() Check {
	c := Check{
		Code:   "zero-run",
		Rule:   "zeros far longer than the season's other years and chances allow",
		Source: "chain: Richardson 1981, from memory, unverified; thresholds: common practice, no source",
	}
	stay := r.dryStaysDry()
	for m, p := range stay {
		stay[m] = math.Log(p)
	}
	years := float64(len(r.Depth)) / 365.25
	runs := r.zeroRuns()
	for i, run := range runs {
		log := 0.0 // of the chance that the run, begun, goes on so long
		for d := 1; d < run.Days; d++ {
			_, m, _ := (run.From + Date(d)).YMD()
			log += stay[m-1]
		}
		// A run could have begun on any day of the season it spans.
		if years*float64(run.Days)*math.Exp(log) > zeroRunOdds || !longest(runs, i) {
			continue
		}
		c.Found = append(c.Found, Finding{run.From, run.Days, 0, fmt.Sprintf("%d days of zeros from %v", run.Days, run.From)})
	}
	return c
}

// dryStaysDry returns for each month the share of dry days (exactly zero)
// whose next day is dry, 1 for a month that never shows a pair.
func (r *Record) dryStaysDry() [12]float64 {
	var both, dry [12]float64
	r.eachMonth(func(_ int, m time.Month, from, to int) {
		for i := max(from, 1); i < to; i++ {
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

// longest reports whether run i is half as long again as every other run that
// shares a day of the year with it.
func longest(runs []Run, i int) bool {
	a := runs[i]
	for j, b := range runs {
		if j == i || 3*b.Days <= 2*a.Days {
			continue
		}
		// Days from the start of a to that of b, on the ring of the year.
		lag := math.Mod(float64(b.From-a.From), 365.2425)
		if lag < 0 {
			lag += 365.2425
		}
		if lag < float64(a.Days) || lag+float64(b.Days) > 365.2425 {
			return false
		}
	}
	return true
}

// checkZeroMonth looks for a month of zeros alone where that month had
// measurable rain in every other year.
func (r *Record) checkZeroMonth() Check {
	c := Check{
		Code:   "zero-month",
		Rule:   fmt.Sprintf("a month of zeros, in a month with rain in all of %d other years or more and %g wet days on average", rainyYears, rainyDays),
		Source: "common practice, no source",
	}
	type seen struct {
		from Date
		days int
		wet  int
		zero bool
	}
	var months [12][]seen
	for i := 0; i < len(r.Depth); {
		y, m, d := (r.First + Date(i)).YMD()
		days := DaysIn(y, m)
		if d != 1 || i+days > len(r.Depth) {
			i += days - d + 1
			continue
		}
		s := seen{r.First + Date(i), days, 0, true}
		whole := true
		for k := i; k < i+days; k++ {
			switch x := r.Depth[k]; {
			case math.IsNaN(x):
				whole = false
			case x >= WetDay:
				s.wet++
			}
			s.zero = s.zero && r.Depth[k] == 0 && r.Mark[k]&Trace == 0
		}
		if whole {
			months[m-1] = append(months[m-1], s)
		}
		i += days
	}
	for m, all := range months {
		zeros, wet, at := 0, 0, 0
		for i, s := range all {
			wet += s.wet
			if s.zero {
				zeros++
				at = i
			}
		}
		if zeros == 1 && len(all) > rainyYears && float64(wet) >= rainyDays*float64(len(all)) {
			y, _, _ := all[at].from.YMD()
			c.Found = append(c.Found, Finding{all[at].from, all[at].days, 0,
				fmt.Sprintf("%v %d has no rain; the other %d have some", time.Month(m+1), y, len(all)-1)})
		}
	}
	return c
}
