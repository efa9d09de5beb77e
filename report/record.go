package report

import (
	"fmt"
	"io"
	"math"
	"strings"
	"time"

	"tankodds/rainfall"
	"tankodds/report/units"
	"tankodds/report/words"
)

// recordSheet writes what is known of one record, at most SheetWidth columns.
type recordSheet struct {
	b strings.Builder
	m *rainfall.Summary
	s units.System
}

const (
	SheetWidth = width // columns of a text sheet
	sheetLabel = 19    // the column in which values begin
	sheetLists = 8     // the most entries of a list before "and n more"
)

// WriteRecord writes the text sheet of one record: the claim it can carry,
// what was read, its climate, its water years, its dry times, its changes and
// its plausibility.
func WriteRecord(w io.Writer, m *rainfall.Summary, s units.System) error {
	r := &recordSheet{m: m, s: s}
	r.head()
	r.read()
	r.climate()
	r.years()
	r.dry()
	r.change()
	r.checks()
	_, err := io.WriteString(w, r.b.String())
	return err
}

func (r *recordSheet) head() {
	m := r.m
	r.line(m.Name())
	r.wrapped("", words.Claim(m.UsableN))
	if m.Modelled {
		r.wrapped("! ", "a modelled grid cell, not a gauge")
	}
	if n := len(m.Suspicious()); n > 0 {
		r.wrapped("! ", words.Plural(n, "suspicious place")+" to look at; see Plausibility, at the end")
	}
	if len(m.Changes()) > 0 {
		r.wrapped("! ", "the yearly rain may have changed within the record; see Change")
	}
	if m.AnnualYears == 0 {
		r.wrapped("! ", fmt.Sprintf("no calendar year has %d valid days; the mean annual rain is the sum of the monthly means", rainfall.WholeYearDays))
	}
}

// read says what lay in the file.
func (r *recordSheet) read() {
	m := r.m
	r.section("What was read")
	r.row("file", shorten(m.File, SheetWidth-sheetLabel))
	kind := "a gauge"
	if m.Modelled {
		kind = "a modelled grid"
	}
	r.row("format", fmt.Sprintf("%s; unit %s; %s", m.Format, m.Unit, kind))
	if m.Station != "" && m.Station != m.Name() {
		r.row("station", m.Station)
	}
	r.row("span", fmt.Sprintf("%v to %v, %s days", m.First, m.Last, words.Whole(m.Days)))
	missing := "none"
	if m.Missing > 0 {
		missing = fmt.Sprintf("%s (%s)", words.Plural(m.Missing, "day"), units.Percent(float64(m.Missing)/float64(m.Days)))
		if m.Gap.Days > 0 {
			missing += fmt.Sprintf("; longest hole %s from %v", words.Plural(m.Gap.Days, "day"), m.Gap.From)
		}
	}
	r.row("missing", missing)
	if m.Traces > 0 {
		r.row("traces", words.Plural(m.Traces, "day")+" of too little to measure, counted as 0")
	}
	if m.Failed > 0 {
		r.row("failed", words.Plural(m.Failed, "value")+" refused by the publisher's checks, taken as missing")
	}
	if m.Doubtful > 0 {
		r.row("doubtful", words.Plural(m.Doubtful, "value")+" that the publisher calls estimated, suspect or unchecked, kept")
	}
	if n := m.Totals; n > 0 {
		r.row("several-day", fmt.Sprintf("%s, together %s, shared equally over %s that %s own",
			words.Plural(n, "total"), r.depth(m.TotalsMM, 0, 1), words.Plural(m.SpreadDays, "day"), noneOf(m.SpreadDays)))
	}
	for _, text := range words.Ordered(words.OfRecord(m, r.s), words.InJSON) {
		r.row("warning", text)
	}
}

// climate is the table of the twelve months.
func (r *recordSheet) climate() {
	m := r.m
	r.section("Climate")
	from := "the sum of the monthly means"
	if m.AnnualYears > 0 {
		from = fmt.Sprintf("%s of %d valid days or more", words.Plural(m.AnnualYears, "calendar year"), rainfall.WholeYearDays)
	}
	r.row("mean annual", fmt.Sprintf("%s, %s", r.depth(m.MeanAnnual, 0, 1), from))
	wet := 0.0
	for _, d := range m.WetDays {
		wet += d
	}
	often := units.Percent(m.WetShare) + " of days"
	if !math.IsNaN(wet) { // NaN: a month was never seen
		often = fmt.Sprintf("%.0f a year, %s", wet, often)
	}
	r.row("wet days", often+", with "+r.depth(rainfall.WetDay, 0, 2)+" or more")
	r.row("wettest day", fmt.Sprintf("%s on %v", r.depth(m.MaxDay.MM, 1, 2), m.MaxDay.Date))
	most := 0.0
	for _, x := range m.Monthly {
		if x > most { // NaN is not
			most = x
		}
	}
	const bars = 40 // columns
	r.line("")
	r.line(fmt.Sprintf("  %-9s%9s  %-*s%11s", "month", "mean, "+r.unit(), bars, "", "wet days"))
	for k, x := range m.Monthly {
		bar := ""
		if x > 0 && most > 0 {
			bar = blocks(x / most * bars)
		}
		r.line(fmt.Sprintf("  %-9s%9s  %s%11s", time.Month(k + 1).String()[:3], r.number(x, 0, 2),
			pad(bar, bars), units.Fixed(m.WetDays[k], 1)))
	}
}

// years lists the usable water years, the extremes among them and the others.
func (r *recordSheet) years() {
	m := r.m
	r.section("Water years, from " + m.Start.String())
	n := m.UsableN
	usable := words.Plural(n, "year")
	if m.FilledDays > 0 {
		usable += fmt.Sprintf("; %s filled from like years", words.Plural(m.FilledDays, "missing day"))
	}
	r.row("usable", usable)
	if n > 1 {
		r.row("mean", fmt.Sprintf("%s, standard deviation %s (CV %.2f)", r.depth(m.YearMean, 0, 1), r.depth(m.YearSD, 0, 1), m.YearSD/m.YearMean))
	}
	if n > 0 {
		k := 3
		if n < 6 {
			k = 1
		}
		driest, wettest := m.Extremes(k)
		r.row("driest", r.list(driest))
		r.row("wettest", r.list(wettest))
		r.row("without failure", fmt.Sprintf("%s that never run dry still leave up to %s of years dry (95 %% confidence)",
			words.Plural(n, "year"), units.Percent(words.FailureBound(n))))
		r.spark()
	}
	for i, x := range m.Rejected {
		label := ""
		if i == 0 {
			label = "not usable"
		}
		if i == sheetLists-1 && len(m.Rejected) > sheetLists {
			r.row(label, fmt.Sprintf("and %d more", len(m.Rejected)-i))
			break
		}
		r.row(label, r.year(x.Label)+": "+x.Reason)
	}
}

func (r *recordSheet) list(years []rainfall.WaterYear) string {
	var out []string
	for _, y := range years {
		out = append(out, fmt.Sprintf("%s %s", r.year(y.Label), r.depth(y.MM, 0, 1)))
	}
	return strings.Join(out, ", ")
}

// spark draws the usable water years as bars from zero, a row for 60 years.
func (r *recordSheet) spark() {
	m := r.m
	most := 0.0
	for _, y := range m.Usable {
		most = max(most, y.MM)
	}
	if m.UsableN < 3 || most == 0 {
		return
	}
	first, last := m.Usable[0].Label, m.Usable[m.UsableN-1].Label
	bars := make([]rune, last-first+1)
	for i := range bars {
		bars[i] = '·'
	}
	for _, y := range m.Usable {
		bars[y.Label-first] = []rune("▁▂▃▄▅▆▇█")[min(7, int(y.MM/most*8))]
	}
	r.line("")
	const row = 60
	for i := 0; i < len(bars); i += row {
		end := min(i+row, len(bars))
		r.row(r.year(first+i), string(bars[i:end]))
	}
	key := "a bar a water year, from 0 to " + r.depth(most, 0, 1)
	if len(bars) > m.UsableN {
		key += "; · not usable"
	}
	r.row("", key)
	if len(m.Rejected) > 0 {
		r.line("")
	}
}

// dry says how long and how deep it has been dry.
func (r *recordSheet) dry() {
	m := r.m
	r.section("Dry times")
	spell := "none"
	if m.DrySpell.Days > 0 {
		spell = fmt.Sprintf("%s below %s, %v to %v", words.Plural(m.DrySpell.Days, "day"), r.depth(rainfall.WetDay, 0, 2),
			m.DrySpell.From, m.DrySpell.From+rainfall.Date(m.DrySpell.Days)-1)
	}
	r.row("longest spell", spell)
	for i, d := range m.Driest {
		text := "no such stretch is whole"
		if !math.IsNaN(d.MM) {
			y, mo, _ := d.From.YMD()
			text = fmt.Sprintf("%s from %s %d", r.depth(d.MM, 1, 2), mo.String()[:3], y)
		}
		label := "driest"
		if i > 0 {
			label = ""
		}
		r.row(fmt.Sprintf("%-6s%3d months", label, d.Months), text)
	}
}

// change says what the tests of change found.
func (r *recordSheet) change() {
	r.section("Change")
	trend, step := r.m.Trend, r.m.Step
	if trend == nil {
		r.row("tests", "not run: they ask for 10 usable years")
		return
	}
	word := func(p float64) string {
		if p < rainfall.Significant {
			return "likely"
		}
		return "none shown"
	}
	r.row("trend", fmt.Sprintf("%s: Mann–Kendall p %s; Sen's slope %s per decade",
		word(trend.P), words.Probability(trend.P), r.signed(trend.SenPerDecade)))
	r.row("step", fmt.Sprintf("%s: Pettitt p %s; %s before %s, %s from then on",
		word(step.P), words.Probability(step.P), r.depth(step.Before, 0, 1), r.year(step.Label), r.depth(step.After, 0, 1)))
}

// checks is the table of the rules of plausibility.
func (r *recordSheet) checks() {
	r.section("Plausibility")
	for _, c := range r.m.Checks {
		mark := "pass"
		if len(c.Found) > 0 {
			mark = "LOOK"
		}
		r.hanging("  "+mark+"  ", words.Check(c, r.s)+" ["+c.Source+"]")
		var texts []string
		for _, f := range c.Found {
			texts = append(texts, words.Finding(f, r.s))
		}
		for _, text := range words.Few(texts, words.InJSON) {
			r.hanging("        – ", text)
		}
	}
}
