package words

import (
	"fmt"
	"math"
	"time"

	"tankodds/rainfall"
	"tankodds/report/units"
)

// The room for the words of findings: what was found is data until here, and
// becomes a sentence once, in the unit of whoever reads it. A sentence has no
// full stop. Where a rule comes from is a citation and stays as it is.

// Check says what a rule looks for.
func Check(c rainfall.Check, u units.System) string {
	switch c.Code {
	case "extreme-day":
		return fmt.Sprintf("a day above %s: the least of %s, %g times the 99.9 percentile and %g times the 95th percentile of the wet days",
			Depth(u, c.Of("limit"), 0, 2), Depth(u, c.Of("most"), 0, 2), c.Of("times_percentile_99.9"), c.Of("times_wet_percentile_95"))
	case "repeated":
		return fmt.Sprintf("the same depth, %s or more, on %g days running", Depth(u, c.Of("least"), 0, 2), c.Of("days"))
	case "wet-year":
		return fmt.Sprintf("a calendar year above %g times the median, or above %g times it and %g standard deviations above the mean of the usual years",
			c.Of("times_median"), c.Of("least_times_median"), c.Of("deviations"))
	case "zero-run":
		return "zeros that last far longer than in the season's other years, and than chance allows"
	case "zero-month":
		return fmt.Sprintf("a month of zeros where %g other years or more have rain in it, on %g wet days or more on average, so many that chance hardly gives none", c.Of("other_years"), c.Of("wet_days"))
	case "weekday":
		return fmt.Sprintf("a weekday with %s more or fewer wet days than the week's mean, beyond chance", units.Percent(c.Of("departure")))
	}
	panic("words: no words for the rule " + c.Code) // a test goes through all
}

// Finding says what was found.
func Finding(f rainfall.Finding, u units.System) string {
	switch f.Code {
	case "extreme-day":
		return fmt.Sprintf("%s on %v", Depth(u, f.Of("depth"), 1, 2), f.From)
	case "repeated":
		return fmt.Sprintf("%s on each of %d days from %v", Depth(u, f.Of("depth"), 1, 2), f.Days, f.From)
	case "wet-year":
		return fmt.Sprintf("%d sums to %s, %.1f times the median year", yearOf(f.From), Depth(u, f.Of("depth"), 0, 1), f.Of("times_median"))
	case "zero-run":
		return fmt.Sprintf("%d days of zeros from %v", f.Days, f.From)
	case "zero-month":
		y, m, _ := f.From.YMD()
		return fmt.Sprintf("%v %d has no rain; %g other years have some in that month", m, y, f.Of("others"))
	case "weekday":
		word := "more"
		if f.Of("departure") < 0 {
			word = "fewer"
		}
		return fmt.Sprintf("%vs have %s %s wet days than the week's mean", time.Weekday(f.Of("weekday")), units.Percent(math.Abs(f.Of("departure"))), word)
	case "unit-inferred":
		if f.Of("from_inches") >= 0.95 {
			return fmt.Sprintf("no unit is stated; read as %s: the values are hundredths of an inch turned into mm", rainUnit(f.Of("read_as")))
		}
		return fmt.Sprintf("no unit is stated; read as %s: in inches it would rain %s a year, and %s on a usual wet day",
			rainUnit(f.Of("read_as")), u.Depth(f.Of("year_in_inches")), u.Depth(f.Of("wet_day_in_inches")))
	case "unit-doubtful":
		said := "the file states"
		if f.Of("asked") > 0 {
			said = "the file was read as"
		}
		return fmt.Sprintf("%s %s, which makes %s a year and %s on a usual wet day; more likely are %s, which would make %s and %s",
			said, rainUnit(f.Of("stated")), u.Depth(f.Of("year_stated")), u.Depth(f.Of("wet_day_stated")),
			rainUnit(f.Of("likely")), u.Depth(f.Of("year_likely")), u.Depth(f.Of("wet_day_likely")))
	case "trend":
		way := "up"
		if f.Of("per_decade") < 0 {
			way = "down"
		}
		return fmt.Sprintf("the yearly rain goes %s by %s a decade (Mann–Kendall p %s); the answer takes all years as one climate",
			way, u.Depth(math.Abs(f.Of("per_decade"))), Probability(f.Of("chance")))
	case "step":
		y, m, _ := f.From.YMD()
		return fmt.Sprintf("the yearly rain steps from %s before %s to %s from then on (Pettitt p %s): a moved gauge or a changed climate",
			u.Depth(f.Of("before")), WaterYear(y, m), u.Depth(f.Of("after")), Probability(f.Of("chance")))
	case "short-record":
		return shortRecord(f)
	case "stress":
		return stressed(f)
	}
	panic("words: no words for the finding " + f.Code)
}

// Hint says what to type to see more, for a terminal; "" for nothing. A
// client's page names no flags.
func Hint(f rainfall.Finding) string {
	switch f.Code {
	case "trend":
		return "; --since YEAR shows what the newer ones say"
	case "step":
		return fmt.Sprintf("; --since %d shows what the years after it say", yearOf(f.From))
	}
	return ""
}

// Warned returns findings as warnings in the unit of whoever reads them.
func Warned(found []rainfall.Finding, u units.System, hints bool) []rainfall.Warning {
	var out []rainfall.Warning
	for _, f := range found {
		text := Finding(f, u)
		if rainfall.GravityOf(f.Code) == rainfall.Grave {
			text = "suspicious: " + text
		}
		if hints {
			text += Hint(f)
		}
		out = append(out, rainfall.Warning{Code: f.Code, Text: text})
	}
	return out
}

// OfRecord returns what the reader of a record was told of it.
func OfRecord(r *rainfall.Summary, u units.System) []rainfall.Warning {
	return append(append([]rainfall.Warning{}, Warned(r.Findings, u, false)...), r.Warnings...)
}

// mostAlike is how many warnings of one kind are shown.
const mostAlike = 3

// The places where those not shown are.
const (
	InJSON     = "in --json"
	InEvidence = "in evidence.json"
)

// Ordered returns the texts of warnings as people read them: the grave first,
// then kind by kind in the order met, no more than mostAlike of a kind and
// then how many more there are, and where.
func Ordered(all []rainfall.Warning, where string) []string {
	var kinds [rainfall.Note + 1][]string
	of := map[string][]string{}
	for _, w := range all {
		if of[w.Code] == nil {
			g := rainfall.GravityOf(w.Code)
			kinds[g] = append(kinds[g], w.Code)
		}
		of[w.Code] = append(of[w.Code], w.Text)
	}
	var out []string
	for _, codes := range kinds {
		for _, code := range codes {
			out = append(out, Few(of[code], where)...)
		}
	}
	return out
}

// Few returns the first of texts of one kind and how many more there are.
func Few(texts []string, where string) []string {
	n := len(texts)
	if n <= mostAlike {
		return texts
	}
	return append(texts[:mostAlike:mostAlike], fmt.Sprintf("and %s more (%s)", Whole(n-mostAlike), where))
}

// Depth says a depth with so many decimals of a millimetre or of an inch.
func Depth(u units.System, mm float64, decimalsMM, decimalsIn int) string {
	return DepthCell(u, mm, decimalsMM, decimalsIn) + " " + u.DepthColumn().Unit
}

// DepthCell is Depth without its unit, for a column.
func DepthCell(u units.System, mm float64, decimalsMM, decimalsIn int) string {
	if u == units.US {
		return units.Fixed(mm/units.MMPerInch, decimalsIn)
	}
	return units.Fixed(mm, decimalsMM)
}

// rainUnit is the name of a file's unit of so many mm.
func rainUnit(mm float64) string {
	switch mm {
	case 1:
		return "mm"
	case 25.4:
		return "inches"
	}
	return "tenths of a mm"
}

func yearOf(d rainfall.Date) int {
	y, _, _ := d.YMD()
	return y
}
