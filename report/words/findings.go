package words

import (
	"fmt"
	"math"
	"regexp"
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
	rule, ok := rules[c.Code]
	if !ok {
		panic("words: no words for the rule " + c.Code) // a test goes through all
	}
	return filled(rule, rainfall.Finding{Values: c.Limits}, u)
}

// Finding says what was found.
func Finding(f rainfall.Finding, u units.System) string {
	if say, ok := told[f.Code]; ok {
		return say(f)
	}
	phrase, ok := phrases[f.Code]
	switch {
	case !ok:
		panic("words: no words for the finding " + f.Code) // a test goes through all
	case f.Code == "doubtful":
		phrase = strings.Replace(phrase, "{why}", doubts[f.Texts[0]], 1)
	case f.Code == "station-ignored" && f.Texts[0] == "":
		phrase = "the file names no station; --station {1} was ignored"
	case f.Code == "unit-inferred" && f.Of("from_inches") >= 0.95:
		phrase = "no unit is stated; read as {read_as}: the values are hundredths of an inch turned into mm"
	}
	return filled(phrase, f, u)
}

// told are the findings whose words a phrase does not hold.
var told = map[string]func(rainfall.Finding) string{"short-record": shortRecord, "stress": stressed}

// rules and phrases have a row for every code of a rule and of a finding. What
// stands in braces is filled in:
//
//	{from}        the first day; so {last}, {month}, {year}, {water_year}
//	{days}        how many days it lasts
//	{texts}, {0}  all texts, or one of them
//	{depth}       the size of a value, as its dimension is said; {depth 12} is
//	              one with 1 decimal of a mm or 2 of an inch
//	{is|are}      the first where one thing is counted
//	{x:up|down}   the first where the value is above 0
var rules = map[string]string{
	"extreme-day": "a day above {limit 02}: the least of {most 02}, {times_percentile_99.9} times the 99.9th percentile, and {times_wet_percentile_95} times the 95th percentile of the wet days",
	"repeated":    "the same depth, {least 02} or more, on {days} days in a row",
	"wet-year":    "a calendar year above {times_median} times the median, or above {least_times_median} times it and {deviations} standard deviations above the mean of the usual years",
	"zero-run":    "zeros far longer than in that season of other years, and than chance allows",
	"zero-month":  "a month of zeros, where at least {other_years} other years have rain, on {wet_days} or more wet days on average: too many to be chance",
	"weekday":     "a weekday with {departure} more or fewer wet days than the week's mean, beyond chance",
}

var phrases = map[string]string{
	"extreme-day":   "{depth 12} on {from}",
	"repeated":      "{depth 12} on each of {days} days from {from}",
	"wet-year":      "{year} has {depth 01}, {times_median 1} times the median year",
	"zero-run":      "{days} days of zeros from {from}",
	"zero-month":    "{month} has no rain; {others} other years have some in that month",
	"weekday":       "{weekday}s have {departure} {departure:more|fewer} wet days than the week's mean",
	"second-gauge":  "{count} missing {day was|days were} taken from the second gauge {0}, times {factor}: the ratio of both gauges' rain on the {common} days that both have",
	"scaled":        "every day's rain is multiplied by {factor}, the site's long-term mean divided by the gauge's",
	"unit-inferred": "no unit is stated; read as {read_as}: in inches it would rain {year_in_inches} a year, and {wet_day_in_inches} on a usual wet day",
	"unit-doubtful": "{asked:the file was read as|the file states} {stated}, which makes {year_stated} a year and {wet_day_stated} on a usual wet day; {likely} are more likely: they would make {year_likely} and {wet_day_likely}",
	"trend":         "the yearly rain goes {per_decade:up|down} by {per_decade} a decade (Mann–Kendall p {chance}); the answer takes all years as one climate",
	"step":          "the yearly rain steps from {before} before {water_year} to {after} from then on (Pettitt p {chance}): a moved gauge or a changed climate",

	// What a reader has done to a file.
	"absent-zero":     "{count} {day without a value was|days without a value were} taken as dry, as asked; the longest run of them is {spell} from {from}",
	"columns-unused":  "the columns beside the rain were not used ({texts}); they may say that a value failed a check or is a total over several days",
	"doubtful":        "{count} {value is|values are} kept though {why} ({share} of the record)",
	"duplicate":       "{count} {day is|days are} given twice with the same value; counted once",
	"flag":            "{count} {value has|values have} a flag that is not in the publisher's legend; kept as doubtful",
	"indicator":       "{count} {value has|values have} an indicator other than 0: {texts}; the file does not say what the codes mean; the values were kept",
	"missing-code":    "{count} {value is a code|values are codes} for a missing value ({texts}); taken as missing",
	"modelled":        "these are values of a modelled grid cell ({0}), not of a gauge; compare them with a gauge nearby before relying on them",
	"no-day":          "{count} {line was|lines were} skipped: the calendar has no such day, and the line has no value",
	"option-ignored":  "this is a publisher's format ({0}), which fixes its own columns and codes; --{1} {2} was ignored",
	"presumed":        "{count} {day is|days are} zero because the publisher took a missing value as zero ({share} of the record)",
	"rain-only":       "the file has rain_sum and no precipitation_sum: snow is left out",
	"station-ignored": "the file holds {0}; --station {1} was ignored",
	"skipped":         "{count} {day of the record has|days of the record have} no value and {lies in a year that is not usable; it was|lie in years that are not usable; they were} skipped, and the tank kept its level",
	"titles":          "{count} {line was|lines were} skipped above the table",
	"total-long":      "{count} {total does|totals do} not say how many days are covered, and more than {days} days before are missing; left out",
	"total-lost":      "{count} {total does|totals do} not agree with the values of single days; left out",
	"total-span":      "{count} {total does|totals do} not say how many days are covered; taken as covering the missing days before",
	"two-digit-years": "the years have two digits; the last day was read as {last} (a last year from {pivot} to 99 is in the 1900s, a lower one in the 2000s), and the first day then is {from}",
	"uncertain":       "{count} {day is|days are} missing: rain fell or may have fallen, and no total follows (flags C, L)",
	"unit-change":     "the usual wet day is {low} in one quarter of the file and {high} in another: does the unit change?",
	"unit-ignored":    "the file itself says that it holds {0}; --unit {1} was ignored (to change the unit, change the column's name or the comment that states it)",
}

// doubts says why a publisher is not sure of some values.
var doubts = map[string]string{
	"estimated":  "the publisher calls {it|them} estimated, uncertain or not reviewed",
	"form-only":  "the publisher has checked only the form of {it|them} (quality level 1)",
	"part-day":   "the reports behind {it|them} cover only a part of the day",
	"suspect":    "the publisher's checks mark {it|them} as suspect",
	"unfinished": "the bureau has not finished checking {it|them}",
}

var blank = regexp.MustCompile(`\{[^}]*\}`)

// filled fills the braces of a phrase.
func filled(phrase string, f rainfall.Finding, u units.System) string {
	return blank.ReplaceAllStringFunc(phrase, func(in string) string { return said(in[1:len(in)-1], f, u) })
}

// said is what stands for one pair of braces.
func said(what string, f rainfall.Finding, u units.System) string {
	if first, second, ok := strings.Cut(what, "|"); ok {
		name, positive, signed := strings.Cut(first, ":")
		switch {
		case signed && f.Of(name) > 0:
			return positive
		case !signed && f.Of("count") == 1:
			return first
		}
		return second
	}
	y, m, _ := f.From.YMD()
	name, digits, _ := strings.Cut(what, " ")
	for _, v := range f.Values {
		if v.Name == name {
			return measured(v, digits, u)
		}
	}
	if n := strings.Index("012", name); n >= 0 {
		return f.Texts[n]
	}
	text, ok := map[string]string{
		"from": f.From.String(), "last": (f.From + rainfall.Date(f.Days) - 1).String(),
		"month": fmt.Sprintf("%v %d", m, y), "year": fmt.Sprint(y), "water_year": WaterYear(y, m),
		"days": Whole(f.Days), "spell": Plural(f.Days, "day"), "texts": strings.Join(f.Texts, ", "),
	}[name]
	if !ok {
		panic("words: nothing to say for " + what)
	}
	return text
}

// measured says the size of a value by its dimension.
func measured(v rainfall.Value, digits string, u units.System) string {
	x := math.Abs(v.X)
	switch {
	case v.Dim == rainfall.InDepth && digits != "":
		return Depth(u, x, int(digits[0]-'0'), int(digits[1]-'0'))
	case v.Dim == rainfall.InDepth:
		return u.Depth(x)
	case digits != "":
		return units.Fixed(x, int(digits[0]-'0'))
	case v.Dim == rainfall.InCount:
		return Whole(int(x))
	case v.Dim == rainfall.InShare:
		return units.Percent(x)
	case v.Dim == rainfall.InChance:
		return Probability(x)
	case v.Dim == rainfall.InDay:
		return time.Weekday(x).String()
	case v.Dim == rainfall.InUnit:
		return rainUnit(x)
	case v.Dim == rainfall.InFile:
		return fmt.Sprintf("%.2g", x)
	}
	return fmt.Sprintf("%g", x)
}

// WhyNot says why a water year is not usable.
func WhyNot(r rainfall.Rejected) string {
	_, m, _ := r.Day.YMD()
	text := fmt.Sprintf("%.3s lacks %d days", m, r.Days)
	switch r.Why {
	case rainfall.Begins:
		return fmt.Sprintf("the record begins on %v", r.Day)
	case rainfall.Ends:
		return fmt.Sprintf("the record ends on %v", r.Day)
	case rainfall.Empty:
		return "no day has a value"
	case rainfall.Gap:
		text += " in a row"
	}
	switch r.More {
	case 0:
		return text
	case 1:
		return text + "; 1 more month lacks too many"
	}
	return text + fmt.Sprintf("; %d more months lack too many", r.More)
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
