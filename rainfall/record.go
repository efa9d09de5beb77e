package rainfall

import (
	"math"
	"slices"
	"strings"
	"time"
)

// Mark says what was done to a day, or what its publisher said of it. Marks
// combine.
type Mark uint8

const (
	// Trace is rain too little to measure; its depth counts as 0 mm.
	Trace Mark = 1 << iota
	// Spread is a day's equal share of a total measured over several days.
	Spread
	// Failed is a value that the publisher's checks refused; its depth is NaN.
	Failed
	// Doubtful is a value that the publisher calls estimated, suspect or not
	// yet checked; its depth is kept.
	Doubtful
	// Presumed is a zero that the publisher wrote for a missing value in the
	// belief that no rain fell; its depth is kept as 0.
	Presumed
	// Filled is a missing day filled from another year (see Record.Fill).
	Filled
	// Borrowed is a missing day taken from a second gauge (see FilledFrom).
	Borrowed
)

// About is what is known of a record beside its rain.
type About struct {
	File     string `key:"file" doc:"the name it was read under, - for standard input"`
	SHA256   string `key:"sha256" doc:"of the file's bytes as they lay on disk, hexadecimal"`
	Unpacked string `key:"unpacked_sha256" doc:"the same with gzip undone, however the file was packed"`
	Format   string `key:"format" doc:"the format it was recognised as"`
	Station  string `key:"station" doc:"the publisher's identifier, empty where the file has none"`
	Place    string `key:"place" doc:"the place's name, empty where the file has none"`
	Unit     string `key:"unit" doc:"the unit the file holds: mm, 0.1 mm or in"`
	Modelled bool   `key:"modelled" doc:"a modelled grid cell, not a gauge"`

	Second       string `key:"second_file,omitempty" doc:"the second gauge that missing days were taken from, the name it was read under"`
	SecondSHA256 string `key:"second_sha256,omitempty" doc:"of that file's bytes"`
}

// Record is one gauge's (or grid cell's) daily precipitation.
type Record struct {
	About
	First Date      // the day of Depth[0]
	Depth []float64 // mm a day, a value for every day from First on; NaN missing
	Mark  []Mark    // as long as Depth

	// The highest and the lowest temperature of each day, °C, each as long as
	// Depth, NaN where missing; both nil where the file has none or they were
	// not asked for.
	Max, Min []float64
	// ET0 is reference evapotranspiration, mm a day, as long as Depth; nil where it
	// was not reckoned (see ReferenceET).
	ET0 []float64
	// Position is the gauge's, NaN where its reader finds none in the file.
	Position

	Totals   []Total   // totals measured over several days, in date order
	Findings []Finding // what its reader doubts or has done
}

// Total is one amount measured over several days. Where the days it covers
// are known they share it equally in Depth, marked Spread.
type Total struct {
	Last Date    // the day it was read
	Days int     // how many days it covers, 2 or more
	MM   float64 // mm over all of them
}

// Last returns the day of the last depth.
func (r *Record) Last() Date { return r.First + Date(len(r.Depth)) - 1 }

// Name returns the best name the record has for a title: its place, its
// station or its file.
func (a *About) Name() string {
	switch {
	case a.Place != "":
		return a.Place
	case a.Station != "":
		return a.Station
	case a.File == "-":
		return "standard input"
	}
	return a.File[strings.LastIndexAny(a.File, `/\`)+1:] // where it lies says nothing of it
}

// Missing counts the days without a value of their own: those without a
// depth, and those that have only a share of a total over several days.
func (r *Record) Missing() int {
	n := 0
	for i, x := range r.Depth {
		if math.IsNaN(x) || r.Mark[i]&Spread != 0 {
			n++
		}
	}
	return n
}

// Count counts the days that carry all of the given marks.
func (r *Record) Count(m Mark) int {
	n := 0
	for _, x := range r.Mark {
		if x&m == m {
			n++
		}
	}
	return n
}

// Run is a stretch of consecutive days.
type Run struct {
	From Date `key:"from" doc:"the first day, none where there is no such stretch"`
	Days int  `key:"days" doc:"days"`
}

// LongestGap returns the first longest run of missing days; Days is 0 where
// none is missing.
func (r *Record) LongestGap() Run { return r.longest(math.IsNaN) }

// LongestDrySpell returns the first longest run of days below threshold mm,
// none of them missing. The customary threshold of a wet day is 1 mm (WMO
// climate-extremes index CDD, "consecutive dry days": from memory,
// unverified).
func (r *Record) LongestDrySpell(threshold float64) Run {
	return r.longest(func(x float64) bool { return x < threshold }) // NaN is not
}

func (r *Record) longest(in func(float64) bool) Run {
	best := Run{From: NoDate}
	n := 0
	for i, x := range r.Depth {
		if !in(x) {
			n = 0
			continue
		}
		if n++; n > best.Days {
			best = Run{r.First + Date(i-n+1), n}
		}
	}
	return best
}

// eachMonth calls f with the months of the record in order: those days of
// each that it covers, from the place of the first to that after the last.
func (r *Record) EachMonth(f func(y int, m time.Month, from, to int)) {
	for from := 0; from < len(r.Depth); {
		y, m, d := (r.First + Date(from)).YMD()
		to := min(from+DaysIn(y, m)-d+1, len(r.Depth))
		f(y, m, from, to)
		from = to
	}
}

// MonthlyMean returns the mean total of each calendar month, January first,
// in mm: the mean depth of the month's valid days times its days (28.2425
// for February). A month never seen is NaN.
func (r *Record) MonthlyMean() [12]float64 {
	return r.monthly(func(mm float64) float64 { return mm })
}

// monthly is MonthlyMean of what f makes of a day's depth.
func (r *Record) monthly(f func(mm float64) float64) [12]float64 {
	var mean, n [12]float64
	r.EachMonth(func(_ int, m time.Month, from, to int) {
		for _, x := range r.Depth[from:to] {
			if !math.IsNaN(x) {
				mean[m-1] += f(x)
				n[m-1]++
			}
		}
	})
	for m := range mean {
		mean[m] = mean[m] / n[m] * meanDays(time.Month(m+1))
	}
	return mean
}

// meanDays is how many days a month has on average.
func meanDays(m time.Month) float64 {
	if m == time.February {
		return 28.2425
	}
	return float64(DaysIn(2001, m))
}

// AnnualTotal is a calendar year's rain.
type AnnualTotal struct {
	Year  int
	MM    float64 // the total of its days, shares of multi-day totals included, mm
	Days  int     // days with a depth
	Own   float64 // the total of the days with a value of their own, mm
	Valid int     // days with a value of their own
}

// AnnualTotals returns the calendar years of the record in order, whole or
// not.
func (r *Record) AnnualTotals() []AnnualTotal {
	out := make([]AnnualTotal, 0, len(r.Depth)/365+2)
	r.EachMonth(func(y int, _ time.Month, from, to int) {
		if len(out) == 0 || out[len(out)-1].Year != y {
			out = append(out, AnnualTotal{Year: y})
		}
		a := &out[len(out)-1]
		for i, x := range r.Depth[from:to] {
			if math.IsNaN(x) {
				continue
			}
			a.MM += x
			a.Days++
			if r.Mark[from+i]&Spread == 0 {
				a.Own += x
				a.Valid++
			}
		}
	})
	return out
}

// WholeYearDays is the number of valid days from which on a calendar year's
// total counts towards the mean annual rain.
const WholeYearDays = 360

// MeanAnnual returns the mean rain of the calendar years with at least
// WholeYearDays days that have a value of their own, in mm a year, and how
// many they are: the publishers' daily values alone, without totals over
// several days. With no such year it returns the sum of the monthly means,
// and 0.
func (r *Record) MeanAnnual() (mm float64, years int) {
	for _, a := range r.AnnualTotals() {
		if a.Valid >= WholeYearDays {
			mm += a.Own
			years++
		}
	}
	if years > 0 {
		return mm / float64(years), years
	}
	for _, x := range r.MonthlyMean() {
		mm += x
	}
	return mm, 0
}

// Scaled returns the record with every depth multiplied by a factor, which is told
// of as a finding: the long-term mean rain of a site over that of the gauge. Days
// and spells stay as they were.
func (r *Record) Scaled(by float64) *Record {
	out := *r
	out.Depth = slices.Clone(r.Depth)
	for t := range out.Depth {
		out.Depth[t] *= by
	}
	out.Findings = append(slices.Clip(r.Findings), Finding{Code: "scaled", Values: []Value{{Name: "factor", Dim: InFactor, X: by}}})
	return &out
}
