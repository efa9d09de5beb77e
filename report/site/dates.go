package site

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"

	"tankodds/sim"
)

// all are the entries of a list, or the one text that stands instead.
func (g given) all(most int) ([]string, error) {
	items, listed, err := g.list(most)
	if err != nil {
		return nil, err
	}
	if !listed {
		items = []given{g}
	}
	var out []string
	for _, item := range items {
		text, err := item.text()
		if err != nil {
			return nil, err
		}
		out = append(out, text)
	}
	return out, nil
}

// readPeople reads how many use something: 4, or from 3 to 6 as 3..6.
func readPeople(a At, g given) error {
	text, err := g.text()
	if err != nil {
		return err
	}
	from, to, ranged := strings.Cut(text, "..")
	if !ranged {
		to = from
	}
	low, err := strconv.ParseFloat(strings.TrimSpace(from), 64)
	if err == nil {
		var high float64
		if high, err = strconv.ParseFloat(strings.TrimSpace(to), 64); err == nil && 0 < low && low <= high && high <= mostPeople {
			a.Use.People, a.Use.Spread = (low+high)/2, (high-low)/2
			return nil
		}
	}
	return g.fail("%q is no number of people; write one such as 4, or the fewest and the most as 3..6", short(text))
}

// mostPeople is more than any building holds.
const mostPeople = 1e6

// short is a text on one line, of so many letters that it can be shown.
func short(s string) string {
	if s = OneLine(s); len(s) > mostName {
		return s[:mostName] + "…"
	}
	return s
}

// readMonths reads months and ranges of them: apr-oct, or [jan, feb, nov-dec].
func readMonths(a At, g given) error {
	all, err := g.all(12)
	if err != nil {
		return err
	}
	a.Use.Months = sim.Months{}
	for _, part := range strings.FieldsFunc(strings.Join(all, ","), func(r rune) bool { return r == ',' }) {
		from, to, err := monthRange(part)
		if err != nil {
			return g.fail("%v", err)
		}
		for m := from; ; m = m%time.December + 1 { // nov-feb goes over New Year
			a.Use.Months[m-1] = true
			if m == to {
				break
			}
		}
	}
	if (a.Use.Months == sim.Months{}) {
		return g.fail("no month is named; write months such as apr-oct")
	}
	return nil
}

// monthRange reads "jun" or "jun-aug".
func monthRange(s string) (from, to time.Month, err error) {
	a, b, ranged := strings.Cut(s, "-")
	if from, err = parseMonth(a); err != nil || !ranged {
		return from, from, err
	}
	to, err = parseMonth(b)
	return from, to, err
}

// mostSpans bounds the exceptions of a use.
const mostSpans = 100

// readExcept reads parts of the year: "27 jun..29 aug", or a list of them.
func readExcept(a At, g given) error {
	all, err := g.all(mostSpans)
	if err != nil {
		return err
	}
	a.Use.Except = nil
	for _, text := range all {
		span, err := parseSpan(text)
		if err != nil {
			return g.fail("%v", err)
		}
		a.Use.Except = append(a.Use.Except, span)
	}
	return nil
}

// dayOfYear is "27 jun" or "june 27", of one year as "27 jun 2020".
var dayOfYear = regexp.MustCompile(`^(?i)(?:(\d{1,2})\.?\s*([a-z]+)|([a-z]+)\s*(\d{1,2}))(?:,?\s*(\d{4}))?$`)

// parseSpan reads two days and what lies between them, or one day.
func parseSpan(text string) (sim.Span, error) {
	from, to, ranged := strings.Cut(text, "..")
	if !ranged {
		to = from
	}
	var out sim.Span
	var years []string
	for _, end := range []struct {
		text       string
		month, day *int
	}{{from, &out.FromMonth, &out.FromDay}, {to, &out.ToMonth, &out.ToDay}} {
		found := dayOfYear.FindStringSubmatch(strings.TrimSpace(end.text))
		if found == nil {
			return out, fmt.Errorf("%q is no part of the year; write its first and last day as in 27 jun..29 aug", short(text))
		}
		m, err := parseMonth(found[2] + found[3])
		if err != nil {
			return out, err
		}
		d, _ := strconv.Atoi(found[1] + found[4])
		*end.month, *end.day = int(m), d
		years = append(years, found[5])
	}
	if years[0] != years[1] && ranged && years[0] == "" { // 27 jun..29 aug 2020
		years[0] = years[1]
	}
	out.Year, _ = strconv.Atoi(years[0])
	if years[1] != "" && years[1] != years[0] {
		over := 100*out.FromMonth+out.FromDay > 100*out.ToMonth+out.ToDay
		if last, _ := strconv.Atoi(years[1]); !over || last != out.Year+1 {
			return out, fmt.Errorf("%q is no part of one year; write its first and last day as in 27 jun 2020..29 aug 2020", short(text))
		}
	}
	return out, out.Check()
}
