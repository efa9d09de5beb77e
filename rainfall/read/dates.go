package read

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"tankodds/rainfall"
)

// noSuchDay notes why a line has no day: it is passed over where its value is
// missing, and is an error where it is not (see builder.add).
func (in *input) noSuchDay(line int, text string) rainfall.Date {
	if in.noDays == nil {
		in.noDays = map[int]*Error{}
	}
	in.noDays[line] = in.err(line, text, "correct it, remove the line, or leave its value blank")
	return rainfall.NoDate
}

// days reads the dates of a table: from one column in any form that can be
// told, from a year, a month and a day column, or from a year and a day of
// the year.
func (t *table) days(columns ...int) []rainfall.Date {
	switch len(columns) {
	case 1:
		return t.in.dates(t.line, t.column(columns[0]))
	case 2:
		return t.daysOfYear(columns[0], columns[1])
	}
	y, m, d := t.column(columns[0]), t.column(columns[1]), t.column(columns[2])
	for k := range y {
		if y[k]+m[k]+d[k] == "" {
			continue
		}
		year := trimZero(y[k])
		y[k] = year + "-" + trimZero(m[k]) + "-" + trimZero(d[k])
		if n, err := strconv.Atoi(year); err == nil && (n < FirstYear || n > LastYear) {
			t.in.strangeYear(t.line[k], n, strconv.Quote(clipped(y[k])))
		}
	}
	return t.in.dates(t.line, y)
}

// daysOfYear reads dates from a year and a day of the year, 1 to 366.
func (t *table) daysOfYear(year, day int) []rainfall.Date {
	years, days := t.column(year), t.column(day)
	out := make([]rainfall.Date, len(years))
	for k, line := range t.line {
		y, err := strconv.Atoi(years[k])
		switch {
		case err != nil:
			t.in.fail(line, fmt.Sprintf("year %q is no year", clipped(years[k])), "write it with four digits, as 2021; remove the line if it is no day's")
		case y < FirstYear || y > LastYear:
			t.in.strangeYear(line, y, fmt.Sprintf("day %s", clipped(days[k])))
		}
		last := 365
		if rainfall.Leap(y) {
			last = 366
		}
		n, err := strconv.Atoi(days[k])
		if out[k] = rainfall.Day(y, time.January, 1) + rainfall.Date(n-1); err != nil || n < 1 || n > last {
			out[k] = t.in.noSuchDay(line, fmt.Sprintf("day %q of the year %d is not from 1 to %d", clipped(days[k]), y, last))
		}
	}
	return out
}

// FirstYear and LastYear bound the years of which daily rain is read. Nobody is known
// to have read a gauge before the seventeenth century (Towneley's, in Lancashire, from
// 1677: from memory, unverified), and what is made of the climate to come seldom goes
// beyond 2100: any other year is a slip.
const (
	FirstYear = 1600
	LastYear  = 2200
)

var firstDay, lastDay = rainfall.Day(FirstYear, time.January, 1), rainfall.Day(LastYear, time.December, 31)

// strangeYear refuses a date of a year of which there is no rain.
func (in *input) strangeYear(line, year int, text string) {
	in.fail(line, fmt.Sprintf("%s is of the year %d: daily records lie between %d and %d", text, year, FirstYear, LastYear), "correct the year, or remove the line")
}

const isoHint = "write it as 2021-12-31; remove the line if it is no day's, as one of totals or sources below the data"

// dates reads date cells. Where the order of day and month is not settled by
// the form, lines of the file that can be read in one way only settle it for
// all, and the days must then follow one another; where they do not, it is
// asked for. A file whose days would follow one another if day and month
// changed places on some lines has been through a spreadsheet that took the
// one for the other, and is refused.
func (in *input) dates(lines []int, cells []string) []rainfall.Date {
	parts := make([]plainDate, len(cells))
	for k, c := range cells {
		d := parsePlainDate(c)
		switch parts[k] = d; {
		case c == "":
			in.fail(lines[k], "the date is blank", "write it, or remove the line")
		case d.form == notDate && len(c) >= 10 && strings.Trim(c, "0123456789:") == "":
			in.fail(lines[k], fmt.Sprintf("%q is an hour or a minute, not a day", clipped(c)), "download the daily values, or sum these to days first")
		case d.form == notDate && len(c) == len("2021-12") && looksDate(c+"-01"):
			in.fail(lines[k], fmt.Sprintf("%q is a month: these are totals of months, not of days", c), "a tank needs the rain of each day: download the daily values")
		case d.form == notDate && strings.HasPrefix(c, "##"):
			in.fail(lines[k], fmt.Sprintf("%q is what a spreadsheet writes where a column is too narrow", clipped(c)), "widen the column of dates and save the file again")
		case d.form == notDate && isNumber(c) && k == 0 && len(strings.SplitN(c, ".", 2)[0]) == 5:
			in.fail(lines[k], fmt.Sprintf("%q is a spreadsheet's number of a day", clipped(c)), "give the column the form of a date, as 2021-12-31, and save the file again")
		case d.form == notDate:
			in.fail(lines[k], fmt.Sprintf("%q is not a date", clipped(c)), isoHint)
		case d.form == shortYear:
			in.fail(lines[k], fmt.Sprintf("the year of %q has two digits", c), "write it with four, best as 2021-12-31")
		case d.y < FirstYear || d.y > LastYear:
			in.strangeYear(lines[k], d.y, strconv.Quote(clipped(c)))
		}
	}
	dayFirst := in.order(lines, cells, parts)
	out := make([]rainfall.Date, len(cells))
	clocks := map[rainfall.Date]string{} // where dates have them
	for k, d := range parts {
		day, ok := d.day(dayFirst)
		if out[k] = day; !ok {
			read := ""
			if d.form == swappable {
				read = ", read with the month first"
				if dayFirst {
					read = ", read with the day first"
				}
			}
			out[k] = in.noSuchDay(lines[k], fmt.Sprintf("there is no day %q%s", clipped(cells[k]), read))
			continue
		}
		if d.clock != "" {
			if was, ok := clocks[day]; ok && was != d.clock {
				in.fail(lines[k], fmt.Sprintf("%v has a value at %s and one at %s: this is no daily record", day, was, d.clock), "sum the values to days first")
			}
			clocks[day] = d.clock
		}
	}
	in.followed(lines, cells, parts, out, dayFirst)
	return out
}

// order tells whether dates such as 3/4/2001 have the day first.
func (in *input) order(lines []int, cells []string, parts []plainDate) (dayFirst bool) {
	day, month, doubt := -1, -1, -1 // the first row that shows each
	for k, d := range parts {
		switch {
		case d.form != swappable || d.a == d.b:
		case d.a > 12 && d.b <= 12 && day < 0:
			day = k
		case d.b > 12 && d.a <= 12 && month < 0:
			month = k
		case d.a <= 12 && d.b <= 12 && doubt < 0:
			doubt = k
		}
	}
	switch {
	case day >= 0 && month >= 0:
		at, was, one, other := day, month, "day", "month"
		if month > day {
			at, was, one, other = month, day, "month", "day"
		}
		in.fail(lines[at], fmt.Sprintf("date %q has the %s first, but %q on line %d has the %s first", cells[at], one, cells[was], lines[was], other), "write all dates in one order, best as 2021-12-31: --dates names one order for the whole file")
	case in.opt.Dates != "":
		return in.opt.Dates == "dmy"
	case day < 0 && month < 0 && doubt >= 0 && firstsOfMonths(parts):
		in.fail(lines[doubt], "every date is the first of a month: totals of months, not of days", "a tank needs the rain of each day: download the daily values")
	case day < 0 && month < 0 && doubt >= 0:
		d := parts[doubt]
		in.fail(lines[doubt], fmt.Sprintf("date %q may be %d %v or %d %v %d, and no line of the file tells which", cells[doubt], d.a, time.Month(d.b), d.b, time.Month(d.a), d.y), "--dates dmy (day first) or --dates mdy (month first)")
	}
	return month < 0
}

// firstsOfMonths reports whether all dates are, in one order or the other, the
// first of a month.
func firstsOfMonths(parts []plainDate) bool {
	a, b := 0, 0
	for _, d := range parts {
		if d.a == 1 {
			a++
		}
		if d.b == 1 {
			b++
		}
	}
	return len(parts) >= fewSteps && max(a, b) == len(parts)
}

// followed checks that the days read follow one another, or that no exchange
// of day and month would make them do so.
func (in *input) followed(lines []int, cells []string, parts []plainDate, days []rainfall.Date, dayFirst bool) {
	stray := len(days) / 200 // lines that somebody added out of their place
	turned := against(days)
	if turned <= stray {
		return
	}
	free := false // some date's order is not settled by its form
	first, other := -1, make([]rainfall.Date, len(days))
	for _, form := range []dateForm{swappable, settled} {
		for k, d := range parts {
			free = free || d.form == swappable
			if other[k] = days[k]; d.form == form && d.numbers && d.a <= 12 && d.b <= 12 && d.a != d.b {
				d.a, d.b = d.b, d.a
				if other[k], _ = d.day(dayFirst); first < 0 {
					first = k
				}
			}
		}
		if against(other) <= min(turned/4, stray) {
			in.fail(lines[first], fmt.Sprintf("the days follow one another only if day and month change places in %q and others like it: a spreadsheet has taken the one for the other", cells[first]),
				"take the dates from the original file, all in one order, best as 2021-12-31: --dates dmy or mdy names one order for the whole file")
		}
	}
	if free && in.opt.Dates == "" {
		one := "mdy"
		if dayFirst {
			one = "dmy"
		}
		in.fail(lines[firstAgainst(days)], "the days do not follow one another, so the order of day and month cannot be trusted", "sort the file by date, or say the order: --dates "+one+" is what some lines show")
	}
}

// against counts the days that go against the run of the file: back where
// most go forward, or forward where most go back. Lines without a day are
// passed over.
func against(days []rainfall.Date) int {
	back, forward := turns(days, func(int, bool) {})
	return min(back, forward)
}

// firstAgainst is the place of the first of them.
func firstAgainst(days []rainfall.Date) (first int) {
	back, forward := turns(days, func(int, bool) {})
	turns(days, func(k int, isBack bool) {
		if first == 0 && isBack == (back <= forward) {
			first = k
		}
	})
	return first
}

// turns counts the days that lie before the one above them, and those after, and
// visits both.
func turns(days []rainfall.Date, visit func(k int, isBack bool)) (back, forward int) {
	last := rainfall.NoDate
	for k, d := range days {
		if d == rainfall.NoDate {
			continue
		}
		if last != rainfall.NoDate && d < last {
			back++
			visit(k, true)
		} else if last != rainfall.NoDate && d > last {
			forward++
			visit(k, false)
		}
		last = d
	}
	return back, forward
}

// trimZero undoes what a table program does to whole numbers: 1990.0.
func trimZero(s string) string { return strings.TrimSuffix(s, ".0") }
