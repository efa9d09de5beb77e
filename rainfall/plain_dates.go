package rainfall

import (
	"fmt"
	"strconv"
	"strings"
	"time"
)

// plainDate is a date cell of a plain file, taken apart.
type plainDate struct {
	form    dateForm
	y, a, b int    // the year; month and day, or the two numbers as written where swappable
	clock   string // a time of day after it
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
	if i := strings.IndexAny(s, "T "); i >= 6 && i+3 < len(s) && isDigits(s[i+1:i+2]) && strings.Contains(s[i+2:], ":") {
		s, d.clock = s[:i], s[i+1:]
	}
	if len(s) == 8 && isDigits(s) {
		d.form, d.y, d.a, d.b = settled, atoi(s[:4]), atoi(s[4:6]), atoi(s[6:])
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
	n, _ := strconv.Atoi(s)
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

const isoHint = "write it as 2021-12-31"

// plainDates reads the date cells of a plain file. Where the order of day and
// month is not settled by the form, one line of the file that can be read in
// one way only settles it for all; with no such line it is asked for.
func (in *input) plainDates(lines []int, cells []string) ([]Date, error) {
	parts := make([]plainDate, len(cells))
	dayFirst, monthFirst, doubt := -1, -1, -1 // the first row that shows each
	for k, c := range cells {
		d := parsePlainDate(c)
		parts[k] = d
		switch {
		case c == "":
			return nil, in.fail(lines[k], "the date is blank", "write it, or remove the line")
		case d.form == notDate:
			return nil, in.fail(lines[k], fmt.Sprintf("%q is not a date", c), isoHint)
		case d.form == shortYear:
			return nil, in.fail(lines[k], fmt.Sprintf("the year of %q has two digits", c), "write it with four, best as 2021-12-31")
		case d.form != swappable || d.a == d.b:
		case d.a > 12 && dayFirst < 0:
			dayFirst = k
		case d.b > 12 && monthFirst < 0:
			monthFirst = k
		case doubt < 0:
			doubt = k
		}
	}
	order := in.opt.Dates
	switch {
	case order != "":
	case dayFirst >= 0 && monthFirst >= 0:
		at, was, one, other := dayFirst, monthFirst, "day", "month"
		if monthFirst > dayFirst {
			at, was, one, other = monthFirst, dayFirst, "month", "day"
		}
		return nil, in.fail(lines[at], fmt.Sprintf("date %q has the %s first, but %q on line %d has the %s first", cells[at], one, cells[was], lines[was], other), "write all dates in one order, best as 2021-12-31")
	case dayFirst < 0 && monthFirst < 0 && doubt >= 0:
		d := parts[doubt]
		return nil, in.fail(lines[doubt], fmt.Sprintf("date %q may be %d %v or %d %v %d, and no line of the file tells which", cells[doubt], d.a, time.Month(d.b), d.b, time.Month(d.a), d.y), "--dates dmy (day first) or --dates mdy (month first)")
	case monthFirst >= 0:
		order = "mdy"
	}
	out := make([]Date, len(cells))
	clocks := map[Date]string{}
	for k, d := range parts {
		read := ""
		if d.form == swappable {
			read = ", read with the month first"
			if order != "mdy" {
				read = ", read with the day first"
				d.a, d.b = d.b, d.a
			}
		}
		day, ok := MakeDate(d.y, time.Month(d.a), d.b)
		if !ok {
			return nil, in.fail(lines[k], fmt.Sprintf("there is no day %q%s", cells[k], read), "correct it, or remove the line")
		}
		if d.clock != "" {
			if was, ok := clocks[day]; ok && was != d.clock {
				return nil, in.fail(lines[k], fmt.Sprintf("%v has a value at %s and one at %s: this is no daily record", day, was, d.clock), "sum the values to days first")
			}
			clocks[day] = d.clock
		}
		out[k] = day
	}
	return out, nil
}

// joinDates makes date cells of a year, a month and a day column.
func joinDates(year, month, day []string) []string {
	out := make([]string, len(year))
	for k := range out {
		if year[k]+month[k]+day[k] != "" {
			out[k] = trimZero(year[k]) + "-" + trimZero(month[k]) + "-" + trimZero(day[k])
		}
	}
	return out
}

// trimZero undoes what a table program does to whole numbers: 1990.0.
func trimZero(s string) string { return strings.TrimSuffix(s, ".0") }
