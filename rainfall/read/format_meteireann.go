package read

import (
	"fmt"
	"regexp"
	"slices"
	"sort"
	"strconv"
	"strings"
	"time"

	"tankodds/rainfall"
)

// metEireann reads the Irish weather service's daily files (dly): a preamble
// of about 24 lines, which may have been cut off, a header that begins with
// date, then a row a day. rain is in millimetres; a blank, written as a space
// in some columns, is missing. An indicator column (ind) stands before rain
// in the original; what its codes mean is not in the file, so the values are
// kept and the codes other than 0 counted in a warning. maxtp and mintp (maxt and
// mint in some files) are in degrees Celsius.
//
// Dates are as 01-jan-1942. In a file saved again by a spreadsheet the year
// may have lost its century; see followCentury.
func metEireann() format {
	return delimited{
		name: "Met Éireann daily (dly)", within: usualHead, titled: true,
		header:  isMetEireann,
		keep:    among("date", "ind", "rain"),
		thermal: among("maxtp", "maxt", "mintp", "mint"),
		read:    readMetEireann,
	}.format()
}

var (
	irishDate  = regexp.MustCompile(`^(\d{1,2})-([A-Za-z]{3})-(\d{4}|\d{2})( \d\d:\d\d)?$`)
	irishPlace = regexp.MustCompile(`(?i)^"?station name: *([^",]*)`)
)

// isMetEireann knows the header: the other columns' names keep out plain files
// with a date and a rain column.
func isMetEireann(c []string) bool {
	if !strings.EqualFold(c[0], "date") || !hasCells(c, "rain") {
		return false
	}
	at := slices.IndexFunc(c, func(s string) bool { return strings.EqualFold(s, "rain") })
	known := 0
	for _, name := range []string{"maxtp", "mintp", "gmin", "igmin", "cbl", "wdsp", "hm", "ddhm", "hg", "soil", "pe", "evap", "smd_wd", "smd_md", "smd_pd", "glorad"} {
		if hasCells(c, name) {
			known++
		}
	}
	return strings.EqualFold(c[at-1], "ind") || known >= 3
}

func readMetEireann(t *table) *rainfall.Record {
	in := t.in
	rain, indicator := t.find("rain"), -1
	if rain > 0 && strings.EqualFold(t.header[rain-1], "ind") {
		indicator = rain - 1
	}
	dates, short := t.column(0), false
	var days []rainfall.Date
	if irishDate.MatchString(dates[0]) {
		days, short = in.irishDays(t.line, dates)
	} else { // saved again by a spreadsheet
		days = in.dates(t.line, dates)
	}
	amount := t.amounts(rain)
	code, codes := t.column(indicator), map[string]int{}
	r := t.recordOf(days, amount, func(i int, amount string) (float64, rainfall.Mark) {
		if amount != "" && code[i] != "" && code[i] != "0" {
			codes[code[i]]++
		}
		return t.number(i, amount, "rain"), 0
	})
	if m := t.titled(irishPlace); m != nil {
		r.Place = strings.TrimSpace(m[1])
	}
	t.temperatures(r, thermometer{column: t.find("maxtp", "maxt"), unit: celsius}, thermometer{column: t.find("mintp", "mint"), unit: celsius})
	r.Unit = "mm"
	if short {
		f := tell(r, "two-digit-years", 0)
		f.From, f.Days = days[0], int(days[len(days)-1]-days[0])+1
		f.value(rainfall.InCount.Of("pivot", irishPivot))
	}
	if len(codes) > 0 {
		var list []string
		n := 0
		for c, k := range codes {
			list = append(list, fmt.Sprintf("%s (%d)", c, k))
			n += k
		}
		sort.Strings(list)
		tell(r, "indicator", n, list...)
	}
	return r
}

// irishDays reads the dates of a file, in its order; short says that the years
// have two digits.
func (in *input) irishDays(lines []int, cells []string) (days []rainfall.Date, short bool) {
	years, months, ofMonth := make([]int, len(cells)), make([]time.Month, len(cells)), make([]int, len(cells))
	for i, c := range cells {
		m := irishDate.FindStringSubmatch(c)
		if m == nil {
			in.fail(lines[i], fmt.Sprintf("date %q is no day of the form 01-jan-1942", c), "")
		}
		if m[4] != "" {
			in.fail(lines[i], "the values are of hours, not days", "download the daily file (dly)")
		}
		if i > 0 && short != (len(m[3]) == 2) {
			in.fail(lines[i], "a year of two digits and a year of four in one file", "write every year with four digits")
		}
		short = len(m[3]) == 2
		at := strings.Index("janfebmaraprmayjunjulaugsepoctnovdec", strings.ToLower(m[2]))
		if at < 0 || at%3 != 0 {
			in.fail(lines[i], fmt.Sprintf("%q is no month", m[2]), "")
		}
		ofMonth[i], _ = strconv.Atoi(m[1])
		years[i], _ = strconv.Atoi(m[3])
		months[i] = time.Month(at/3 + 1)
	}
	if short {
		if i := followCentury(years); i >= 0 {
			in.fail(lines[i], fmt.Sprintf("the year goes from %02d to %02d: years of two digits can be told only where the days are in order", years[i-1], years[i]), "sort the file by date, or write every year with four digits")
		}
	}
	days = make([]rainfall.Date, len(cells))
	for i := range cells {
		d, ok := rainfall.MakeDate(years[i], months[i], ofMonth[i])
		if !ok || years[i] < 1600 || years[i] > 2200 {
			in.fail(lines[i], fmt.Sprintf("date %q is no day of the year %d", cells[i], years[i]), "")
		}
		days[i] = d
	}
	return days, short
}

// irishPivot is the two-digit year from which on a file's last year is of the
// 1900s. The service's daily files begin in the 1940s (data seen: 1942), so
// that none can end before; and none can end after today.
const irishPivot = 40

// followCentury turns the two-digit years of days in order into years. Only
// the century of the last is set by a rule (irishPivot); the others are
// followed back from it: where the year falls by more than fifty from one row
// to the next, a century has turned. A smaller fall is no turn but a file out
// of order; then the index of that row is returned, and -1 otherwise.
func followCentury(years []int) int {
	for i := 1; i < len(years); i++ {
		if fall := years[i-1] - years[i]; fall > 0 && fall <= 50 {
			return i
		}
	}
	century := 2000
	if years[len(years)-1] >= irishPivot {
		century = 1900
	}
	for i := len(years) - 1; i >= 0; i-- {
		turned := i > 0 && years[i-1] > years[i]
		years[i] += century
		if turned {
			century -= 100
		}
	}
	return -1
}
