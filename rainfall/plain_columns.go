package rainfall

import (
	"fmt"
	"strconv"
	"strings"
)

// findName returns the first column that has one of the names, or -1.
func (p *plainTable) findName(names []string) int {
	for _, n := range names {
		for i, h := range p.header {
			if bare(h) == n {
				return i
			}
		}
	}
	return -1
}

// findDates finds the column of dates: by its name if its cells are written
// like dates, else a year, a month and a day column, else the first column
// whose cells are written like dates.
func (p *plainTable) findDates() error {
	byName := p.findName(dateNames)
	if byName >= 0 && p.datesIn(byName) {
		p.dates = []int{byName}
		return nil
	}
	y, m, d := p.findName(yearNames), p.findName(monthNames), p.findName(dayNames)
	if y >= 0 && m >= 0 && d >= 0 {
		p.dates = []int{y, m, d}
		return nil
	}
	for i := range p.header {
		if p.datesIn(i) {
			p.dates = []int{i}
			return nil
		}
	}
	if byName >= 0 { // its first cell is the error
		p.dates = []int{byName}
		return nil
	}
	return p.in.fail(p.layout.first, "no column of dates", "name one \"date\", or three year, month and day")
}

// datesIn reports whether the first filled cell of a column is like a date.
func (p *plainTable) datesIn(i int) bool {
	for _, c := range p.column(i) {
		if c != "" {
			return looksDate(c)
		}
	}
	return false
}

// dateCells returns a date for each row as it is written.
func (p *plainTable) dateCells() []string {
	if len(p.dates) == 3 {
		return joinDates(p.column(p.dates[0]), p.column(p.dates[1]), p.column(p.dates[2]))
	}
	return p.column(p.dates[0])
}

// findRain finds the rain column and the unit that its name states: the one
// asked for, the one whose name says rain, or the only one of numbers.
func (p *plainTable) findRain(station int) error {
	other := func(i int) bool {
		for _, d := range p.dates {
			if i == d {
				return false
			}
		}
		return i != station
	}
	var named, numbers []int
	for i, h := range p.header {
		if !other(i) {
			continue
		}
		if parseRainName(h).rain {
			named = append(named, i)
		}
		if p.numbersIn(i) {
			numbers = append(numbers, i)
		}
	}
	p.rain = -1
	if want := p.in.opt.Column; want != "" {
		if p.rain = p.find(want); p.rain < 0 {
			if n, err := strconv.Atoi(want); err == nil && n >= 1 && n <= len(p.header) {
				p.rain = n - 1
			}
		}
		if p.rain < 0 {
			return p.in.fail(p.layout.first, fmt.Sprintf("no column %q; there are %s", want, p.list(nil)), "--column takes a name from the header")
		}
	}
	switch {
	case p.rain >= 0:
	case len(named) == 1:
		p.rain = named[0]
	case len(named) > 1:
		return p.in.fail(p.layout.first, "several columns may be the rain: "+p.list(named), "choose one: --column "+quoted(p.header[named[0]]))
	case len(numbers) == 1:
		p.rain = numbers[0]
	case len(numbers) > 1:
		return p.in.fail(p.layout.first, "no column is named rain, and several hold numbers: "+p.list(numbers), "choose one with --column NAME")
	default:
		return p.in.fail(p.layout.first, "no column of rain: none is named so or holds numbers", "name the column rain_mm or rain_in; write 1.5, not 1,5")
	}
	n := parseRainName(p.header[p.rain])
	if n.other != "" {
		return p.in.fail(p.layout.first, fmt.Sprintf("column %q holds %s, which is not read", p.header[p.rain], n.other), "give a depth a day in mm, in or 0.1mm")
	}
	p.unit = n.unit
	return nil
}

// list names columns, all for nil.
func (p *plainTable) list(columns []int) string {
	var names []string
	for i, h := range p.header {
		if columns == nil {
			names = append(names, quoted(h))
		}
		for _, c := range columns {
			if c == i {
				names = append(names, quoted(h))
			}
		}
	}
	return strings.Join(names, ", ")
}

// numbersIn reports whether a column holds numbers, and nothing else but
// blanks and words for missing and trace.
func (p *plainTable) numbersIn(i int) bool {
	found := false
	for _, c := range p.column(i) {
		if isMissingWord(c) || isTraceWord(c) {
			continue
		}
		if _, err := strconv.ParseFloat(c, 64); err != nil {
			// 1,5 is a number written wrongly: the error is for its line
			if _, err := strconv.ParseFloat(strings.Replace(c, ",", ".", 1), 64); err != nil {
				return false
			}
		}
		found = true
	}
	return found
}
