package rainfall

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// plain reads a table of a date column, or a year, a month and a day column,
// and a rain column, in any order and among others, separated by commas,
// semicolons or tabs. It takes what no publisher's reader does.
//
// Lines that begin with # are comments; of these `# unit: in`, `# station: X`
// and `# place: X` above the header are heeded. Two columns need no header.
// Nothing is guessed that would change the answer: where the unit, the rain
// column or the order of day and month cannot be known, it is asked for.
func plain() format {
	return format{"plain table of dates and rain", sniffPlain, readPlain}
}

// plainLayout is what the first lines of a plain file show.
type plainLayout struct {
	first  int  // the line of the header, or of the first data without one
	header bool // there is one
	comma  rune
	fields []string          // of that line
	notes  map[string]string // from the comments: unit, station, place
}

func (in *input) plainLayout() (plainLayout, bool) {
	l := plainLayout{notes: map[string]string{}}
	for i, s := range in.lines {
		s = strings.TrimSpace(s)
		if note, ok := strings.CutPrefix(s, "#"); ok {
			key, value, _ := strings.Cut(note, ":")
			key = strings.TrimSuffix(strings.ToLower(strings.TrimSpace(key)), "s")
			if value = strings.TrimSpace(value); value != "" && l.notes[key] == "" {
				l.notes[key] = value
			}
			continue
		}
		if s != "" {
			l.first = i + 1
			break
		}
	}
	s := in.line(l.first)
	if l.first == 0 {
		return l, false
	}
	most := 0
	for _, c := range ";\t," { // of as many the first: 2021-12-31;1,5 is two fields
		if n := strings.Count(s, string(c)); n > most {
			most, l.comma = n, c
		}
	}
	if most == 0 {
		return l, false
	}
	named, dated, numbers := false, false, true
	for _, f := range strings.Split(s, string(l.comma)) {
		f = strings.Trim(strings.TrimSpace(f), `"`)
		l.fields = append(l.fields, f)
		named = named || isDateName(f) || slices.Contains(yearNames, bare(f))
		dated = dated || looksDate(f)
		_, err := strconv.ParseFloat(f, 64)
		numbers = numbers && err == nil
	}
	l.header = !dated && !numbers
	if named || dated || numbers && len(l.fields[0]) == 4 {
		return l, true
	}
	// a date column of any other name shows in the next lines
	for i := l.first; i < min(l.first+5, len(in.lines)); i++ {
		for _, f := range strings.Split(in.lines[i], string(l.comma)) {
			if looksDate(strings.Trim(strings.TrimSpace(f), `"`)) {
				return l, true
			}
		}
	}
	return l, false
}

func sniffPlain(in *input) bool {
	_, ok := in.plainLayout()
	return ok
}

func readPlain(in *input) (*Record, error) {
	l, _ := in.plainLayout()
	lines := slices.Clone(in.lines)
	for i, s := range lines {
		if strings.HasPrefix(strings.TrimSpace(s), "#") {
			lines[i] = "" // a blank line is passed over, and still counted
		}
	}
	body := &input{file: in.file, opt: in.opt, size: in.size, lines: lines}
	var names []string
	if !l.header {
		if len(l.fields) != 2 {
			return nil, in.fail(l.first, fmt.Sprintf("no header line, and %d columns", len(l.fields)), "put a line such as date,rain_mm above the data; a decimal comma splits a value: write 1.5, not 1,5")
		}
		names = []string{"date", "value"}
		if !looksDate(l.fields[0]) {
			names = []string{"value", "date"}
		}
	}
	t, err := body.tableNamed(names, l.first, l.comma, false)
	if err != nil {
		return nil, err
	}
	p := plainTable{table: t, layout: l}
	return p.record()
}

type plainTable struct {
	*table
	layout plainLayout
	dates  []int // the date column, or those of year, month and day
	rain   int
	unit   unit // the zero unit where not stated
	asked  bool // the unit comes from the option
}

func (p *plainTable) record() (*Record, error) {
	if err := p.findDates(); err != nil {
		return nil, err
	}
	station := p.findName(stationNames)
	if slices.Contains(p.dates, station) {
		station = -1
	}
	if err := p.findRain(station); err != nil {
		return nil, err
	}
	rows, id, err := p.rowsOf(station)
	if err != nil {
		return nil, err
	}
	lines, dates, cells := make([]int, len(rows)), make([]string, len(rows)), make([]string, len(rows))
	all, rain := p.dateCells(), p.column(p.rain)
	for i, k := range rows {
		lines[i], dates[i], cells[i] = p.line[k], all[k], rain[k]
	}
	days, err := p.in.plainDates(lines, dates)
	if err != nil {
		return nil, err
	}
	v, err := p.values(lines, cells)
	if err != nil {
		return nil, err
	}
	u, inferred, err := p.chooseUnit(cells)
	if err != nil {
		return nil, err
	}
	b := &builder{in: p.in}
	for i, d := range days {
		if err := b.add(lines[i], d, u.inMM(v.depth[i]), v.mark[i]); err != nil {
			return nil, err
		}
	}
	r, err := b.record()
	if err != nil {
		return nil, err
	}
	r.Unit, r.Station, r.Place = u.name, id, p.layout.notes["place"]
	if id == "" {
		r.Station = p.layout.notes["station"]
	}
	if v.codes > 0 {
		r.warn("missing-code", "%s a missing-value code (%s) and taken as missing", count(v.codes, "value is", "values are"), strings.Join(v.seen, ", "))
	}
	if p.asked {
		r.doubt(u, guessUnit(cells))
	}
	if inferred != "" {
		r.warn("unit-inferred", "no unit is stated; read as %s, for %s", u.name, inferred)
	}
	return r, nil
}

// chooseUnit takes the unit from the column's name, a comment or the option;
// failing these it is inferred only where no other is possible, and why is
// returned.
func (p *plainTable) chooseUnit(cells []string) (u unit, why string, err error) {
	name := p.header[p.rain]
	if p.unit != (unit{}) {
		return p.unit, "", nil
	}
	if note := p.layout.notes["unit"]; note != "" {
		u, ok := parseUnit(note)
		if !ok {
			return u, "", p.in.fail(0, fmt.Sprintf("the comment \"# unit: %s\" names no unit known here", note), "write mm, in or 0.1mm")
		}
		return u, "", nil
	}
	if u, ok := parseUnit(p.in.opt.Unit); ok {
		p.asked = true
		return u, "", nil
	}
	g := guessUnit(cells)
	if g.sure == certain && g.unit == unitMM {
		return g.unit, g.why, nil
	}
	return u, "", p.in.unitUnknown(name, g)
}

// plainValues is a rain column read.
type plainValues struct {
	depth []float64 // in the file's unit, NaN missing
	mark  []Mark
	codes int      // numeric codes for a missing value
	seen  []string // the codes met, each once
}

// missingCodes are numbers that networks write for a missing value. No rain is
// below zero, so none of them can be one.
var missingCodes = []float64{-9999, -9999.9, -999, -999.9, -999.99, -99, -99.9, -99.99, -9999.99}

func (p *plainTable) values(lines []int, cells []string) (plainValues, error) {
	v := plainValues{depth: make([]float64, len(cells)), mark: make([]Mark, len(cells))}
	for k, c := range cells {
		v.depth[k] = math.NaN()
		if isMissingWord(c) {
			continue
		}
		if isTraceWord(c) {
			v.depth[k], v.mark[k] = 0, Trace
			continue
		}
		x, err := p.in.number(lines[k], c, "rain")
		switch {
		case err != nil:
			return v, err
		case slices.Contains(missingCodes, x):
			v.codes++
			if !slices.Contains(v.seen, c) && len(v.seen) < 4 {
				v.seen = append(v.seen, c)
			}
		case x < 0:
			return v, p.in.fail(lines[k], fmt.Sprintf("rain of %s is below zero", c), "leave the cell blank if the value is missing")
		default:
			v.depth[k] = x
		}
	}
	return v, nil
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
