package rainfall

import (
	"fmt"
	"math"
	"sort"
	"time"
)

// WetDay is the least rain of a wet day, mm (WMO climate-extremes indices,
// from memory, unverified).
const WetDay = 1.0

// Summary is all that is said of a record before a tank is put under it.
type Summary struct {
	*Record
	Start     time.Month  // the month in which a water year begins
	MissingN  int         // days without a value
	Gap       Run         // the longest hole
	FailedN   int         // values that the publisher's checks refused; missing
	DoubtfulN int         // values kept that the publisher is not sure of
	TraceN    int         // days with a trace, counted as 0 mm
	SpreadN   int         // days that hold their share of a longer total
	Usable    []WaterYear // the usable water years, in order
	Rejected  []Rejected  // the others the record touches, in order
	FilledN   int         // days filled in usable years
	Annual    float64     // mean annual rain, mm (see MeanAnnual)
	AnnualN   int         // the calendar years it is the mean of; 0: of the months
	Monthly   [12]float64 // mean monthly totals, mm; NaN never seen
	WetDays   [12]float64 // mean wet days a month; NaN never seen
	WetShare  float64     // share of valid days that are wet; 0–1
	YearMean  float64     // mean of the usable water years, mm; NaN for none
	YearSD    float64     // their standard deviation, mm; NaN for fewer than 2
	DrySpell  Run         // the longest run of days below WetDay
	MaxDay    Date        // the first day of the greatest depth
	MaxDepth  float64     // that depth, mm
	Driest    []DryMonths // the least rain of 3, 6 and 12 whole months running
	Change    *Change     // nil for fewer than minChange usable years
	Checks    []Check     // every rule of plausibility
}

// WaterYear is a usable water year, its holes filled.
type WaterYear struct {
	Label  int     // the calendar year in which it begins
	MM     float64 // its rain, mm
	Filled int     // days filled
}

// Rejected is a water year that is not usable.
type Rejected struct {
	Label  int
	Reason string // a short phrase, no full stop
	Edge   bool   // the record begins or ends within it
}

// DryMonths is the driest stretch of so many calendar months, of those with
// every day known or filled.
type DryMonths struct {
	Months int
	From   Date    // its first day
	MM     float64 // its rain; NaN where the record has no such stretch
}

// Change is what the tests of change say of the totals of the usable water
// years. They take the years as if none were missing between them.
type Change struct {
	MannKendall  float64 // two-sided probability of such a trend by chance
	SenPerDecade float64 // Sen's slope, mm a decade
	Pettitt      float64 // probability of such a step by chance
	StepLabel    int     // the first water year after the likeliest step
	Before       float64 // mean of the years before it, mm
	After        float64 // mean of the years from it on, mm
}

// minChange is the least years that the tests of change are run on: the
// normal approximation of Mann–Kendall asks for 10 (common practice, no
// source).
const minChange = 10

// Summarise gathers the facts of a record and of its filled series.
func Summarise(r *Record, s *Series) *Summary {
	m := &Summary{
		Record: r, Start: s.Years.Start,
		MissingN: r.Missing(), Gap: r.LongestGap(),
		FailedN: r.Count(Failed), DoubtfulN: r.Count(Doubtful),
		TraceN: r.Count(Trace), SpreadN: r.Count(Spread),
		Rejected: r.rejected(s.Years.Start),
		Monthly:  r.MonthlyMean(), DrySpell: r.LongestDrySpell(WetDay),
		Driest: driest(s), Checks: r.Quality(),
	}
	m.Annual, m.AnnualN = r.MeanAnnual()
	m.WetDays, m.WetShare = r.wetDays()
	m.MaxDepth = math.NaN()
	for i, x := range r.Depth {
		if x > m.MaxDepth || math.IsNaN(m.MaxDepth) {
			m.MaxDay, m.MaxDepth = r.First+Date(i), x
		}
	}
	totals := make([]float64, s.Years.Len())
	for i := range totals {
		totals[i] = s.Years.Total(i)
		m.Usable = append(m.Usable, WaterYear{s.Years.Label[i], totals[i], s.Years.Filled[i]})
		m.FilledN += s.Years.Filled[i]
	}
	m.YearMean, m.YearSD = meanSD(totals)
	if len(totals) >= minChange {
		m.Change = change(totals, s.Years.Label)
	}
	return m
}

// Extremes returns the n driest and the n wettest usable water years, the
// most extreme first; of equal years the earlier comes first.
func (m *Summary) Extremes(n int) (driest, wettest []WaterYear) {
	driest = append([]WaterYear(nil), m.Usable...)
	wettest = append([]WaterYear(nil), m.Usable...)
	sort.SliceStable(driest, func(i, j int) bool { return driest[i].MM < driest[j].MM })
	sort.SliceStable(wettest, func(i, j int) bool { return wettest[i].MM > wettest[j].MM })
	n = min(n, len(m.Usable))
	return driest[:n], wettest[:n]
}

// Suspicious lists what the rules of plausibility found.
func (m *Summary) Suspicious() []Finding {
	var out []Finding
	for _, c := range m.Checks {
		out = append(out, c.Found...)
	}
	return out
}

// Significant is the probability by chance below which a trend or a step is
// told.
const Significant = 0.05

// Changes lists the trend and the step that the tests show.
func (m *Summary) Changes() []Finding {
	c := m.Change
	if c == nil {
		return nil
	}
	from, next := Day(m.Usable[0].Label, m.Start, 1), Day(m.Usable[len(m.Usable)-1].Label+1, m.Start, 1)
	var out []Finding
	if c.MannKendall < Significant {
		out = append(out, Finding{"trend", from, int(next - from), []Value{
			{"per_decade", InDepth, c.SenPerDecade}, {"chance", InChance, c.MannKendall}}})
	}
	if c.Pettitt < Significant {
		step := Day(c.StepLabel, m.Start, 1)
		out = append(out, Finding{"step", step, int(next - step), []Value{
			{"before", InDepth, c.Before}, {"after", InDepth, c.After}, {"first_year", InYear, float64(c.StepLabel)}, {"chance", InChance, c.Pettitt}}})
	}
	return out
}

// wetDays returns the mean number of wet days of each month and the share of
// all valid days that are wet.
func (r *Record) wetDays() (mean [12]float64, share float64) {
	var wet, n [12]float64
	r.EachMonth(func(_ int, m time.Month, from, to int) {
		for _, x := range r.Depth[from:to] {
			if math.IsNaN(x) {
				continue
			}
			n[m-1]++
			if x >= WetDay {
				wet[m-1]++
			}
		}
	})
	var allWet, all float64
	for m := range mean {
		days := float64(DaysIn(2001, time.Month(m+1)))
		if m == 1 {
			days = 28.2425
		}
		mean[m] = wet[m] / n[m] * days
		allWet += wet[m]
		all += n[m]
	}
	return mean, allWet / all
}

// rejected says for each water year that the record touches and that is not
// usable why it is not.
func (r *Record) rejected(start time.Month) []Rejected {
	usable := map[int]bool{}
	for _, y := range r.usableYears(start) {
		usable[y.label] = true
	}
	first, _, _ := r.First.YMD()
	last, _, _ := r.Last().YMD()
	var out []Rejected
	for label := first - 1; label <= last; label++ {
		from, next := Day(label, start, 1), Day(label+1, start, 1)
		if usable[label] || next <= r.First || from > r.Last() {
			continue
		}
		switch {
		case from < r.First:
			out = append(out, Rejected{label, fmt.Sprintf("the record begins on %v", r.First), true})
		case next-1 > r.Last():
			out = append(out, Rejected{label, fmt.Sprintf("the record ends on %v", r.Last()), true})
		default:
			out = append(out, Rejected{label, r.whyNot(from, next), false})
		}
	}
	return out
}

// whyNot names the first month that breaks the rule and how many do.
func (r *Record) whyNot(from, next Date) string {
	reason, more, all := "", 0, 0
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
			case reason != "":
				more++
			case missing > maxMissing:
				reason = fmt.Sprintf("%s misses %d days", m.String()[:3], missing)
			default:
				reason = fmt.Sprintf("%s misses %d days in a row", m.String()[:3], longest)
			}
		}
		d += Date(days)
	}
	switch {
	case all == int(next-from):
		return "no day has a value"
	case more == 1:
		reason += ", 1 more month is like it"
	case more > 1:
		reason += fmt.Sprintf(", %d more months are like it", more)
	}
	return reason
}

// driest finds the driest 3, 6 and 12 calendar months of a filled series, the
// first of equals.
func driest(s *Series) []DryMonths {
	type month struct {
		from Date
		mm   float64 // NaN unless every day is known or filled
	}
	var months []month
	for i := 0; i < len(s.Depth); {
		y, m, d := (s.First + Date(i)).YMD()
		days := DaysIn(y, m)
		end := i + days - d + 1
		sum := math.NaN()
		if d == 1 && end <= len(s.Depth) {
			sum = 0
			for _, x := range s.Depth[i:end] {
				sum += x
			}
		}
		months = append(months, month{s.First + Date(i), sum})
		i = end
	}
	var out []DryMonths
	for _, n := range []int{3, 6, 12} {
		best := DryMonths{n, 0, math.NaN()}
		for i := 0; i+n <= len(months); i++ {
			sum := 0.0
			for _, m := range months[i : i+n] {
				sum += m.mm
			}
			if sum < best.MM || math.IsNaN(best.MM) && !math.IsNaN(sum) {
				best.From, best.MM = months[i].from, sum
			}
		}
		out = append(out, best)
	}
	return out
}
