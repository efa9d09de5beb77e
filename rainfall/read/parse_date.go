package read

import (
	"strings"
	"time"

	"tankodds/rainfall"
)

// plainDate is a date cell of a plain file, taken apart.
type plainDate struct {
	form    dateForm
	y, a, b int    // the year; month and day, or the two numbers as written where swappable
	numbers bool   // month and day are both written as numbers, and not as in 20211231
	clock   string // a time of day after it
}

// day returns the day, false where there is no such day. dayFirst is the order
// of day and month where the form does not settle it.
func (d plainDate) day(dayFirst bool) (rainfall.Date, bool) {
	if d.form == swappable && dayFirst {
		d.a, d.b = d.b, d.a
	}
	day, ok := rainfall.MakeDate(d.y, time.Month(d.a), d.b)
	if !ok {
		return rainfall.NoDate, false
	}
	return day, true
}

type dateForm uint8

const (
	notDate   dateForm = iota
	settled            // a is the month, b the day
	swappable          // a and b stand as written: day and month or month and day
	shortYear          // the year has two digits
)

// parsePlainDate takes apart 2021-12-31 (also with / or .), 20211231,
// 31/12/2021 and 12/31/2021 (also with -), 31.12.2021, 31-Dec-2021,
// Dec 31 2021 and 2021-Dec-31, each with a time of day after it or none.
func parsePlainDate(cell string) plainDate {
	var d plainDate
	s := cell
	if len(s) == 10 && s[4] == '-' && s[7] == '-' && isDigits(s[:4]) && isDigits(s[5:7]) && isDigits(s[8:]) { // most are
		d.form, d.numbers, d.y, d.a, d.b = settled, true, atoi(s[:4]), atoi(s[5:7]), atoi(s[8:])
		return d
	}
	if i := strings.IndexAny(s, "T "); i >= 6 && i+3 < len(s) && isDigits(s[i+1:i+2]) && strings.Contains(s[i+2:], ":") {
		s, d.clock = s[:i], s[i+1:]
	}
	if len(s) == 8 && isDigits(s) {
		y, a, b := atoi(s[:4]), atoi(s[4:6]), atoi(s[6:])
		if y >= FirstYear && y <= LastYear && a >= 1 && a <= 12 && b >= 1 && b <= 31 { // else an identifier, perhaps
			d.form, d.y, d.a, d.b = settled, y, a, b
		}
		return d
	}
	sep := strings.IndexAny(s, "-/. ")
	if sep < 1 {
		return d
	}
	p := strings.Split(s, s[sep:sep+1])
	if len(p) != 3 {
		return d
	}
	month, named := 0, -1 // the part that names a month
	for i, x := range p[:2] {
		if isDigits(x) {
			continue
		}
		m, ok := monthName(x)
		if !ok {
			return d
		}
		month, named = m, i
	}
	if !isDigits(p[2]) {
		return d
	}
	year, other := p[2], p[0] // other: the day where a month is named
	switch {
	case named == 0:
		other = p[1]
	case len(p[0]) == 4:
		year, other = p[0], p[2]
	}
	if len(other) > 2 || named < 0 && len(p[1]) > 2 {
		return d
	}
	d.numbers = named < 0
	switch {
	case len(year) == 2:
		d.form = shortYear
	case len(year) != 4:
	case named >= 0:
		d.form, d.y, d.a, d.b = settled, atoi(year), month, atoi(other)
	case len(p[0]) == 4:
		d.form, d.y, d.a, d.b = settled, atoi(year), atoi(p[1]), atoi(p[2])
	case s[sep] == '.': // only written day first
		d.form, d.y, d.a, d.b = settled, atoi(year), atoi(p[1]), atoi(p[0])
	default:
		d.form, d.y, d.a, d.b = swappable, atoi(year), atoi(p[0]), atoi(p[1])
	}
	return d
}

// looksDate reports whether a cell is written like a date.
func looksDate(cell string) bool { return parsePlainDate(strings.TrimSpace(cell)).form != notDate }

func isDigits(s string) bool {
	for i := range len(s) {
		if s[i] < '0' || s[i] > '9' {
			return false
		}
	}
	return s != ""
}

// atoi reads digits already checked, few enough not to overflow.
func atoi(s string) int {
	n := 0
	for i := range len(s) {
		n = 10*n + int(s[i]-'0')
	}
	return n
}

// monthName reads an English month, whole or by its first three letters.
func monthName(s string) (int, bool) {
	s = strings.ToLower(strings.TrimSuffix(s, "."))
	if s == "sept" {
		return 9, true
	}
	for m := time.January; m <= time.December; m++ {
		if name := strings.ToLower(m.String()); s == name || s == name[:3] {
			return int(m), true
		}
	}
	return 0, false
}
