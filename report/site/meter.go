package site

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"tankodds/rainfall"
	"tankodds/rainfall/read"
	"tankodds/report/units"
	"tankodds/report/words"
	"tankodds/sim"
)

// Meter says which readings of a meter are asked for, and what it measures.
type Meter struct {
	File string
	Of   sim.MeterOf
}

// MeterFile is a file of readings that were read.
type MeterFile struct {
	File    string `key:"file" doc:"the file of readings"`
	SHA256  string `key:"sha256" doc:"of its bytes"`
	Column  string `key:"column" doc:"the column read"`
	Amounts bool   `key:"amounts" doc:"whether its numbers are amounts since the line before, and not a counter or a level"`
}

// The words of a column's name that say what its numbers are.
var (
	counterWords = []string{"reading", "readings", "meter", "register", "counter", "index", "cumulative", "totaliser", "totalizer", "dial"}
	amountWords  = []string{"used", "use", "usage", "consumption", "amount", "amounts", "drawn", "delivered", "supplied", "difference", "delta", "since"}
	levelWords   = []string{"level", "held", "content", "contents", "storage", "stored", "volume", "full", "fill"}
)

// mostOver is how far a sensor may show more than the tank holds: a choice, no
// source.
const mostOver = 1.1

// mostReading is more than any counter shows, L.
const mostReading = 1e12

// CheckMeter wants file and kind together.
func (p *Plan) CheckMeter() error {
	switch m := p.Meter; {
	case m.File != "" && m.Of == sim.NoMeter:
		return misuse("--of draw if it counts what is drawn from the tank, mains if it counts the water that the tank lacked, level if it shows what the tank holds", "--meter %s: what the meter measures is not said", m.File)
	case m.File == "" && m.Of != sim.NoMeter:
		return misuse("name its file, as in --meter readings.csv (tankodds help meter)", "--of %v: no meter is named", m.Of)
	case m.Of == sim.MainsMeter && p.Study.Mains == sim.None:
		return misuse("--mains direct, or --of draw", "the site has no mains, so no meter can measure what they give")
	case m.File == "-" && p.Record.File == "-":
		return misuse("give one of the two as a file", "standard input can be read only once")
	}
	return nil
}

// ReadMeter reads the readings asked for. They must be of days that the series
// has, and enough of them.
func (p *Plan) ReadMeter(s *rainfall.Series, stdin io.Reader) (*MeterFile, *sim.Readings, error) {
	r := meterReader{of: p.Meter.Of, tank: p.Study.Sizes[0], units: p.Units}
	var d *read.Dated
	var err error
	if p.Meter.File == "-" {
		d, err = read.DatedFrom("-", stdin, p.Record.Dates, r.rank)
	} else {
		d, err = read.DatedFile(p.Meter.File, p.Record.Dates, r.rank)
	}
	if err != nil {
		return nil, nil, err
	}
	r.Dated = d
	m, err := r.readings(s)
	if err != nil {
		return nil, nil, err
	}
	return &MeterFile{d.File, d.SHA256, d.Column, m.Amounts}, m, nil
}

// meterReader makes readings of a table of dates and numbers.
type meterReader struct {
	*read.Dated
	of     sim.MeterOf
	tank   float64 // nominal, L
	units  units.System
	factor float64 // × turns a number into L
}

// words of a column's name.
func nameWords(name string) []string {
	return strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '%' })
}

// rank puts the column that names what the meter measures first, and then one
// that names readings of its kind.
func (r *meterReader) rank(name string) int {
	has := func(known ...string) bool {
		return slices.ContainsFunc(nameWords(name), func(w string) bool { return slices.Contains(known, w) })
	}
	switch {
	case has(r.of.String()):
		return 2
	case r.of == sim.LevelSensor && has(levelWords...), r.of != sim.LevelSensor && (has(counterWords...) || has(amountWords...)):
		return 1
	}
	return 0
}

func (r *meterReader) fail(line int, hint, format string, args ...any) error {
	return &read.Error{File: r.File, Line: line, Text: fmt.Sprintf(format, args...), Hint: hint}
}

// readings are the rows, one a day, in L, as far as they can be right.
func (r *meterReader) readings(s *rainfall.Series) (*sim.Readings, error) {
	if err := r.unit(); err != nil {
		return nil, err
	}
	m := &sim.Readings{Of: r.of}
	if r.of != sim.LevelSensor {
		var err error
		if m.Amounts, err = r.amounts(); err != nil {
			return nil, err
		}
	}
	last := s.First + rainfall.Date(len(s.Depth)) - 1
	var before read.DatedRow // the reading before
	for i, row := range r.Rows {
		x := row.Value * r.factor
		same := i > 0 && r.Rows[i-1].Date == row.Date
		switch {
		case same && !(row.Clock && r.Rows[i-1].Clock):
			return nil, r.fail(row.Line, "keep one of the two lines, or give the times of both", "a second reading on %v; the first is on line %d", row.Date, r.Rows[i-1].Line)
		case row.Value < 0:
			return nil, r.fail(row.Line, "leave the cell blank if the reading is missing", "a reading of %s is below 0", asWritten(row.Value))
		case x > mostReading:
			return nil, r.fail(row.Line, "correct it; is the unit in the header right?", "a reading of %s is too large to be meant", asWritten(row.Value))
		case !math.IsNaN(row.Value) && row.Date < s.First-1:
			return nil, r.fail(row.Line, "remove the line, or give a record of rain that goes back so far", "the reading of %v is from before the record of rain, which begins on %v", row.Date, s.First)
		case !math.IsNaN(row.Value) && row.Date > last:
			return nil, r.fail(row.Line, "remove the line, or give a record of rain that reaches so far", "the reading of %v is from after the record of rain, which ends on %v", row.Date, last)
		case r.of == sim.LevelSensor && x > mostOver*r.tank:
			return nil, r.fail(row.Line, "is the unit in the header right, and the --tank?", "%s are held there, and the tank is of %s", r.units.Volume(x), r.units.Volume(r.tank))
		case r.of != sim.LevelSensor && !m.Amounts && row.Value < before.Value:
			return nil, r.fail(row.Line, "correct it; begin another file after an exchange of the meter; if the numbers are amounts since the line before, call the column used, with its unit", "%s is less than %s on line %d: a counter does not run back", asWritten(row.Value), asWritten(before.Value), before.Line)
		}
		switch n := len(m.All) - 1; {
		case !same:
			m.All = append(m.All, sim.Reading{Date: row.Date, Litres: x})
		case m.Amounts:
			m.All[n].Litres += x
		case !math.IsNaN(x):
			m.All[n].Litres = x
		}
		if !math.IsNaN(row.Value) {
			before = row
		}
	}
	if n := m.Within(s); n < sim.LeastIntervals {
		return nil, r.fail(0, "give more readings, or read more often", "%s between readings, with every day in the record of rain; %d are the fewest to hold a model against", words.Plural(n, "interval"), sim.LeastIntervals)
	}
	return m, nil
}

// asWritten is a number as a file has it.
func asWritten(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

// amounts says whether the numbers are amounts since the line before. Where the
// column's name does not say, they are a counter if they never fall.
func (r *meterReader) amounts() (bool, error) {
	has := func(known []string) bool {
		return slices.ContainsFunc(nameWords(r.Column), func(w string) bool { return slices.Contains(known, w) })
	}
	steps, rises, falls := 0, 0, 0
	for i := range r.Rows {
		if i == 0 || math.IsNaN(r.Rows[i].Value) || math.IsNaN(r.Rows[i-1].Value) {
			continue
		}
		steps++
		switch was, is := r.Rows[i-1].Value, r.Rows[i].Value; {
		case is > was:
			rises++
		case is < was:
			falls++
		}
	}
	counter, amount := has(counterWords), has(amountWords)
	switch {
	case counter && !amount:
		return false, nil
	case amount && !counter && rises == steps && steps >= manyRises:
		return false, r.fail(r.Header, "call the column reading, with its unit, if they are those of a counter", "the numbers of %q rise on every line: amounts since the line before do not", r.Column)
	case amount && !counter:
		return true, nil
	case falls > 0:
		return false, r.fail(r.Header, "call the column reading if they are those of a counter, or used if they are amounts since the line before, with its unit, as in reading_L", "what the numbers of %q are is not said, and they fall on some lines", r.Column)
	}
	return false, nil
}

// manyRises is how many amounts in a row that are each more than the one before
// are no chance: one in 40,000.
const manyRises = 8

// unit finds the unit: in the column's name or in a comment.
func (r *meterReader) unit() error {
	const how = "write it into the column's name, as in reading_L, reading_m3 or reading_gal"
	var tries []string
	for rest := r.Column; ; {
		open := strings.IndexAny(rest, "([")
		end := strings.IndexAny(rest, ")]")
		if open < 0 || end < open {
			break
		}
		tries = append(tries, rest[open+1:end])
		rest = rest[end+1:]
	}
	all := strings.FieldsFunc(r.Column, func(c rune) bool { return strings.ContainsRune(" _-:,;/([)]", c) })
	for n := min(3, len(all)); n >= 1; n-- {
		tries = append(tries, strings.Join(all[len(all)-n:], " "))
	}
	if words := nameWords(r.Column); slices.Contains(words, "%") || slices.Contains(words, "percent") {
		tries = append(tries, "%")
	}
	if r.Unit != "" {
		tries = []string{r.Unit}
	}
	for _, text := range tries {
		text = strings.TrimSpace(text)
		if q, err := units.Parse(units.Volume, "a reading", "1 "+text); err == nil {
			r.factor = q.Value
			return nil
		}
		if q, err := units.Parse(units.Share, "a level", "1 "+text); err == nil && r.of == sim.LevelSensor {
			r.factor = q.Value * r.tank
			return nil
		}
		switch {
		case strings.EqualFold(text, "ml"):
			return r.fail(r.Header, "write it in L or m3", "%q could be in millilitres or in megalitres", r.Column)
		case units.Known("1 "+text) && r.of == sim.LevelSensor:
			return r.fail(r.Header, "give what the tank holds, as level_L, level_gal, or level_% of its size", "%q is in %s, which is no volume and no share of the tank", r.Column, text)
		case units.Known("1 " + text):
			return r.fail(r.Header, how, "%q is in %s, which is no volume", r.Column, text)
		}
	}
	if r.of == sim.LevelSensor {
		return r.fail(r.Header, "write it into the column's name, as in level_L, level_gal, or level_% of the tank's size", "the column %q names no unit", r.Column)
	}
	return r.fail(r.Header, how, "the column %q names no unit", r.Column)
}
