package rainfall

import (
	"math"
	"sort"
	"time"
)

// WetDay is the least rain of a wet day, mm (WMO climate-extremes indices,
// from memory, unverified).
const WetDay = 1.0

// Summary is all that is said of a record before a tank is put under it. It
// stands by itself: whoever has it needs no daily values.
type Summary struct {
	About
	Position    *Position   `key:"position,omitempty" doc:"where the gauge stands, where its file says so"`
	First       Date        `key:"first" doc:"the first day"`
	Last        Date        `key:"last" doc:"the last day"`
	Days        int         `key:"days" doc:"days from the first to the last"`
	Missing     int         `key:"missing" doc:"days without a value of their own"`
	Gap         Run         `key:"longest_gap" doc:"the longest hole"`
	Traces      int         `key:"trace_days" doc:"days with a trace, counted as 0 mm"`
	Failed      int         `key:"failed_days" doc:"values that the publisher's checks refused, taken as missing"`
	Doubtful    int         `key:"doubtful_days" doc:"values kept that the publisher is not sure of"`
	Totals      int         `key:"multi_day_totals" doc:"totals measured over several days"`
	TotalsMM    float64     `key:"multi_day_totals_mm" doc:"the rain of these, together"`
	SpreadDays  int         `key:"multi_day_total_days" doc:"days that hold their share of such a total"`
	UsableN     int         `key:"usable_years" doc:"usable water years"`
	Start       time.Month  `key:"water_year_start_month,number" doc:"the month in which a water year begins"`
	StartBy     StartBy     `key:"water_year_by" doc:"why then: asked, stores (which are fullest then) or rain (the month after the one at which its cumulated departure from the mean month is largest)"`
	FilledDays  int         `key:"filled_days" doc:"days filled in usable years"`
	MeanAnnual  float64     `key:"mean_annual_mm" doc:"mean annual rain"`
	AnnualYears int         `key:"mean_annual_years" doc:"the calendar years it is the mean of; 0 where it is the sum of the monthly means"`
	Monthly     [12]float64 `key:"monthly_mean_mm" doc:"mean monthly totals, January first"`
	WetDays     [12]float64 `key:"monthly_wet_days" doc:"mean wet days a month, January first"`
	WetShare    float64     `key:"wet_day_share" doc:"share of valid days that are wet"`
	YearMean    float64     `key:"water_year_mean_mm" doc:"mean of the usable water years"`
	YearSD      float64     `key:"water_year_sd_mm" doc:"their standard deviation, divisor n − 1"`
	MaxDay      DayDepth    `key:"max_day" doc:"the first day of the greatest depth"`
	DrySpell    Run         `key:"longest_dry_spell" doc:"the longest run of days below 1 mm"`
	Driest      []DryMonths `key:"driest" doc:"the least rain of 3, 6 and 12 whole months running"`
	Trend       *YearTrend  `key:"trend" doc:"the test for a trend, where the usable years are enough for it"`
	Step        *YearStep   `key:"step" doc:"the test for a step, where the usable years are enough for it"`
	Usable      []WaterYear `key:"usable_year_list" doc:"the usable water years, in order"`
	Rejected    []Rejected  `key:"rejected_years" doc:"the others that the record touches, in order"`
	Findings    []Finding   `key:"findings" doc:"what the reader of the file doubts or has done"`
	Checks      []Check     `key:"checks" doc:"every rule of plausibility and what it found"`
}

// wet is 1 for the depth of a wet day, and 0 for another.
func wet(mm float64) float64 {
	if mm >= WetDay {
		return 1
	}
	return 0
}

// DayDepth is the rain of one day.
type DayDepth struct {
	Date Date    `key:"date" doc:"the day"`
	MM   float64 `key:"mm" doc:"its rain"`
}

// WaterYear is a usable water year, its holes filled.
type WaterYear struct {
	Label  int     `key:"label" doc:"the calendar year in which it begins"`
	MM     float64 `key:"mm" doc:"its rain"`
	Filled int     `key:"filled_days" doc:"days filled"`
}

// Rejected is a water year that is not usable.
type Rejected struct {
	Label int  `key:"label" doc:"the calendar year in which it begins"`
	Why   Why  `key:"why" doc:"what keeps it from being usable"`
	Day   Date `key:"day" doc:"the record's first or last day, or the first of the month that breaks the rule"`
	Days  int  `key:"days" doc:"days that this month misses, all in all or in a row"`
	More  int  `key:"more_months" doc:"further months that break the rule"`
}

// Edge reports whether the record begins or ends within the year.
func (r Rejected) Edge() bool { return r.Why == Begins || r.Why == Ends }

// Why says what keeps a water year from being usable.
type Why string

const (
	Begins Why = "begins" // the record begins within it
	Ends   Why = "ends"   // the record ends within it
	Empty  Why = "empty"  // no day of it has a value
	Misses Why = "misses" // a month misses too many days
	Gap    Why = "gap"    // a month misses too many days in a row
)

// DryMonths is the driest stretch of so many calendar months, of those with
// every day known or filled.
type DryMonths struct {
	Months int     `key:"months" doc:"calendar months running"`
	From   Date    `key:"from" doc:"the first day, none where no such stretch is whole"`
	MM     float64 `key:"mm" doc:"its rain"`
}

// YearTrend is what the test for a trend says of the totals of the usable
// water years. It takes them as if none were missing between them.
type YearTrend struct {
	P            float64 `key:"mann_kendall_p" doc:"two-sided probability of such a trend by chance"`
	SenPerDecade float64 `key:"sen_mm_per_decade" doc:"Sen's slope"`
}

// YearStep is what the test for a step says of them.
type YearStep struct {
	P      float64 `key:"pettitt_p" doc:"probability of such a step by chance"`
	Label  int     `key:"first_year_after" doc:"the first water year after the likeliest step"`
	Before float64 `key:"mean_before_mm" doc:"mean of the years before it"`
	After  float64 `key:"mean_after_mm" doc:"mean of the years from it on"`
}

// minChange is the least years that the tests of change are run on: the
// normal approximation of Mann–Kendall asks for 10 (common practice, no
// source).
const minChange = 10

// Summarise gathers the facts of a record and of its filled series.
func Summarise(r *Record, s *Series) *Summary {
	m := &Summary{
		About: r.About, Position: r.Position.stated(), First: r.First, Last: r.Last(), Days: len(r.Depth),
		Missing: r.Missing(), Gap: r.LongestGap(),
		Traces: r.Count(Trace), Failed: r.Count(Failed), Doubtful: r.Count(Doubtful),
		Totals: len(r.Totals), SpreadDays: r.Count(Spread),
		UsableN: s.Years.Len(), Start: s.Years.Start, Rejected: r.rejected(Calendar(s.Years.Start)),
		Monthly: r.MonthlyMean(), MaxDay: DayDepth{NoDate, math.NaN()}, DrySpell: r.LongestDrySpell(WetDay),
		Driest: driest(s), Findings: r.Findings, Checks: r.Quality(),
	}
	for _, t := range r.Totals {
		m.TotalsMM += t.MM
	}
	m.MeanAnnual, m.AnnualYears = r.MeanAnnual()
	m.WetDays = r.monthly(wet)
	wetDays, valid := 0.0, 0.0
	for i, x := range r.Depth {
		if !math.IsNaN(x) {
			wetDays += wet(x)
			valid++
		}
		if x > m.MaxDay.MM || math.IsNaN(m.MaxDay.MM) {
			m.MaxDay = DayDepth{r.First + Date(i), x}
		}
	}
	m.WetShare = wetDays / valid
	totals, labels := make([]float64, m.UsableN), make([]float64, m.UsableN)
	for i := range totals {
		y := WaterYear{s.Years.Label[i], s.Years.Total(i), s.Years.Filled[i]}
		m.Usable = append(m.Usable, y)
		m.FilledDays += y.Filled
		totals[i], labels[i] = y.MM, float64(y.Label)
	}
	m.YearMean, m.YearSD = meanSD(totals)
	if m.UsableN >= minChange {
		step := Pettitt(totals)
		m.Trend = &YearTrend{MannKendall(totals).P, 10 * SenSlope(labels, totals)}
		m.Step = &YearStep{step.P, s.Years.Label[step.At], step.Before, step.After}
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
	if m.Trend == nil {
		return nil
	}
	c := Calendar(m.Start)
	from, next := c.First(m.Usable[0].Label), c.First(m.Usable[len(m.Usable)-1].Label+1)
	var out []Finding
	if t := m.Trend; t.P < Significant {
		out = append(out, Finding{Code: "trend", From: from, Days: int(next - from), Values: []Value{
			{"per_decade", InDepth, t.SenPerDecade}, {"chance", InChance, t.P}}})
	}
	if s := m.Step; s.P < Significant {
		step := c.First(s.Label)
		out = append(out, Finding{Code: "step", From: step, Days: int(next - step), Values: []Value{
			{"before", InDepth, s.Before}, {"after", InDepth, s.After}, {"first_year", InYear, float64(s.Label)}, {"chance", InChance, s.P}}})
	}
	return out
}

// driest finds the driest 3, 6 and 12 calendar months of a filled series, the
// first of equals.
func driest(s *Series) []DryMonths {
	type month struct {
		from Date
		mm   float64 // NaN unless every day is known or filled
	}
	var months []month
	filled := &Record{First: s.First, Depth: s.Depth}
	filled.EachMonth(func(y int, m time.Month, from, to int) {
		sum := math.NaN()
		if to-from == DaysIn(y, m) {
			sum = 0
			for _, x := range s.Depth[from:to] {
				sum += x
			}
		}
		months = append(months, month{s.First + Date(from), sum})
	})
	var out []DryMonths
	for _, n := range []int{3, 6, 12} {
		best := DryMonths{n, NoDate, math.NaN()}
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

// Seasonality is the index of Walsh & Lawler (1981, Weather 36:201): the sum of how
// far the months' means lie from a twelfth of the year's, over the year's rain: 0
// where all are alike, 1.83 where all rain falls in one month. NaN without rain.
func (m *Summary) Seasonality() float64 {
	year, off := 0.0, 0.0
	for _, x := range m.Monthly {
		year += x
	}
	for _, x := range m.Monthly {
		off += math.Abs(x - year/12)
	}
	return off / year
}

// seasonClasses are the classes of that index, each up to a value: their names are
// ours, their bounds Walsh & Lawler's (1981) as many papers quote them.
var seasonClasses = []struct {
	below float64
	name  string
}{
	{0.20, "very-equable"}, {0.40, "wetter-season"}, {0.60, "rather-seasonal"}, {0.80, "seasonal"},
	{1.00, "markedly-seasonal"}, {1.20, "three-months"}, {math.Inf(1), "extreme"},
}

// SeasonClass names the class of a seasonality: very-equable (below 0.2),
// wetter-season (0.2: rain in all months, one season wetter), rather-seasonal (0.4: a
// short drier season), seasonal (0.6), markedly-seasonal (0.8: a long drier season),
// three-months (1.0: most rain in three months) or extreme (1.2: nearly all rain in one
// or two); "" for NaN.
func SeasonClass(x float64) string {
	for _, c := range seasonClasses {
		if x < c.below {
			return c.name
		}
	}
	return ""
}

// SeasonClasses are their names, the least seasonal first.
func SeasonClasses() (out []string) {
	for _, c := range seasonClasses {
		out = append(out, c.name)
	}
	return out
}
