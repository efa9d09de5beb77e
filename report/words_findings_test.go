package report

import (
	"fmt"
	"math"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tankodds/rainfall"
	"tankodds/rainfall/gen"
	"tankodds/report/sheet"
	"tankodds/report/units"
	"tankodds/report/words"
)

// faulty is an invented record that breaks every rule and has changed: 40
// years with a day in three wet.
func faulty(t *testing.T) *rainfall.Summary {
	t.Helper()
	first, _ := rainfall.MakeDate(1981, time.January, 1)
	next, _ := rainfall.MakeDate(2021, time.January, 1)
	rng := gen.Source(7, 0, 0)
	r := &rainfall.Record{About: rainfall.About{File: "faulty.csv", Format: "invented", Unit: "mm"}, First: first}
	for d := first; d < next; d++ {
		x := 0.0
		if rng.Float64() < 0.35 {
			x = math.Round(-80*math.Log(1-rng.Float64()))/10 + 0.1
		}
		if y, _, _ := d.YMD(); y >= 2001 {
			x *= 1.3
		}
		r.Depth, r.Mark = append(r.Depth, x), append(r.Mark, 0)
	}
	set := func(y int, m time.Month, d, days int, x float64) {
		from, _ := rainfall.MakeDate(y, m, d)
		for k := range days {
			r.Depth[int(from-first)+k] = x
		}
	}
	for i := range r.Depth { // Mondays hold what fell on Sundays
		if (first+rainfall.Date(i)).Weekday() == time.Monday && i > 0 {
			r.Depth[i] += r.Depth[i-1]
			r.Depth[i-1] = 0
		}
	}
	for k := range 5 {
		set(1983+k, time.May, 3, 1, 310.4)
		set(1983+k, time.June, 11, 4, 4.2)
	}
	set(1991, time.July, 1, 31, 0)
	set(1999, time.January, 10, 80, 0)
	for i := range r.Depth {
		if y, _, _ := (first + rainfall.Date(i)).YMD(); y == 2010 {
			r.Depth[i] *= 4
		}
	}
	s, err := r.Fill(time.October)
	require.NoError(t, err)
	return rainfall.Summarise(r, s)
}

// Every finding and every rule has words, once, in the unit asked for, and no
// flag but where it is wanted.
func TestFindingWords(t *testing.T) {
	m := faulty(t)
	for _, c := range m.Checks {
		require.NotEmpty(t, c.Found, c.Code)
		assert.NotContains(t, words.Check(c, units.US), " mm", c.Code)
		assert.NotContains(t, words.Check(c, units.SI), " in:", c.Code)
	}
	all := append(m.Suspicious(), m.Changes()...)
	seen := map[string]string{}
	for _, f := range all {
		us, si := words.Finding(f, units.US), words.Finding(f, units.SI)
		assert.NotContains(t, us, "mm", f.Code)
		assert.NotRegexp(t, `\d in\b`, si, f.Code)
		assert.NotContains(t, us+si, "--", "%s: a page names no flags", f.Code)
		assert.NotRegexp(t, `[.]$|NaN|%!`, us+"\n"+si, f.Code)
		if seen[f.Code] == "" {
			seen[f.Code] = us
		}
	}
	for code, want := range map[string]string{
		"extreme-day": `^12\.22 in on 1983-05-03$`,
		"repeated":    `^0\.17 in on each of 4 days from 1983-06-11$`,
		"wet-year":    `^2010 has \d+\.\d in, \d\.\d times the median year$`,
		"zero-run":    `^\d\d days of zeros from 1991-0[67]-\d+$`,
		"zero-month":  `^July 1991 has no rain; 39 other years have some in that month$`,
		"weekday":     `^Sundays have \d+(\.\d)? % fewer wet days than the week's mean$`,
		"trend":       `^the yearly rain goes up by \d+(\.\d+)? in a decade \(Mann–Kendall p . 0\.\d+\); the answer takes all years as one climate$`,
		"step":        `^the yearly rain steps from \d+(\.\d)? in before (199|200)\d/\d\d to \d+(\.\d)? in from then on \(Pettitt p . 0\.\d+\): a moved gauge or a changed climate$`,
	} {
		assert.Regexp(t, want, seen[code], code)
		delete(seen, code)
	}
	assert.Empty(t, seen, "words that no expectation holds")

	for _, w := range words.Warned(m.Changes(), units.SI, true) {
		assert.Regexp(t, `; --since (YEAR|\d{4}) shows`, w.Text, "a hint on a terminal")
	}
	// The hint keeps the first year after the step.
	step := m.Changes()[1]
	assert.Contains(t, words.Hint(step), fmt.Sprintf("--since %d ", m.Step.Label))
}

// The grave first, then kind by kind, three of each and how many more.
func TestWarningsInOrder(t *testing.T) {
	var all []words.Warning
	met := map[string]int{}
	add := func(code string, n int) {
		for range n {
			met[code]++
			all = append(all, words.Warn(code, fmt.Sprintf("%s %d", code, met[code])))
		}
	}
	add("duplicate", 1)
	add("trend", 1)
	add("repeated", 2)
	add("short-record", 4)
	add("zero-run", 3)
	add("repeated", 1213)
	assert.Equal(t, []string{
		"repeated 1", "repeated 2", "repeated 3", "and 1,212 more (in --json)",
		"zero-run 1", "zero-run 2", "zero-run 3",
		"trend 1",
		"short-record 1", "short-record 2", "short-record 3", "and 1 more (in --json)",
		"duplicate 1",
	}, words.Ordered(all, words.InJSON))
}

// A citation is never rewritten: no source of a rule passes through units.
func TestCitationsStay(t *testing.T) {
	var source string
	for _, c := range faulty(t).Checks {
		if c.Code == "extreme-day" {
			source = c.Source
		}
	}
	assert.Regexp(t, regexp.MustCompile(`^the depth: `), source)
	z := *answered(t, "us, three roofs, days met")
	require.Equal(t, units.US, z.Units)
	found := false
	for _, r := range tableOf(z.Sheet(), "checks").Rows {
		found = found || r.Cells[2] == sheet.Bound(source)
		assert.NotContains(t, r.Cells[0], "\u00a0mm")
	}
	assert.True(t, found)
}

// A client's page names no flag; a terminal does.
func TestPageNamesNoFlag(t *testing.T) {
	z := *answered(t, "costs")
	z.Record = faulty(t)
	page := strings.Join(wordsOf(z.Sheet().Only(sheet.Page)), "\n")
	assert.Contains(t, page, "The yearly rain goes up")
	assert.Contains(t, page, "The yearly rain steps from")
	assert.NotContains(t, page, "--since")
	var b strings.Builder
	z.Sheet().Text(&b)
	words := strings.Join(strings.Fields(b.String()), " ")
	assert.Contains(t, words, "--since YEAR shows what the newer ones say")
	assert.Contains(t, words, fmt.Sprintf("--since %d shows", z.Record.Step.Label))
}
