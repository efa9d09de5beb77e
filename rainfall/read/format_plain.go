package read

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"tankodds/rainfall"
)

// plain reads a table of a date column, or a year, a month and a day column,
// and a rain column, in any order and among others. It takes what no
// publisher's reader does.
//
// Lines that begin with # are comments; of these `# unit: in`, `# station: X`
// and `# place: X` above the header are heeded. Nothing is guessed that would
// change the answer: where the unit, the rain column, the order of day and
// month or the meaning of a number cannot be known, it is asked for.
func plain() format {
	return format{
		name:  "plain table of dates and rain",
		sniff: func(in *input) bool { return in.opt.Columns != "" || in.plainHead().line > 0 },
		read:  readPlain,
	}
}

// plainHead is what the first lines of a plain file show.
type plainHead struct {
	heading
	headless bool              // the line holds data
	notes    map[string]string // from the comments: unit, station, place
	noted    map[string]int    // their lines
	titles   int               // lines above it that are neither blank nor comments
}

func (in *input) plainHead() plainHead {
	// A header that names a date and rain is looked for first: above it may
	// stand what looks like data, such as "Start date;1990-01-01".
	if h := in.plainHeadBy(func(c []string) bool { return named(c) && slices.ContainsFunc(c, namesRain) }); h.line > 0 && in.opt.Columns == "" {
		return h
	}
	return in.plainHeadBy(func([]string) bool { return true })
}

func (in *input) plainHeadBy(is func(cells []string) bool) plainHead {
	h := plainHead{notes: map[string]string{}, noted: map[string]int{}}
	for n := 1; n <= usualHead; n++ {
		s := strings.TrimSpace(in.line(n))
		if note, ok := strings.CutPrefix(s, "#"); ok {
			if h.heading = in.commentedHeader(n); h.line > 0 {
				return h
			}
			key, value, _ := strings.Cut(note, ":")
			key = strings.TrimSuffix(strings.ToLower(strings.TrimSpace(key)), "s")
			if value = strings.TrimSpace(value); value != "" && h.notes[key] == "" {
				h.notes[key], h.noted[key] = value, n
			}
			continue
		}
		if n > len(in.head) {
			break
		}
		if s == "" {
			continue
		}
		if h.heading = in.plainLine(n); h.line > 0 && is(h.cells) {
			h.headless = slices.ContainsFunc(h.cells, looksDate) || in.opt.Columns != "" || !named(h.cells) && allNumbers(h.cells)
			return h
		}
		h.heading = heading{}
		h.titles++
	}
	return h
}

// plainLine reports whether a line is the header of a table or, without one,
// its first row, by what it holds and what the line below it does.
func (in *input) plainLine(n int) heading {
	s := in.line(n)
	for _, comma := range ";\t,|" { // 2021-12-31;1,5 is two cells
		if !strings.ContainsRune(s, comma) {
			continue
		}
		cells := splitCells(s, comma)
		h := heading{n, comma, cells}
		if in.opt.Columns != "" {
			if c := columnNames(in.opt.Columns); len(withoutTail(cells)) <= len(c) && datedAs(c, cells) {
				return h
			}
			continue
		}
		below := splitCells(in.nextLine(n), comma)
		dated := slices.ContainsFunc(below, looksDate) || datedAs(cells, below)
		switch {
		case named(cells) && (dated || in.nextLine(n) == "" || slices.ContainsFunc(cells, namesRain)):
			return h
		case slices.ContainsFunc(cells, looksDate) && len(withoutTail(cells)) > 1 && (in.nextLine(n) == "" || sameDates(cells, below)):
			return h
		case !allNumbers(cells) && dated && len(withoutTail(cells)) == len(withoutTail(below)):
			return h
		case allNumbers(cells) && len(cells) > 3 && len(cells[0]) == 4:
			return h
		}
	}
	return heading{}
}

// commentedHeader reads a header behind a #, as some programs write it.
func (in *input) commentedHeader(n int) heading {
	s := strings.TrimLeft(strings.TrimSpace(in.line(n)), "# ")
	for _, comma := range ";\t,|" {
		if cells := splitCells(strings.Trim(s, string(comma)), comma); len(cells) > 1 && named(cells) && slices.ContainsFunc(cells, namesRain) {
			if below := splitCells(in.nextLine(n), comma); len(below) == len(cells) {
				return heading{n, comma, cells}
			}
		}
	}
	return heading{}
}

// sameDates reports whether two rows have a date in the same place.
func sameDates(a, b []string) bool {
	for i := range min(len(a), len(b)) {
		if looksDate(a[i]) && looksDate(b[i]) {
			return true
		}
	}
	return false
}

func namesRain(name string) bool { return parseRainName(name).rain }

// nextLine returns the next line after n that is neither blank nor a comment.
func (in *input) nextLine(n int) string {
	for n++; n <= maxHead; n++ {
		s := strings.TrimSpace(in.line(n))
		if n > len(in.head) {
			break
		}
		if s != "" && s[0] != '#' {
			return s
		}
	}
	return ""
}

// named reports whether cells name a date, or a year with a month or a day of
// the year.
func named(cells []string) bool {
	has := func(names []string) bool { return findName(cells, names) >= 0 }
	return slices.ContainsFunc(cells, isDateName) || has(yearNames) && (has(monthNames) || has(dayOfYearNames))
}

// datedAs reports whether cells hold a date where names say so.
func datedAs(names, cells []string) bool {
	at := func(i int) string {
		if i >= 0 && i < len(cells) {
			return cells[i]
		}
		return ""
	}
	if i := findName(names, dateNames); i >= 0 && looksDate(at(i)) {
		return true
	}
	y, m, d := at(findName(names, yearNames)), at(findName(names, monthNames)), at(findName(names, dayNames))
	return looksDate(trimZero(y) + "-" + trimZero(m) + "-" + trimZero(d))
}

func allNumbers(cells []string) bool {
	return !slices.ContainsFunc(cells, func(c string) bool { return !isNumber(c) })
}

// columnNames reads the option that names the columns of a file without a
// header: "-" is one that is not wanted.
func columnNames(s string) []string {
	names := strings.Split(s, ",")
	for i, n := range names {
		if names[i] = strings.TrimSpace(n); names[i] == "-" {
			names[i] = ""
		}
	}
	return names
}

func readPlain(in *input) *rainfall.Record {
	h := in.plainHead()
	p := plainTable{table: &table{in: in, heading: h.heading, header: h.cells, station: -1, comments: true, headless: h.headless}, notes: h.notes, noted: h.noted}
	switch {
	case in.opt.Columns != "" && h.line == 0:
		in.fail(0, fmt.Sprintf("no line holds a date where --columns %s has it", quoted(in.opt.Columns)), "name every column in its order with --columns NAMES; - is one that is not wanted (tankodds help formats)")
	case in.opt.Columns != "":
		if p.header = columnNames(in.opt.Columns); len(p.header) < len(withoutTail(h.cells)) {
			in.fail(h.line, fmt.Sprintf("%s where --columns names %d", count(len(h.cells), "field", "fields"), len(p.header)), "name every column in its order; - is one that is not wanted. A decimal comma splits a value: write 1.5, not 1,5")
		}
	case h.headless:
		in.failHeadless(h.heading)
	}
	r := p.record()
	tellTitles(r, h.titles)
	return r
}

// failHeadless refuses a table without a header: what its columns hold would
// be a guess.
func (in *input) failHeadless(h heading) {
	hint := "a decimal comma splits a value: write 1.5, not 1,5; else name each column in its order with --columns NAMES (tankodds help formats)"
	switch cells := withoutTail(h.cells); {
	case len(cells) == 2 && looksDate(cells[0]):
		hint = "if they are a date and the rain: --columns date,rain"
	case len(cells) == 2:
		hint = "if they are the rain and a date: --columns rain,date"
	case len(cells) == 4 && allNumbers(cells):
		hint = "if they are a date and the rain: --columns year,month,day,rain"
	case len(cells) > 31:
		hint = "a row of a month or a year is not read: give a line a day, date,rain"
	}
	in.fail(h.line, fmt.Sprintf("no header line, and %s", count(len(h.cells), "column", "columns")), hint)
}

type plainTable struct {
	*table
	notes  map[string]string
	noted  map[string]int // their lines
	sample [][]string     // the first rows
	cols   plainColumns
	unit   unit // the zero unit where not stated
	asked  bool // the unit comes from the option
}

func (p *plainTable) record() *rainfall.Record {
	p.findColumns()
	p.load()
	p.weakStations()
	p.oneRowADay()
	days := p.days(p.cols.dates...)
	cells := p.amounts(p.cols.rain)
	p.splitDecimals(cells)
	p.knownFlags()
	for k, q := range p.column(p.cols.qflag) {
		if q != "" { // what failed a check tells nothing of unit and codes, and is missing
			cells[k] = ""
		}
	}
	depths := numbersOf(cells)
	codes := p.in.missingCodes(p.line, cells, depths)
	codes.blank(cells, depths)
	g := guessUnit(cells, depths)
	u, inferred := p.chooseUnit(g)
	r := p.recordOf(days, cells, p.value(depths, u))
	r.Unit, r.Place = u.name, p.notes["place"]
	r.Station = cmp.Or(p.id, p.notes["station"])
	codes.tell(r)
	if inferred {
		tellInferred(r, g)
	} else {
		doubtUnit(r, u, g, p.asked)
	}
	unitChange(r, cells, depths)
	p.heat(r)
	p.stand(r)
	if len(p.cols.unused) > 0 {
		tell(r, "columns-unused", 0, p.cols.unused...)
	}
	return r
}

// value says what the rows hold, of depths that are read already.
func (p *plainTable) value(depths []float64, u unit) rowValue {
	period, mflag, qflag := p.column(p.cols.period), p.column(p.cols.mflag), p.column(p.cols.qflag)
	return func(k int, c string) (float64, rainfall.Mark) {
		line := p.line[k]
		switch {
		case qflag[k] != "":
			return math.NaN(), rainfall.Failed
		case isTraceWord(c):
			return 0, rainfall.Trace
		case depths[k] < 0 && !isMissingWord(c):
			p.in.fail(line, fmt.Sprintf("rain of %s is below zero", c), "leave the cell blank if the value is missing, or name the code: --missing "+c+"; write 0 where it means too little to measure")
		case isMissingWord(c):
			p.in.period(line, period[k])
			return math.NaN(), 0
		case math.IsNaN(depths[k]):
			p.in.number(line, c, "rain") // which says why it is none
		}
		mm := u.inMM(depths[k])
		if span := p.in.period(line, period[k]); span > 1 {
			return p.total(k, span, mm, 0)
		}
		return p.build.flagged(line, p.day[k], mm, flag([]byte(mflag[k])), ' ')
	}
}

// chooseUnit takes the unit from the file or the option; failing these it is
// inferred only where no other is possible.
func (p *plainTable) chooseUnit(g unitGuess) (u unit, inferred bool) {
	if stated := p.statedUnit(); stated != (unit{}) {
		return stated, false
	}
	if u, ok := parseUnit(p.in.opt.Unit); ok {
		p.asked = true
		return u, false
	}
	if g.sure != certain || g.unit != unitMM {
		p.in.askUnit(cmp.Or(p.header[p.cols.rain], strconv.Itoa(p.cols.rain+1)), g)
	}
	return g.unit, true
}

// statedUnit returns the unit that the column's name, a comment or a column of
// units states. They must agree.
func (p *plainTable) statedUnit() unit {
	said, where := p.unit, fmt.Sprintf("the name of column %q", clipped(p.header[p.cols.rain]))
	take := func(line int, text, from string) {
		u, ok := parseUnit(text)
		switch {
		case !ok:
			p.in.fail(line, fmt.Sprintf("%s, %q, names no unit known here", from, clipped(text)), "write mm, in or 0.1mm")
		case said != (unit{}) && said != u && where == from:
			p.in.fail(line, fmt.Sprintf("the unit is %s here, and %s above", u.words, said.words), "turn all values into one unit")
		case said != (unit{}) && said != u:
			p.in.fail(line, fmt.Sprintf("the unit is %s by %s and %s by %s", said.words, where, u.words, from), "leave the right one")
		}
		said, where = u, from
	}
	if note := p.notes["unit"]; note != "" {
		take(p.noted["unit"], note, "the comment on the unit")
	}
	seen := ""
	for k, c := range p.column(p.cols.unit) {
		if c == "" || c == seen {
			continue
		}
		seen = c
		take(p.line[k], c, fmt.Sprintf("column %q", clipped(p.header[p.cols.unit])))
	}
	return said
}

func isMissingWord(c string) bool {
	switch strings.ToLower(c) {
	case "", "na", "n/a", "nan", "m", "-", "--", "null", "none", "missing":
		return true
	}
	return false
}

func isTraceWord(c string) bool {
	switch strings.ToLower(c) {
	case "t", "tr", "tr.", "trace":
		return true
	}
	return false
}
