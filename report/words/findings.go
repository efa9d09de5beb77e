package words

import (
	"fmt"
	"math"
	"strings"
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
	say, ok := sentences[f.Code]
	if !ok {
		panic("words: no words for the finding " + f.Code) // a test goes through all
	}
	return say(f, u)
}

// sentences has a row for every code of a finding.
var sentences = map[string]func(rainfall.Finding, units.System) string{
	"extreme-day": func(f rainfall.Finding, u units.System) string {
		return fmt.Sprintf("%s on %v", Depth(u, f.Of("depth"), 1, 2), f.From)
	},
	"repeated": func(f rainfall.Finding, u units.System) string {
		return fmt.Sprintf("%s on each of %d days from %v", Depth(u, f.Of("depth"), 1, 2), f.Days, f.From)
	},
	"wet-year": func(f rainfall.Finding, u units.System) string {
		return fmt.Sprintf("%d sums to %s, %.1f times the median year", yearOf(f.From), Depth(u, f.Of("depth"), 0, 1), f.Of("times_median"))
	},
	"zero-run": func(f rainfall.Finding, _ units.System) string {
		return fmt.Sprintf("%d days of zeros from %v", f.Days, f.From)
	},
	"zero-month": func(f rainfall.Finding, _ units.System) string {
		y, m, _ := f.From.YMD()
		return fmt.Sprintf("%v %d has no rain; %g other years have some in that month", m, y, f.Of("others"))
	},
	"weekday":       weekday,
	"unit-inferred": unitInferred,
	"unit-doubtful": unitDoubtful,
	"trend":         trend,
	"step": func(f rainfall.Finding, u units.System) string {
		y, m, _ := f.From.YMD()
		return fmt.Sprintf("the yearly rain steps from %s before %s to %s from then on (Pettitt p %s): a moved gauge or a changed climate",
			u.Depth(f.Of("before")), WaterYear(y, m), u.Depth(f.Of("after")), Probability(f.Of("chance")))
	},
	"short-record": func(f rainfall.Finding, _ units.System) string { return shortRecord(f) },
	"stress":       func(f rainfall.Finding, _ units.System) string { return stressed(f) },

	// What a reader has done to a file.
	"absent-zero": func(f rainfall.Finding, _ units.System) string {
		return fmt.Sprintf("%s taken for dry, as asked, for want of a value; the longest run of them is %s from %v", counted(f, "day was", "days were"), Plural(f.Days, "day"), f.From)
	},
	"columns-unused": func(f rainfall.Finding, _ units.System) string {
		return fmt.Sprintf("what stands beside the rain in %s was not used: it may say that a value failed a check or is a total over several days", strings.Join(f.Texts, ", "))
	},
	"doubtful": func(f rainfall.Finding, _ units.System) string {
		them := "them"
		if f.Of("count") == 1 {
			them = "it"
		}
		why := strings.Replace(doubts[f.Texts[0]], "them", them, 1)
		return fmt.Sprintf("%s kept though %s (%.1f %% of the record)", counted(f, "value is", "values are"), why, 100*f.Of("share"))
	},
	"duplicate": done("day is", "days are", "given twice with the same value; counted once"),
	"flag":      done("value has", "values have", "a flag that is not in the publisher's legend; kept as doubtful"),
	"indicator": func(f rainfall.Finding, _ units.System) string {
		return fmt.Sprintf("%s an indicator other than 0: %s; the file does not say what the codes mean, the values were kept", counted(f, "value has", "values have"), strings.Join(f.Texts, ", "))
	},
	"missing-code": func(f rainfall.Finding, _ units.System) string {
		return fmt.Sprintf("%s a missing-value code (%s) and taken as missing", counted(f, "value is", "values are"), strings.Join(f.Texts, ", "))
	},
	"modelled": func(f rainfall.Finding, _ units.System) string {
		return fmt.Sprintf("these are values of a modelled grid cell (%s), not of a gauge; compare them with a gauge nearby before relying on them", f.Texts[0])
	},
	"no-day": done("line is", "lines are", "passed over: no such day is in the calendar, and no value stands there"),
	"option-ignored": func(f rainfall.Finding, _ units.System) string {
		return fmt.Sprintf("the file is of a publisher's format (%s), which says itself what its columns and codes are; --%s %s was left aside", f.Texts[0], f.Texts[1], f.Texts[2])
	},
	"presumed": func(f rainfall.Finding, _ units.System) string {
		return fmt.Sprintf("%s zero because the publisher presumed it of a missing value (%.0f %% of the record)", counted(f, "day is", "days are"), 100*f.Of("share"))
	},
	"rain-only": func(rainfall.Finding, units.System) string {
		return "the file has rain_sum and no precipitation_sum: snow is left out"
	},
	"station-ignored": func(f rainfall.Finding, _ units.System) string {
		names := "names no station"
		if f.Texts[0] != "" {
			names = "holds " + f.Texts[0]
		}
		return fmt.Sprintf("the file %s; --station %s was left aside", names, f.Texts[1])
	},
	"skipped": func(f rainfall.Finding, _ units.System) string {
		lie := "lie in years that are not usable; they were passed over"
		if f.Of("count") == 1 {
			lie = "lies in a year that is not usable; it was passed over"
		}
		return fmt.Sprintf("%s no value and %s, the tank as it stood", counted(f, "day of the record has", "days of the record have"), lie)
	},
	"titles": done("line was", "lines were", "passed over above the table"),
	"total-long": func(f rainfall.Finding, _ units.System) string {
		return fmt.Sprintf("%s not say how many days are covered, and more than %g before it are missing; left out", counted(f, "total does", "totals do"), f.Of("days"))
	},
	"total-lost": done("total does not agree", "totals do not agree", "with the values of single days; left out"),
	"total-span": done("total does", "totals do", "not say how many days are covered; the missing days before were taken"),
	"two-digit-years": func(f rainfall.Finding, _ units.System) string {
		return fmt.Sprintf("the years have two digits; the last day was taken for %v (a last year from %g to 99 is of the 1900s, one below of the 2000s) and the order of the days followed back to %v",
			f.From+rainfall.Date(f.Days)-1, f.Of("pivot"), f.From)
	},
	"uncertain": done("day is", "days are", "missing because rain fell or may have fallen and no accumulated amount follows (flags C, L)"),
	"unit-change": func(f rainfall.Finding, _ units.System) string {
		return fmt.Sprintf("the usual wet day is %.2g in one quarter of the file and %.2g in another: does its unit change?", f.Of("low"), f.Of("high"))
	},
	"unit-ignored": func(f rainfall.Finding, _ units.System) string {
		return fmt.Sprintf("the file itself says that it holds %s; --unit %s was left aside (the column's name or a comment states the unit: change it there)", f.Texts[0], f.Texts[1])
	},
}

// doubts says why a publisher is not sure of some values, "them".
var doubts = map[string]string{
	"estimated":  "the publisher calls them estimated, uncertain or not reviewed",
	"form-only":  "the publisher has checked no more than the form of them (quality level 1)",
	"part-day":   "reports of only a part of the day stand behind them",
	"suspect":    "the publisher's checks call them suspect",
	"unfinished": "the bureau has not finished checking them",
}

// counted says "1 day is" or "3 days are" of what a finding counts.
func counted(f rainfall.Finding, one, many string) string {
	if n := int(f.Of("count")); n != 1 {
		return Whole(n) + " " + many
	}
	return "1 " + one
}

// done makes the words of a finding that is no more than a count.
func done(one, many, what string) func(rainfall.Finding, units.System) string {
	return func(f rainfall.Finding, _ units.System) string { return counted(f, one, many) + " " + what }
}

func weekday(f rainfall.Finding, _ units.System) string {
	word := "more"
	if f.Of("departure") < 0 {
		word = "fewer"
	}
	return fmt.Sprintf("%vs have %s %s wet days than the week's mean", time.Weekday(f.Of("weekday")), units.Percent(math.Abs(f.Of("departure"))), word)
}

func unitInferred(f rainfall.Finding, u units.System) string {
	if f.Of("from_inches") >= 0.95 {
		return fmt.Sprintf("no unit is stated; read as %s: the values are hundredths of an inch turned into mm", rainUnit(f.Of("read_as")))
	}
	return fmt.Sprintf("no unit is stated; read as %s: in inches it would rain %s a year, and %s on a usual wet day",
		rainUnit(f.Of("read_as")), u.Depth(f.Of("year_in_inches")), u.Depth(f.Of("wet_day_in_inches")))
}

func unitDoubtful(f rainfall.Finding, u units.System) string {
	said := "the file states"
	if f.Of("asked") > 0 {
		said = "the file was read as"
	}
	return fmt.Sprintf("%s %s, which makes %s a year and %s on a usual wet day; more likely are %s, which would make %s and %s",
		said, rainUnit(f.Of("stated")), u.Depth(f.Of("year_stated")), u.Depth(f.Of("wet_day_stated")),
		rainUnit(f.Of("likely")), u.Depth(f.Of("year_likely")), u.Depth(f.Of("wet_day_likely")))
}

func trend(f rainfall.Finding, u units.System) string {
	way := "up"
	if f.Of("per_decade") < 0 {
		way = "down"
	}
	return fmt.Sprintf("the yearly rain goes %s by %s a decade (Mann–Kendall p %s); the answer takes all years as one climate",
		way, u.Depth(math.Abs(f.Of("per_decade"))), Probability(f.Of("chance")))
}

// WhyNot says why a water year is not usable.
func WhyNot(r rainfall.Rejected) string {
	_, m, _ := r.Day.YMD()
	text := ""
	switch r.Why {
	case rainfall.Begins:
		return fmt.Sprintf("the record begins on %v", r.Day)
	case rainfall.Ends:
		return fmt.Sprintf("the record ends on %v", r.Day)
	case rainfall.Empty:
		return "no day has a value"
	case rainfall.Misses:
		text = fmt.Sprintf("%s misses %d days", m.String()[:3], r.Days)
	case rainfall.Gap:
		text = fmt.Sprintf("%s misses %d days in a row", m.String()[:3], r.Days)
	}
	switch r.More {
	case 0:
		return text
	case 1:
		return text + ", 1 more month is like it"
	}
	return text + fmt.Sprintf(", %d more months are like it", r.More)
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

// Warning is a finding in words, as results show it.
type Warning struct {
	Code    string           `key:"code" doc:"its kind, a fixed word"`
	Gravity rainfall.Gravity `key:"gravity" doc:"how much it matters: grave, mind or note"`
	Text    string           `key:"text" doc:"one sentence without a full stop"`
}

// Warn makes a warning of a kind.
func Warn(code, text string) Warning { return Warning{code, rainfall.GravityOf(code), text} }

// Warned returns findings as warnings in the unit of whoever reads them.
func Warned(found []rainfall.Finding, u units.System, hints bool) []Warning {
	out := []Warning{}
	for _, f := range found {
		text := Finding(f, u)
		switch f.Code {
		case "absent-zero", "modelled", "unit-change": // say themselves what is to fear
		default:
			if rainfall.GravityOf(f.Code) == rainfall.Grave {
				text = "suspicious: " + text
			}
		}
		if hints {
			text += Hint(f)
		}
		out = append(out, Warn(f.Code, text))
	}
	return out
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
func Ordered(all []Warning, where string) []string {
	var kinds [rainfall.Note + 1][]string
	of := map[string][]string{}
	for _, w := range all {
		if of[w.Code] == nil {
			kinds[w.Gravity] = append(kinds[w.Gravity], w.Code)
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
