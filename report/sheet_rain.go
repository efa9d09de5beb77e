package report

import (
	"fmt"
	"math"
	"path/filepath"
	"strings"
	"time"

	"tankodds/rainfall"
	"tankodds/report/sheet"
	"tankodds/report/units"
	"tankodds/report/words"
)

// rainSheet makes the sheet of one record.
type rainSheet struct {
	m *rainfall.Summary
	u units.System
}

// RecordSheet returns the sheet of one record: the claim it can carry, what
// was read, its climate, its water years, its dry times, its changes and its
// plausibility.
func RecordSheet(m *rainfall.Summary, u units.System) *sheet.Sheet {
	r := &rainSheet{m, u}
	out := &sheet.Sheet{Title: m.Name(), Under: append([]string{words.Claim(m.UsableN)}, r.mind()...)}
	add := func(id, heading string, blocks ...sheet.Block) {
		out.Sections = append(out.Sections, sheet.Section{ID: id, Heading: heading, Blocks: blocks})
	}
	read := append([]sheet.Fact{{Label: "File", Value: shorten(m.File, mostPath)}}, r.read()...)
	for _, text := range words.Ordered(words.Warned(m.Findings, u, false), words.InJSON) {
		read = append(read, sheet.Fact{Label: "Warning", Value: text})
	}
	add("read", "What was read", sheet.Block{Facts: read})
	add("climate", "Climate", sheet.Block{Facts: r.climate()}, sheet.Block{Table: r.months()})
	add("years", "Water years, from "+words.Begin(m), r.years()...)
	add("dry", "Dry times", sheet.Block{Facts: r.dry()})
	add("change", "Change", sheet.Block{Facts: r.change()})
	add("checks", "Plausibility", sheet.Block{List: r.checks()})
	return out
}

// mind says what must not be missed.
func (r *rainSheet) mind() []string {
	m := r.m
	var out []string
	if m.Modelled {
		out = append(out, "! "+words.Kind(true))
	}
	if n := len(m.Suspicious()); n > 0 {
		out = append(out, "! "+words.Plural(n, "suspicious place")+" to look at; see Plausibility, at the end")
	}
	if len(m.Changes()) > 0 {
		out = append(out, "! the yearly rain may have changed within the record; see Change")
	}
	if m.AnnualYears == 0 {
		out = append(out, fmt.Sprintf("! no calendar year has %d valid days; the mean annual rain is the sum of the monthly means", rainfall.WholeYearDays))
	}
	return out
}

// read says what lay in the file.
func (r *rainSheet) read() []sheet.Fact {
	m := r.m
	out := []sheet.Fact{{Label: "Format", Value: fmt.Sprintf("%s; unit %s; %s", m.Format, m.Unit, words.Kind(m.Modelled))}}
	if m.Station != "" && m.Station != m.Name() {
		out = append(out, sheet.Fact{Label: "Station", Value: m.Station})
	}
	if m.Position != nil {
		out = append(out, sheet.Fact{Label: "Position", Value: words.Position(r.u, m.Position)})
	}
	out = append(out, sheet.Fact{Label: "Span", Value: words.Span(m)}, sheet.Fact{Label: "Missing", Value: words.Missing(m)})
	counted := func(label string, n int, one, more string) {
		if n > 0 {
			out = append(out, sheet.Fact{Label: label, Value: words.Plural(n, one) + more})
		}
	}
	counted("Traces", m.Traces, "day", " of too little to measure, counted as 0")
	counted("Failed", m.Failed, "value", " refused by the publisher's checks, taken as missing")
	counted("Doubtful", m.Doubtful, "value", " that the publisher calls estimated, suspect or unchecked, kept")
	if totals := words.Totals(r.u, m); totals != "" {
		out = append(out, sheet.Fact{Label: "Several-day", Value: totals})
	}
	return out
}

// mostPath is the longest name of a file that is shown whole.
const mostPath = 60

// shorten cuts the front off a path that does not fit.
func shorten(path string, width int) string {
	path = filepath.ToSlash(path)
	if r := []rune(path); len(r) > width {
		return "…" + string(r[len(r)-width+1:])
	}
	return path
}

func (r *rainSheet) climate() []sheet.Fact {
	m := r.m
	wet := 0.0
	for _, d := range m.WetDays {
		wet += d
	}
	often := units.Percent(m.WetShare) + " of days"
	if !math.IsNaN(wet) { // NaN: a month was never seen
		often = fmt.Sprintf("%.0f a year, %s", wet, often)
	}
	return []sheet.Fact{
		{Label: "Mean annual", Value: words.MeanAnnual(r.u, m)},
		{Label: "Wet days", Value: often + ", with " + words.Depth(r.u, rainfall.WetDay, 0, 2) + " or more"},
		{Label: "Wettest day", Value: words.WettestDay(r.u, m)},
	}
}

// months is the table of the twelve months, a bar beside each.
func (r *rainSheet) months() *sheet.Table {
	most := 0.0
	for _, x := range r.m.Monthly {
		if x > most { // NaN is not
			most = x
		}
	}
	t := &sheet.Table{Name: "months", Columns: []sheet.Column{
		{Title: "Month", Words: true}, {Title: "Mean", Unit: r.u.DepthColumn().Unit}, {Words: true, Where: sheet.Terminal}, {Title: "Wet days"}}}
	for k, x := range r.m.Monthly {
		bar := ""
		if x > 0 && most > 0 {
			bar = blocks(x / most * bars)
		}
		t.Rows = append(t.Rows, sheet.Row{Cells: []string{time.Month(k + 1).String()[:3], words.DepthCell(r.u, x, 0, 2), bar, units.Fixed(r.m.WetDays[k], 1)}})
	}
	return t
}

// bars is how many columns the longest bar takes.
const bars = 40

// blocks draws a bar of so many columns, to an eighth.
func blocks(columns float64) string {
	eighths := int(math.Round(columns * 8))
	bar := strings.Repeat("█", eighths/8)
	if e := eighths % 8; e > 0 {
		bar += string([]rune("▏▎▍▌▋▊▉")[e-1])
	}
	return bar
}

// mostRejected is how many years that are not usable a sheet names.
const mostRejected = 8

// years lists the usable water years, the extremes among them and the others.
func (r *rainSheet) years() []sheet.Block {
	m := r.m
	n := m.UsableN
	usable := words.Plural(n, "year")
	if m.FilledDays > 0 {
		usable += fmt.Sprintf("; %s filled from like years", words.Plural(m.FilledDays, "missing day"))
	}
	facts := []sheet.Fact{{Label: "Usable", Value: usable}}
	if n > 1 {
		facts = append(facts, sheet.Fact{Label: "Mean", Value: fmt.Sprintf("%s, standard deviation %s (CV %.2f)", words.Depth(r.u, m.YearMean, 0, 1), words.Depth(r.u, m.YearSD, 0, 1), m.YearSD/m.YearMean)})
	}
	if n > 0 {
		k := 3
		if n < 6 {
			k = 1
		}
		driest, wettest := m.Extremes(k)
		facts = append(facts, sheet.Fact{Label: "Driest", Value: words.Years(r.u, m, driest)}, sheet.Fact{Label: "Wettest", Value: words.Years(r.u, m, wettest)},
			sheet.Fact{Label: "Without failure", Value: fmt.Sprintf("%s that never run dry still leave up to %s of years dry (95 %% confidence)",
				words.Plural(n, "year"), units.Percent(words.FailureBound(n)))})
	}
	out := []sheet.Block{{Facts: facts}}
	if spark := r.spark(); spark != nil {
		out = append(out, sheet.Block{Facts: spark, Where: sheet.Terminal})
	}
	var rejected []sheet.Fact
	label := "Not usable"
	for _, text := range words.Rejected(m, mostRejected) {
		rejected = append(rejected, sheet.Fact{Label: label, Value: text})
		label = ""
	}
	if rejected != nil {
		out = append(out, sheet.Block{Facts: rejected})
	}
	return out
}

// spark draws the usable water years as bars from zero, a row for 60 years.
func (r *rainSheet) spark() []sheet.Fact {
	m := r.m
	most := 0.0
	for _, y := range m.Usable {
		most = max(most, y.MM)
	}
	if m.UsableN < 3 || most == 0 {
		return nil
	}
	first, last := m.Usable[0].Label, m.Usable[m.UsableN-1].Label
	bars := []rune(strings.Repeat("·", last-first+1))
	for _, y := range m.Usable {
		bars[y.Label-first] = []rune("▁▂▃▄▅▆▇█")[min(7, int(y.MM/most*8))]
	}
	var out []sheet.Fact
	const row = 60
	for i := 0; i < len(bars); i += row {
		out = append(out, sheet.Fact{Label: words.WaterYear(first+i, m.Start), Value: string(bars[i:min(i+row, len(bars))])})
	}
	key := "a bar a water year, from 0 to " + words.Depth(r.u, most, 0, 1)
	if len(bars) > m.UsableN {
		key += "; · not usable"
	}
	return append(out, sheet.Fact{Value: key})
}

// dry says how long and how deep it has been dry.
func (r *rainSheet) dry() []sheet.Fact {
	out := []sheet.Fact{{Label: "Longest spell", Value: words.DrySpell(r.u, r.m)}}
	for _, d := range r.m.Driest {
		text := "no such stretch is whole"
		if !math.IsNaN(d.MM) {
			y, mo, _ := d.From.YMD()
			text = fmt.Sprintf("%s from %s %d", words.Depth(r.u, d.MM, 1, 2), mo.String()[:3], y)
		}
		out = append(out, sheet.Fact{Label: fmt.Sprintf("Driest %d months", d.Months), Value: text})
	}
	return out
}

// change says what the tests of change found.
func (r *rainSheet) change() []sheet.Fact {
	trend, step := r.m.Trend, r.m.Step
	if trend == nil {
		return []sheet.Fact{{Label: "Tests", Value: "not run: they ask for 10 usable years"}}
	}
	word := func(p float64) string {
		if p < rainfall.Significant {
			return "likely"
		}
		return "none shown"
	}
	sign := "+"
	if trend.SenPerDecade < 0 {
		sign = "−"
	}
	return []sheet.Fact{
		{Label: "Trend", Value: fmt.Sprintf("%s: Mann–Kendall p %s; Sen's slope %s%s per decade",
			word(trend.P), words.Probability(trend.P), sign, words.Depth(r.u, math.Abs(trend.SenPerDecade), 0, 2))},
		{Label: "Step", Value: fmt.Sprintf("%s: Pettitt p %s; %s before %s, %s from then on",
			word(step.P), words.Probability(step.P), words.Depth(r.u, step.Before, 0, 1), words.WaterYear(step.Label, r.m.Start), words.Depth(r.u, step.After, 0, 1))},
	}
}

// checks lists the rules of plausibility, and below each what it found.
func (r *rainSheet) checks() []sheet.Item {
	var out []sheet.Item
	for _, c := range r.m.Checks {
		mark := "pass"
		if len(c.Found) > 0 {
			mark = "LOOK"
		}
		out = append(out, sheet.Item{Lead: mark, Text: words.Check(c, r.u) + " [" + c.Source + "]"})
		var texts []string
		for _, f := range c.Found {
			texts = append(texts, words.Finding(f, r.u))
		}
		for _, text := range words.Few(texts, words.InJSON) {
			out = append(out, sheet.Item{Text: text})
		}
	}
	return out
}
