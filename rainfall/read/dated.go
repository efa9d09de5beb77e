package read

import (
	"cmp"
	"crypto/sha256"
	"fmt"
	"io"
	"math"
	"os"
	"slices"
	"strings"

	"tankodds/rainfall"
)

// Dated is a table of dates with a number each that is no rain, such as the
// readings of a meter.
type Dated struct {
	File, SHA256 string
	Column       string // the name of the column of numbers
	Unit         string // what a comment, "# unit: L", says of it; "" for none
	Header       int    // its line
	Rows         []DatedRow
}

// DatedRow is one of its lines. Rows are in the order of their days, those of a
// day in the order of their time.
type DatedRow struct {
	Line  int
	Date  rainfall.Date
	Clock bool    // a time of day is given too
	Value float64 // NaN where it is missing
}

// DatedFile reads such a table from a file, as DatedFrom does.
func DatedFile(path, dates string, rank func(column string) int) (*Dated, error) {
	f, err := os.Open(path)
	if err != nil {
		e := cannotRead(path, err)
		e.Hint = strings.Replace(e.Hint, "the rain record; -", "a file of readings, a date and a number a line; -", 1)
		return nil, e
	}
	defer f.Close()
	return DatedFrom(path, f, dates, rank)
}

// DatedFrom reads a table with a header line that names a column of dates, or of
// years, months and days, and one of numbers: the only other one, or that whose
// name rank puts highest. It is read as a plain table of rain is: any separator,
// points or commas for decimals, dates in any form. dates is "dmy" or "mdy" where
// days and months could be exchanged, else "". All its errors are *Error.
func DatedFrom(file string, from io.Reader, dates string, rank func(column string) int) (out *Dated, err error) {
	o := Options{Dates: dates}
	if err := o.Check(file); err != nil {
		return nil, err
	}
	src := &digested{r: from, sum: sha256.New()}
	var in *input
	defer func() {
		switch e := recover().(type) {
		case nil:
		case *Error: // see input.fail
			if in != nil {
				e = in.whole(e)
			}
			if strings.Contains(e.Hint, "download") || strings.Contains(e.Hint, "rain") { // which this is not
				e.Hint = datedForm
			}
			out, err = nil, e
		default:
			panic(e)
		}
		if src.err != nil {
			out, err = nil, cannotRead(file, src.err)
		}
	}()
	in = newInput(file, src, 0, o)
	h := in.plainHeadBy(func([]string) bool { return true })
	if h.line == 0 {
		h.heading = in.findHeader(usualHead, named)
	}
	switch {
	case h.line == 0:
		in.fail(0, "no line names a date and a reading", datedForm)
	case h.headless:
		in.fail(h.line, "no header line", datedForm)
	}
	p := plainTable{table: &table{in: in, heading: h.heading, header: h.cells, station: -1, comments: true}}
	p.takeSample()
	if len(p.sample) == 0 {
		in.fail(h.line, "a header and no line of readings", datedForm)
	}
	p.findDates()
	value, clock := p.ranked(rank), findName(p.header, clockWords)
	p.held = append(slices.Clone(p.cols.dates), value)
	if clock >= 0 && !slices.Contains(p.held, clock) {
		p.held = append(p.held, clock)
	}
	p.load()
	out = &Dated{File: file, Column: p.header[value], Unit: h.notes["unit"], Header: h.line}
	days, clocked := p.readingDays()
	cells := p.amounts(value)
	numbers, clocks := numbersOf(cells), p.column(clock)
	for k, line := range p.line {
		if math.IsNaN(numbers[k]) && !isMissingWord(cells[k]) {
			in.fail(line, fmt.Sprintf("%q is not a number", clipped(cells[k])), "leave the cell blank if the reading is missing; the unit stands in the header, as in reading_L")
		}
		if days[k] == rainfall.NoDate {
			in.valueWithoutDay(line, numbers[k])
			continue
		}
		out.Rows = append(out.Rows, DatedRow{line, days[k], clocked[k] || clocks[k] != "" && slices.Index(p.cols.dates, clock) < 0, numbers[k]})
	}
	out.inOrder()
	if _, err := io.Copy(io.Discard, io.LimitReader(src, maxBytes)); err == nil {
		out.SHA256 = src.hex()
	}
	return out, nil
}

// clockWords name a column of times of day; a table of rain has more of them.
var clockWords = []string{"time", "hour", "hours", "hh", "hr", "clock"}

const datedForm = "write a header line and then a date and a number a line, as in date,reading_L and 2021-12-31,48210"

// ranked is the column of numbers.
func (p *plainTable) ranked(rank func(string) int) int {
	var found []int
	for i, h := range p.header {
		if slices.Contains(p.cols.dates, i) || slices.Contains(clockWords, bare(h)) || p.blankIn(i) {
			continue
		}
		switch {
		case len(found) > 0 && rank(h) < rank(p.header[found[0]]):
		case len(found) > 0 && rank(h) > rank(p.header[found[0]]):
			found = []int{i}
		default:
			found = append(found, i)
		}
	}
	switch len(found) {
	case 1:
		return found[0]
	case 0:
		p.in.fail(p.heading.line, "no column of readings; there are "+p.list(nil), datedForm)
	}
	p.in.fail(p.heading.line, "several columns may be the readings: "+p.list(found), "leave the one that is meant, or call it reading, with its unit")
	return 0
}

// readingDays reads the dates, and says which have a time of day: several
// readings a day are usual where a machine takes them.
func (p *plainTable) readingDays() (days []rainfall.Date, clocked []bool) {
	clocked = make([]bool, len(p.line))
	if len(p.cols.dates) > 1 {
		return p.days(p.cols.dates...), clocked
	}
	cells := p.column(p.cols.dates[0])
	parts := make([]plainDate, len(cells))
	for k, c := range cells {
		if parts[k] = parsePlainDate(c); parts[k].clock != "" {
			cells[k], clocked[k] = c[:len(c)-len(parts[k].clock)-1], true
		}
		if parts[k].form == notDate && len(c) == len("2021-12") && looksDate(c+"-01") {
			p.in.fail(p.line[k], fmt.Sprintf("%q is a month, not the day of a reading", c), "write the day on which the meter was read, as 2021-12-31")
		}
	}
	if at := slices.IndexFunc(parts, func(d plainDate) bool { return d.form == swappable && d.a != d.b }); at >= 0 && p.in.opt.Dates == "" && firstsOfMonths(parts) {
		p.in.fail(p.line[at], fmt.Sprintf("date %q may have the day or the month first", cells[at]), "--dates dmy (day first) or --dates mdy (month first)")
	}
	return p.in.dates(p.line, cells), clocked
}

// inOrder sorts the rows by day; where the file goes back in time, the rows of a
// day do too.
func (d *Dated) inOrder() {
	back := 0
	for i := 1; i < len(d.Rows); i++ {
		back += cmp.Compare(d.Rows[i-1].Date, d.Rows[i].Date)
	}
	if back > 0 {
		slices.Reverse(d.Rows)
	}
	slices.SortStableFunc(d.Rows, func(a, b DatedRow) int { return cmp.Compare(a.Date, b.Date) })
}
