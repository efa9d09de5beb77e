package read

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
)

// plainColumns are the positions of a plain table's columns; −1 for one that
// it does not have.
type plainColumns struct {
	dates        []int // the date column, or those of year, month and day, or year and day of the year
	rain         int
	weak         int // one called id or code, which may name stations
	period       int // the number of days that an amount was measured over
	mflag, qflag int // GHCN-Daily's flags
	clock, unit  int // a time of day beside the date; the unit of each value
	unused       []string
	max, min     thermometer // temperatures, where they are wanted
	lat          int
}

// mostSampled is how many rows are looked at to tell what a column holds.
const mostSampled = 50

// findColumns chooses the columns by their names and the first rows.
func (p *plainTable) findColumns() {
	p.takeSample()
	p.findDates()
	c := &p.cols
	free := func(i int) int {
		if slices.Contains(c.dates, i) {
			return -1
		}
		return i
	}
	p.station, c.weak = free(findName(p.header, stationNames)), -1
	if p.station < 0 {
		c.weak = free(findName(p.header, weakNames))
	}
	c.period = free(findName(p.header, periodNames))
	if c.period < 0 {
		c.period = slices.IndexFunc(p.header, func(h string) bool { return strings.HasPrefix(bare(h), "periodoverwhich") })
	}
	c.mflag, c.qflag = findName(p.header, mflagNames), findName(p.header, qflagNames)
	c.clock, c.unit = free(findName(p.header, clockNames)), findName(p.header, unitNames)
	p.oneDate()
	p.ident = sameNames()
	p.findRain()
	p.findHeat()
	for _, other := range []*int{&c.weak, &c.period, &c.clock} {
		if *other == c.rain {
			*other = -1
		}
	}
	for i, h := range p.header {
		if !slices.Contains([]int{c.rain, c.weak, c.period, c.mflag, c.qflag}, i) && isRemark(h) && !p.blankIn(i) {
			c.unused = append(c.unused, quotedAlways(h))
		}
	}
	for _, i := range append(slices.Clone(c.dates), p.station, c.rain, c.rain+1, c.weak, c.period, c.mflag, c.qflag, c.clock, c.unit, c.max.column, c.min.column, c.lat) {
		if i >= 0 && i < len(p.header) && !slices.Contains(p.held, i) {
			p.held = append(p.held, i)
		}
	}
}

// takeSample keeps the first rows, which tell what a column holds.
func (p *plainTable) takeSample() {
	first := p.heading.line
	if !p.headless {
		first++
	}
	for n := first; n < first+mostSampled; n++ {
		s := strings.TrimSpace(p.in.line(n))
		if n > len(p.in.head) {
			break
		}
		if s != "" && s[0] != '#' {
			p.sample = append(p.sample, splitCells(s, p.comma))
		}
	}
}

// findName returns the first column that has one of the names, or -1.
func findName(columns, names []string) int {
	return firstOf(columns, names, func(column, name string) bool { return bare(column) == name })
}

// findDates finds the column of dates: by its name if its cells are written
// like dates, else a year, a month and a day column, else the first column
// whose cells are written like dates.
func (p *plainTable) findDates() {
	byName := findName(p.header, dateNames)
	y, m, d, n := findName(p.header, yearNames), findName(p.header, monthNames), findName(p.header, dayNames), findName(p.header, dayOfYearNames)
	if y >= 0 && m >= 0 && d < 0 && byName >= 0 && !p.datesIn(byName) {
		d = byName // YEAR,MONTH,DATE
	}
	switch {
	case byName >= 0 && p.datesIn(byName):
		p.cols.dates = []int{byName}
	case y >= 0 && m >= 0 && d >= 0:
		p.cols.dates = []int{y, m, d}
	case y >= 0 && n >= 0:
		p.cols.dates = []int{y, n}
	case byName < 0 && y >= 0 && m >= 0:
		p.in.fail(p.heading.line, "a year and a month column, and none of days: these are the totals of months", "a tank needs the rain of each day: download the daily values")
	}
	for i := range p.header {
		if p.cols.dates == nil && p.datesIn(i) {
			p.cols.dates = []int{i}
		}
	}
	if p.cols.dates == nil && byName >= 0 { // its first cell is the error
		p.cols.dates = []int{byName}
	}
	if p.cols.dates == nil {
		p.in.fail(p.heading.line, "no column of dates; there are "+p.list(nil), "name one \"date\", or three year, month and day")
	}
}

// datesIn reports whether the first filled cell of a column is like a date.
func (p *plainTable) datesIn(i int) bool {
	for _, row := range p.sample {
		if i < len(row) && row[i] != "" {
			return looksDate(row[i])
		}
	}
	return false
}

// blankIn reports whether the first rows have nothing in a column.
func (p *plainTable) blankIn(i int) bool {
	return !slices.ContainsFunc(p.sample, func(row []string) bool { return i < len(row) && row[i] != "" })
}

// findRain finds the rain column and the unit that its name states: the one
// asked for, or the one whose name says rain. A column of numbers may as well
// be of temperatures.
func (p *plainTable) findRain() {
	var found []int
	for i, h := range p.header {
		if !slices.Contains(p.cols.dates, i) && i != p.station && parseRainName(h).rain {
			found = append(found, i)
		}
	}
	p.in.heed("column")
	if want := p.in.opt.Column; want != "" {
		at := p.find(want)
		var same []string
		for i, h := range p.header {
			if strings.EqualFold(h, want) {
				same = append(same, strconv.Itoa(i+1))
			}
		}
		if len(same) > 1 {
			p.in.fail(p.heading.line, fmt.Sprintf("%d columns are called %q", len(same), clipped(want)), "give the number of the one that is meant: "+strings.Join(same, " or "))
		}
		if n, err := strconv.Atoi(want); at < 0 && err == nil && n >= 1 && n <= len(p.header) {
			at = n - 1
		}
		if at < 0 {
			p.in.fail(p.heading.line, fmt.Sprintf("no column %q; there are %s", clipped(want), p.list(nil)), "--column takes a name from the header, or a column's number")
		}
		if slices.Contains(p.cols.dates, at) {
			p.in.fail(p.heading.line, fmt.Sprintf("column %q holds the dates", p.header[at]), "--column names the column of the rain")
		}
		found = []int{at}
	}
	switch {
	case len(found) > 1:
		p.in.fail(p.heading.line, "several columns may be the rain: "+p.list(found), p.whichRain(found))
	case len(found) == 0 && p.in.opt.Columns != "":
		p.in.fail(p.heading.line, fmt.Sprintf("--columns %s names no rain", quoted(p.in.opt.Columns)), "name one of them rain, or rain_mm or rain_in where the unit is known")
	case len(found) == 0:
		p.in.fail(p.heading.line, "no column is known by its name as the rain; there are "+p.list(nil), "if one is the depth of rain a day, name it with --column NAME")
	}
	p.cols.rain = found[0]
	n := parseRainName(p.header[p.cols.rain])
	if n.other != "" {
		p.in.fail(p.heading.line, fmt.Sprintf("column %q holds %s, which is not read", p.header[p.cols.rain], n.other), "give a depth a day in mm, in or 0.1mm")
	}
	p.unit = n.unit
}

// whichRain says how to choose among columns: by name, by number where names are the
// same, or where all are named already by leaving one out.
func (p *plainTable) whichRain(found []int) string {
	if p.in.opt.Columns != "" {
		return "name one of them rain, and - each that is not wanted"
	}
	names, numbers := map[string]bool{}, []string{}
	for _, i := range found {
		names[strings.ToLower(p.header[i])] = true
		numbers = append(numbers, strconv.Itoa(i+1))
	}
	if len(names) < len(found) {
		return "say which is the rain of each day by its number, as in --column " + strings.Join(numbers, " or ")
	}
	return "say with --column NAME which is the rain of each day"
}

// list names columns, all for nil, and at most some of them.
func (p *plainTable) list(columns []int) string {
	const most = 12
	var names []string
	for i, h := range p.header {
		if h != "" && (columns == nil || slices.Contains(columns, i)) {
			names = append(names, quoted(clipped(h)))
		}
	}
	if more := len(names) - most; more > 0 {
		return strings.Join(names[:most], ", ") + fmt.Sprintf(" and %s more", thousands(more))
	}
	return strings.Join(names, ", ")
}

// weakStations judges a column called id or code: it names stations if a day
// stands under two of its names, or if they follow one another in blocks. One
// name is the station's; one for each row counts the rows; else it says
// something of the values.
func (p *plainTable) weakStations() {
	if p.cols.weak < 0 {
		return
	}
	cells, dates := p.column(p.cols.weak), p.dateText()
	all, blocks, under, shared := map[string]bool{}, 0, map[string]string{}, false
	other := 0 // the line of the first that is not the first one's
	for k, c := range cells {
		if c == "" {
			continue
		}
		if all[c] = true; len(all) == 2 && other == 0 {
			other = p.line[k]
		}
		if k == 0 || cells[k-1] != c {
			blocks++
		}
		if was, ok := under[dates[k]]; ok && was != c {
			shared = true
		}
		under[dates[k]] = c
	}
	switch several := len(all) > 1; {
	case len(all) == 0, several && len(all) == len(cells) && !shared:
		return
	case several && !shared && blocks != len(all):
		p.cols.unused = append(p.cols.unused, quotedAlways(p.header[p.cols.weak]))
		return
	}
	hint := ""
	if !shared { // a quality, perhaps, that changed once in the record's life
		hint = fmt.Sprintf("; if column %q does not name stations, take it out of the file", clipped(p.header[p.cols.weak]))
	}
	p.id = p.in.oneStation(slices.Collect(maps.Keys(all)), other, hint)
	var rows []int
	for k, c := range cells {
		if c == p.id {
			rows = append(rows, k)
		}
	}
	p.keep(rows)
}
