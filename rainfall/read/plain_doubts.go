package read

import (
	"fmt"
	"slices"
	"strings"
)

// What speaks against taking a plain table as it seems.

// oneRowADay refuses a table that has several rows a day by another column: a
// clock beside the date.
func (p *plainTable) oneRowADay() {
	if p.cols.clock < 0 {
		return
	}
	clock, seen := p.column(p.cols.clock), map[string]string{}
	for k, d := range p.dateText() {
		if was, ok := seen[d]; ok && was != clock[k] {
			p.in.fail(p.line[k], fmt.Sprintf("%s has a value at %s %s and one at %s: this is no daily record", strings.Trim(d, "-"), clipped(p.header[p.cols.clock]), clipped(was), clipped(clock[k])), "sum the values to days first")
		}
		seen[d] = clock[k]
	}
}

// dateText returns a text for each row's date, the same for the same date
// written in the same way.
func (p *plainTable) dateText() []string {
	out := make([]string, len(p.line))
	for _, i := range p.cols.dates {
		for k, c := range p.column(i) {
			out[k] += c + "-"
		}
	}
	return out
}

// splitDecimals refuses a table whose decimals seem to stand in a column of
// their own: 1,5 between commas. The column after the rain's then holds one
// or two digits, all of one length, and only beside whole numbers.
func (p *plainTable) splitDecimals(rain []string) {
	next := p.cols.rain + 1
	if p.comma != ',' || p.in.opt.Columns != "" || next >= len(p.header) || slices.Contains(p.cols.dates, next) || next == p.station || next == p.cols.period {
		return
	}
	first, filled, length, digits := -1, 0, 0, map[string]bool{}
	none, noDecimals := 0, 0 // rows of rain "0"; of these those with zero after it
	for k, c := range p.column(next) {
		if c == "" {
			continue
		}
		if first < 0 {
			first, length = k, len(c)
		}
		if !isDigits(c) || len(c) > 2 || len(c) != length || !isDigits(rain[k]) {
			return
		}
		filled++
		digits[c] = true
		if strings.Trim(rain[k], "0") == "" {
			if none++; strings.Trim(c, "0") == "" {
				noDecimals++
			}
		}
	}
	if none >= 20 && 2*noDecimals < none {
		return // on dry days too it is most often something: not decimals
	}
	// Codes of quality are few; decimals are all ten digits before long.
	if first < 0 || p.header[next] != "" && len(digits) < min(7, filled) {
		return
	}
	p.in.fail(p.line[first], fmt.Sprintf("the rain is %s and the cell after it %s: a decimal comma seems to split the value", rain[first], p.column(next)[first]),
		"save the file with decimal points, or with semicolons between the cells; --columns NAMES says so if the two are two columns")
}

// knownFlags leaves columns of flags unused whose letters are not those of
// GHCN-Daily: OK is no failure.
func (p *plainTable) knownFlags() {
	for _, f := range []struct {
		at      *int
		letters string
	}{{&p.cols.mflag, "ABDHKLOPTW"}, {&p.cols.qflag, "DGIKLMNORSTWXZ"}} {
		if *f.at < 0 {
			continue
		}
		if slices.ContainsFunc(p.column(*f.at), func(c string) bool { return c != "" && (len(c) > 1 || !strings.Contains(f.letters, c)) }) {
			p.cols.unused = append(p.cols.unused, quotedAlways(p.header[*f.at]))
			*f.at = -1
		}
	}
}

// oneDate refuses a second column of dates that ends a period of days.
func (p *plainTable) oneDate() {
	if len(p.cols.dates) != 1 {
		return
	}
	for i, h := range p.header {
		if i == p.cols.dates[0] {
			continue
		}
		for _, row := range p.sample {
			if i >= len(row) || p.cols.dates[0] >= len(row) {
				continue
			}
			a, b := parsePlainDate(row[p.cols.dates[0]]), parsePlainDate(row[i])
			if a.form == settled && b.form == settled {
				from, ok1 := a.day(true)
				to, ok2 := b.day(true)
				if d := to - from; ok1 && ok2 && (d > 1 && d < 62 || d < -1 && d > -62) {
					p.in.fail(p.heading.line, fmt.Sprintf("two columns of dates, %q and %q, some days apart: totals over several days, not of one", clipped(p.header[p.cols.dates[0]]), clipped(h)),
						"give a date and, in a column called days, over how many days up to it the rain was measured")
				}
			}
		}
	}
}
