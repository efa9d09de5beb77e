package read

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strconv"

	"tankodds/rainfall"
)

// MaxDaily is the most rain a day may hold, mm: the world record of 24 hours
// is 1,825 mm, Foc-Foc, La Réunion, 1966 (WMO archive of extremes, from
// memory, unverified).
const MaxDaily = 1825

// builder gathers a file's days, in any order, into a Record.
type builder struct {
	in       *input
	from, to rainfall.Date // the first and the last day given
	wide     bool          // they lie further apart than any record's
	wideAt   int           // the line from which on they do, 0 where not known

	first rainfall.Date // the day of depth[0]
	depth []float64     // mm, NaN for missing
	mark  []rainfall.Mark
	given []int32 // the line that gave the day, 0 for none

	values   int              // how many were given, whatever the day
	noDays   int              // lines of days that there are not, without a value
	twice    int              // days given again with the same value
	clashes  int              // days given again with another
	conflict *Error           // the first of them
	totals   []rainfall.Total // Days is 0 where the file does not say
	doubted  []rainfall.Date  // the last days of totals whose shares are doubtful
}

// add takes a day's depth in mm, NaN for missing. A value that is no rain is
// an error; a failed one is kept as missing.
func (b *builder) add(line int, d rainfall.Date, mm float64, m rainfall.Mark) {
	if m&rainfall.Failed != 0 {
		mm = math.NaN()
	}
	b.in.plausible(line, mm)
	if d == rainfall.NoDate {
		b.noDays++
		b.in.valueWithoutDay(line, mm)
		return
	}
	if b.values++; b.values > maxValues {
		b.in.fail(line, fmt.Sprintf("the file has gone on for %s values of one station: this is no daily record", thousands(maxValues)), "sum the values to days first, or cut the daily rain out of it")
	}
	if d < firstDay || d > lastDay {
		y, _, _ := d.YMD()
		b.in.strangeYear(line, y, d.String())
	}
	if b.empty() {
		b.from, b.to = d, d
	}
	b.from, b.to = min(b.from, d), max(b.to, d)
	if b.wide {
		return
	}
	if b.to-b.from > maxSpan {
		b.wide, b.wideAt = true, line
		return
	}
	i := b.index(d)
	was := b.depth[i]
	switch {
	case b.given[i] == 0:
		b.given[i], b.depth[i], b.mark[i] = int32(max(line, 1)), mm, m
		return
	case math.IsNaN(mm) || was == mm:
	case math.IsNaN(was):
		b.depth[i], b.mark[i] = mm, m
	case b.clashes > 0:
		b.clashes++
	default:
		b.clashes = 1
		b.conflict = b.in.err(line, fmt.Sprintf("%v is %.6g mm here and %.6g mm on line %d", d, mm, was, b.given[i]), "keep one of the two lines")
	}
	b.twice++
}

const (
	maxSpan   = 400 * 366   // days
	maxValues = 4 * maxSpan // given, the same day any number of times
	// maxRoom is the most that a builder begins with, days, and dayBytes the
	// least that a file holds a day in: memory that is not written to costs
	// nothing, and growing would copy.
	maxRoom  = 200 * 366
	dayBytes = 8
)

// empty reports whether no day was given.
func (b *builder) empty() bool { return b.depth == nil }

// index returns the place of a day in the builder's days, which it extends
// where need be: in front by as many days again as there are, so that a file
// whose last day comes first is not copied at every line.
func (b *builder) index(d rainfall.Date) int {
	if b.depth == nil {
		b.first = d
		room := maxRoom
		if b.in.size > 0 {
			room = min(room, b.in.size/dayBytes+1)
		}
		b.depth, b.mark, b.given = make([]float64, 0, room), make([]rainfall.Mark, 0, room), make([]int32, 0, room)
	}
	if d < b.first {
		n := max(int(b.first-d), len(b.depth))
		b.first -= rainfall.Date(n)
		b.depth = slices.Insert(b.depth, 0, make([]float64, n)...)
		b.mark = slices.Insert(b.mark, 0, make([]rainfall.Mark, n)...)
		b.given = slices.Insert(b.given, 0, make([]int32, n)...)
		for i := range n {
			b.depth[i] = math.NaN()
		}
	}
	for d >= b.first+rainfall.Date(len(b.depth)) {
		b.depth, b.mark, b.given = append(b.depth, math.NaN()), append(b.mark, 0), append(b.given, 0)
	}
	return int(d - b.first)
}

// addTotal takes an amount measured over several days, read on the last; days
// is 0 where the file does not say how many.
func (b *builder) addTotal(line int, last rainfall.Date, days int, mm float64) {
	if last == rainfall.NoDate {
		b.in.valueWithoutDay(line, mm)
		return
	}
	if days < 0 || days > 366 {
		b.in.fail(line, fmt.Sprintf("a total over %d days", days), "blank the line, or correct its number of days")
	}
	b.in.plausible(line, mm/float64(max(days, 1)))
	b.totals = append(b.totals, rainfall.Total{Last: last, Days: days, MM: mm})
}

// valueWithoutDay refuses a value on a day that there is not, unless it is
// missing: publishers of a fixed shape have lines for 31 days a month.
func (in *input) valueWithoutDay(line int, mm float64) {
	if e := in.noDays[line]; e != nil && !math.IsNaN(mm) {
		panic(e)
	}
}

// plausible refuses a depth that is no rain; NaN stands for none.
func (in *input) plausible(line int, mm float64) {
	switch {
	case mm < 0:
		in.fail(line, fmt.Sprintf("rain of %.6g mm is below zero", mm), "leave the cell blank if the value is missing")
	case mm > MaxDaily:
		in.fail(line, fmt.Sprintf("rain of %s in a day is more than ever fell, %s", about(mm), about(MaxDaily)), "blank the cell if it is wrong; if the unit is, correct it in the column's name or, where none stands there, with --unit mm, in or 0.1mm")
	}
}

// record puts the days in order. A day given twice with the same value is
// kept once and warned of; with two values it is an error.
func (b *builder) record() *rainfall.Record {
	if b.empty() {
		// totals alone make no daily record
		b.in.fail(b.in.header, "no daily value in the file", "is there more than a header?")
	}
	for _, t := range b.totals {
		b.from, b.to = min(b.from, t.Last-rainfall.Date(max(t.Days, 1))+1), max(b.to, t.Last)
	}
	if b.wide || b.to-b.from > maxSpan {
		b.in.fail(b.wideAt, fmt.Sprintf("dates run from %v to %v", b.from, b.to), "no gauge has read that long: is a year mistyped?")
	}
	if b.conflict != nil {
		if b.clashes > 10 && b.clashes > b.values/100 {
			b.conflict.Hint = "many days are given more than once: are these hours, several stations or several elements? Give one value a day"
		}
		panic(b.conflict)
	}
	at := b.index(b.from)
	end := b.index(b.to) + 1 // after it: the other may move all
	r := &rainfall.Record{First: b.from, Depth: b.depth[at:end], Mark: b.mark[at:end], Position: rainfall.Nowhere()}
	if b.twice > 0 {
		tell(r, "duplicate", b.twice)
	}
	b.shape(r, b.given[at:end])
	b.spread(r)
	if b.in.opt.Absent == "zero" {
		b.absentDry(r, b.given[at:end])
	}
	if r.Missing() == len(r.Depth) {
		b.in.fail(0, "every daily value is missing", "choose a station or a span that has rain")
	}
	trim(r)
	for _, last := range b.doubted {
		doubtTotal(r, last)
	}
	if b.noDays > 0 {
		tell(r, "no-day", b.noDays)
	}
	if n := r.Count(rainfall.Presumed); n > 0 {
		tell(r, "presumed", n).share(r)
	}
	return r
}

// maxUnsaid is the most days, the day read included, that a total is taken to
// cover where the file does not say: a gauge left for longer has missed more
// than one reading, and sharing the total out would make a drought of the hole.
const maxUnsaid = 31

// spread shares each total over the days since the gauge was last read: those
// of its days that have no value of their own, back to the first that has one.
// Where the file does not say how many days it covers, they are the missing
// days before it.
func (b *builder) spread(r *rainfall.Record) {
	sort.SliceStable(b.totals, func(i, j int) bool { return b.totals[i].Last < b.totals[j].Last })
	lost, guessed, long := 0, 0, 0
	for _, t := range b.totals {
		end := int(t.Last - r.First)
		days := t.Days
		if days == 0 {
			for days = 1; end-days >= 0 && math.IsNaN(r.Depth[end-days]); {
				days++
			}
			if days > 1 && days <= maxUnsaid {
				guessed++
			}
		}
		if t.Days == 0 && days > maxUnsaid {
			long++
			continue
		}
		// The gauge was emptied where a day has a value of its own: the total
		// is of the days since then, and days before stay missing. Where the
		// day read has both, the rest fell before it.
		var free []int
		mm := t.MM
		for i := end; i >= max(0, end-days+1); i-- {
			if math.IsNaN(r.Depth[i]) {
				free = append(free, i)
				continue
			}
			if i < end {
				break
			}
			mm -= r.Depth[i]
		}
		if len(free) == 0 || mm < 0 || mm/float64(len(free)) > MaxDaily {
			lost++
			continue
		}
		for _, i := range free {
			r.Depth[i] = mm / float64(len(free))
			if days > 1 {
				r.Mark[i] |= rainfall.Spread
			} else {
				r.Mark[i] &^= rainfall.Failed // another value of the day, and a good one
			}
		}
		if days > 1 {
			r.Totals = append(r.Totals, rainfall.Total{Last: t.Last, Days: days, MM: t.MM})
		}
	}
	if guessed > 0 {
		tell(r, "total-span", guessed)
	}
	if long > 0 {
		tell(r, "total-long", long).value(rainfall.InCount.Of("days", maxUnsaid-1))
	}
	if lost > 0 {
		tell(r, "total-lost", lost)
	}
}

// trim cuts missing days off both ends: a record begins with its first value.
// The marks of failed values are cut with them.
func trim(r *rainfall.Record) {
	a, z := 0, len(r.Depth)
	for math.IsNaN(r.Depth[a]) {
		a++
	}
	for math.IsNaN(r.Depth[z-1]) {
		z--
	}
	r.First += rainfall.Date(a)
	r.Depth, r.Mark = r.Depth[a:z], r.Mark[a:z]
}

// count says "1 day is" or "3 days are".
func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return thousands(n) + " " + many
}

// thousands writes a count ≥ 0 with separators.
func thousands(n int) string {
	s := strconv.Itoa(n)
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s
}
